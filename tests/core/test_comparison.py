"""What changed against the reference."""

from __future__ import annotations

import dataclasses
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core import guarded_figures
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.rows import Change, change, compare
from fairlead.core.document.bench import Bench
from fairlead.core.figures import figures, figures_of
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(48e6, 54e6, 201)
BAND = Band(50e6, 52e6)
NOTHING = Change(None, None, None, None, None, None, None)


def swept(f0_hz=51e6, r_ohm=62, q=8, frequency_hz=GRID_HZ, z0_ohm=50.0):
    gamma = SeriesCircuit(f0_hz, r_ohm, q).reflection(frequency_hz, z0_ohm)
    return Sweep(frequency_hz, gamma, z0_ohm)


def own_figures(*args, **kwargs):
    return figures(swept(*args, **kwargs), BAND, 50.0)


def test_every_change_of_a_shifted_and_detuned_antenna():
    reference, own = own_figures(51e6, 62, 8), own_figures(50.5e6, 75, 10)
    found = change(own, reference)
    assert found.best_match_shift_hz == pytest.approx(-0.5e6, abs=200)
    assert found.best_match_shift_percent == pytest.approx(-100 * 0.5 / 51, abs=1e-3)
    assert found.best_match_swr_change == pytest.approx((75 - 62) / 50, rel=1e-4)
    low, high = SeriesCircuit(50.5e6, 75, 10).edges_hz(2.0)
    low_ref, high_ref = SeriesCircuit(51e6, 62, 8).edges_hz(2.0)
    assert found.usable_width_change_hz == pytest.approx(
        (high - low) - (high_ref - low_ref), abs=300
    )
    worst = SeriesCircuit(50.5e6, 75, 10).swr(52e6) - SeriesCircuit(51e6, 62, 8).swr(50e6)
    assert found.worst_swr_change == pytest.approx(worst, rel=1e-4)
    assert found.q_ratio == pytest.approx(10 / 8, rel=1e-4)


def test_there_and_back_cancel():
    one, two = own_figures(51e6, 62, 8), own_figures(50.5e6, 75, 10)
    there, back = change(one, two), change(two, one)
    assert there.best_match_shift_hz == -back.best_match_shift_hz
    assert there.q_ratio * back.q_ratio == pytest.approx(1)


@pytest.mark.parametrize("which", ["own", "reference"])
def test_a_dip_cut_off_by_the_sweep_has_no_shift(which):
    cut = own_figures(frequency_hz=np.linspace(51.5e6, 57e6, 101))
    assert cut.best_match_at_end
    pair = (cut, own_figures()) if which == "own" else (own_figures(), cut)
    found = change(*pair)
    assert found.best_match_shift_hz is found.best_match_shift_percent is None
    assert found.usable_width_change_hz is None
    assert found.q_ratio is None


def test_a_figure_that_does_not_exist_has_no_change():
    outside = figures(swept(), Band(60e6, 61e6), 50.0)
    assert change(outside, own_figures()) == NOTHING
    assert change(own_figures(), outside) == NOTHING


def test_an_infinite_swr_has_no_difference():
    open_circuit = figures(Sweep(GRID_HZ, np.ones(201)), BAND, 50.0)
    found = change(open_circuit, own_figures())
    assert found.best_match_swr_change is None
    assert found.worst_swr_change is None


def test_a_scalar_sweep_at_another_reference_impedance_is_not_compared():
    rho = np.abs(SeriesCircuit(51e6, 62, 8).reflection(GRID_HZ))
    same = figures(ScalarSweep(GRID_HZ, rho, 50.0), BAND, 50.0)
    other = figures(ScalarSweep(GRID_HZ, rho, 75.0), BAND, 50.0)
    assert change(same, own_figures()).best_match_swr_change == pytest.approx(0, abs=1e-4)
    assert change(same, own_figures()).q_ratio is None
    assert change(other, own_figures()) == replace(
        NOTHING, why_not=change(other, own_figures()).why_not
    )
    assert "reference impedance" in change(other, own_figures()).why_not


