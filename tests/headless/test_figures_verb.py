"""``fairlead figures``: the contract that scripts rely on."""

from __future__ import annotations

import csv
import io
import json

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.app.version import version

KEYS = {
    "format",
    "program",
    "band",
    "limit_swr",
    "z0_ohm",
    "reference",
    "sweeps",
    "changes",
    "groups",
    "repeats",
    "unread",
    "markers",
}
SWEEP_KEYS = {
    "label", "file", "points", "low_hz", "high_hz", "z0_ohm", "has_phase", "steps", "covers_band",
    "best_match_hz", "best_match_swr", "best_match_at_end", "resonances", "usable",
    "swr_low_edge", "swr_high_edge", "worst_swr", "worst_hz", "worst_mismatch_loss_db", "q",
    "warnings", "condition", "date", "notes", "plane", "verdict", "intervals", "why_not",
    "at_least", "usable_width_hz", "resonance_hz", "resonance_resistance_ohm", "traced",
}  # fmt: skip
CHANGE_KEYS = {
    "label", "best_match_shift_hz", "best_match_shift_percent", "best_match_swr_change",
    "usable_width_change_hz", "worst_swr_change", "worst_mismatch_loss_change_db", "q_ratio",
    "unresolved", "parts", "parts_why_not", "sentence",
    "added_loss", "added_loss_db", "added_loss_half_db", "dc_loss",
}  # fmt: skip


def strict(text):
    """JSON as the standard has it: no NaN, no Infinity."""

    def refuse(constant):
        raise AssertionError(constant)

    return json.loads(text, parse_constant=refuse)


def test_json_has_exactly_the_keys_of_the_contract_and_the_figures_of_the_circuit(fairlead, write):
    dry, wet = write("dry.s1p"), write("wet.s1p", f0_hz=50.5e6)
    done = fairlead("figures", dry, wet, "--band", "50:52MHz", "--as", "json")
    assert (done.status, done.errors) == (0, [])
    found = strict(done.out)
    assert set(found) == KEYS
    assert (found["format"], found["program"]) == (1, f"fairlead {version()}")
    assert found["band"] == {"name": None, "low_hz": 50e6, "high_hz": 52e6}
    assert (found["limit_swr"], found["z0_ohm"], found["reference"]) == (2.0, 50.0, "dry")
    assert found["unread"] == []
    first, second = found["sweeps"]
    assert set(first) == set(second) == SWEEP_KEYS
    # A series circuit in closed form: best match z0 / R or R / z0 at f0, its edges by algebra.
    own = SeriesCircuit(51e6, 62.0, 8.0)
    low_hz, high_hz = own.edges_hz(2.0)
    assert (first["label"], first["file"], first["points"]) == ("dry", "dry.s1p", 241)
    assert (first["low_hz"], first["high_hz"], first["z0_ohm"]) == (46e6, 58e6, 50.0)
    assert first["has_phase"] is True
    assert first["covers_band"] is True
    assert first["best_match_at_end"] is False
    assert first["best_match_hz"] == pytest.approx(51e6, abs=500)
    assert first["best_match_swr"] == pytest.approx(62 / 50, abs=1e-4)
    assert first["resonances"] == [
        {
            "frequency_hz": pytest.approx(51e6, abs=500),
            "resistance_ohm": pytest.approx(62, abs=0.01),
        }
    ]
    assert first["usable"] == [
        {
            "low_hz": pytest.approx(low_hz, abs=500),
            "high_hz": pytest.approx(high_hz, abs=500),
            "low_is_open": False,
            "high_is_open": False,
        }
    ]
    for key, hz in (("swr_low_edge", 50e6), ("swr_high_edge", 52e6)):
        assert first[key] == pytest.approx(float(own.swr(hz)), abs=1e-4)
    assert first["worst_swr"] == max(first["swr_low_edge"], first["swr_high_edge"])
    assert first["q"] == pytest.approx(8.0, rel=0.01)
    assert first["warnings"] == []
    (change,) = found["changes"]
    assert set(change) == CHANGE_KEYS
    assert change["label"] == "wet"
    assert change["best_match_shift_hz"] == pytest.approx(-500e3, abs=1000)
    assert change["best_match_shift_percent"] == pytest.approx(-0.98039, abs=0.002)


def test_a_band_by_name_takes_the_region_asked_for(fairlead, write):
    name = write("a.s1p")
    regions = {
        region: strict(
            fairlead("figures", name, "--band", "6m", "--region", region, "--as", "json").out
        )["band"]
        for region in ("1", "2")
    }
    # 47 CFR 97.301 for Region 2; for Region 1 the decision of WRC-19.
    assert regions["1"] == {"name": "6 m, Region 1", "low_hz": 50e6, "high_hz": 52e6}
    assert regions["2"] == {"name": "6 m, Region 2", "low_hz": 50e6, "high_hz": 54e6}


