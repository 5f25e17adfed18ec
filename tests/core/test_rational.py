"""The fit around one frequency: exact on circuits, as wide as the noise allows."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from circuits import ParallelCircuit, SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.interpolation.rational import (
    _is_good_in_the_middle,
    _is_spike,
    fit_around,
    widest_good,
)

GRID_HZ = np.linspace(120e6, 180e6, 201)


def slope_of(function, at_hz, step_hz=100.0):
    return (function(at_hz + step_hz) - function(at_hz - step_hz)) / (2 * step_hz)


@pytest.mark.parametrize("circuit", [SeriesCircuit(150e6, 62, 8), ParallelCircuit(150e6, 30, 5)])
@pytest.mark.parametrize("at_mhz", [150.0, 147.3, 155.1])
def test_value_and_slope_of_a_resonant_circuit_are_exact(circuit, at_mhz):
    fit = fit_around(GRID_HZ, circuit.reflection(GRID_HZ), 0.0, at_mhz * 1e6)
    assert fit.a0 == pytest.approx(complex(circuit.reflection(at_mhz * 1e6)), abs=1e-9)
    slope = slope_of(circuit.reflection, at_mhz * 1e6)
    assert fit.slope_per_hz == pytest.approx(complex(slope), rel=1e-5)


def test_a_misfit_of_the_few_points_of_a_dip_does_not_hide_among_hundreds_of_good_ones():
    left = complex_noise(801, 0.01, 1)
    t = np.linspace(-1, 0.7, 801)
    assert _is_good_in_the_middle(left, t, 0.01)
    dip = np.abs(t).argmin()
    left[dip - 2 : dip + 3] += 0.05
    assert np.std(left.real) < 1.1 * 0.01
    assert not _is_good_in_the_middle(left, t, 0.01)


def test_errors_are_those_of_repeated_measurements():
    """The standard errors the fit states, against the scatter over 100 noisy copies."""
    circuit = SeriesCircuit(150e6, 62, 8)
    fits = [
        fit_around(
            GRID_HZ,
            circuit.reflection(GRID_HZ) + complex_noise(GRID_HZ.size, 0.005, seed),
            0.005,
            150e6,
        )
        for seed in range(100)
    ]
    values = np.array([fit.a0 for fit in fits])
    slopes = np.array([fit.slope_per_hz for fit in fits])
    stated = np.median([fit.errors() for fit in fits], axis=0)
    assert stated[0] == pytest.approx(
        np.hypot(values.real.std(), values.imag.std()) / 2**0.5, rel=0.4
    )
    assert stated[1] == pytest.approx(
        np.hypot(slopes.real.std(), slopes.imag.std()) / 2**0.5, rel=0.4
    )


def test_noise_widens_the_window():
    """Two resonances: a narrow window where the points are clean, a wide one where they are not."""
    one, two = SeriesCircuit(140e6, 62, 12), SeriesCircuit(165e6, 50, 12)
    y = 1 / one.impedance_ohm(GRID_HZ) + 1 / two.impedance_ohm(GRID_HZ)
    gamma = (1 - 50 * y) / (1 + 50 * y)
    clean = fit_around(GRID_HZ, gamma, 1e-7, 140e6)
    noisy = fit_around(GRID_HZ, gamma + complex_noise(201, 0.005, 0), 0.005, 140e6)
    assert noisy.weighted.shape[0] > clean.weighted.shape[0]
    assert noisy.is_good


def test_the_first_window_is_used_even_if_it_leaves_more_than_the_noise():
    jagged = 0.5 * np.exp(2j * np.arange(201) ** 2)
    fit = fit_around(GRID_HZ, jagged, 1e-6, 150e6)
    assert not fit.is_good
    assert fit.weighted.shape[0] == 9


@pytest.mark.parametrize("off_khz", [-900, -100, 0, 35, 1200])
def test_least_reflection_of_a_noisy_dip(off_khz):
    """Found from a point off the bottom, as noise presents it."""
    circuit = SeriesCircuit(150.1e6, 62, 8)
    gamma = circuit.reflection(GRID_HZ) + complex_noise(GRID_HZ.size, 0.002, 4)
    least_hz, power = fit_around(GRID_HZ, gamma, 0.002, 150.1e6 + off_khz * 1e3).least()
    assert least_hz == pytest.approx(150.1e6, abs=30e3)
    assert power == pytest.approx((12 / 112) ** 2, rel=0.03)


def test_a_slope_has_no_least_value_inside():
    circuit = SeriesCircuit(119e6, 62, 8)
    fit = fit_around(GRID_HZ, circuit.reflection(GRID_HZ), 0.0, 150e6)
    assert fit.least() is None


def test_a_perfect_match_is_not_negative():
    circuit = SeriesCircuit(150e6, 50, 8)
    least_hz, power = fit_around(GRID_HZ, circuit.reflection(GRID_HZ), 1e-9, 150e6).least()
    assert least_hz == pytest.approx(150e6, abs=10)
    assert 0 <= power < 1e-15


@pytest.mark.parametrize("value", [0, 0.2, 1, -1])
def test_a_constant_has_no_slope(value):
    fit = fit_around(GRID_HZ, np.full(201, value, dtype=complex), 0.0, 150e6)
    assert abs(fit.slope_per_hz) * 150e6 < 1e-9


def test_a_pole_on_a_point_does_no_harm():
    """1/t on the points: no antenna, but a file may hold it."""
    t = np.linspace(-1, 1, 201)
    values = np.where(t == 0, 1e6, 0.01 / np.where(t == 0, 1, t)).astype(complex)
    fit = fit_around(GRID_HZ, values, 0.0, 150e6)
    assert np.isfinite([fit.a0, fit.slope_per_hz, fit.residual]).all()


@pytest.mark.parametrize("at_index", [0, 3, 197, 200])
def test_at_the_ends_of_the_sweep_the_window_is_one_sided(at_index):
    circuit = SeriesCircuit(150e6, 62, 8)
    gamma = behind_line(circuit.reflection(GRID_HZ), GRID_HZ, 0.3)
    at_hz = float(GRID_HZ[at_index])
    fit = fit_around(GRID_HZ, gamma, 0.0, at_hz)
    assert fit.a0 == pytest.approx(gamma[at_index], abs=1e-5)


@pytest.mark.parametrize("last", range(10))
def test_the_window_is_that_of_the_plain_walk_whichever_fits_are_good(last):
    """Outwards from the narrowest, until three in a row are too wide: the last good one."""
    for good in product((False, True), repeat=last):
        best = too_wide = 0
        for rung, is_good in enumerate(good, 1):
            if too_wide == 3:
                break
            too_wide = 0 if is_good else too_wide + 1
            best = rung if is_good else best
        assert widest_good(last, lambda rung, good=good: good[rung - 1]) == best, good


def test_most_of_the_windows_of_a_plain_curve_are_never_fitted():
    asked = set()
    assert widest_good(11, lambda rung: asked.add(rung) is None) == 11
    assert asked == {3, 6, 9, 11}


def test_a_pole_that_noise_draws_between_two_points_is_refused():
    """Flat noise: some windows are fitted by a pole closer to the axis than half a step."""
    t = np.linspace(-1, 1, 41)
    step = t[1] - t[0]
    for distance, is_spike in ((0.4, True), (0.6, False)):
        pole = 0.33 * step + 1j * distance * step
        assert _is_spike(t, -1 / pole) is is_spike
    assert not _is_spike(t, 0j)
    assert not _is_spike(t, -1 / (1.5 + 0.001j))
