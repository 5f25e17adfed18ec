"""The model of two sweeps: closed forms and its gradient."""

from __future__ import annotations

import numpy as np
import pytest
from change_families import through
from circuits import SeriesCircuit, behind_line

from fairlead.core.comparison.parts.resonator import PHI, SIZE, THETA, Model, own

GRID_HZ = np.linspace(90e6, 110e6, 9)
TURN = 4 * np.pi * 1e8 * 3.0 / (299_792_458.0 * 0.66)


MODEL = Model((GRID_HZ, GRID_HZ), 1e8)


def reflection(parameters, which):
    return MODEL.at(parameters).value.reshape(2, -1)[which]


def of_circuit(circuit, which, turn=0.0):
    parameters = np.zeros(SIZE)
    parameters[THETA], parameters[PHI] = turn, -turn
    parameters[own(which)] = np.log([circuit.f0_hz / 1e8, circuit.r_ohm / 50, circuit.q])
    return parameters


@pytest.mark.parametrize("which", [0, 1])
def test_a_circuit_is_that_circuit(which):
    circuit = SeriesCircuit(99e6, 62, 9)
    value = reflection(of_circuit(circuit, which), which)
    np.testing.assert_allclose(value, circuit.reflection(GRID_HZ), atol=1e-12)


def test_a_delay_is_a_matched_line():
    circuit = SeriesCircuit(99e6, 62, 9)
    value = reflection(of_circuit(circuit, 0, TURN), 0)
    expected = behind_line(circuit.reflection(GRID_HZ), GRID_HZ, 3.0)
    np.testing.assert_allclose(value, expected, atol=1e-12)


def test_another_impedance_of_the_line_is_told_by_one_number():
    circuit = SeriesCircuit(99e6, 62, 9)
    parameters = of_circuit(SeriesCircuit(99e6, 62 * 50 / 75, 9), 0, TURN)
    parameters[6] = (75 - 50) / (75 + 50)
    value = reflection(parameters, 0)
    expected = through(circuit.impedance_ohm(GRID_HZ), GRID_HZ, 3.0, 0.0, 75.0)
    np.testing.assert_allclose(value, expected, atol=1e-12)


def test_the_gradient_is_that_of_differences():
    shared = np.concatenate(([3, 0.1, 1], np.random.default_rng(3).uniform(0, 0.4, 8)))
    parameters = np.concatenate((shared, [0.01, 0.1, 2.3, -0.01, 0.2, 2.4]))
    gradient = MODEL.gradient(MODEL.at(parameters))
    step = 1e-6
    for at, unit in enumerate(np.eye(SIZE)):
        high, low = (MODEL.at(parameters + side * step * unit).value for side in (1, -1))
        np.testing.assert_allclose(gradient[at], (high - low) / (2 * step), atol=1e-7)
