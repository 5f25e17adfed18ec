"""What must hold for every sweep, band, limit and reference impedance."""

from __future__ import annotations

import json
import math
import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sweeps import (
    any_sweeps,
    bands_near,
    grids,
    limits,
    reference_impedances_ohm,
    rough_sweeps,
    smooth_sweeps,
)

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import MINIMUM_WIDTH_HZ, Band, move_band, move_edge
from fairlead.core.comparison.rows import change, compare
from fairlead.core.document.bench import Bench
from fairlead.core.figures import figures, swr_at
from fairlead.core.reading.reading import Reading
from fairlead.core.reflection import (
    impedance_ohm,
    magnitude_from_swr,
    reflection_from_impedance,
    renormalise,
    swr,
    swr_of_one,
)
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.sweep import Sweep

magnitudes = st.floats(0, 1)
reflections = st.builds(lambda rho, turn: rho * np.exp(1j * turn), magnitudes, st.floats(0, 6.3))


@given(reflections, reference_impedances_ohm)
def test_reflection_to_impedance_and_back(gamma, z0_ohm):
    assume(abs(1 - gamma) > 1e-6)
    again = reflection_from_impedance(impedance_ohm(gamma, z0_ohm), z0_ohm)
    assert abs(again - gamma) < 1e-9


@given(st.floats(1, 1e6))
def test_swr_to_magnitude_and_back(ratio):
    assert float(swr(magnitude_from_swr(ratio))) == np.float64(ratio) or math.isclose(
        float(swr(magnitude_from_swr(ratio))), ratio, rel_tol=1e-15 * ratio + 1e-12
    )


@given(st.floats(0, 10))
def test_swr_is_at_least_1_or_does_not_exist(rho):
    ratio = float(swr(rho))
    assert math.isnan(ratio) or ratio >= 1
    assert math.isnan(ratio) == (rho > 1 + 1e-9)
    np.testing.assert_equal(swr_of_one(rho), ratio)


@given(st.lists(magnitudes, min_size=2, max_size=2))
def test_swr_rises_with_the_magnitude(pair):
    low, high = sorted(pair)
    assert swr(low) <= swr(high)


@given(reflections, reference_impedances_ohm, reference_impedances_ohm)
def test_renormalising_there_and_back(gamma, from_ohm, to_ohm):
    there = renormalise(gamma, from_ohm, to_ohm)
    assert abs(there) <= 1 + 1e-9
    assert abs(renormalise(there, to_ohm, from_ohm) - gamma) < 1e-8


@given(reflections, reference_impedances_ohm, reference_impedances_ohm)
def test_renormalising_is_the_way_through_the_impedance(gamma, from_ohm, to_ohm):
    assume(abs(1 - gamma) > 1e-3)
    expected = reflection_from_impedance(impedance_ohm(gamma, from_ohm), to_ohm)
    assert abs(renormalise(gamma, from_ohm, to_ohm) - expected) < 1e-9


@given(st.data())
def test_figures_never_raise_and_never_contradict_each_other(data):
    sweep = data.draw(any_sweeps())
    band = data.draw(bands_near(sweep))
    limit, z0_ohm = data.draw(limits), data.draw(reference_impedances_ohm)
    own = figures(sweep, band, z0_ohm, limit)
    for name in ("best_match_swr", "swr_low_edge", "swr_high_edge", "worst_swr"):
        value = getattr(own, name)
        assert value is None or value >= 1, name
    numbers = [getattr(own, name) for name in own.__slots__]
    assert not any(isinstance(value, float) and math.isnan(value) for value in numbers)
    assert own.q is None or (math.isfinite(own.q) and own.q > 0)
    assert (own.q is None) == (own.q_hz is None)
    assert own.covers_band == edges_within(sweep, band)
    if own.best_match_hz is not None:
        assert own.low_hz <= own.best_match_hz <= own.high_hz
    if own.best_match_at_end:
        assert own.best_match_hz in (own.low_hz, own.high_hz)
    if own.worst_swr is not None and own.swr_low_edge is not None and not own.at_least:
        assert own.worst_swr >= own.swr_low_edge
        assert band.low_hz <= own.worst_hz <= band.high_hz
    assert own.usable_width_hz is None or own.usable_width_hz >= 0


