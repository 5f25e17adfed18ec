"""How the cells of the table read: digits, intervals, reasons, unresolved changes."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from circuits import SeriesCircuit
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.rows import COMPARED, Change, compare
from fairlead.core.document.bench import Bench
from fairlead.core.figure_table import FIGURES, Number, cells, shown
from fairlead.core.figures import Figures
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.table_lines import interval_line
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.units import DASH, format_number, format_swr, swr_decimals
from fairlead.core.verdict import Verdict

GRID_HZ = np.linspace(48e6, 54e6, 201)
SPECS = {spec.id: spec for spec in FIGURES}
FINE = Number(format_number, lambda _row, _value: 6)
SWR = Number(format_swr, lambda _row, value: swr_decimals(value))


def reading(f0_hz=51e6, label="dry", r_ohm=62.0, frequency_hz=GRID_HZ):
    gamma = SeriesCircuit(f0_hz, r_ohm, 8).reflection(frequency_hz)
    return Reading(Sweep(frequency_hz, gamma), label, "")


BENCH = (
    Bench()
    .with_readings([reading(), reading(50.6e6, "wet", 70)])
    .with_band(Band(50e6, 52e6, "6 m, Region 1"))
)


def repeat(low, high):
    return Intervals(repeatability=Interval(low, high))


def about(value, half):
    return repeat(value - half, value + half)


def rows_with(own=None, reference=None, bench=BENCH):
    """Rows of which the second, and the reference, have these intervals."""
    return compare(bench, None, {1: reference or {}, 2: own or {}})


class TestDigits:
    """The value ends where the half width has its one digit (JCGM 100:2008, 7.2.6, from memory)."""

    @pytest.mark.parametrize(
        ("value", "half", "text"),
        [
            (1.2345, 0.01, "1.23 ± 0.01"),
            # The half width is rounded up.
            (1.2345, 0.021, "1.23 ± 0.03"),
            (1.2345, 0.2, "1.2 ± 0.2"),
            (1.2345, 0.05, "1.23 ± 0.05"),
            (12.345, 3.0, "12 ± 3"),
            (-12.345, 3.0, "−12 ± 3"),
            # No more digits than the points support, however little the noise is.
            (1.2345678, 1e-9, "1.234568"),
            (1.2345678, 0.0, "1.234568"),
            # Thousands are the last known digit.
            (51_234.0, 2000.0, "51000 ± 2000"),
        ],
    )
    def test_the_last_digit_shown_is_known(self, value, half, text):
        assert FINE.text_within(None, value, Interval(value - half, value + half)) == text

    @given(st.floats(-1e6, 1e6), st.floats(1e-5, 1e5))
    def test_what_is_shown_holds_what_is_known(self, value, half):
        text = FINE.text_within(None, value, Interval(value - half, value + half))
        shown, _, unsure = text.replace("−", "-").partition(" ± ")
        decimals = len(shown.partition(".")[2])
        last = 10.0**-decimals
        if decimals:
            assert last >= min(half / 10, 1) * (1 - 1e-6) or decimals == 6
        if unsure:
            assert half * (1 - 1e-6) <= float(unsure) <= 2 * half + 1e-6
        if decimals or unsure:
            assert abs(float(shown) - value) <= half / 2 + 1e-6

    @pytest.mark.parametrize("half", [0.0, math.inf])
    def test_without_room_for_a_sign_the_points_decide_where_the_half_width_cannot(self, half):
        interval = Interval(1.2345678 - half, 1.2345678 + half)
        assert FINE.text_as_known(None, 1.2345678, interval) == "1.234568"

    def test_lopsided_intervals_are_given_by_their_ends(self):
        assert FINE.text_within(None, 1.05, Interval(1.0, 1.30)) == "1.1 (1.0 to 1.3)"
        assert FINE.text_within(None, 1.05, Interval(1.03, 1.10)) == "1.05 (1.03 to 1.10)"

    def test_a_value_outside_its_interval_is_not_shown_as_its_middle(self):
        assert FINE.text_within(None, 1.00, Interval(1.1, 1.3)) == "1.1 to 1.3"
        assert FINE.text_within(None, 1.00, Interval(1.11, 1.13)) == "1.11 to 1.13"
        assert FINE.text_within(None, 1.00, Interval(1.16, 1.24)) == "1.16 to 1.24"

    def test_beyond_what_noise_tells_only_the_bound_is_shown(self):
        assert SWR.text_within(None, 62.0, Interval(23.4, math.inf)) == "> 23.4"
        assert SWR.text_within(None, math.inf, Interval(23.4, math.inf)) == "> 23.4"
        assert SWR.text_within(None, math.inf, Interval(23.4, 99.0)) == "∞"
        assert SWR.text_within(None, 1.5, Interval(-math.inf, 2.0)) == "1.50"

    def test_the_unit_is_that_of_the_figure(self):
        (row, _) = rows_with(reference={"best_match_hz": about(51e6, 12e3)})
        assert SPECS["best_match"].cell(row) == "51.00 ± 0.02"
        width_hz = row.figures.usable_width_hz
        (row, _) = rows_with(reference={"usable_width_hz": about(width_hz, 40e3)})
        assert SPECS["width"].cell(row) == f"{width_hz / 1e4:.0f}0 ± 40"

    def test_the_bound_of_the_error_goes_before_the_noise(self):
        both = Intervals(Interval(1.23, 1.25), Interval(1.1, 1.4))
        (row, _) = rows_with(reference={"best_match_swr": both})
        assert SPECS["best_swr"].cell(row) == "1.2 ± 0.2"

    def test_without_an_interval_nothing_changes(self):
        plain = compare(BENCH)
        (row, _) = rows_with(reference={"q": about(8, 0.2)})
        for spec in FIGURES:
            if spec.id != "q":
                assert spec.cell(row) == spec.cell(plain[0]), spec.id
        assert SPECS["q"].cell(row) == "8.0 ± 0.2"

    def test_an_interval_that_was_not_found_changes_nothing(self):
        (row, _) = rows_with(reference={"q": Intervals()})
        assert SPECS["q"].cell(row) == "8.0"
        assert SPECS["q"].tip(row) == SPECS["q"].hint


class TestChanges:
    def test_noise_adds_in_quadrature(self):
        _, row = rows_with(
            {"best_match_hz": about(50.6e6, 3e3)}, {"best_match_hz": about(51e6, 4e3)}
        )
        assert row.half_widths["best_match_shift_hz"] == pytest.approx(5e3)
        share = 100 / row_best_hz(0)
        assert row.half_widths["best_match_shift_percent"] == pytest.approx(5e3 * share)
        assert row.unresolved == ()
        assert SPECS["shift"].cell(row) == "−400 ± 5"

    def test_bounds_of_the_analyzer_simply_add(self):
        bound = Intervals(about(1.4, 0.001).repeatability, Interval(1.3, 1.5))
        _, row = rows_with({"best_match_swr": bound}, {"best_match_swr": about(1.24, 0.05)})
        assert row.half_widths["best_match_swr_change"] == pytest.approx(0.15)

    def test_a_smaller_change_is_unresolved_in_words(self):
        wide = {"best_match_hz": about(51e6, 300e3), "q": about(8.0, 0.3)}
        _, row = rows = rows_with(wide, wide)
        assert row.unresolved == ("best_match_shift_hz", "best_match_shift_percent", "q_ratio")
        assert SPECS["shift"].cell(row) == SPECS["q_ratio"].cell(row) == "unresolved"
        assert SPECS["swr_change"].cell(row).startswith("+")
        tip = SPECS["shift"].tip(row)
        assert tip == "−400 kHz is less than the combined uncertainty of 4.2e+02 kHz"
        for text in (as_text(BENCH, rows), as_markdown(BENCH, rows)):
            assert "unresolved" in text
        (change,) = as_json(BENCH, rows=rows)["changes"]
        assert change["unresolved"] == list(row.unresolved)
        # The number itself stays: a script may know more of the calibration than we do.
        assert change["best_match_shift_hz"] == pytest.approx(-400e3, abs=300)

    def test_one_known_interval_is_a_lower_bound(self):
        _, row = rows_with({"q": about(8, 0.5)})
        assert row.half_widths["q_ratio"] == pytest.approx(0.5 / row.figures.q, rel=0.05)

    def test_a_ratio_has_the_relative_uncertainties(self):
        _, row = rows_with({"q": about(8, 0.08)}, {"q": about(8, 0.06)})
        # Both Q are 8 to 0.1 %: 1 % and 0.75 % in quadrature are 1.25 %.
        assert row.half_widths["q_ratio"] == pytest.approx(0.0125, rel=0.2)

    def test_a_change_that_does_not_exist_is_a_dash(self):
        scalar = Reading(ScalarSweep(GRID_HZ, np.full(201, 0.2), 50.0), "meter", "")
        bench = Bench().with_readings([reading(), scalar]).with_band(Band(50e6, 52e6))
        _, row = compare(bench, None, {1: {"q": about(8, 0.1)}})
        assert row.half_widths == {}
        assert SPECS["q_ratio"].cell(row) == DASH

    def test_an_infinite_uncertainty_resolves_nothing(self):
        _, row = rows_with({"worst_swr": repeat(2.0, math.inf)})
        assert "worst_swr_change" in row.unresolved

    def test_each_change_names_the_figure_that_it_compares(self):
        keys = {spec.key for spec in FIGURES}
        assert {spec.key for spec in FIGURES if spec.is_change} == COMPARED.keys()
        assert set(COMPARED.values()) <= keys

    def test_the_reference_is_compared_with_nothing(self):
        (row, _) = rows_with({"q": about(8, 0.1)}, {"q": about(8, 0.1)})
        assert [SPECS[name].cell(row) for name in ("shift", "q_ratio")] == ["reference", ""]
        assert SPECS["q_ratio"].tip(row) == SPECS["q_ratio"].hint


def row_best_hz(index):
    return compare(BENCH)[index].figures.best_match_hz


class TestReasons:
    def of(self, **changed):
        row = compare(BENCH)[1]
        return replace(row, figures=replace(row.figures, **changed))

    def test_a_dash_says_why(self):
        row = self.of(q=None, why_not={"q": "the sweep is too noisy for a Q"})
        assert SPECS["q"].cell(row) == DASH
        assert SPECS["q"].tip(row) == "the sweep is too noisy for a Q"
        # So does the change that would have been made of it.
        row = replace(row, change=replace(row.change, q_ratio=None))
        assert SPECS["q_ratio"].tip(row) == "the sweep is too noisy for a Q"

    def test_what_cannot_be_compared_says_why(self):
        row = replace(compare(BENCH)[1], change=Change(why_not="seen at another place"))
        assert SPECS["shift"].cell(row) == DASH
        assert SPECS["shift"].tip(row) == "seen at another place"
        (found,) = as_json(BENCH, rows=[row])["changes"]
        assert found["why_not"] == "seen at another place"

    def test_a_dash_without_a_reason_has_the_hint(self):
        assert SPECS["q"].tip(self.of(q=None)) == SPECS["q"].hint

    def test_the_verdict_has_its_reason(self):
        row = self.of(verdict=Verdict("cannot tell", "noise reaches the limit at 52 MHz"))
        assert SPECS["verdict"].cell(row) == "cannot tell"
        assert SPECS["verdict"].tip(row) == "noise reaches the limit at 52 MHz"
        found = as_json(BENCH, rows=[row])["sweeps"][0]["verdict"]
        assert found == {"covers": "cannot tell", "reason": "noise reaches the limit at 52 MHz"}
        (own,) = csv.DictReader(io.StringIO(as_csv(BENCH, [row])))
        assert (own["covers"], own["covers_reason"]) == tuple(found.values())

    def test_an_interval_is_told_in_words(self):
        both = Intervals(Interval(7.9, 8.1), Interval(7.5, 8.5))
        (row, _) = rows_with(reference={"q": both})
        assert SPECS["q"].tip(row) == (
            "A repeat measurement would lie between 7.9 and 8.1 (95 %); "
            "Allowing for the analyzer's own error, it is between 7.5 and 8.5"
        )
        assert SPECS["usable"].tip(row) == SPECS["usable"].hint

    def test_the_reasons_are_in_json(self):
        row = self.of(q=None, why_not={"q": "too noisy"})
        (own,) = as_json(BENCH, rows=[row])["sweeps"]
        assert own["q"] is None
        assert own["why_not"] == {"q": "too noisy"}


class TestOutputs:
    def test_intervals_in_json_and_csv(self):
        known = {"worst_swr": Intervals(Interval(2.0, math.inf), None), "q": about(8, 0.5)}
        rows = rows_with(reference=known)
        own, other = as_json(BENCH, rows=rows)["sweeps"]
        assert own["intervals"] == {
            "worst_swr": {"repeatability": [2.0, "inf"], "accuracy": None},
            "q": {"repeatability": [7.5, 8.5], "accuracy": None},
        }
        assert other["intervals"] == {}
        first, second = csv.DictReader(io.StringIO(as_csv(BENCH, rows)))
        assert (first["q_repeatability_low"], first["q_repeatability_high"]) == ("7.5", "8.5")
        assert first["worst_swr_repeatability_high"] == "inf"
        assert second["q_repeatability_low"] == ""
        assert not [name for name in first if "accuracy" in name]
        # Without any there are no empty columns for them.
        assert not [name for name in as_csv(BENCH).split("\n")[0] if "repeat" in name]

    def test_below_the_table_stands_what_the_sign_means(self):
        assert interval_line(compare(BENCH)) == ""
        noise = rows_with(reference={"q": about(8, 0.5)})
        assert "the analyzer's own error is not known" in as_text(BENCH, noise).splitlines()[-1]
        bound = rows_with(reference={"q": Intervals(None, Interval(7.0, 9.0))})
        assert "bound on the error" in as_markdown(BENCH, bound).splitlines()[-1]

    def test_nobody_takes_the_end_of_a_sweep_for_a_best_match(self):
        cut = reading(frequency_hz=np.linspace(51.2e6, 52.2e6, 101))
        bench = Bench().with_readings([cut]).with_band(Band(50e6, 52e6))
        (own,) = csv.DictReader(io.StringIO(as_csv(bench)))
        assert own["best_match_at_end"] == "true"
        assert own["covers_band"] == "false"
        assert (own["usable_low_is_open"], own["usable_low_hz"]) == ("true", "")

    def test_further_segments_and_resonances_stand_at_the_end(self):
        dips = [SeriesCircuit(f0_hz, 45.0, 30.0).reflection(GRID_HZ) for f0_hz in (49e6, 53e6)]
        two = Reading(Sweep(GRID_HZ, dips[0] * dips[1]), "two", "")
        bench = Bench().with_readings([reading(), two]).with_band(Band(48.5e6, 53.5e6))
        first, second = csv.DictReader(io.StringIO(as_csv(bench)))
        _, figures = (row.figures for row in compare(bench))
        assert len(figures.usable) == 2
        others = {part.low_hz for part in figures.usable} - {float(second["usable_low_hz"])}
        assert {float(second["usable_2_low_hz"])} == others
        assert first["usable_2_low_hz"] == first["resonance_2_hz"] == ""
        found = {float(second[f"resonance_{n}_hz"]) for n in range(2, len(figures.resonances) + 1)}
        own = {float(second["resonance_hz"])}
        assert found | own == {one.frequency_hz for one in figures.resonances}
        assert list(first)[-2].startswith("resonance") or list(first)[-2].startswith("usable")

    @pytest.mark.parametrize(
        ("label", "text"),
        [
            ("[a](http://x.example)", "\\[a\\](http:\\//x.example)"),
            ("![a](b)", "!\\[a\\](b)"),
            ("www.x.example", "www\\.x.example"),
            ("a@x.example", "a\\@x.example"),
            ("*a* `b` &lt;", "\\*a\\* \\`b\\` \\&lt;"),
        ],
    )
    def test_markdown_makes_neither_links_nor_pictures_of_a_label(self, label, text):
        bench = Bench().with_readings([reading(label=label)])
        assert f"| {text} |" in as_markdown(bench)

    def test_minus_infinity_has_its_word(self):
        known = {"q": repeat(-math.inf, 3.0)}
        (own, _) = as_json(BENCH, rows=rows_with(reference=known))["sweeps"]
        assert own["intervals"]["q"]["repeatability"] == ["-inf", 3.0]


def test_a_sweep_of_one_step_of_nothing_has_no_decimals_of_a_change():
    """A step of 0 Hz cannot be read, but a row may be made by hand."""
    row = SimpleNamespace(figures=SimpleNamespace(step_hz=0.0))
    assert SPECS["width_change"].number.decimals(row, 1.0) == 0
    assert isinstance(compare(BENCH)[0].figures, Figures)


def test_beyond_what_the_noise_can_tell_a_figure_is_a_lower_bound():
    row, _ = rows_with()
    row = replace(row, figures=replace(row.figures, at_least=frozenset({"worst_swr"})))
    assert SPECS["worst"].cell(row) == f"> {row.figures.worst_swr:.2f}"
    assert not SPECS["low_edge"].cell(row).startswith(">")


def test_a_number_that_has_not_changed_is_taken_over_and_the_table_is_the_same():
    """The short way of a drag writes what a new table would, whatever edge or limit moves."""
    analyses, specs = Analyses(), shown("window")
    bench = Bench().with_readings(
        [
            *(
                Reading(Sweep(GRID_HZ, SeriesCircuit(hz, ohm, 9).reflection(GRID_HZ)), f"{hz}", "")
                for hz, ohm in ((51e6, 50.0), (50.4e6, 70.0), (53e6, 30.0))
            ),
            Reading(Sweep(GRID_HZ, np.full(GRID_HZ.size, 0.9999)), "flat", ""),
            Reading(ScalarSweep(GRID_HZ, np.linspace(0.2, 1.0, GRID_HZ.size)), "scalar", ""),
        ]
    )
    before = {}
    for low_hz in np.linspace(49e6, 52e6, 40).tolist():
        for limit_swr in (2.0, 3.0):
            now = bench.with_band(Band(low_hz, 52.5e6)).with_limit(limit_swr)
            for row in compare(now, analyses):
                old = before.get(row.entry.key)
                texts = cells(specs, row, *(old or ()))
                assert texts == cells(specs, row)
                before[row.entry.key] = row, texts
