"""``fairlead log``: from a CSV file and from a bench; all reports are invented."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from printed_benches import bench_with

from fairlead.core.bench_file import save_bench
from fairlead.core.document.session import LogEntry


def test_a_csv_file_is_compared(fairlead, tmp_path):
    rows = [f"{x},{'-8 dB' if x == 'wire' else '-12 dB'},10" for x in ("dipole", "wire") * 1]
    block = [rows[0], rows[1], rows[1], rows[0]]
    (tmp_path / "log.csv").write_text("\n".join(["antenna,report,power_w", *block, *block]) + "\n")
    done = fairlead("log", "log.csv")
    assert (done.status, done.errors) == (0, [])
    assert done.out.startswith("wire against dipole: louder, +4.0 ± 1.0 dB (95 %, 2 blocks of four")
    assert fairlead("log", "log.csv", "--as", "markdown").out.startswith("- wire against dipole")


def test_the_log_of_a_bench_is_compared_beside_what_the_budget_predicts(fairlead, tmp_path):
    bench = bench_with(2)
    log = tuple(
        LogEntry(10 + n, about_key=key, report="57") for n, key in enumerate((1, 2, 2, 1) * 2)
    )
    save_bench(replace(bench, log=log, next_key=30), str(tmp_path / "b.fairlead"))
    done = fairlead("log", "b.fairlead", "--antennas", "sweep 1", "sweep 2", "--as", "json")
    assert (done.status, done.errors) == (0, [])
    told = json.loads(done.out)
    assert told["resolved"] is False
    assert abs(told["predicted_db"]) < 0.5
    assert "smaller than your reports can show" in told["sentences"][0]


@pytest.mark.parametrize(
    ("text", "reason"),
    [("antenna,report\na,57\n", "two antennas"), ("x,y\n1,2\n", "does not name the columns")],
)
def test_a_log_that_says_nothing_is_one_line(fairlead, tmp_path, text, reason):
    (tmp_path / "log.csv").write_text(text)
    done = fairlead("log", "log.csv")
    assert done.status == 1
    (line,) = done.errors
    assert reason in line


def test_columns_that_are_not_read_are_named(fairlead, tmp_path):
    """A power in watts is understood under the window's heading, too."""
    block = [f"{x},{r},10,grey" for x, r in (("a", 57), ("b", 58), ("b", 58), ("a", 57))]
    text = "\n".join(["Sweep or group,Report,power,sky", *block, *block])
    (tmp_path / "log.csv").write_text(text)
    done = fairlead("log", "log.csv")
    assert done.errors == ['log.csv: Not read, because a log has no such column: "sky".']
    assert (done.status, done.out[:16]) == (0, "b against a: the")
