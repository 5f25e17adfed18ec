"""The tuning for wet and dry against closed forms and brute force."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise
from hypothesis import given, settings
from hypothesis import strategies as st

from fairlead.core.advice.compromise import MOST_SHIFT, Moved, compromise
from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.sweep import ScalarSweep, Sweep


def swept(circuit, low_hz, high_hz, points=401, sigma=0.0, seed=1):
    at_hz = np.linspace(low_hz, high_hz, points)
    gamma = circuit.reflection(at_hz) + complex_noise(points, sigma, seed)
    return Moved(analyse(Sweep(at_hz, gamma), 50.0), circuit.f0_hz)


def by_force(circuits, band, shifts, points=401):
    """Worst SWR of circuits in closed form at every shift, by looking everywhere."""
    at_hz = np.linspace(band.low_hz, band.high_hz, points)
    source_hz = at_hz[None, :] / (1 + shifts[:, None])
    return np.max([one.swr(source_hz).max(axis=1) for one in circuits], axis=0)


# Two series circuits of 50 ohm: closed form, the shift recomputed by brute force below.
CASES = [
    (15.31, (144.985e6, 143.349e6), Band(144e6, 146e6), 0.577, 1.466),
    (6.6, (50.828e6, 49.006e6), Band(50e6, 52e6), 2.167, 1.640),
    (12.0, (14.250e6, 14.130e6), Band(14.0e6, 14.35e6), -0.112, 1.485),
]


@pytest.mark.parametrize(("q", "best_hz", "band", "percent", "worst"), CASES)
def test_three_cases_of_wet_and_dry(q, best_hz, band, percent, worst):
    circuits = [SeriesCircuit(hz, 50.0, q) for hz in best_hz]
    span = band.low_hz * 0.9, band.high_hz * 1.1
    found = compromise([swept(one, *span) for one in circuits], band)
    assert found.shift_percent == pytest.approx(percent, abs=5e-4)
    assert found.worst_swr == pytest.approx(worst, abs=5e-4)
    shifts = np.linspace(-0.05, 0.05, 4001)
    forced = by_force(circuits, band, shifts)
    assert found.shift_percent == pytest.approx(100 * shifts[forced.argmin()], abs=2.6e-3)
    assert found.worst_swr == pytest.approx(forced.min(), abs=5e-4)
    assert found.now_swr == pytest.approx(by_force(circuits, band, np.zeros(1))[0], abs=1e-4)
    curve = by_force(circuits, band, found.percent[::100] / 100)
    np.testing.assert_allclose(found.ratio[::100], curve, rtol=2e-3)


@pytest.mark.unmeasured
@settings(max_examples=15, deadline=None)
@given(
    q=st.floats(4, 30),
    resistances=st.lists(st.floats(30, 80), min_size=1, max_size=4),
    spread=st.floats(0, 0.02),
)
def test_brute_force_finds_nothing_better(q, resistances, spread):
    band = Band(144e6, 146e6)
    circuits = [SeriesCircuit(145e6 * (1 + spread * i), r, q) for i, r in enumerate(resistances)]
    found = compromise([swept(one, 120e6, 170e6, 801) for one in circuits], band)
    forced = by_force(circuits, band, np.linspace(-0.1, 0.1, 2001), points=101).min()
    assert found.worst_swr <= forced * (1 + 1e-3)
    assert by_force(circuits, band, np.array([found.shift_percent / 100]))[0] == pytest.approx(
        found.worst_swr, rel=1e-3
    )


def test_a_hump_inside_the_band_counts():
    """Two coupled dips with a hump between: the worst is not at an edge."""
    at_hz = np.linspace(130e6, 160e6, 601)
    u = (at_hz - 145e6) / 1e6
    gamma = 0.5 * np.exp(-((u / 0.6) ** 2)) + 0.8 * (1 - np.exp(-((u / 4) ** 2)))
    moved = Moved(analyse(Sweep(at_hz, gamma + 0j), 50.0), 144e6)
    found = compromise([moved], Band(144e6, 146e6))
    assert abs(found.shift_percent) == pytest.approx(0.0, abs=2.0)
    window = gamma[np.abs(at_hz * (1 + found.shift_percent / 100) - 145e6) <= 1e6]
    assert found.worst_swr == pytest.approx((1 + window.max()) / (1 - window.max()), rel=0.02)


def test_noise_and_bounds_make_its_interval():
    """Of twenty noisy pairs the truth lies in the interval of at least eighteen."""
    band = Band(144e6, 146e6)
    circuits = [SeriesCircuit(hz, 50.0, 15.31) for hz in (144.985e6, 143.349e6)]
    held = 0
    for seed in range(20):
        sweeps = [
            swept(one, 130e6, 160e6, 301, 0.004, 2 * seed + i) for i, one in enumerate(circuits)
        ]
        found = compromise(sweeps, band)
        truth = by_force(circuits, band, np.array([found.shift_percent / 100]))[0]
        held += found.worst.low <= truth <= found.worst.high
        assert not found.is_bound
        assert found.as_good.low <= found.shift_percent <= found.as_good.high
        assert found.shift_percent == pytest.approx(0.577, abs=0.1)
    assert held >= 18
    bounded = [Moved(one.analysis, one.best_match_hz, np.full(301, 0.01)) for one in sweeps]
    wide = compromise(bounded, band)
    assert wide.is_bound
    assert wide.worst.high - wide.worst.low > found.worst.high - found.worst.low


def test_sizes_without_phase_will_do():
    circuit = SeriesCircuit(50.5e6, 50.0, 8.0)
    at_hz = np.linspace(46e6, 56e6, 201)
    with_phase = swept(circuit, 46e6, 56e6, 201)
    sizes = Moved(analyse(ScalarSweep(at_hz, np.abs(circuit.reflection(at_hz))), 50.0), 50.5e6)
    found = [compromise([one], Band(50e6, 52e6)) for one in (with_phase, sizes)]
    assert found[0].shift_percent == pytest.approx(found[1].shift_percent, abs=2e-3)


def test_sweeps_that_end_too_soon_say_how_far_to_sweep():
    band = Band(50e6, 52e6)
    circuits = [SeriesCircuit(hz, 50.0, 6.6) for hz in (50.828e6, 49.006e6)]
    short = compromise([swept(one, 49.8e6, 54e6) for one in circuits], band)
    assert (short.shift_percent, short.why_not) == (
        None,
        "the worst SWR is still falling where the sweeps end",
    )
    assert short.now_swr is not None
    assert short.ratio.size == short.percent.size > 0
    long = compromise([swept(one, short.low_hz, short.high_hz) for one in circuits], band)
    assert long.shift_percent == pytest.approx(2.167, abs=1e-3)
    # 50/52 of the lower best match, 52/50 of the higher one.
    assert (short.low_hz, short.high_hz) == (
        pytest.approx(49.006e6 * 50 / 52),
        pytest.approx(50.828e6 * 52 / 50),
    )


def test_sweeps_that_never_cover_the_band():
    circuit = SeriesCircuit(50.5e6, 50.0, 8.0)
    found = compromise([swept(circuit, 50.2e6, 51.5e6)], Band(50e6, 52e6))
    assert "at no shift do the sweeps" in found.why_not
    assert (found.now_swr, found.percent.size) == (None, 0)
    assert found.low_hz < 50e6
    assert found.high_hz > 52e6


def test_a_sweep_whose_dip_is_out_of_sight_should_reach_beyond_its_ends():
    circuit = SeriesCircuit(56e6, 50.0, 8.0)
    moved = Moved(swept(circuit, 49e6, 53e6).analysis, None)
    found = compromise([moved], Band(50e6, 52e6))
    assert found.shift_percent is None
    assert (found.low_hz, found.high_hz) == (
        pytest.approx(47e6 * 50 / 52),
        pytest.approx(55e6 * 52 / 50),
    )


def test_without_sweeps_there_is_nothing_to_move():
    found = compromise([], Band(50e6, 52e6))
    assert (found.why_not, found.now_swr) == ("none of the chosen sweeps can be moved", None)
    assert (found.low_hz, found.high_hz) == (
        pytest.approx(50e6 * 50 / 52),
        pytest.approx(52e6 * 52 / 50),
    )


@pytest.mark.parametrize(("points", "reason"), [(9, "cover the band"), (2, "cover the band")])
def test_nothing_is_claimed_across_gaps(points, reason):
    circuit = SeriesCircuit(51e6, 50.0, 60.0)
    gamma = behind_line(circuit.reflection(np.linspace(46e6, 56e6, points)), 51e6, 0.0)
    moved = Moved(analyse(Sweep(np.linspace(46e6, 56e6, points), gamma), 50.0), 51e6)
    found = compromise([moved], Band(50e6, 52e6))
    assert reason in found.why_not
    assert found.now_swr is None


def test_with_few_points_the_noise_is_not_known():
    circuit = SeriesCircuit(51e6, 50.0, 4.0)
    found = compromise([swept(circuit, 44e6, 58e6, 11)], Band(50e6, 52e6))
    assert found.shift_percent is not None
    assert (found.worst, found.as_good) == (None, None)


def test_a_total_reflection_in_the_band_is_the_worst_there_is():
    at_hz = np.linspace(46e6, 58e6, 241)
    gamma = SeriesCircuit(51e6, 50.0, 8.0).reflection(at_hz)
    gamma = np.where(np.abs(at_hz - 51e6) > 2e6, np.exp(-1e-8j * at_hz), gamma)
    found = compromise([Moved(analyse(Sweep(at_hz, gamma), 50.0), 51e6)], Band(50e6, 52e6))
    assert np.isinf(found.ratio).any()
    assert np.abs(found.percent).max() <= 100 * MOST_SHIFT
