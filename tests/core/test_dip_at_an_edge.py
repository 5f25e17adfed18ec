"""A dip whose bottom lies at a band edge belongs to the band; the circuit tells where."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import Sweep

F0_HZ = 50e6
HZ = np.linspace(40e6, 60e6, 101)
SWEEP = Sweep(HZ, SeriesCircuit(F0_HZ, 62.0, 8.0).reflection(HZ), 50.0)


@pytest.mark.parametrize("band", [Band(50e6, 52e6), Band(48e6, 50e6), Band(49.9e6, 52e6)])
def test_the_bottom_at_the_edge_is_the_best_match(band):
    found = figures(SWEEP, band, 50.0, 2.0)
    assert found.best_match_hz == pytest.approx(F0_HZ, abs=50)
    assert found.best_match_swr == pytest.approx(1.24, abs=1e-4)
    assert not found.best_match_at_end


def test_a_slope_that_goes_on_falling_far_outside_has_none():
    assert figures(SWEEP, Band(53e6, 54e6), 50.0, 2.0).best_match_hz is None


def test_a_bottom_a_hair_outside_the_edge_is_that_of_the_band():
    """With the digits of a file the lowest point may lie a few hertz off."""
    hz = np.linspace(40e6, 60e6, 4001)
    noise = 1e-6 * np.random.default_rng(3).standard_normal((2, hz.size))
    gamma = SeriesCircuit(F0_HZ - 10, 62.0, 8.0).reflection(hz) + noise[0] + 1j * noise[1]
    found = figures(Sweep(hz, gamma, 50.0), Band(50e6, 52e6), 50.0, 2.0)
    assert found.best_match_hz == pytest.approx(F0_HZ, abs=2e3)
