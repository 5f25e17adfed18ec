"""Rounded readings: the parabola of one resonance instead of a plateau."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import ScalarSweep
from fairlead.core.uncertainty.rounded import Rounding, fit_dip, rounding_of

BAND = Band(50e6, 52e6)


def rounded(circuit, hz, decimals=2):
    swr = np.round(circuit.swr(hz), decimals)
    return (swr - 1) / (swr + 1)


def rounded_loss(circuit, hz):
    loss_db = np.round(-20 * np.log10(np.abs(circuit.reflection(hz))), 1)
    return 10 ** (-loss_db / 20)


@pytest.mark.parametrize("rounding", [rounded, rounded_loss])
@pytest.mark.parametrize(("q", "r_ohm"), [(5, 42), (12, 42), (12, 62), (20, 57)])
@pytest.mark.parametrize("count", [101, 1001])
def test_the_dip_is_found_within_the_plateau(rounding, q, r_ohm, count):
    """The plateau's own end is off by up to 200 kHz."""
    hz = np.linspace(48e6, 54e6, count)
    circuit = SeriesCircuit(51.03e6, r_ohm, q)
    own = figures(ScalarSweep(hz, rounding(circuit, hz)), BAND, 50.0)
    assert own.best_match_hz == pytest.approx(51.03e6, abs=6e3)
    assert own.best_match_swr == pytest.approx(float(circuit.swr(51.03e6)), abs=0.01)


@pytest.mark.parametrize("places_mhz", [(50.4, 51, 51.6), (50, 50.5, 51, 51.5, 52)])
def test_a_few_typed_readings_are_enough(places_mhz):
    hz = np.array(places_mhz) * 1e6
    circuit = SeriesCircuit(51.1e6, 62, 12)
    own = figures(ScalarSweep(hz, rounded(circuit, hz)), BAND, 50.0)
    assert own.best_match_hz == pytest.approx(51.1e6, abs=10e3)
    assert own.best_match_swr == pytest.approx(1.24, abs=0.03)
    far = figures(ScalarSweep(hz, rounded(circuit, hz)), Band(40e6, 45e6), 50.0)
    assert far.best_match_hz is None


def test_the_rounding_is_read_from_the_digits():
    hz = np.linspace(50e6, 52e6, 21)
    circuit = SeriesCircuit(51e6, 62, 12)
    assert rounding_of(rounded(circuit, hz)) == Rounding(0.01, is_swr=True)
    assert rounding_of(rounded(circuit, hz, 1)) == Rounding(0.1, is_swr=True)
    assert rounding_of(rounded_loss(circuit, hz)) == Rounding(0.1, is_swr=False)
    assert rounding_of(np.abs(circuit.reflection(hz))) is None
    assert rounding_of(np.array([0.2, 0.3])) is None


def test_what_is_no_single_resonance_is_not_fitted():
    hz = np.linspace(50e6, 52e6, 6)
    step = Rounding(0.01, is_swr=True)
    for swr in ([3, 1.5, 2.5, 1.2, 2, 4], [1.2, 1.5, 2, 2.6, 3.3, 4], [2, 3, 3.5, 3.4, 3, 2]):
        rho = (np.array(swr) - 1) / (np.array(swr) + 1)
        assert fit_dip(hz, rho, step, float(hz[rho.argmin()])) is None
    assert fit_dip(hz, np.array([1, 0.5, 0.2, 0.1, 0.3, 0.6]), step, 51.2e6) is None
    long_hz = np.linspace(50e6, 52e6, 9)
    spike = np.array([0.9, 0.9, 0.9, 0.9, 0.1, 0.9, 0.9, 0.9, 0.9])
    assert fit_dip(long_hz, spike, step, 51e6) is None
    assert fit_dip(long_hz, np.full(9, 0.2), step, 51e6) is None


def test_a_dip_at_the_last_points_is_not_read_through_two():
    """Two points lie on any parabola; one that bottoms between them would be invented."""
    hz = np.linspace(50e6, 52e6, 9)
    swr = np.array([9, 8, 7, 6, 5, 4, 3, 1.22, 1.21])
    rho = (swr - 1) / (swr + 1)
    assert fit_dip(hz, rho, Rounding(0.01, is_swr=True), float(hz[-1])) is None


def test_readings_on_one_side_of_the_dip_do_not_tell_it():
    hz = np.linspace(51.5e6, 53e6, 5)
    rho = rounded(SeriesCircuit(51e6, 62, 12), hz)
    assert fit_dip(hz, rho, Rounding(0.01, is_swr=True), float(hz[0])) is None


def test_a_dip_of_few_points_is_read_through_four_of_them():
    """Two points lie under 1.6 times the least SWR; the cubic in |G|^2 said 1.13."""
    circuit = SeriesCircuit(406.404e6, 50.4, 5.8)
    hz = np.linspace(136.02e6, 1214.29e6, 51)
    size = np.abs(circuit.reflection(hz))
    swr = np.round((1 + size) / (1 - size), 2)
    own = figures(ScalarSweep(hz, (swr - 1) / (swr + 1)), Band(200e6, 1100e6), 50.0)
    assert own.best_match_swr < 1.03
    assert own.best_match_hz == pytest.approx(406.404e6, abs=0.3e6)
