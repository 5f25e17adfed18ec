"""Fits around one place: exact on circuits, white windows, influence against brute force."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise, impedance_of, q_of_impedance

from fairlead.core.uncertainty.estimates import (
    crossing,
    magnitude_at,
    q_estimate,
    quantile,
    turning_point,
)
from fairlead.core.uncertainty.influence import Influence
from fairlead.core.uncertainty.local_fit import fit_local
from fairlead.core.uncertainty.scalar_fit import fit_scalar
from fairlead.core.uncertainty.window_fit import fit_widest, is_good, lag_of, nearest

GRID_HZ = np.linspace(140e6, 160e6, 201)
CIRCUIT = SeriesCircuit(150e6, 62, 8)
EXACT = CIRCUIT.reflection(GRID_HZ)
NOISE = 1e-4


def fit_of(values, at_hz=150.3e6, half=60):
    if np.iscomplexobj(values):
        return fit_local(GRID_HZ, values, at_hz, half)
    return fit_scalar(GRID_HZ, values, NOISE, at_hz, half)


ESTIMATES = {
    "match": lambda fit: turning_point(fit, 0.0)[0],
    "rho": lambda fit: turning_point(fit, 0.0)[1],
    "edge": lambda fit: magnitude_at(fit, 0.0, 151e6),
    "end": lambda fit: crossing(fit, 0.0, 0.2)[0],
}
Q = {"q": lambda fit: q_estimate(fit, 0.0, 150.2e6, 50.0, 3e-9)}


@pytest.mark.parametrize("name", ESTIMATES)
@pytest.mark.parametrize("values", [EXACT, np.abs(EXACT)], ids=["complex", "scalar"])
def test_figures_of_a_circuit_are_exact(name, values):
    expected = {
        "match": 150e6,
        "rho": 12 / 112,
        "edge": abs(CIRCUIT.reflection(151e6)),
        "end": CIRCUIT.edges_hz(1.5)[1],
    }[name]
    assert ESTIMATES[name](fit_of(values)).value == pytest.approx(expected, rel=1e-7)


def test_q_with_a_delay_put_back():
    def reflection(hz):
        return behind_line(CIRCUIT.reflection(hz), hz, 3.0)

    delay_s = 4 * np.pi * 3.0 / (299_792_458.0 * 0.66) / (2 * np.pi)
    fit = fit_of(EXACT)
    found = q_estimate(fit, 0.0, 150.2e6, 50.0, delay_s)
    expected = q_of_impedance(lambda hz: impedance_of(reflection(hz)), 150.2e6)
    assert found.value == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("name", [*ESTIMATES, "q"])
@pytest.mark.parametrize("half", [60, 200])
def test_the_influence_is_what_small_errors_do(name, half):
    """At random errors of 1e-7 on every point: the same fit and figure, done again."""
    estimate = {**ESTIMATES, **Q}[name]
    before = estimate(fit_of(EXACT, half=half))
    error = complex_noise(GRID_HZ.size, 1e-7, 5)
    after = estimate(fit_of(EXACT + error, half=half))
    part = error[before.influence.start : before.influence.stop]
    assert after.value - before.value == pytest.approx(
        np.vdot(before.influence.c, part).real, rel=2e-3
    )


@pytest.mark.parametrize("name", ESTIMATES)
def test_the_influence_on_a_scalar_fit(name):
    before = ESTIMATES[name](fit_of(np.abs(EXACT)))
    error = 1e-7 * np.random.default_rng(5).standard_normal(GRID_HZ.size)
    after = ESTIMATES[name](fit_of(np.abs(EXACT) + error))
    part = error[before.influence.start : before.influence.stop]
    assert after.value - before.value == pytest.approx(
        float(before.influence.c.real @ part), rel=0.02
    )


def test_a_dense_window_is_averaged_without_moving_the_figure():
    grid_hz = np.linspace(140e6, 160e6, 5001)
    exact = CIRCUIT.reflection(grid_hz)
    fit = fit_local(grid_hz, exact, 150.3e6, 2500)
    assert fit.window.group > 1
    found = turning_point(fit, 0.0)[0]
    assert found.value == pytest.approx(150e6, abs=2)
    assert found.influence.c.size == fit.window.group * fit.window.t.size
    # A straight line moves a mean by what it moves the points.
    scalar = fit_scalar(grid_hz, np.abs(exact), NOISE, 150.3e6, 2500)
    assert turning_point(scalar, 0.0)[0].value == pytest.approx(150e6, abs=50)


def test_the_uncertainty_is_that_of_repeated_sweeps():
    def once(seed):
        fit = fit_of(EXACT + complex_noise(GRID_HZ.size, 0.003, seed))
        return turning_point(fit, 0.003)[0]

    found = [once(seed) for seed in range(200)]
    spread = np.std([one.value for one in found])
    assert np.median([one.uncertainty for one in found]) == pytest.approx(spread, rel=0.15)


def test_a_width_knows_what_its_ends_have_in_common():
    low = crossing(fit_of(EXACT, CIRCUIT.edges_hz(1.5)[0], 60), 0.01, 0.2)[0]
    high = crossing(fit_of(EXACT, CIRCUIT.edges_hz(1.5)[1], 60), 0.01, 0.2)[0]
    width = high.minus(low)
    apart = np.hypot(low.uncertainty, high.uncertainty)
    assert width.value == pytest.approx(np.diff(CIRCUIT.edges_hz(1.5))[0], rel=1e-7)
    assert width.uncertainty != pytest.approx(apart, rel=1e-3)


def test_the_length_of_an_influence_is_the_uncertainty_for_a_noise_of_one():
    assert Influence(1, np.array([1.0, 1j])).length == pytest.approx(2**0.5)


def window(values, noise, guess, at_hz=150.3e6):
    index = nearest(GRID_HZ, at_hz)
    return fit_widest(
        lambda half: fit_local(GRID_HZ, values, at_hz, half),
        noise,
        max(index, GRID_HZ.size - 1 - index),
        guess,
    )


@pytest.mark.parametrize("guess", [1, 10, 60, 5000])
def test_the_window_does_not_depend_on_the_guess(guess):
    """A single circuit fits at any width: two steps back from the whole sweep."""
    noisy = EXACT + complex_noise(GRID_HZ.size, 0.003, 1)
    assert window(noisy, 0.003, guess).half_width == pytest.approx(56, abs=3)


def test_what_is_not_a_circuit_is_fitted_narrower_with_less_noise():
    """Three resonances in parallel behind a line."""
    circuits = [SeriesCircuit(f, 60, 20) for f in (143e6, 150e6, 157e6)]
    y = sum(1 / circuit.impedance_ohm(GRID_HZ) for circuit in circuits)
    exact = behind_line((1 - 50 * y) / (1 + 50 * y), GRID_HZ, 5)
    widths = [
        window(exact + complex_noise(GRID_HZ.size, noise, 2), noise, 40).half_width
        for noise in (1e-4, 1e-2)
    ]
    assert widths[0] < widths[1]


def test_what_no_window_fits_has_no_fit():
    jagged = 0.5 * np.exp(2j * np.arange(201) ** 2)
    assert window(jagged, 1e-3, 40) is None


def test_too_few_points_have_no_fit():
    assert fit_local(GRID_HZ[:4], EXACT[:4], 140.1e6, 3) is None
    assert fit_scalar(GRID_HZ[:5], np.abs(EXACT[:5]), NOISE, 140.1e6, 4) is None
    assert not is_good(None, 1.0)


def test_points_that_determine_nothing_have_no_fit():
    assert fit_local(GRID_HZ, np.zeros(201, complex), 150e6, 20) is None
    assert fit_scalar(GRID_HZ, np.zeros(201), NOISE, 150e6, 20) is None


def test_an_alternating_residual_is_not_correlated_and_none_is_white():
    assert lag_of(np.array([1.0, -1, 1, -1]), 1) < 0
    assert lag_of(np.zeros(4), 1) == 0


def test_nearest_point():
    grid = np.array([1.0, 2.0, 4.0])
    assert [nearest(grid, hz) for hz in (0.5, 1.4, 1.6, 3.1, 9.0)] == [0, 0, 1, 2, 2]


def test_a_slope_has_no_turning_point():
    circuit = SeriesCircuit(130e6, 62, 8)
    fit = fit_of(circuit.reflection(GRID_HZ))
    assert turning_point(fit, 0.0) is None


def test_the_largest_between_two_dips():
    """Seen from a pole: an open circuit with a parallel resonance has its worst inside."""
    exact = CIRCUIT.reflection(GRID_HZ) ** -1 * 0.05
    top = turning_point(fit_of(exact), 0.0, least=False)
    assert top[0].value == pytest.approx(150e6, rel=1e-7)


def test_a_constant_turns_nowhere_and_crosses_nothing():
    flat = 0.2 + complex_noise(GRID_HZ.size, 1e-3, 0) * 0
    flat[0] += 1e-12
    fit = fit_of(flat)
    assert fit is None or turning_point(fit, 0.0) is None
    assert fit is None or crossing(fit, 0.0, 0.5) is None


def test_a_level_outside_the_window_is_not_crossed():
    assert crossing(fit_of(EXACT, half=10), 0.0, 0.9) is None


def test_a_level_below_the_dip_is_not_crossed():
    assert crossing(fit_of(EXACT, half=100), 0.0, 0.01) is None


def test_at_a_perfect_match_the_error_across_the_curve_counts():
    perfect = SeriesCircuit(150e6, 50, 8).reflection(GRID_HZ)
    found = magnitude_at(fit_of(perfect), 0.01, 150e6)
    assert found.value < 1e-9
    assert found.uncertainty > 0


def test_no_resistance_has_no_q():
    total = np.exp(1j * np.linspace(0, 1, 201))
    assert q_estimate(fit_of(total), 0.0, 150.3e6, 50.0, 0.0) is None


@pytest.mark.parametrize(("freedom", "exact"), [(4, 2.776), (10, 2.228), (30, 2.042)])
def test_quantiles(freedom, exact):
    assert quantile(freedom) == pytest.approx(exact, rel=0.012)
