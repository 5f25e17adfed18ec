"""Noise and delay estimated from the points themselves."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.interpolation.delay import delay_of, turned
from fairlead.core.uncertainty.noise import TOO_FAST, TOO_FEW, Noise, noise_of

C_M_PER_S = 299_792_458.0
EVEN_HZ = np.linspace(48e6, 54e6, 401)
LOG_HZ = np.geomspace(1e6, 60e6, 401)


def jittered(seed=0):
    """Steps that differ by up to a third."""
    steps = 1 + np.random.default_rng(seed).uniform(-0.33, 0.33, 400)
    return 48e6 + 6e6 * np.concatenate(([0], np.cumsum(steps))) / steps.sum()


GRIDS = {"even": EVEN_HZ, "logarithmic": LOG_HZ, "jittered": jittered()}
CIRCUIT = SeriesCircuit(51e6, 62, 8)


@pytest.mark.parametrize("grid", GRIDS)
@pytest.mark.parametrize("sigma", [0.1, 0.05, 0.02, 0.005, 1e-4])
def test_white_noise_is_found_to_a_fifth(grid, sigma):
    frequency_hz = GRIDS[grid]
    for seed in range(5):
        values = CIRCUIT.reflection(frequency_hz) + complex_noise(401, sigma, seed)
        assert noise_of(frequency_hz, values).sigma == pytest.approx(sigma, rel=0.2)


@pytest.mark.parametrize("grid", GRIDS)
def test_a_clean_antenna_has_next_to_no_noise(grid):
    assert noise_of(GRIDS[grid], CIRCUIT.reflection(GRIDS[grid])).sigma < 1e-5


def test_noise_of_real_values():
    sigma = 0.01
    values = 0.3 + complex_noise(401, sigma, 3).real
    assert noise_of(EVEN_HZ, values).sigma == pytest.approx(sigma, rel=0.2)


def test_a_few_wild_points_do_not_count():
    values = CIRCUIT.reflection(EVEN_HZ) + complex_noise(401, 0.005, 1)
    values[[50, 200, 320]] += 1
    assert noise_of(EVEN_HZ, values).sigma == pytest.approx(0.005, rel=0.2)


def test_short_sweeps_tell_nothing():
    assert noise_of(EVEN_HZ[:11], complex_noise(11, 0.01, 0)) == Noise(None, TOO_FEW)
    found = [noise_of(EVEN_HZ[:12], complex_noise(12, 0.01, seed)).sigma for seed in range(50)]
    told = [sigma for sigma in found if sigma is not None]
    assert len(told) >= 40
    assert np.median(told) == pytest.approx(0.01, rel=0.3)


@pytest.mark.parametrize("length_m", [0, 15, 30])
def test_a_fast_curve_is_not_noise(length_m):
    """Five bands on 590 kHz steps: what is left of the curve differs from order to order."""
    frequency_hz = np.linspace(1e6, 60e6, 101)
    y = sum(
        1 / SeriesCircuit(mhz * 1e6, 60, 12).impedance_ohm(frequency_hz)
        for mhz in (3.6, 7.1, 14.2, 21.2, 28.5)
    )
    gamma = behind_line((1 - 50 * y) / (1 + 50 * y), frequency_hz, length_m)
    gamma = gamma * turned(frequency_hz, delay_of(frequency_hz, gamma))
    assert noise_of(frequency_hz, gamma).or_zero < 1e-4


def test_points_that_have_nothing_to_do_with_each_other_are_not_noisy():
    assert noise_of(EVEN_HZ, complex_noise(401, 0.5, 0)) == Noise(None, TOO_FAST)


def test_the_delay_of_a_long_line():
    """30 m, velocity factor 0.66: there and back in 303 ns."""
    frequency_hz = np.linspace(1e6, 60e6, 101)
    gamma = behind_line(np.full(101, 0.5), frequency_hz, 30)
    delay_s = delay_of(frequency_hz, gamma)
    assert delay_s == pytest.approx(2 * 30 / (0.66 * C_M_PER_S), rel=1e-9)
    np.testing.assert_allclose(gamma * turned(frequency_hz, delay_s), 0.5, atol=1e-9)


def test_an_antenna_without_a_line_keeps_its_curve():
    assert delay_of(EVEN_HZ, CIRCUIT.reflection(EVEN_HZ)) == 0


def test_a_coarse_resonance_is_not_taken_for_a_line():
    """It turns far between two points, but taking a delay out would not make it smoother."""
    frequency_hz = np.linspace(45e6, 57e6, 25)
    assert delay_of(frequency_hz, CIRCUIT.reflection(frequency_hz)) == 0


def test_noise_has_no_delay_and_short_sweeps_tell_none():
    assert delay_of(EVEN_HZ, complex_noise(401, 0.3, 0)) == 0
    assert delay_of(EVEN_HZ[:11], np.exp(1j * np.arange(11))) == 0
