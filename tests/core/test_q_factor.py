"""When there is a Q and when there is none. Its value: tests/published and test_acceptance."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise, impedance_of, q_of_impedance

from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.q_factor import q_at
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(48e6, 54e6, 101)
CIRCUIT = SeriesCircuit(51e6, 62, 8)


def q_of(gamma, at_hz=51e6, frequency_hz=GRID_HZ):
    return q_at(analyse(Sweep(frequency_hz, gamma), 50.0), at_hz)


@pytest.mark.parametrize("length_m", [1, 5, 12, 30])
@pytest.mark.parametrize("at_mhz", [50.5, 51.0, 51.37])
def test_behind_a_line_it_is_that_of_the_impedance_there(length_m, at_mhz):
    """What is fed through a line stores energy in the line too: another Q, but the right one."""

    def reflection(hz):
        return behind_line(CIRCUIT.reflection(hz), hz, length_m)

    expected = q_of_impedance(lambda hz: impedance_of(reflection(hz)), at_mhz * 1e6)
    assert q_of(reflection(GRID_HZ), at_mhz * 1e6) == pytest.approx(expected, rel=5e-3)


def test_a_coarse_sweep_behind_a_long_line():
    """200 kHz steps behind 30 m: 22 degrees a point, which the fit alone misses by 9 %."""
    frequency_hz = np.linspace(40e6, 60e6, 101)

    def reflection(hz):
        return behind_line(CIRCUIT.reflection(hz), hz, 30)

    found = q_of(reflection(frequency_hz), 50.5e6, frequency_hz)
    expected = q_of_impedance(lambda hz: impedance_of(reflection(hz)), 50.5e6)
    assert found == pytest.approx(expected, rel=1e-3)


def test_a_scalar_sweep_has_none():
    sweep = ScalarSweep(GRID_HZ, np.abs(CIRCUIT.reflection(GRID_HZ)))
    assert q_at(analyse(sweep, 50.0), 51e6) is None


def test_four_points_have_none():
    frequency_hz = np.linspace(50e6, 52e6, 4)
    assert q_of(CIRCUIT.reflection(frequency_hz), 51e6, frequency_hz) is None


@pytest.mark.parametrize("gamma", [0.0, 0.2, -0.4])
def test_a_resistor_has_none(gamma):
    assert q_of(np.full(101, gamma)) is None


def test_a_constant_reactance_has_what_the_formula_says():
    """30 + j40 ohm at all frequencies: only |X0| / w0 is left, Q = 40 / (2 x 30)."""
    assert q_of(np.full(101, 0.5j)) == pytest.approx(40 / 60)


@pytest.mark.parametrize("gamma", [1.0, -1.0, 1j, 1.05])
def test_without_a_positive_resistance_there_is_none(gamma):
    assert q_of(np.full(101, gamma) * np.exp(1j * np.linspace(0, 0.5, 101))) is None


def test_a_resistance_lost_in_noise_gives_none():
    """|G| = 0.999 with noise of 0.01: whether the resistance is 0.03 ohm or 0.1 nobody knows."""
    gamma = 0.999 * np.exp(2j * np.linspace(1, 2, 101)) + complex_noise(101, 0.01, 2)
    assert q_of(gamma) is None


def test_it_is_computed_once():
    analysis = analyse(Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ)), 50.0)
    assert q_at(analysis, 51e6) == q_at(analysis, 51e6)
    assert list(analysis.q_by_frequency) == [51e6]


def test_a_drag_does_not_fill_the_memory():
    analysis = analyse(Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ)), 50.0)
    found = [q_at(analysis, at_hz) for at_hz in np.linspace(50.5e6, 51.5e6, 50)]
    assert None not in found
    assert len(analysis.q_by_frequency) <= 16
