"""Interpolation between points: exact where it must be, honest where the grid is uneven."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit
from numpy.polynomial import Polynomial

from fairlead.core.analysis.interpolation import interpolate, interpolate_one

UNEVEN_HZ = np.array([1.0, 1.7, 2.1, 3.4, 4.0, 5.5]) * 1e6
EVEN_HZ = np.linspace(1e6, 6e6, 6)


def between(frequency_hz, count=200):
    return np.linspace(frequency_hz[0], frequency_hz[-1], count)


@pytest.mark.parametrize("frequency_hz", [EVEN_HZ, UNEVEN_HZ])
def test_the_points_come_out_exact(frequency_hz):
    values = np.random.default_rng(1).normal(size=6) + 1j
    assert interpolate(frequency_hz, values, frequency_hz).tolist() == values.tolist()
    assert [interpolate_one(frequency_hz, values, hz) for hz in frequency_hz] == values.tolist()


@pytest.mark.parametrize(("count", "degree"), [(2, 1), (3, 2), (4, 3), (6, 3)])
@pytest.mark.parametrize("frequency_hz", [EVEN_HZ, UNEVEN_HZ])
def test_a_polynomial_of_the_right_degree_is_reproduced(frequency_hz, count, degree):
    frequency_hz = frequency_hz[:count]
    truth = Polynomial([0.3, -0.2, 0.11, 0.04][: degree + 1])
    at_hz = between(frequency_hz)
    found = interpolate(frequency_hz, truth(frequency_hz / 1e6), at_hz)
    np.testing.assert_allclose(found, truth(at_hz / 1e6), atol=1e-12)


@pytest.mark.parametrize("frequency_hz", [EVEN_HZ, UNEVEN_HZ, EVEN_HZ[:2], EVEN_HZ[:3]])
def test_one_frequency_gives_what_the_array_gives(frequency_hz):
    values = np.random.default_rng(2).normal(size=frequency_hz.size) * (1 + 0.5j)
    at_hz = between(frequency_hz, 57)
    one_by_one = [interpolate_one(frequency_hz, values, float(hz)) for hz in at_hz]
    np.testing.assert_allclose(one_by_one, interpolate(frequency_hz, values, at_hz), atol=1e-12)


def test_real_values_stay_real():
    assert interpolate(EVEN_HZ, EVEN_HZ / 1e6, between(EVEN_HZ)).dtype == np.float64


def test_error_on_an_antenna_of_101_points():
    """Q 12 on 101 points: below 1e-6 in |G|, as the smoothness of the reflection promises."""
    circuit = SeriesCircuit(51e6, 62, 12)
    frequency_hz = np.linspace(48e6, 54e6, 101)
    at_hz = between(frequency_hz, 2001)
    found = interpolate(frequency_hz, circuit.reflection(frequency_hz), at_hz)
    assert np.abs(found - circuit.reflection(at_hz)).max() < 1e-6


def test_noise_beside_a_much_wider_interval_is_not_blown_up():
    """A segmented sweep, 1 kHz steps beside 1 MHz steps: the slope of two near points is noise."""
    frequency_hz = np.array([1.0, 1.001, 2.001, 3.001]) * 1e6
    values = np.array([0.50, 0.51, 0.50, 0.50])
    at_hz = between(frequency_hz)
    assert np.abs(interpolate(frequency_hz, values, at_hz) - 0.5).max() < 0.011
    middle_hz = 1.5e6
    assert interpolate_one(frequency_hz, values, middle_hz).real == pytest.approx(0.505, abs=1e-3)


def test_empty_input_gives_an_empty_answer():
    assert interpolate(EVEN_HZ, EVEN_HZ, np.empty(0)).shape == (0,)