def test_without_a_band_the_common_span_is_used(fairlead, write):
    names = [
        write("a.s1p", frequency_hz=np.linspace(48e6, 58e6, 101)),
        write("b.s1p", frequency_hz=np.linspace(46e6, 55e6, 101)),
    ]
    found = strict(fairlead("figures", *names, "--as", "json").out)
    assert found["band"] == {"name": None, "low_hz": 48e6, "high_hz": 55e6}


def test_what_does_not_exist_is_null_and_total_reflection_is_inf(fairlead, write, tmp_path):
    (tmp_path / "open.s1p").write_text(
        "# MHZ S MA R 50\n" + "".join(f"{f} 1 30\n" for f in range(46, 59))
    )
    short = write("short.s1p", frequency_hz=np.linspace(50.2e6, 50.4e6, 21))
    done = fairlead("figures", "open.s1p", short, "--band", "6m", "--as", "json")
    total, part = strict(done.out)["sweeps"]
    assert total["best_match_swr"] is None
    assert total["worst_swr"] == "inf"
    assert total["worst_mismatch_loss_db"] == "inf"
    assert part["covers_band"] is False
    assert part["worst_swr"] is part["swr_low_edge"] is part["worst_hz"] is None
    assert part["best_match_at_end"] is True


def test_an_unreadable_file_costs_one_line_and_the_others_are_done(fairlead, write, tmp_path):
    (tmp_path / "bad.s1p").write_text("# HZ S RI R 50\n50e6 0.1 0.2\n51e6 what 0.2\n")
    good = write("good.s1p")
    done = fairlead("figures", "bad.s1p", good, "gone.s1p", "--as", "json")
    assert done.status == 1
    found = strict(done.out)
    assert [sweep["label"] for sweep in found["sweeps"]] == ["good"]
    assert [(row["file"], row["line"]) for row in found["unread"]] == [
        ("bad.s1p", 3),
        ("gone.s1p", None),
    ]
    assert all(row["reason"] and set(row) == {"file", "line", "reason", "advice"}
               for row in found["unread"])  # fmt: skip
    assert len(done.errors) == 2
    assert done.errors[0].startswith("bad.s1p:3: ")
    assert done.errors[1].startswith("gone.s1p: ")
    assert all("; " in line for line in done.errors)


def test_nothing_readable_still_prints_the_object(fairlead):
    done = fairlead("figures", "gone.s1p", "--as", "json")
    assert done.status == 1
    found = strict(done.out)
    assert set(found) == KEYS
    assert found["sweeps"] == found["changes"] == []
    assert found["reference"] is None
    assert found["band"] == {"name": None, "low_hz": None, "high_hz": None}
    assert len(found["unread"]) == 1
    banded = strict(fairlead("figures", "gone.s1p", "--as", "json", "--band", "2m").out)
    assert banded["band"] == {"name": "2 m, Region 1", "low_hz": 144e6, "high_hz": 146e6}


def test_text_has_a_column_for_each_sweep_and_the_notes_of_the_reader(fairlead, write):
    seventy_five = write("b.s1p", option="# HZ S RI R 75")
    done = fairlead("figures", write("a.s1p"), seventy_five, "--band", "6m")
    assert done.status == 0
    lines = done.out.splitlines()
    assert lines[0] == "6 m, Region 1: 50 – 52 MHz, SWR limit 2, at 50 Ω"
    assert lines[1].split() == ["Sweep", "a", "b"]
    assert any(line.startswith("b: ") and "75" in line for line in lines)
    best = next(line for line in lines if line.startswith("Best match"))
    assert best.split()[3] == "51.000"


def test_markdown_is_one_table_with_a_row_for_each_sweep(fairlead, write):
    done = fairlead("figures", write("a.s1p"), write("b|c.s1p"), "--as", "markdown")
    rows = [line for line in done.out.splitlines() if line.startswith("|")]
    assert len(rows) == 4
    assert rows[3].startswith("| b\\|c |")


def test_csv_has_full_precision_and_units_in_its_header(fairlead, write):
    done = fairlead("figures", write("a.s1p"), write("=b.s1p"), "--as", "csv")
    first, second = csv.DictReader(io.StringIO(done.out))
    assert float(first["best_match_hz"]) == pytest.approx(51e6, abs=500)
    assert second["label"] == "'=b"
    assert first["q_ratio"] == ""
    assert float(second["q_ratio"]) == pytest.approx(1)


