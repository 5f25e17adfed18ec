"""Facts of a sweep that no band changes: resonances in noise, and what is kept."""

from __future__ import annotations

import gc
import weakref
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.resonances import _crossings_hz, _zero_of_line
from fairlead.core.analysis.segments import Segment
from fairlead.core.sweep import Sweep

GRID_HZ = np.linspace(48e6, 54e6, 401)
CIRCUIT = SeriesCircuit(51e6, 62, 8)


def test_a_dense_noisy_crossing_is_placed_by_all_points_around_it():
    """15 kHz steps: single points cross zero up to 40 kHz off, the line through them does not."""
    errors = []
    for seed in range(30):
        gamma = CIRCUIT.reflection(GRID_HZ) + complex_noise(401, 0.01, seed)
        (found,) = analyse(Sweep(GRID_HZ, gamma), 50.0).resonances()
        errors.append(found.frequency_hz - 51e6)
        assert found.resistance_ohm == pytest.approx(62, rel=0.1)
    assert np.std(errors) < 20e3
    assert abs(np.mean(errors)) < 6e3


@pytest.mark.parametrize(
    ("values", "root"),
    [
        ([2.0, 1.0, 0.0, -1.0, -2.0], 3.0),
        ([3.0, 2.0, 1.0], 3.0),  # would be zero at 4, beyond the last point
        ([-3.0, -4.0, -5.0], 1.0),
        ([1.0, -2.0, 1.0], 2.0),  # level
    ],
)
def test_the_zero_of_a_line_stays_among_its_points(values, root):
    frequency_hz = np.arange(1.0, len(values) + 1)
    assert _zero_of_line(frequency_hz, np.array(values), 2.0) == pytest.approx(root)


def test_points_that_swing_within_the_noise_are_no_line_with_a_zero():
    """A short loop of a line behind 4 % of noise: no point is certain, no zero is either."""
    frequency_hz = np.arange(9.0)
    swing = 0.15 * np.cos(2 * np.pi * frequency_hz / 6)
    assert _zero_of_line(frequency_hz, swing, 0.15) is not None
    assert _zero_of_line(frequency_hz, swing, 0.036) is None


def test_a_zero_lost_in_the_noise_needs_a_line_through_all_its_points_or_the_inner_ones():
    frequency_hz = np.linspace(50e6, 52e6, 11)
    track = analyse(Sweep(frequency_hz, CIRCUIT.reflection(frequency_hz)), 50.0).track
    swing = np.array([-1, 0.15, 0.15, -0.15, -0.15, 0.15, 0.15, -0.15, -0.15, 0.15, 1.0])
    bent = np.array([-1, -0.5, -0.16, -0.12, -0.01, 0.01, -0.01, 0.02, 0.12, 0.16, 1.0])
    for imag, count in ((swing, 0), (bent, 1)):
        is_certain = np.abs(imag) > 0.17
        found = _crossings_hz(track, imag, is_certain, np.ones(10, dtype=bool), 0.036)
        assert found.size == count


@pytest.mark.parametrize(("points", "segments"), [(4, 1), (60, 2)])
def test_many_points_above_the_limit_divide_a_segment_though_each_is_within_the_noise(
    points, segments
):
    """|G| of 0.42 is 3 sigma above SWR 2, as where an analyzer's own error reads as noise."""
    magnitude = np.full(200, 0.2)
    magnitude[100 : 100 + points] = 0.42
    gamma = magnitude + complex_noise(200, 0.028, 4)
    own = analyse(Sweep(np.linspace(48e6, 54e6, 200), gamma), 50.0)
    assert (0.42 - 1 / 3) / own.sigma < 4.5
    assert len(own.usable(2.0)) == segments


def test_an_open_segment_has_no_width():
    assert Segment(50e6, 52e6, low_is_open=False, high_is_open=False).width_hz == 2e6
    assert Segment(50e6, 52e6, low_is_open=True, high_is_open=False).width_hz is None
    assert Segment(50e6, 52e6, low_is_open=False, high_is_open=True).width_hz is None


def test_an_analysis_is_kept_for_its_sweep_and_dies_with_it():
    """20 drags a second must not fill the memory."""
    analyses = Analyses()
    one = Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ))
    other = Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ))
    assert analyses.of(one, 50.0) is analyses.of(one, 50.0)
    assert analyses.of(other, 50.0) is not analyses.of(one, 50.0)
    at_75 = analyses.of(one, 75.0)
    assert at_75.z0_ohm == 75.0
    assert analyses.of(one, 75.0) is at_75
    kept = weakref.ref(one)
    del one
    gc.collect()
    assert kept() is None
    assert len(analyses) == 1


def test_many_threads_get_the_same_analysis():
    analyses, sweep = Analyses(), Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ))
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _: analyses.of(sweep, 50.0), range(64)))
    assert len({id(one) for one in found}) == 1


def test_the_step_is_that_of_most_points():
    frequency_hz = np.concatenate((np.linspace(48e6, 50e6, 201), [51e6, 54e6]))
    assert analyse(Sweep(frequency_hz, np.zeros(203)), 50.0).step_hz == pytest.approx(10e3)


def test_a_dip_is_fitted_only_where_there_is_noise():
    clean = analyse(Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ)), 50.0)
    dip = float(clean.track.turn_hz[1]), float(clean.track.turn_power[1])
    assert clean.fitted_bottom(dip) is dip
    noisy = analyse(
        Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ) + complex_noise(401, 0.005, 0)), 50.0
    )
    least = int(noisy.track.turn_power.argmin())
    dip = float(noisy.track.turn_hz[least]), float(noisy.track.turn_power[least])
    fitted_hz, power = noisy.fitted_bottom(dip)
    assert abs(fitted_hz - 51e6) < 30e3
    assert power > dip[1]
    assert noisy.fitted_bottom(dip) == (fitted_hz, power)


def test_fitted_dips_do_not_fill_the_memory():
    gamma = CIRCUIT.reflection(GRID_HZ) + complex_noise(401, 0.005, 0)
    analysis = analyse(Sweep(GRID_HZ, gamma), 50.0)
    for hz in np.linspace(50.8e6, 51.2e6, 50):
        analysis.fitted_bottom((float(hz), analysis.track.power_at_one(float(hz))))
    assert len(analysis._bottoms) <= 16


def test_of_two_that_work_it_out_at_once_the_first_is_kept(monkeypatch):
    analyses, sweep = Analyses(), Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ))
    first = []

    def slow(one, z0_ohm):
        made = analyse(one, z0_ohm)
        if not first:
            # Another thread asks meanwhile, and is done sooner.
            first.append(None)
            first[0] = analyses.of(one, z0_ohm)
        return made

    monkeypatch.setattr("fairlead.core.analysis.analyses.analysis_or_reason", slow)
    assert analyses.of(sweep, 50.0) is first[0]
