"""Trends of a bench's figures: words, table, JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bands import Band
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.figure_table import FIGURES
from fairlead.core.over_time.beside import Beside, numbers_of
from fairlead.core.over_time.output import trends_as_csv, trends_as_json
from fairlead.core.over_time.table_text import trends_as_text
from fairlead.core.over_time.trends import choices_beside, over_time
from fairlead.core.over_time.when import DAYS_A_YEAR
from fairlead.core.over_time.words import (
    alike_words,
    beside_sentences,
    mark_note,
    notes,
    slope_text,
    trend_sentence,
    trend_sentences,
    trend_table,
)
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.interval import Interval, Intervals

GRID_HZ = np.linspace(46e6, 58e6, 121)
DATES = ("2024-05-01", "2024-11-01", "2025-05-01", "2025-11-01", "2026-05-01", "2026-11-01")
WARM = (14, 6, 15, 7, 13, 8)
TEMPERATURE = Beside("temperature", "°C")
SPECS = {spec.key: spec for spec in FIGURES}
BEST = SPECS["best_match_hz"]


def bench_of(dates=DATES, weather=(), drop_hz=30e3, wobble_hz=0.0):
    readings = []
    for number, date in enumerate(dates):
        f0_hz = 51e6 - number * drop_hz + (-1) ** number * wobble_hz
        gamma = SeriesCircuit(f0_hz, 48.0, 8.0).reflection(GRID_HZ)
        readings.append(Reading(Sweep(GRID_HZ, gamma), f"visit {number}", "", taken_at=date))
    bench = Bench().with_readings(readings).with_band(Band(50e6, 52e6))
    for entry, text in zip(bench.entries, weather, strict=False):
        bench = bench.with_circumstances(entry.key, replace(entry.circumstances, weather=text))
    return bench


def found_in(bench, beside=None):
    return over_time(compare(bench), beside)


@pytest.fixture(scope="module")
def falling():
    bench = bench_of(weather=[f"{one} °C, dry" for one in WARM], wobble_hz=1e3)
    return bench, found_in(bench, TEMPERATURE)


def test_the_best_match_falls_by_what_the_circuits_do(falling):
    """30 kHz every half year: 60 kHz a year."""
    bench, found = falling
    trend = found.trends["best_match_hz"]
    assert len(trend.points) == 6
    assert trend.slope.times(DAYS_A_YEAR).value == pytest.approx(-60e3, rel=0.02)
    assert trend.slope.is_resolved
    assert not any(key.endswith("_shift_hz") for key in found.trends)
    said = trend_sentence(bench, BEST, found)
    assert said.startswith("Best match falls: −60.3 ± ")
    assert said.endswith("kHz a year, from 6 sweeps (95 %, from the scatter).")


def test_the_table_has_a_line_a_figure_and_notes_below(falling):
    bench, found = falling
    table = trend_table(bench, found)
    assert table[0][2:] == [
        *("A year", "With the analyzer's error", "A year, temperature held", "A °C", "Stands out")
    ]
    (best,) = [line for line in table if line[0] == "Best match (MHz)"]
    assert best[1] == "6"
    assert best[2] == "−60.3 ± 1.4 kHz"
    assert best[3] == "–"
    assert best[4].startswith("−")
    assert best[5].endswith(" kHz")
    assert best[6] == "–"
    said = " ".join(notes(found))
    assert "one figure in twenty" in said
    assert "studentised residual over 3.5 (common practice, no source)" in said
    assert "in up to 24 % of series of 6" in said


def test_no_trend_is_told_where_there_is_none():
    bench = bench_of(drop_hz=0.0, wobble_hz=20e3)
    said = trend_sentence(bench, BEST, found_in(bench))
    assert said.startswith("Best match: no trend shows in 6 sweeps (")
    assert "less than the scatter leaves open" in said
    two = bench_of(DATES[:2])
    assert "without a third date" in trend_sentence(two, BEST, found_in(two))
    one = bench_of(DATES[:1])
    found = found_in(one)
    assert "no trend, because a trend needs" in trend_sentence(one, BEST, found)
    assert len(trend_table(one, found)) == 1
    assert "fewer than 6 dates" in mark_note(5)
    same = bench_of(DATES[:1] * 3)
    assert "all dates are the same" in trend_sentence(same, BEST, found_in(same))


def test_what_was_noted_beside_the_date(falling):
    bench, found = falling
    assert choices_beside(found.rows) == (TEMPERATURE,)
    first, second = beside_sentences(BEST, found)
    assert first.startswith("With the temperature held: −60.1")
    assert first.endswith("a °C.")
    assert second.startswith("Correlation of date and temperature: −0.2")
    warmer = bench_of(weather=[f"{one} °C" for one in range(6)])
    alike = found_in(warmer, TEMPERATURE).trends["best_match_hz"].alike
    assert alike == pytest.approx(1, abs=0.01)
    assert "rose with the date" in alike_words("temperature", alike)
    assert "fell with the date" in alike_words("temperature", -0.9)
    rising = trend_sentence(bench, BEST, found_in(bench_of(drop_hz=-30e3, wobble_hz=1e3)))
    assert rising.startswith("Best match rises: +")
    few = bench_of(weather=["3 °C", "4 °C"])
    assert "too few" in beside_sentences(BEST, found_in(few, TEMPERATURE))[0]
    assert "–" in trend_table(few, found_in(few, TEMPERATURE))[1][4:6]
    assert choices_beside(found_in(few).rows) == ()
    assert beside_sentences(BEST, found_in(bench)) == []
    exact = bench_of(("2026-05-01", "2026-05-02", "2026-05-03"), [f"{one} °C" for one in range(3)])
    assert len(beside_sentences(BEST, found_in(exact, TEMPERATURE))) == 1


def test_numbers_in_words():
    entry = bench_of(DATES[:1], ["light rain, 12,5 °C, 3 m/s"]).entries[0]
    assert numbers_of(entry) == {TEMPERATURE: 12.5, Beside("weather", "m/s"): 3.0}
    entry = replace(
        entry,
        condition="−40 °F, 5 mm of ice",
        circumstances=replace(entry.circumstances, weather="", height="8 m", continuity="4 \u2126"),
    )
    found = numbers_of(entry)
    assert found[TEMPERATURE] == pytest.approx(-40)
    assert found[Beside("condition", "mm")] == 5
    assert found[Beside("height", "m")] == 8
    assert found[Beside("DC resistance", "\u03a9")] == 4
    assert Beside("height", "m").title == "Height (m)"


def test_stated_errors_of_the_analyzer_widen_the_slope():
    rows = [
        replace(
            row, intervals={"q": Intervals(None, Interval(row.figures.q - 1, row.figures.q + 2))}
        )
        for row in compare(bench_of())
    ]
    found = over_time(rows)
    trend = found.trends["q"]
    assert trend.points[0].bound == pytest.approx(2)
    assert trend.points[0].interval.high == pytest.approx(rows[0].figures.q + 2)
    assert trend.slope.half_with_bound > trend.slope.half
    table = trend_table(bench_of(), found)
    assert next(line for line in table if line[0] == "Q")[3].startswith("+0.0 ± 2.")
    assert "scatter and the analyzer's bound leave open" in trend_sentence(
        bench_of(), SPECS["q"], found
    )


def test_what_stands_out_is_marked_and_stays():
    bench = bench_of(drop_hz=0.0, wobble_hz=1e3)
    odd = Sweep(GRID_HZ, SeriesCircuit(50e6, 48.0, 8.0).reflection(GRID_HZ))
    bench = bench.with_sweeps({3: Reading(odd, "visit 2", "", taken_at=DATES[2])})
    found = found_in(bench)
    assert found.trends["best_match_hz"].marked == {3}
    assert len(found.trends["best_match_hz"].points) == 6
    told = trends_as_json(bench, found)
    json.dumps(told, allow_nan=False)
    points = told["figures"]["best_match_hz"]["points"]
    assert [one["stands_out"] for one in points] == [False, False, True, False, False, False]
    table = trend_table(bench, found)
    assert next(line for line in table if line[0].startswith("Best"))[-1] == "visit 2"
    said = trend_sentences(bench, BEST, found)
    assert said[1].startswith("visit 2 stands out and stays in the line; the others alone: ")
    trend = replace(found.trends["best_match_hz"], marked={3, 4}, others=None)
    two = replace(found, trends={"best_match_hz": trend})
    assert trend_sentences(bench, BEST, two)[1] == (
        "visit 2, visit 3 stand out and stay in the line."
    )
    assert "| Trend | n |" in trends_as_text(bench, BEST, found, as_markdown=True)
    assert said[1] in trends_as_text(bench, BEST, found)


def test_json_and_csv_have_every_point(falling):
    bench, found = falling
    told = trends_as_json(bench, found, program="test")
    json.dumps(told, allow_nan=False)
    assert told["beside"] == {"name": "temperature", "unit": "°C"}
    best = told["figures"]["best_match_hz"]
    assert (best["n"], best["slope_per_day"]["resolved"]) == (6, True)
    assert best["slope_per_day"]["half_with_accuracy"] is None
    assert best["held"]["slope_per_unit"]["value"] is not None
    assert [one["label"] for one in best["points"]] == [f"visit {i}" for i in range(6)]
    assert best["points"][0]["date"] == "2024-05-01"
    assert best["points"][0]["beside"] == 14
    lines = [
        line
        for line in csv.DictReader(io.StringIO(trends_as_csv(found)))
        if line["figure"] == "best_match_hz"
    ]
    assert [line["date"] for line in lines] == list(DATES)
    assert float(lines[0]["value"]) == best["points"][0]["value"]
    assert float(lines[0]["slope_per_day"]) == best["slope_per_day"]["value"]
    assert float(lines[0]["trend"]) == pytest.approx(float(lines[0]["value"]), abs=5e3)
    assert (lines[0]["stands_out"], lines[0]["value_low"]) == ("false", "")


def test_csv_of_two_dates_and_of_one():
    lines = list(csv.DictReader(io.StringIO(trends_as_csv(found_in(bench_of(DATES[:2]))))))
    assert lines[0]["trend"] != ""
    assert (lines[0]["trend_half"], lines[0]["slope_half"]) == ("", "")
    lines = list(csv.DictReader(io.StringIO(trends_as_csv(found_in(bench_of(DATES[:1]))))))
    assert (lines[0]["trend"], lines[0]["slope_per_day"]) == ("", "")
    undated = found_in(bench_of(("",)))
    assert trends_as_csv(undated).count("\n") == 1
    assert trends_as_json(bench_of(("",)), undated)["figures"] == {}


def test_what_is_no_value_has_no_place_in_a_trend():
    total = Sweep(GRID_HZ, np.exp(-2j * np.pi * GRID_HZ * 20e-9))
    bench = bench_of().with_sweeps({1: Reading(total, "visit 0", "", taken_at=DATES[0])})
    rows = list(compare(bench))
    assert len(over_time(rows).trends["worst_swr"].points) == 5
    rows[1] = replace(rows[1], figures=replace(rows[1].figures, at_least=frozenset({"q"})))
    kept = {one.row.entry.key for one in over_time(rows).trends["q"].points}
    assert rows[1].entry.key not in kept


def test_sweeps_without_a_date_are_left_out_and_counted():
    bench = bench_of(("", "yesterday", *DATES, "", "", "", "", ""))
    found = found_in(bench)
    assert len(found.rows) == 6
    said = notes(found)
    assert said[0] == ("6 left out: visit 0, visit 8, visit 9, visit 10 and 2 more have no date.")
    assert said[1].startswith("1 left out: visit 1 has a date that cannot be read, write it as")
    told = trends_as_json(bench, found)["left_out"]
    assert (len(told["no_date"]), told["unreadable_date"]) == (6, ["visit 1"])


def test_no_trend_at_all_and_why():
    undated = bench_of(("", "yesterday"))
    found = found_in(undated)
    assert "no sweep states its date" in found.why_not
    assert notes(found)[0].startswith("No trend: no sweep")
    assert trend_sentence(undated, BEST, found).startswith("No trend")
    for as_markdown in (False, True):
        text = trends_as_text(undated, BEST, found, as_markdown=as_markdown)
        assert text.count("No trend") == 1
    assert beside_sentences(BEST, found_in(undated, TEMPERATURE)) == []
    apart = bench_of().with_plane(1, "radio").with_plane(2, "feed")
    assert "different planes" in found_in(apart).why_not
    rows = list(compare(bench_of()))
    rows[1] = replace(rows[1], figures=replace(rows[1].figures, z0_ohm=75.0))
    assert "reference impedances" in over_time(rows).why_not
    # Not refused, but said.
    wet = bench_of().with_condition(1, "dry").with_condition(2, "soaked")
    assert "Conditions differ (dry, soaked, not stated)" in " ".join(notes(found_in(wet)))


def test_a_slope_without_an_interval_is_a_number_alone(falling):
    _, found = falling
    slope = replace(found.trends["q"].slope, half=None, half_with_bound=None)
    assert "±" not in slope_text(SPECS["q"], slope)
    assert slope_text(SPECS["resonance_resistance_ohm"], slope).endswith(" Ω")