def edges_within(sweep, band):
    """Whether both edges lie in the sweep, up to rounding."""
    low_hz, high_hz = sweep.frequency_hz[0], sweep.frequency_hz[-1]
    return all(
        low_hz * (1 - 1e-9) <= hz <= high_hz * (1 + 1e-9) for hz in (band.low_hz, band.high_hz)
    )


@given(st.data())
def test_best_match_is_no_worse_than_any_point_in_the_band(data):
    """But for the noise, which the best match leaves behind."""
    sweep = data.draw(any_sweeps())
    band = data.draw(bands_near(sweep))
    z0_ohm = data.draw(reference_impedances_ohm)
    analysis = analyse(sweep, z0_ohm)
    inside = (sweep.frequency_hz >= band.low_hz) & (sweep.frequency_hz <= band.high_hz)
    own = figures(sweep, band, z0_ohm)
    inside[analysis.outliers] = False
    if own.best_match_swr is None:
        assert own.why_not["best_match_swr"]
        return
    if not inside.any():
        return
    least = math.sqrt(analysis.power[inside].min())
    # No instrument tells |G| of 1e-6 (SWR 1.000002) from a perfect match.
    allowed = least + 5 * analysis.sigma + 1e-6
    assert magnitude_from_swr(own.best_match_swr) <= allowed


@given(st.data())
def test_worst_swr_is_no_better_than_any_point_in_the_band(data):
    sweep = data.draw(any_sweeps())
    band = data.draw(bands_near(sweep))
    own = figures(sweep, band, 50.0)
    inside = (sweep.frequency_hz >= band.low_hz) & (sweep.frequency_hz <= band.high_hz)
    analysis = analyse(sweep, 50.0)
    inside[analysis.outliers] = False
    if own.covers_band and inside.any():
        largest = math.sqrt(analysis.power[inside].max())
        worst = math.inf if own.highest_swr is None else magnitude_from_swr(own.highest_swr)
        assert worst >= min(largest, 1) - 2 * analysis.sigma - 1e-9


@given(st.data())
def test_usable_segments_are_ordered_apart_and_end_on_the_limit(data):
    sweep = data.draw(any_sweeps())
    limit, z0_ohm = data.draw(limits), data.draw(reference_impedances_ohm)
    analysis = analyse(sweep, z0_ohm)
    segments = analysis.usable(limit)
    ends = [hz for part in segments for hz in (part.low_hz, part.high_hz)]
    assert all(low <= high for low, high in zip(ends[::2], ends[1::2], strict=True))
    assert all(high < low for high, low in zip(ends[1::2], ends[2::2], strict=False))
    first_hz, last_hz = sweep.frequency_hz[0], sweep.frequency_hz[-1]
    for part in segments:
        # A segment is open at the sweep's end, and at a point with a gap beside it.
        points_hz = analysis.track.frequency_hz
        assert part.low_is_open or part.low_hz > first_hz
        assert part.high_is_open or part.high_hz < last_hz
        assert not part.low_is_open or part.low_hz in points_hz
        assert not part.high_is_open or part.high_hz in points_hz
        for hz, is_open in ((part.low_hz, part.low_is_open), (part.high_hz, part.high_is_open)):
            # A jump of |G| where a straight segment begins has no place with the limit itself.
            if not is_open and not steep(analysis, hz):
                rho = math.sqrt(float(analysis.power_at(np.array([hz]))[0]))
                assert abs(rho - magnitude_from_swr(limit)) < 1e-6


def steep(analysis, hz):
    """|G| changes so fast there that rounding of the frequency alone moves it."""
    around = np.clip(hz * np.array([1 - 1e-12, 1 + 1e-12]), *analysis.frequency_hz[[0, -1]])
    return np.ptp(np.sqrt(analysis.power_at(around))) > 1e-7