@pytest.mark.parametrize("name", ["wet", "wet.s1p", "w", "WE"])
def test_the_reference_is_found_by_label_file_or_beginning(fairlead, write, name):
    write("dry.s1p"), write("wet.s1p", f0_hz=50e6)
    done = fairlead("figures", "dry.s1p", "wet.s1p", "--reference", name, "--as", "json")
    found = strict(done.out)
    assert found["reference"] == "wet"
    assert [change["label"] for change in found["changes"]] == ["dry"]


def test_limit_and_reference_impedance_are_taken(fairlead, write):
    done = fairlead("figures", write("a.s1p"), "--limit", "1,5", "--z0", "62", "--as", "json")
    found = strict(done.out)
    assert (found["limit_swr"], found["z0_ohm"]) == (1.5, 62.0)
    (sweep,) = found["sweeps"]
    assert sweep["best_match_swr"] == pytest.approx(1.0, abs=1e-4)
    low_hz, high_hz = SeriesCircuit(51e6, 62.0, 8.0).edges_hz(1.5, 62.0)
    assert sweep["usable"][0]["low_hz"] == pytest.approx(low_hz, abs=1000)
    assert sweep["usable"][0]["high_hz"] == pytest.approx(high_hz, abs=1000)
    assert sweep["z0_ohm"] == 50.0


def test_sweeps_of_the_same_name_are_told_apart(fairlead, write):
    names = [write("may/unit.s1p"), write("june/unit.s1p"), "may/unit.s1p"]
    found = strict(fairlead("figures", *names, "--as", "json").out)
    labels = [sweep["label"] for sweep in found["sweeps"]]
    assert labels == ["may/unit", "june/unit", "may/unit (2)"]


def test_a_folder_stands_for_the_sweeps_in_it(fairlead, write, tmp_path):
    write("set/unit 10.s1p"), write("set/unit 2.s1p")
    (tmp_path / "set" / "notes.md").write_text("no sweep")
    found = strict(fairlead("figures", "set", "--as", "json").out)
    assert [sweep["label"] for sweep in found["sweeps"]] == ["unit 2", "unit 10"]


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((), "FILE"),
        (("a.s1p", "--band", "7x"), 'no band "7x"'),
        (("a.s1p", "--band", "52:50MHz"), "low edge"),
        (("a.s1p", "--band", "1.25m"), "1.25"),
        (("a.s1p", "--region", "4"), "--region"),
        (("a.s1p", "--limit", "1"), "limit"),
        (("a.s1p", "--limit", "two"), '"two"'),
        (("a.s1p", "--z0", "-50"), "impedance"),
        (("a.s1p", "--as", "xml"), "--as"),
        (("a.s1p", "--reference", "zz"), 'there is no sweep "zz"'),
        (("a.s1p", "ab.s1p", "--reference", "a"), None),
        (("aa.s1p", "ab.s1p", "--reference", "a"), "more than one"),
        (("a.s1p", "--lim", "3"), "--lim"),
        (("a.s1p", "--colour"), "--colour"),
    ],
)
def test_wrong_usage_is_one_line_and_status_2(fairlead, write, arguments, reason):
    for name in ("a.s1p", "aa.s1p", "ab.s1p"):
        write(name)
    done = fairlead("figures", *arguments)
    if reason is None:
        assert done.status == 0
        return
    assert done.status == 2
    assert done.out == ""
    (line,) = done.errors
    assert line.startswith("fairlead figures: ")
    assert reason in line
    assert "; " in line


def test_an_unread_reference_is_named_as_the_reason(fairlead, write):
    done = fairlead("figures", write("a.s1p"), "gone.s1p", "--reference", "gone")
    assert done.status == 2
    assert 'the reference "gone" could not be read' in done.errors[-1]


def test_options_and_files_come_in_any_order(fairlead, write):
    write("-odd.s1p")
    done = fairlead(
        "figures", write("a.s1p"), "--limit", "3", write("b.s1p"), "--as", "json", "--", "-odd.s1p"
    )
    assert [sweep["label"] for sweep in strict(done.out)["sweeps"]] == ["a", "b", "-odd"]


def test_a_band_of_ones_own_by_name(fairlead, write, tmp_path):
    (tmp_path / "plan.txt").write_text("Club net = 50.1 - 50.3 MHz\n", encoding="utf-8")
    own = ["--band-file", "plan.txt", "--band"]
    done = fairlead("figures", write("a.s1p"), *own, "club net", "--as", "json")
    assert json.loads(done.out)["band"] == {
        "name": "Club net", "low_hz": 50.1e6, "high_hz": 50.3e6
    }  # fmt: skip
    done = fairlead("figures", "a.s1p", *own, "6m")
    assert done.status == 2
    assert "choose one of Club net" in done.errors[-1]
    assert fairlead("figures", "a.s1p", *own, "50:51MHz").status == 0
