"""A group in the table, in the texts and in JSON, from the one table of figures."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core import figure_table
from fairlead.core.bands import Band
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.document.groups import with_group, with_group_reference
from fairlead.core.figure_table import FigureSpec, Number, shown
from fairlead.core.group_csv import csv_statistics
from fairlead.core.group_table import (
    group_cell,
    group_rows,
    group_tips,
    next_words,
    spread_specs,
)
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.units import DASH, format_number

GRID_HZ = np.linspace(46e6, 58e6, 241)
MATCHES_HZ = (50.6e6, 50.8e6, 51.0e6, 51.2e6, 51.4e6)
SPECS = {spec.id: spec for spec in figure_table.FIGURES}


def reading(label, f0_hz, r_ohm=48.0, q=7.0):
    circuit = SeriesCircuit(f0_hz, r_ohm, q)
    return Reading(Sweep(GRID_HZ, circuit.reflection(GRID_HZ)), label, "")


def bench_of(*more):
    readings = [reading("reference", 51e6, 60.0)]
    readings += [reading(f"unit {i}", hz) for i, hz in enumerate(MATCHES_HZ, 1)]
    return Bench().with_readings([*readings, *more]).with_band(Band(50e6, 52e6))


def group_of(bench, keys=(2, 3, 4, 5, 6)):
    made = with_group(bench, keys, "Kit")
    (found,) = group_rows(made, compare(made))
    return made, found


def tip_of(spec, found):
    return "\n".join(group_tips(spec, found))


@pytest.fixture
def found():
    return group_of(bench_of())[1]


def test_the_figures_of_the_members_are_spread(found):
    spread = found.spreads["best_match_hz"]
    # The circuits are tuned 200 kHz apart: sd = 200 kHz sqrt(10 / 4).
    assert spread.mean == pytest.approx(51.0e6, abs=3e3)
    assert spread.sd == pytest.approx(200e3 * 2.5**0.5, rel=0.01)
    assert group_cell(SPECS["best_match"], found) == "51.00 (sd 0.32)"
    assert group_cell(SPECS["label"], found) == "Kit (5 units)"
    assert group_cell(SPECS["condition"], found) == ""


def test_every_figure_with_a_number_says_which_member_is_the_worst_or_is_in_details():
    """A new figure is not forgotten in groups."""
    without = {
        spec.id for spec in figure_table.FIGURES if spec.number is not None and spec.worst is None
    }
    assert without == {"low", "high", "z0", "worst_hz"}


def test_changes_are_those_against_the_reference_outside(found):
    assert found.spreads["best_match_shift_hz"].mean == pytest.approx(0, abs=10e3)
    assert group_cell(SPECS["shift"], found).endswith("(sd 320)")


def test_a_reference_inside_the_group_leaves_its_changes_out():
    made, found = group_of(bench_of(), (1, 2, 3))
    assert "Shift (kHz)  " not in as_text(made).split("Kit (3 units)")[1]
    assert group_cell(SPECS["shift"], found) == DASH
    assert "the reference sweep is itself a member" in tip_of(SPECS["shift"], found)
    assert group_cell(SPECS["best_match"], found) != DASH


def test_how_many_cover(found):
    assert group_cell(SPECS["verdict"], found) == "5 of 5"
    tip = tip_of(SPECS["verdict"], found)
    assert "between 47.8 and 100.0 %" in tip
    edgy = with_group(bench_of().with_limit(1.4), (2, 3, 4, 5, 6), "Kit")
    (row,) = group_rows(edgy, compare(edgy))
    assert row.coverage.yes + row.coverage.no == 5
    assert 0 < row.coverage.yes < 5


def test_a_member_nearer_to_the_limit_than_its_noise_cannot_be_told():
    noise = np.random.default_rng(3).normal(0, 0.004, (2, GRID_HZ.size)).T @ (1, 1j)
    circuit = SeriesCircuit(51e6, 48.0, 7.0)
    noisy = Reading(Sweep(GRID_HZ, circuit.reflection(GRID_HZ) + noise), "noisy", "")
    at_limit = float(max(circuit.swr(np.array([50e6, 52e6]))))
    made, found = group_of(bench_of(noisy).with_limit(at_limit), (2, 7))
    assert found.coverage.cannot_tell == 1
    assert "1 unsure" in group_cell(SPECS["verdict"], found)
    assert "1 undecided" in tip_of(SPECS["verdict"], found)
    assert as_json(made)["groups"][0]["covers"]["cannot_tell"] == 1


def test_the_tip_says_all_there_is(found):
    tip = tip_of(SPECS["best_match"], found)
    for words in (
        "Mean of 5: 51.00 MHz, standard deviation 0.32",
        "Median 51.00, from 50.60 to 51.40",
        "The next one lies between 50.0",
        "if the values are normally distributed",
        "The mean of all such sweeps lies between 50.6",
    ):
        assert words in tip
    assert 'Worst: "unit ' in tip_of(SPECS["worst"], found)
    assert tip_of(SPECS["usable"], found) == SPECS["usable"].hint


def test_the_next_one_in_a_sentence(found):
    said = next_words(found)
    assert said.startswith("The next of Kit, with 95 % each (if the values are normally")
    assert ": best match 50.04 to 51.96 MHz; worst SWR 1." in said
    _, two = group_of(bench_of(), (2, 3))
    assert next_words(replace(two, spreads={})) == ""


def test_held_against_a_member():
    made, _ = group_of(bench_of())
    made = with_group_reference(made, made.groups[0].key, 2)
    (found,) = group_rows(made, compare(made))
    assert found.centre_words == '"unit 1"'
    assert 'Furthest from "unit 1": "unit 5"' in tip_of(SPECS["best_match"], found)
    assert as_json(made)["groups"][0]["reference"] == "unit 1"


def test_a_sweep_that_stops_before_its_dip_has_no_best_match_in_the_spread():
    short_hz = np.linspace(46e6, 50.5e6, 91)
    circuit = SeriesCircuit(51e6, 48.0, 7.0)
    short = Reading(Sweep(short_hz, circuit.reflection(short_hz)), "short", "")
    _, found = group_of(bench_of(short), (2, 3, 7))
    assert found.spreads["best_match_hz"].n == 2
    assert group_cell(SPECS["best_match"], found).endswith("2 of 3)")


def test_one_member_with_the_figure_has_no_deviation():
    scalar = ScalarSweep(GRID_HZ, np.abs(SeriesCircuit(51e6, 48.0, 7.0).reflection(GRID_HZ)))
    _, found = group_of(bench_of(Reading(scalar, "meter", "")), (2, 7))
    assert found.spreads["resonance_hz"].n == 1
    assert group_cell(SPECS["resonance"], found).endswith(" (1 of 2)")
    assert "only one member has this figure" in tip_of(SPECS["resonance"], found)


def test_units_alike_have_a_deviation_of_nothing():
    alike = [reading("a", 51e6), reading("b", 51e6)]
    _, found = group_of(bench_of(*alike), (7, 8))
    assert found.spreads["q"].sd == pytest.approx(0, abs=1e-9)
    assert "(sd 0" in group_cell(SPECS["q"], found)
    assert found.title == "Kit (2 units)"


def test_members_that_became_different_have_no_spread():
    """The condition was changed after they were grouped."""
    made, _ = group_of(bench_of())
    made = made.with_condition(2, "dry").with_condition(3, "iced")
    (found,) = group_rows(made, compare(made))
    assert found.spreads == {}
    assert found.coverage is None
    assert group_cell(SPECS["best_match"], found) == DASH
    assert group_cell(SPECS["verdict"], found) == DASH
    assert '"dry" and "iced"' in tip_of(SPECS["best_match"], found)
    assert 'No spread: "unit 1" and "unit 2" were taken' in as_text(made)
    assert "No spread" in as_markdown(made)
    told = as_json(made)["groups"][0]
    assert told["covers"] is None
    assert "different conditions" in told["why_not"]
    assert told["figures"] == {}


def test_sweeps_at_two_impedances_have_no_spread():
    scalar = ScalarSweep(GRID_HZ, np.full(GRID_HZ.size, 0.2), 75.0)
    other = Sweep(GRID_HZ, SeriesCircuit(51e6, 75.0, 7.0).reflection(GRID_HZ, 75.0), 75.0)
    _, found = group_of(
        Bench().with_readings([Reading(scalar, "a", ""), Reading(other, "b", "")]).with_z0(50.0),
        (1, 2),
    )
    assert found.why_not == "its sweeps are stated at different reference impedances"


def test_a_group_keeps_what_all_members_have_in_common():
    bench = bench_of().with_condition(2, "dry").with_condition(3, "dry")
    _, found = group_of(bench, (2, 3))
    assert group_cell(SPECS["condition"], found) == "dry"
    assert found.name_of(None) == ""


def test_an_infinite_worst_swr_is_a_word_in_json():
    total = Sweep(GRID_HZ, np.exp(-2j * np.pi * GRID_HZ * 20e-9))
    made, found = group_of(bench_of(Reading(total, "open", "")), (2, 7))
    assert group_cell(SPECS["worst"], found) == DASH
    assert "No mean: a member has an infinite value" in tip_of(SPECS["worst"], found)
    figures = as_json(made)["groups"][0]["figures"]
    assert figures["worst_swr"]["highest"] == "inf"
    assert figures["worst_swr"]["mean"] is None
    json.dumps(as_json(made), allow_nan=False)
    assert "∞" in as_text(made)


def test_text_and_markdown_have_a_table_a_group(found):
    made, _ = group_of(bench_of())
    text = as_text(made)
    (head,) = [line for line in text.splitlines() if line.startswith("Kit (5 units)")]
    assert head.split()[3:] == [
        *("n", "Mean", "sd", "Median", "Lowest", "Highest", "Worst", "Next", "one", "(95", "%)")
    ]
    (best,) = [
        line
        for line in text.splitlines()
        if line.startswith("Best match (MHz)  ") and " 5 " in line
    ]
    assert best.split()[3:6] == ["5", "51.00", "0.32"]
    assert "5 of 5 cover the band" in text
    assert "Members are compared with their mean." in text
    assert "normally distributed" in text
    markdown = as_markdown(made)
    assert "| Kit (5 units) | n | Mean |" in markdown
    assert "| Best match (MHz) | 5 | 51.00 | 0.32 |" in markdown
    del found


def test_csv_has_a_row_for_each_statistic_below_the_sweeps(found):
    made, _ = group_of(bench_of())
    lines = list(csv.DictReader(io.StringIO(as_csv(made))))
    assert [line["row"] for line in lines[:6]] == ["sweep"] * 6
    assert [line["group"] for line in lines[:6]] == ["", *["Kit"] * 5]
    told = {line["row"]: line for line in lines[6:]}
    assert list(told) == [
        *("n", "mean", "sd", "median", "lowest", "highest"),
        *("mean_low", "mean_high", "next_low", "next_high"),
    ]
    assert {line["label"] for line in told.values()} == {"Kit (5 units)"}
    spread = found.spreads["best_match_hz"]
    # To the last digit: a spreadsheet goes on with these.
    for name, value in (("mean", spread.mean), ("next_low", spread.of_next.low)):
        assert float(told[name]["best_match_hz"]) == value
    assert told["n"]["best_match_hz"] == "5"
    assert (told["n"]["covers_yes"], told["n"]["covers_no"]) == ("5", "0")
    assert float(told["n"]["covers_share_low"]) == pytest.approx(0.4782, abs=1e-4)
    assert told["mean"]["covers_yes"] == ""
    assert told["mean"]["file"] == ""


def test_csv_without_a_whole_group_is_as_before():
    assert "row" not in next(csv.reader(io.StringIO(as_csv(bench_of()))))
    made, _ = group_of(bench_of())
    assert "Kit" not in as_csv(made, compare(made)[:3])


def test_csv_says_why_a_group_has_no_spread(found):
    made, _ = group_of(bench_of())
    made = made.with_condition(2, "dry").with_condition(3, "iced")
    (line,) = list(csv.DictReader(io.StringIO(as_csv(made))))[6:]
    assert line["row"] == "none"
    assert "different conditions" in line["group_why_not"]
    assert csv_statistics(replace(found, coverage=None))[0].get("covers_yes") is None


def test_json_of_a_group():
    made, found = group_of(bench_of())
    (told,) = as_json(made)["groups"]
    assert told["members"] == [f"unit {i}" for i in range(1, 6)]
    assert (told["label"], told["kind"], told["reference"]) == ("Kit", "units", None)
    spread = found.spreads["best_match_hz"]
    assert told["figures"]["best_match_hz"] == {
        "n": 5,
        "mean": spread.mean,
        "sd": spread.sd,
        "median": spread.median,
        "lowest": spread.lowest,
        "highest": spread.highest,
        "worst": found.name_of(spread.worst_key) or None,
        "mean_interval": [spread.of_mean.low, spread.of_mean.high],
        "why_not": None,
    }
    assert told["next_unit"]["best_match_hz"] == [spread.of_next.low, spread.of_next.high]
    assert told["covers"]["share_low"] == pytest.approx(0.4782, abs=1e-4)
    json.dumps(as_json(made), allow_nan=False)
    assert as_json(bench_of())["groups"] == []


def test_a_new_figure_has_its_spread_from_its_one_entry(monkeypatch):
    nonsense = FigureSpec(
        "nonsense",
        "nonsense_furlongs",
        "Nonsense",
        "furlong",
        "What nobody has ever asked of an antenna",
        lambda row: 4000.0 + row.entry.key,
        number=Number(format_number, lambda _row, _value: 1),
        worst="highest",
    )
    monkeypatch.setattr("fairlead.core.group_table.FIGURES", (*figure_table.FIGURES, nonsense))
    made, found = group_of(bench_of())
    assert found.spreads["nonsense_furlongs"].mean == 4004.0
    assert "Nonsense (furlong)" in as_text(made)


def test_rows_of_a_part_of_the_bench():
    made, _ = group_of(bench_of())
    rows = [row for row in compare(made) if row.entry.key in (2, 3)]
    (found,) = group_rows(made, rows)
    assert found.spreads["q"].n == 2
    assert group_rows(made, compare(made)[:1]) == ()
    assert len(spread_specs()) > 15


def test_a_figure_without_a_verdict_or_a_number_is_a_dash(found):
    bare = replace(found, coverage=None)
    assert group_cell(SPECS["verdict"], bare) == DASH
    assert group_cell(SPECS["usable"], found) == DASH
    no_number = replace(SPECS["q"], number=None)
    assert group_cell(no_number, found).startswith(DASH)
    assert all(group_cell(spec, found) is not None for spec in shown("window"))
