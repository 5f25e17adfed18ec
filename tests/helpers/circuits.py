"""Circuits in closed form, written without anything of ours: the truth that tests compare with."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

C_M_PER_S = 299_792_458.0


@dataclass(frozen=True)
class SeriesCircuit:
    """Resistance, inductance and capacitance in series: Z = R (1 + j Q u), u = f/f0 - f0/f."""

    f0_hz: float
    r_ohm: float
    q: float

    def impedance_ohm(self, frequency_hz):
        return self.r_ohm * (1 + 1j * self.q * detuning(frequency_hz, self.f0_hz))

    def reflection(self, frequency_hz, z0_ohm=50.0):
        return reflection_of(self.impedance_ohm(frequency_hz), z0_ohm)

    def swr(self, frequency_hz, z0_ohm=50.0):
        rho = np.abs(self.reflection(frequency_hz, z0_ohm))
        return (1 + rho) / (1 - rho)

    def edges_hz(self, limit_swr, z0_ohm=50.0):
        """Where the SWR is exactly the limit: |G|^2 = rho^2 solved for u, u solved for f."""
        rho_squared = ((limit_swr - 1) / (limit_swr + 1)) ** 2
        above = rho_squared * (self.r_ohm + z0_ohm) ** 2 - (self.r_ohm - z0_ohm) ** 2
        u = math.sqrt(above / (1 - rho_squared)) / (self.q * self.r_ohm)
        return tuple(self.f0_hz * (side * u / 2 + math.sqrt(1 + u * u / 4)) for side in (-1.0, 1.0))


@dataclass(frozen=True)
class ParallelCircuit:
    """Resistance, inductance and capacitance in parallel: Y = (1 + j Q u) / R."""

    f0_hz: float
    r_ohm: float
    q: float

    def impedance_ohm(self, frequency_hz):
        return self.r_ohm / (1 + 1j * self.q * detuning(frequency_hz, self.f0_hz))

    def reflection(self, frequency_hz, z0_ohm=50.0):
        return reflection_of(self.impedance_ohm(frequency_hz), z0_ohm)


def detuning(frequency_hz, f0_hz):
    return frequency_hz / f0_hz - f0_hz / frequency_hz


def reflection_of(z_ohm, z0_ohm=50.0):
    return (z_ohm - z0_ohm) / (z_ohm + z0_ohm)


def impedance_of(reflection, z0_ohm=50.0):
    return z0_ohm * (1 + reflection) / (1 - reflection)


def behind_line(reflection, frequency_hz, length_m, velocity_factor=0.66, loss_db=0.0):
    """Reflection at the near end of a line of the same impedance."""
    turn = 4 * np.pi * frequency_hz * length_m / (C_M_PER_S * velocity_factor)
    return reflection * 10 ** (-loss_db / 10) * np.exp(-1j * turn)


def q_of_impedance(impedance, frequency_hz, step=1e-6):
    """Q by Yaghjian and Best's formula from central differences of a function of frequency."""
    d_hz = frequency_hz * step
    slope = (impedance(frequency_hz + d_hz) - impedance(frequency_hz - d_hz)) / (2 * d_hz)
    z_ohm = impedance(frequency_hz)
    return (
        frequency_hz
        / (2 * z_ohm.real)
        * math.hypot(slope.real, slope.imag + abs(z_ohm.imag) / frequency_hz)
    )


def complex_noise(count, sigma, seed):
    """White noise with that standard deviation in the real and in the imaginary part."""
    generator = np.random.default_rng(seed)
    return sigma * (generator.standard_normal(count) + 1j * generator.standard_normal(count))
