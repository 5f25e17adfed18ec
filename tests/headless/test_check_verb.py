"""``fairlead check``: what is suspect about each sweep, in plain lines."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.app.headless.check import check, run
from fairlead.app.headless.figures import run as run_figures
from fairlead.core.document.bench import Bench
from fairlead.core.notice import Notice
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep

FIGURES = (
    "  Best match (MHz) 51.000; Minimum SWR 1.24; Usable bandwidth (kHz) 3856; "
    "Resonance (MHz) 51.000; Q 8.0"
)


def test_a_good_sweep_has_nothing_suspect(fairlead, write):
    done = fairlead("check", write("a.s1p"))
    assert (done.status, done.errors) == (0, [])
    assert done.out.splitlines() == [
        "a (a.s1p)",
        "  241 points, 46 to 58 MHz, step 50 kHz, 50 Ω, with phase",
        FIGURES,
        "  nothing suspect",
    ]


def test_verdict_and_intervals_are_those_of_figures(tmp_path, monkeypatch, capsys):
    """One noisy sweep: `check` and `figures` say the same of it, in text and in JSON."""
    hz = np.linspace(46e6, 58e6, 241)
    rng = np.random.default_rng(8)
    noise = 0.004 * (rng.standard_normal(241) + 1j * rng.standard_normal(241))
    gamma = SeriesCircuit(51e6, 62.0, 8.0).reflection(hz) + noise
    rows = "\n".join(f"{f:.0f} {g.real:.6f} {g.imag:.6f}" for f, g in zip(hz, gamma, strict=True))
    (tmp_path / "noisy.s1p").write_text(f"# HZ S RI R 50\n{rows}\n", "ascii")
    monkeypatch.chdir(tmp_path)
    options = ("noisy.s1p", "--band", "6m", "--limit", "1.5", "--calibrated", "own-kit")

    def printed(verb, *more):
        assert verb([*options, *more]) == 0
        return capsys.readouterr().out

    found = json.loads(printed(run, "--as", "json"))
    stated = json.loads(printed(run_figures, "--as", "json"))
    assert (found["band"], found["limit_swr"]) == (stated["band"], 1.5)
    ours, theirs = found["sweeps"][0], stated["sweeps"][0]
    assert ours["verdict"] == theirs["verdict"]
    assert ours["verdict"]["covers"] == "cannot tell"
    assert ours["intervals"] == theirs["intervals"]
    low, high = ours["intervals"]["best_match_hz"]["accuracy"]
    assert low < ours["best_match_hz"] < high
    assert ours["why_not"] == theirs["why_not"]
    text = printed(run)
    assert "  covers 50 to 52 MHz at SWR 1.5: cannot tell: " in text
    assert re.search(r"Best match \(MHz\) 5\d\.\d+ ± 0\.\d+; Minimum SWR", text)
    assert text.endswith("± is a bound on the error, from the analyzer and from noise together.\n")


def test_without_a_band_there_is_no_verdict(write, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert run([write("a.s1p"), "--as", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["band"] is None
    (sweep,) = found["sweeps"]
    assert sweep["verdict"] is None
    assert sweep["best_match_hz"] == pytest.approx(51e6)


def test_a_figure_that_does_not_exist_has_its_reason(tmp_path, capsys):
    rows = "\n".join(f"{f} 0 0" for f in range(50_000_000, 52_000_001, 20_000))
    (tmp_path / "load.s1p").write_text(f"# HZ S RI R 50\n{rows}\n", "ascii")
    assert run([str(tmp_path / "load.s1p"), "--band", "6m"]) == 0
    (line,) = [
        line for line in capsys.readouterr().out.splitlines() if line.startswith("  – Best match")
    ]
    assert line == (
        "  – Best match, Minimum SWR, Usable bandwidth, Resonance, Q: flat: the reflection changes "
        "by no more than the noise or an analyzer's error"
    )


def test_what_is_suspect_is_said_with_its_code(fairlead, write):
    # No unit in the option line: the standard says GHz, and 46 million of them are not likely.
    bare = write("bare.s1p", option="# S RI R 50")
    done = fairlead("check", write("a.s1p", option="# HZ S RI R 75"), bare, "--band", "2m")
    assert done.status in (0, 1)
    lines = done.out.splitlines()
    start = lines.index("a (a.s1p)")
    assert any(line.startswith("  note: reference-not-50: ") for line in lines[start : start + 9])
    assert "  suspect: band-not-covered: has nothing in the band 144 to 146 MHz" in lines
    assert sum("nothing suspect" in line for line in lines) == 0


def test_json_holds_the_same_and_what_could_not_be_read(fairlead, write):
    done = fairlead("check", write("a.s1p"), "gone.s1p", "--as", "json", "--band", "57:60MHz")
    assert done.status == 1
    assert len(done.errors) == 1
    found = json.loads(done.out)
    (sweep,) = found["sweeps"]
    assert sweep["points"] == 241
    assert (sweep["low_hz"], sweep["high_hz"], sweep["step_hz"]) == (46e6, 58e6, 50e3)
    assert (sweep["z0_ohm"], sweep["has_phase"], sweep["above_one"]) == (50.0, True, 0)
    assert [row["code"] for row in sweep["warnings"]] == ["band-not-covered"]
    (found_one,) = sweep["warnings"]
    assert "only part of the band" in found_one["text"]
    assert set(found_one) == {
        *("code", "text", "severity", "reason", "advice", "low_hz", "high_hz"),
    }
    assert found_one["severity"] == "suspect"
    assert (found_one["low_hz"], found_one["high_hz"]) == (57e6, 60e6)
    assert found_one["reason"].endswith(".")
    assert found_one["advice"].endswith(".")
    assert found["unread"][0]["file"] == "gone.s1p"


@pytest.mark.parametrize("arguments", [(), ("a.s1p", "--band", "7x"), ("a.s1p", "--limit", "x")])
def test_wrong_usage_of_check_is_one_line(fairlead, arguments):
    done = fairlead("check", *arguments)
    assert done.status == 2
    assert len(done.errors) == 1
    assert done.errors[0].startswith("fairlead check: ")


def test_impossible_points_are_counted_where_the_reader_was_silent():
    frequency_hz = np.linspace(50e6, 52e6, 21)
    gamma = np.full(21, 0.5 + 0j)
    gamma[3:5] = 1.1
    reading = Reading(Sweep(frequency_hz, gamma), "odd", "odd.s1p")
    bench = Bench().with_readings([reading])
    checked = check(bench.entries[0], bench)
    assert checked.row.analysis.above_one == 2
    found = {one.code: one for one in checked.findings}
    assert "at 2 of 21 points" in found["reflection-above-one"].text
    told = Reading(reading.sweep, "odd", "odd.s1p", (Notice("reflection-above-one", "seen"),))
    bench = Bench().with_readings([told])
    assert check(bench.entries[0], bench).findings == checked.findings


def test_strict_ends_with_3_where_something_is_suspect(fairlead, write):
    good = write("a.s1p")
    assert fairlead("check", good, "--strict").status == 0
    assert fairlead("check", good, "--strict", "--band", "2m").status == 3
    assert fairlead("check", good, "--band", "2m").status == 0
    assert fairlead("check", good, "gone.s1p", "--strict", "--band", "2m").status == 1
    assert "3 something is suspect (with --strict)" in " ".join(
        fairlead("check", "--help").out.split()
    )


def test_text_says_why_and_what_to_do(fairlead, write):
    lines = fairlead("check", write("a.s1p"), "--band", "2m").out.splitlines()
    assert any(line.startswith("    why: The worst SWR of a band") for line in lines)
    assert any(line.startswith("    what to do: Sweep again over the whole band") for line in lines)


def test_the_second_of_two_copies_is_named(fairlead, write):
    done = fairlead("check", write("a.s1p"), write("b.s1p"), "--as", "json", "--strict")
    assert done.status == 3
    sweeps = json.loads(done.out)["sweeps"]
    assert [[one["code"] for one in sweep["warnings"]] for sweep in sweeps] == [
        [],
        ["same-content"],
    ]


def test_an_open_cable_says_why_it_is_no_antenna(fairlead, tmp_path):
    """An invented 25 m cable with nothing on it: SWR under 1.5 from 400 to 470 MHz."""
    hz = np.linspace(400e6, 470e6, 201)
    db = 8.0 * np.sqrt(hz / 435e6)
    gamma = 10 ** (-db / 10) * np.exp(-4j * np.pi * hz * 25 / (0.66 * 299_792_458))
    rows = "\n".join(f"{f:.0f} {g.real:.6f} {g.imag:.6f}" for f, g in zip(hz, gamma, strict=True))
    path = tmp_path / "cable.s1p"
    path.write_text(f"# HZ S RI R 50\n{rows}\n", "ascii")
    done = fairlead("check", path, "--band", "430:440MHz", "--strict")
    assert done.status == 3
    assert "swr-ceiling: the SWR stays under 1.4" in done.out
    assert "RG-58" in done.out
    figures = json.loads(fairlead("figures", path, "--band", "430:440MHz", "--as", "json").out)
    assert "swr-ceiling" in [one["code"] for one in figures["sweeps"][0]["warnings"]]
    assert "the SWR stays under 1.4" in fairlead("figures", path, "--band", "430:440MHz").out