class TestRows:
    def bench(self):
        readings = [Reading(swept(hz), f"at {hz:g}", "") for hz in (51e6, 50.5e6, 51.2e6)]
        return Bench().with_readings(readings).with_band(BAND)

    def test_one_row_a_sweep_in_the_benchs_order(self):
        bench = self.bench()
        rows = compare(bench)
        assert [row.entry for row in rows] == list(bench.entries)
        assert [row.is_reference for row in rows] == [True, False, False]
        assert rows[0].change is None
        assert rows[1].change.best_match_shift_hz == pytest.approx(-0.5e6, abs=200)
        assert rows[2].change.best_match_shift_hz == pytest.approx(0.2e6, abs=200)

    def test_another_reference_turns_the_sign(self):
        bench = self.bench()
        rows = compare(bench.with_reference(bench.entries[1].key))
        assert rows[1].is_reference
        assert rows[0].change.best_match_shift_hz == pytest.approx(0.5e6, abs=200)

    def test_hidden_sweeps_are_compared_too(self):
        bench = self.bench()
        assert len(compare(bench.with_visibility(bench.entries[2].key, is_visible=False))) == 3

    def test_limit_and_reference_impedance_of_the_bench_are_used(self):
        bench = self.bench()
        strict = compare(bench.with_limit(1.3))[0].figures
        assert strict.usable_width_hz < compare(bench)[0].figures.usable_width_hz
        assert compare(bench.with_z0(75.0))[0].figures.z0_ohm == 75

    def test_an_empty_bench_has_no_rows(self):
        assert compare(Bench()) == ()

    def test_rows_of_equal_benches_are_equal(self):
        bench = self.bench()
        known = Analyses()
        assert compare(bench, known) == compare(dataclasses.replace(bench), known)


def test_sweeps_of_different_ends_of_a_line_are_not_subtracted():
    own, reference = own_figures(), own_figures()
    assert change(own, reference, ("feed", "feed")).q_ratio == pytest.approx(1)
    assert change(own, reference, ("feed", None)).q_ratio == pytest.approx(1)
    across = change(own, reference, ("radio", "feed"))
    assert across == replace(NOTHING, why_not=across.why_not)
    assert "not comparable" in across.why_not
    at_radio = change(own, reference, ("radio", "radio"))
    assert at_radio.q_ratio is None
    assert at_radio.best_match_shift_hz == 0


def test_one_sweep_whose_figures_fail_takes_no_other_along(monkeypatch):
    """Neither the table nor the report: every figure of it is missing, with that reason."""
    readings = [Reading(swept(f0_hz), str(f0_hz), "") for f0_hz in (51e6, 50.5e6, 50e6)]
    bench = Bench().with_readings(readings).with_band(BAND)
    whole = compare(bench)
    odd = bench.entries[1].sweep

    def fails(analysis, band, limit_swr):
        if analysis.reflection is not None and (analysis.reflection == odd.reflection).all():
            raise ZeroDivisionError
        return figures_of(analysis, band, limit_swr)

    monkeypatch.setattr(guarded_figures, "figures_of", fails)
    found = compare(bench)
    assert found[0].figures == whole[0].figures
    assert found[2].change == whole[2].change
    lost = found[1].figures
    assert lost.best_match_hz is None
    assert "ZeroDivisionError" in lost.why_not["best_match_hz"]
    assert lost.verdict.covers == "cannot tell"
    assert found[1].change.best_match_shift_hz is None
    for form in (as_text, as_csv, as_markdown, as_json):
        assert form(bench)


@pytest.mark.filterwarnings("ignore:overflow")
@pytest.mark.parametrize("low_hz", [1e-302, 1e-200])
def test_a_frequency_next_to_nothing_ends_no_report(low_hz):
    """A reader refuses it with its line; a bench of an earlier version may hold one."""
    frequency_hz = np.array([low_hz, 50e6, 51e6])
    odd = Reading(Sweep(frequency_hz, np.array([0.1, 0.2j, 0.3])), "odd", "")
    bench = Bench().with_readings([Reading(swept(), "plain", ""), odd])
    for form in (as_text, as_csv, as_markdown, as_json):
        assert form(bench)