@given(st.data())
def test_inside_a_segment_the_swr_is_below_the_limit_outside_above(data):
    """On smooth sweeps; noise may make single points differ."""
    sweep = data.draw(smooth_sweeps())
    limit = data.draw(limits)
    analysis = analyse(sweep, 50.0)
    assume(analysis.sigma < 1e-4 and not analysis.gaps)
    slack = 5 * analysis.sigma + 1e-9
    fine_hz = np.linspace(sweep.frequency_hz[0], sweep.frequency_hz[-1], 500)
    rho = np.sqrt(analysis.power_at(fine_hz))
    inside = np.zeros(fine_hz.size, dtype=bool)
    for part in analysis.usable(limit):
        inside |= (fine_hz >= part.low_hz) & (fine_hz <= part.high_hz)
    border = float(magnitude_from_swr(limit))
    assert (rho[inside] <= border + slack).all()
    assert (rho[~inside] >= border - slack).all()


@pytest.mark.unmeasured
@given(st.data())
def test_a_higher_limit_never_narrows_the_main_segment(data):
    sweep = data.draw(smooth_sweeps())
    band = data.draw(bands_near(sweep))
    low, high = sorted((data.draw(limits), data.draw(limits)))
    assume(analyse(sweep, 50.0).sigma < 1e-4)
    narrow, wide = figures(sweep, band, 50.0, low), figures(sweep, band, 50.0, high)
    assert narrow.best_match_hz == wide.best_match_hz
    if narrow.main_segment is not None:
        assert wide.main_segment is not None
        assert wide.main_segment.low_hz <= narrow.main_segment.low_hz
        assert wide.main_segment.high_hz >= narrow.main_segment.high_hz


@pytest.mark.unmeasured
@given(st.data())
def test_a_match_under_the_limit_has_a_segment(data):
    sweep = data.draw(smooth_sweeps())
    band = data.draw(bands_near(sweep))
    limit = data.draw(limits)
    own = figures(sweep, band, 50.0, limit)
    assume(own.best_match_swr is not None)
    margin = 1e-6 + 20 * analyse(sweep, 50.0).sigma
    if own.best_match_swr < limit - margin * limit**2:
        assert own.main_segment is not None


@given(st.data())
def test_a_lossless_line_keeps_the_swr(data):
    """Turning the reflection by a delay changes neither best, nor worst, nor the edges."""
    sweep = data.draw(smooth_sweeps(fewest=20))
    turns = data.draw(st.floats(-3, 3))
    f = sweep.frequency_hz
    gamma = sweep.reflection * np.exp(2j * np.pi * turns * (f - f[0]) / (f[-1] - f[0]))
    z0_ohm = sweep.z0_ohm
    band = Band(float(f[0]), float(f[-1]))
    own = figures(sweep, band, z0_ohm)
    turned = figures(Sweep(f, gamma, z0_ohm), band, z0_ohm)
    for name in ("swr_low_edge", "swr_high_edge"):
        one, other = getattr(own, name), getattr(turned, name)
        assume(one is not None and other is not None)
        assert one == other or math.isclose(1 / one, 1 / other, abs_tol=1e-9)
    # Between the points two interpolations stand against each other.
    if not (analyse(sweep, z0_ohm).track.is_straight.any() or is_rough(gamma)):
        assume(own.best_match_swr is not None and turned.best_match_swr is not None)
        one, other = magnitude_from_swr([own.best_match_swr, turned.best_match_swr])
        assert abs(one - other) < 0.02


def is_rough(values):
    return np.abs(np.diff(values, n=2)).max() > 0.15


@given(smooth_sweeps(fewest=3), reference_impedances_ohm)
def test_the_same_antenna_stated_at_another_impedance_has_the_same_figures(sweep, z0_ohm):
    other = Sweep(sweep.frequency_hz, renormalise(sweep.reflection, sweep.z0_ohm, z0_ohm), z0_ohm)
    band = Band(float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1]))
    one, two = figures(sweep, band, 50.0), figures(other, band, 50.0)
    for name in ("best_match_swr", "worst_swr"):
        first, second = getattr(one, name), getattr(two, name)
        if first is not None and second is not None:
            assert math.isclose(1 / first, 1 / second, abs_tol=1e-6)


