"""Where the points of a sweep support a curve between them."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.sampling import points_wanted, sampling_of

MATCHED = SeriesCircuit(50e6, 50, 80)
# 2:1 width of a matched series circuit: f0 / Q / sqrt(2).
WIDTH_HZ = 50e6 / 80 / np.sqrt(2)


def around(points_a_width, count=41):
    step_hz = WIDTH_HZ / points_a_width
    return 50.013e6 + step_hz * np.arange(-(count // 2), count // 2 + 1)


@pytest.mark.parametrize("scalar", [False, True])
def test_four_points_for_each_width_are_enough_and_one_is_not(scalar):
    for points_a_width, is_enough in ((8, True), (4, True), (1, False), (0.5, False)):
        hz = around(points_a_width)
        gamma = MATCHED.reflection(hz)
        sweep = ScalarSweep(hz, np.abs(gamma)) if scalar else Sweep(hz, gamma)
        analysis = analyse(sweep, 50.0)
        assert (analysis.gaps == ()) == is_enough
        assert (analysis.points_wanted is None) == is_enough
        if not is_enough:
            (gap,) = analysis.gaps
            assert gap[0] < 50e6 < gap[1]
            assert analysis.points_wanted > hz.size


@pytest.mark.parametrize("points_a_width", [1, 0.5])
def test_so_many_points_as_it_asks_for_would_do(points_a_width):
    hz = around(points_a_width)
    wanted = analyse(Sweep(hz, MATCHED.reflection(hz)), 50.0).points_wanted
    more_hz = np.linspace(hz[0], hz[-1], wanted)
    assert analyse(Sweep(more_hz, MATCHED.reflection(more_hz)), 50.0).gaps == ()


def test_a_logarithmic_grid_is_judged_interval_by_interval():
    """30 m of line over three octaves: the steps grow from 0.04 to 0.32 turns."""
    hz = np.geomspace(10e6, 80e6, 100)
    gamma = behind_line(np.full(100, 0.5), hz, 30)
    sampling = analyse(Sweep(hz, gamma), 50.0).sampling
    turns = np.diff(hz) * 60 / (0.66 * 299_792_458)
    assert sampling.is_phase_known[turns < 0.08].all()
    assert not sampling.is_phase_known[turns > 0.2].any()


def test_points_with_nothing_to_do_with_each_other_support_nothing():
    supported = 0
    for seed in range(200):
        curve = np.exp(2j * np.pi * np.random.default_rng(seed).random(60))
        supported += sampling_of(np.linspace(1e6, 60e6, 60), curve, 0.0).is_supported.sum()
    assert supported == 0


def test_noise_is_no_gap():
    hz = np.linspace(45e6, 55e6, 401)
    for seed in range(20):
        gamma = MATCHED.reflection(hz) + complex_noise(401, 0.03, seed)
        assert analyse(Sweep(hz, gamma), 50.0).gaps == ()


def test_a_line_that_turns_backwards_tells_no_phase():
    hz = np.linspace(1e6, 60e6, 101)
    gamma = behind_line(np.full(101, 0.5), hz, 10).conj()
    sampling = analyse(Sweep(hz, gamma), 50.0).sampling
    assert sampling.line_turns < 0
    assert not sampling.is_phase_known.any()


@pytest.mark.parametrize(
    ("points", "factor", "wanted"), [(101, 2.0, 201), (101, 4.56, 461), (1001, 2.5, 2501)]
)
def test_the_number_to_take_is_a_round_one(points, factor, wanted):
    assert points_wanted(points, factor) == wanted


def test_too_few_points_for_a_check_support_nothing():
    for count in (2, 3, 4):
        sampling = sampling_of(np.linspace(1, 2, count), np.full(count, 0.1 + 0j), 0.0)
        assert not sampling.is_supported.any()
        assert sampling.factor > 1


def test_few_points_share_their_differences_and_are_judged_more_strictly():
    """A tenth of a turn a step on a circle: enough on 21 points, not proven by 5."""
    for count, supported in ((21, True), (5, False)):
        hz = np.linspace(50e6, 60e6, count)
        curve = 0.3 * np.exp(2j * np.pi * 0.1 * np.arange(count))
        assert sampling_of(hz, curve, 0.0).is_supported.all() == supported
    hz = np.linspace(50e6, 60e6, 5)
    calm = 0.3 * np.exp(2j * np.pi * 0.05 * np.arange(5))
    assert sampling_of(hz, calm, 0.0).is_supported.all()
