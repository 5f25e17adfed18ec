"""The acceptance case: a series circuit of 150 MHz, 62 ohm, Q 8, on 101 points, 120 to 180 MHz.

The truth is the closed form in tests/helpers/circuits.py.
"""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import Sweep

CIRCUIT = SeriesCircuit(150e6, 62, 8)
GRID_HZ = np.linspace(120e6, 180e6, 101)
BAND = Band(145e6, 155e6)


def own_figures(circuit=CIRCUIT, noise=0.0, frequency_hz=GRID_HZ, limit=2.0):
    return figures(Sweep(frequency_hz, circuit.reflection(frequency_hz) + noise), BAND, 50.0, limit)


def test_best_match_within_1_khz():
    own = own_figures()
    assert own.best_match_hz == pytest.approx(150e6, abs=1e3)
    assert own.best_match_swr == pytest.approx(62 / 50, rel=1e-6)


@pytest.mark.parametrize("offset_khz", [-290, -137, -1, 55, 300])
def test_best_match_within_1_khz_between_the_points_too(offset_khz):
    circuit = SeriesCircuit(150e6 + offset_khz * 1e3, 62, 8)
    own = own_figures(circuit)
    assert own.best_match_hz == pytest.approx(circuit.f0_hz, abs=200)
    assert own.q == pytest.approx(8, rel=1e-4)


def test_every_crossing_of_the_limit_within_2_khz():
    own = own_figures()
    (segment,) = own.usable
    assert (segment.low_hz, segment.high_hz) == pytest.approx(CIRCUIT.edges_hz(2.0), abs=2e3)


@pytest.mark.parametrize("limit", [1.25, 1.3, 1.5, 1.75, 3.0])
def test_crossings_of_other_limits(limit):
    (segment,) = own_figures(limit=limit).usable
    assert (segment.low_hz, segment.high_hz) == pytest.approx(CIRCUIT.edges_hz(limit), abs=2e3)


def test_resonance_and_q_within_a_hundredth():
    own = own_figures()
    (found,) = own.resonances
    assert found.frequency_hz == pytest.approx(150e6, abs=100)
    assert found.resistance_ohm == pytest.approx(62, rel=1e-4)
    assert own.q == pytest.approx(8, rel=0.01)


# 0.5 % of full scale, read both ways: of each component, or of the whole complex number.
@pytest.mark.unmeasured
@pytest.mark.parametrize("sigma", [0.005, 0.005 / np.sqrt(2)])
@pytest.mark.parametrize("f0_mhz", [150.0, 150.23])
def test_q_within_5_percent_with_noise_for_every_seed(sigma, f0_mhz):
    circuit = SeriesCircuit(f0_mhz * 1e6, 62, 8)
    found = [own_figures(circuit, complex_noise(101, sigma, seed)).q for seed in range(60)]
    assert None not in found
    assert max(abs(q / 8 - 1) for q in found) < 0.05
    assert np.std(found) / 8 < 0.01


def test_one_resonance_and_one_segment_with_noise_for_every_seed():
    for seed in range(60):
        own = own_figures(noise=complex_noise(101, 0.005, seed))
        assert len(own.resonances) == 1, seed
        assert len(own.usable) == 1, seed
        # 0.5 % of full scale on a slope of 6 % a MHz
        assert own.usable[0].low_hz == pytest.approx(CIRCUIT.edges_hz(2.0)[0], abs=0.4e6)
        assert own.resonances[0].frequency_hz == pytest.approx(150e6, abs=0.3e6)


def test_noise_moves_the_best_match_by_less_than_a_fifth_of_a_step():
    """The least of the noisy points would wander by half a step and read too low."""
    found = [own_figures(noise=complex_noise(101, 0.005, seed)) for seed in range(60)]
    best_hz = np.array([own.best_match_hz for own in found])
    best_swr = np.array([own.best_match_swr for own in found])
    assert np.std(best_hz) < 600e3 / 5
    assert np.abs(best_hz - 150e6).max() < 600e3 / 5
    assert best_swr.mean() == pytest.approx(1.24, abs=0.002)
    assert np.std(best_swr) < 0.005


@pytest.mark.parametrize("count", [1001, 10_001])
def test_dense_noisy_sweeps_have_one_of_each_too(count):
    """Many points in the noise beside a crossing: it must stay one crossing."""
    frequency_hz = np.linspace(120e6, 180e6, count)
    for seed in range(5):
        own = own_figures(noise=complex_noise(count, 0.005, seed), frequency_hz=frequency_hz)
        assert len(own.resonances) == 1
        assert len(own.usable) == 1
        assert own.q == pytest.approx(8, rel=0.05)
        assert own.best_match_hz == pytest.approx(150e6, abs=100e3)