@given(st.data())
def test_resonances_lie_in_order_where_the_reactance_is_zero(data):
    sweep = data.draw(smooth_sweeps(fewest=4))
    analysis = analyse(sweep, 50.0)
    found = analysis.resonances()
    assert all(one.frequency_hz < two.frequency_hz for one, two in pairwise(found))
    for row in found:
        assert math.isfinite(row.resistance_ohm)
        gamma = analysis.reflection_at(np.array([row.frequency_hz]))[0]
        assert abs(gamma.imag) < 1e-6 + 5 * analysis.sigma
        assert row.resistance_ohm >= 0 or analysis.above_one


@given(st.data())
def test_swr_at_one_frequency_is_that_of_the_array(data):
    sweep = data.draw(any_sweeps())
    analysis = analyse(sweep, 50.0)
    part = data.draw(st.floats(0, 1))
    first_hz, last_hz = float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1])
    at_hz = min(first_hz + part * (last_hz - first_hz), last_hz)
    power = float(analysis.power_at(np.array([at_hz]))[0])
    assert math.isclose(analysis.track.power_at_one(at_hz), power, rel_tol=1e-9, abs_tol=1e-12)
    single = swr_at(analysis, at_hz)
    expected = float(swr(math.sqrt(power)))
    if single is None:
        assert power > 1 or any(low_hz <= at_hz <= high_hz for low_hz, high_hz in analysis.gaps)
    elif math.sqrt(power) < 1 - 2 * analysis.sigma:
        assert math.isclose(1 / single, 1 / expected, abs_tol=1e-6)


@given(st.data())
def test_a_change_to_itself_is_nothing(data):
    sweep = data.draw(any_sweeps())
    own = figures(sweep, data.draw(bands_near(sweep)), 50.0)
    same = change(own, own)
    assert same.best_match_shift_hz in (0, None)
    assert same.best_match_shift_percent in (0, None)
    assert same.best_match_swr_change in (0, None)
    assert same.usable_width_change_hz in (0, None)
    assert same.worst_swr_change in (0, None)
    assert same.q_ratio in (1, None)


@pytest.mark.unmeasured
@settings(max_examples=30)
@given(st.lists(any_sweeps(), min_size=1, max_size=3), st.data())
def test_every_report_of_every_bench_can_be_written(swept, data):
    bench = Bench().with_readings(Reading(sweep, f"sweep {i}", "") for i, sweep in enumerate(swept))
    bench = bench.with_band(data.draw(bands_near(swept[0]))).with_limit(data.draw(limits))
    assert len(compare(bench)) == len(swept)
    written = json.dumps(as_json(bench), allow_nan=False)
    assert len(json.loads(written)["sweeps"]) == len(swept)
    assert as_csv(bench).count("\n") == 1 + len(swept)
    everything = as_text(bench) + as_markdown(bench) + as_csv(bench)
    assert not re.search(r"\bnan\b", everything)


places = st.floats(allow_nan=True, allow_infinity=True)


@given(grids(most=4), st.sampled_from(["low", "high"]), places)
def test_a_moved_edge_keeps_the_order_and_the_distance(grid, edge, to_hz):
    band = Band(float(grid[0]), float(grid[0]) + max(200.0, float(grid[-1] - grid[0])))
    moved = move_edge(band, edge, to_hz)
    assert 1 <= moved.low_hz < moved.high_hz
    assert moved.width_hz >= MINIMUM_WIDTH_HZ - 1e-3
    other = "high" if edge == "low" else "low"
    assert moved.edge_hz(other) == band.edge_hz(other)
    if moved is not band:
        assert moved.name is None
        assert moved.edge_hz(edge) == round(moved.edge_hz(edge))


@given(st.floats(1, 1e9), st.floats(1, 1e9), places)
def test_a_moved_band_keeps_its_width(low_hz, width_hz, to_hz):
    assume(low_hz + width_hz > low_hz)
    band = Band(low_hz, low_hz + width_hz)
    assume(not abs(to_hz) > 1e12)
    moved = move_band(band, to_hz)
    assert moved.low_hz >= 1
    assert math.isclose(moved.width_hz, band.width_hz, abs_tol=1e-3)


@pytest.mark.unmeasured
@given(rough_sweeps())
def test_the_analysis_is_kept_as_long_as_the_sweep_lives(sweep):
    analyses = Analyses()
    assert analyses.of(sweep, 50.0) is analyses.of(sweep, 50.0)
