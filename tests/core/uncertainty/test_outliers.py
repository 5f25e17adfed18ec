"""Single wild points are left out; a steep resonance is not taken for one."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.outliers import outliers_of

HZ = np.linspace(45e6, 57e6, 401)
CIRCUIT = SeriesCircuit(51e6, 62, 8)
SIGMA = 0.002


def noisy(seed=0):
    return CIRCUIT.reflection(HZ) + complex_noise(401, SIGMA, seed)


@pytest.mark.parametrize("scalar", [False, True])
@pytest.mark.parametrize("places", [[100], [100, 101], [60, 250, 251, 330]])
def test_carriers_of_20_sigma_are_found_and_nothing_else(places, scalar):
    for seed in range(20):
        gamma = noisy(seed)
        gamma[places] *= 1 + 25 * SIGMA * np.sqrt(2) / np.abs(gamma[places])
        sweep = ScalarSweep(HZ, np.abs(gamma)) if scalar else Sweep(HZ, gamma)
        assert analyse(sweep, 50.0).outliers.tolist() == places


def test_a_step_of_a_quiet_analyzer_below_minus_60_db_is_none():
    gamma = CIRCUIT.reflection(HZ) + complex_noise(401, 1e-5, 3)
    gamma[100] += 0.0008
    gamma[250:252] -= 0.0008
    gamma[300] += 0.002
    assert analyse(Sweep(HZ, gamma), 50.0).outliers.tolist() == [300]


def test_they_are_left_out_of_the_figures():
    gamma = noisy()
    gamma[300] = 0
    own = figures(Sweep(HZ, gamma), Band(50e6, 56e6), 50.0)
    assert own.outliers == 1
    assert own.best_match_hz == pytest.approx(51e6, abs=30e3)


@pytest.mark.parametrize("q", [300, 1000, 3000])
@pytest.mark.parametrize("points_a_width", [3, 2, 1])
def test_a_steep_resonance_is_none(q, points_a_width):
    """Width: between the half-power points of the loaded circuit, 2 f0 / Q at a match."""
    circuit = SeriesCircuit(50e6, 50, q)
    step_hz = 100e6 / q / points_a_width
    for seed in range(20):
        hz = 50e6 + step_hz * (np.arange(-40, 41) + seed / 20)
        gamma = circuit.reflection(hz) + complex_noise(81, 0.001, seed)
        assert outliers_of(hz, gamma, 0.001).size == 0
        assert outliers_of(hz, np.abs(gamma) ** 2, 0.002 * np.abs(gamma)).size == 0


def test_noise_and_a_long_line_have_none():
    for seed in range(20):
        gamma = behind_line(noisy(seed), HZ, 20)
        assert analyse(Sweep(HZ, gamma), 50.0).outliers.size == 0


def test_a_sweep_full_of_them_has_none_but_is_rough():
    gamma = noisy()
    gamma[10:390:12] += 0.3
    assert outliers_of(HZ, gamma, SIGMA).size == 0


def test_few_points_and_a_change_of_step_tell_none():
    gamma = noisy()
    gamma[6] += 0.3
    assert outliers_of(HZ[:11], gamma[:11], SIGMA).size == 0
    uneven_hz = HZ.copy()
    uneven_hz[:7] -= 1e6
    assert outliers_of(uneven_hz, gamma, SIGMA).size == 0
