"""Less noise where the local parabola fits, the same curve where it does not."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.interpolation.calm import calmed
from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import Sweep

HZ = np.linspace(45e6, 57e6, 401)
CIRCUIT = SeriesCircuit(51e6, 62, 8)
TRUTH = CIRCUIT.reflection(HZ)


def test_the_noise_is_less_than_half():
    left = [calmed(TRUTH + complex_noise(401, 0.01, seed), 0.01) - TRUTH for seed in range(20)]
    assert np.std(left) < 0.5 * 0.01 * np.sqrt(2)


def test_a_bend_is_kept():
    steep = SeriesCircuit(51e6, 50, 300).reflection(HZ)
    assert np.abs(calmed(steep, 1e-4) - steep).max() < 3e-4


@pytest.mark.parametrize("count", [4, 15, 16, 17, 32, 33, 34])
def test_short_curves_stay_as_far_as_they_must(count):
    found = calmed(TRUTH[:count], 0.001)
    assert found.shape == (count,)
    np.testing.assert_allclose(found, TRUTH[:count], atol=2e-3)


def test_the_worst_swr_is_not_biased_by_the_noise():
    """0.5 % of full scale: the largest of the noisy points is 5 % too large."""
    band = Band(49e6, 53e6)
    true = float(CIRCUIT.swr(49e6))
    found = [
        figures(Sweep(HZ, TRUTH + complex_noise(401, 0.005, seed)), band, 50.0).worst_swr
        for seed in range(60)
    ]
    assert np.mean(found) == pytest.approx(true, rel=0.01)


def test_an_uneven_grid_and_a_gap_have_the_plain_value():
    hz = np.geomspace(45e6, 57e6, 401)
    track = analyse(Sweep(hz, CIRCUIT.reflection(hz) + complex_noise(401, 0.01, 0)), 50.0).track
    assert track.calm is None
    assert track.calm_power_at_one(50e6) == track.power_at_one(50e6)
    assert track.calm_power_at_one(57e6) == track.power_at_one(57e6)
