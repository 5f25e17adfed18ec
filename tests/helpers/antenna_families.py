"""Families of antennas with known truth, for tests of coverage; nothing here is ours to test.

Each draws one antenna at random: a function from frequency to reflection at 50 ohm, the frequency
of its wanted match, and about how wide that is. Element values are invented.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

C_M_PER_S = 299_792_458.0
TWO_PI = 2 * math.pi


@dataclass(frozen=True)
class Antenna:
    """A truth: reflection over frequency, where to look, and how wide the dip is."""

    reflection: Callable
    centre_hz: float
    width_hz: float
    span_hz: float | None = None

    @property
    def widest_hz(self):
        """The widest sweep over which the reflection is known, or makes sense."""
        return 1.2 * self.centre_hz if self.span_hz is None else self.span_hz


def reflection_of(z_ohm):
    return (z_ohm - 50.0) / (z_ohm + 50.0)


def tuned(frequency_hz, f0_hz, r_ohm, q):
    return r_ohm * (1 + 1j * q * (frequency_hz / f0_hz - f0_hz / frequency_hz))


def line(frequency_hz, length_m, loss_db_per_m_at_10_mhz):
    """Factor of a matched line: turned twice its length, loss by the root of the frequency."""
    loss_db = 2 * length_m * loss_db_per_m_at_10_mhz * np.sqrt(frequency_hz / 10e6)
    turn = 2 * TWO_PI * frequency_hz * length_m / (0.66 * C_M_PER_S)
    return 10 ** (-loss_db / 20) * np.exp(-1j * turn)


def log_uniform(rng, low, high):
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def series_circuit(rng):
    f0_hz, q = log_uniform(rng, 3e6, 450e6), log_uniform(rng, 3, 300)
    r_ohm = log_uniform(rng, 30, 85)
    return Antenna(lambda hz: reflection_of(tuned(hz, f0_hz, r_ohm, q)), f0_hz, 0.7 * f0_hz / q)


def series_behind_line(rng):
    f0_hz, q = log_uniform(rng, 3e6, 150e6), log_uniform(rng, 3, 100)
    r_ohm, length_m = log_uniform(rng, 30, 85), log_uniform(rng, 0.5, 30)
    loss = rng.uniform(0, 0.03)
    return Antenna(
        lambda hz: reflection_of(tuned(hz, f0_hz, r_ohm, q)) * line(hz, length_m, loss),
        f0_hz,
        0.7 * f0_hz / q,
    )


def fan_behind_line(rng):
    """Two or three wires at one feed point, behind a line."""
    f0_hz, q = log_uniform(rng, 3e6, 30e6), log_uniform(rng, 8, 25)
    ratio = rng.uniform(1.6, 2.2)
    rows = [(f0_hz * ratio**k, log_uniform(rng, 40, 75), q) for k in range(int(rng.integers(2, 4)))]
    length_m, loss = log_uniform(rng, 0.5, 20), rng.uniform(0, 0.02)
    wanted = int(rng.integers(len(rows)))

    def reflection(hz):
        y = sum(1 / tuned(hz, *row) for row in rows)
        return reflection_of(1 / y) * line(hz, length_m, loss)

    return Antenna(reflection, rows[wanted][0], 0.7 * rows[wanted][0] / q)


def small_loop(rng):
    """A tuned loop, coupled by a small one that is fed."""
    f0_hz, q = log_uniform(rng, 3e6, 30e6), log_uniform(rng, 80, 300)
    inductance_h = 3e-6
    r_ohm = TWO_PI * f0_hz * inductance_h / q
    # Coupled resistance (w M)^2 / R near 50 ohm at the resonance.
    coupled = rng.uniform(35, 75)
    fed_h = rng.uniform(0.1e-6, 0.25e-6) * 10e6 / f0_hz

    def reflection(hz):
        mutual = np.sqrt(coupled * r_ohm) * hz / f0_hz
        return reflection_of(1j * TWO_PI * hz * fed_h + mutual**2 / tuned(hz, f0_hz, r_ohm, q))

    return Antenna(reflection, f0_hz, 0.7 * f0_hz / q)


def end_fed(rng):
    """A half-wave wire of some kilohms behind a transformer with leakage and stray capacitance."""
    f0_hz, q = log_uniform(rng, 3e6, 30e6), log_uniform(rng, 8, 20)
    r_ohm = rng.uniform(2000, 3200)
    leak_h = rng.uniform(0.05, 0.3) * 50 / (TWO_PI * f0_hz)
    main_h = rng.uniform(5, 12) * 50 / (TWO_PI * f0_hz)
    stray_f = rng.uniform(0.02, 0.2) / 50 / (TWO_PI * f0_hz)

    def reflection(hz):
        w = TWO_PI * hz
        # A parallel resonance at the end of a half-wave wire.
        wire = r_ohm / (1 + 1j * q * (hz / f0_hz - f0_hz / hz)) / 49
        inner = 1 / (1 / (wire + 1j * w * leak_h) + 1 / (1j * w * main_h))
        return reflection_of(1 / (1 / inner + 1j * w * stray_f))

    return Antenna(reflection, f0_hz, 0.7 * f0_hz / q)


def has_solver():
    """Whether the antenna solver is installed here."""
    return find_spec("PyNEC") is not None


@cache
def solved(kind):
    """Impedance of a dipole or monopole by NEC-2 as a smooth function of frequency.

    A polynomial of degree 24 through values at Chebyshev's points: what it leaves is below 1e-6 of
    the impedance.
    """
    from PyNEC import nec_context  # noqa: PLC0415  (only where there is a solver)

    low_hz, high_hz = 11e6, 18e6
    nodes = np.cos(np.pi * (np.arange(25) + 0.5) / 25)
    places_hz = low_hz + (nodes + 1) / 2 * (high_hz - low_hz)
    values = []
    for hz in places_hz:
        context = nec_context()
        geometry = context.get_geometry()
        if kind == "dipole":
            geometry.wire(1, 41, 0, 0, -5.1, 0, 0, 5.1, 1e-3, 1, 1)
            context.geometry_complete(0)
            fed = 21
        else:
            geometry.wire(1, 21, 0, 0, 0, 0, 0, 5.1, 2e-2, 1, 1)
            context.geometry_complete(1)
            context.gn_card(1, 0, 0, 0, 0, 0, 0, 0)
            fed = 1
        context.ex_card(0, 1, fed, 0, 0, 1, 0, 0, 0, 0, 0)
        context.fr_card(0, 1, hz / 1e6, 0)
        context.xq_card(0)
        values.append(complex(context.get_input_parameters(0).get_impedance()[0]))
    values = np.array(values)
    fitted = [
        np.polynomial.chebyshev.chebfit(nodes, part, 24) for part in (values.real, values.imag)
    ]

    def impedance(hz):
        x = 2 * (np.asarray(hz) - low_hz) / (high_hz - low_hz) - 1
        real, imag = (np.polynomial.chebyshev.chebval(x, part) for part in fitted)
        return real + 1j * imag

    return impedance


def solved_antenna(kind, rng):
    impedance = solved(kind)
    added_ohm = rng.uniform(0, 15) if kind == "monopole" else 0.0
    length_m = log_uniform(rng, 0.5, 15) if rng.random() < 0.5 else 0.0
    return Antenna(
        lambda hz: reflection_of(impedance(hz) + added_ohm) * line(hz, length_m, 0.01),
        14.2e6,
        0.8e6,
        5e6,
    )


def solver_dipole(rng):
    return solved_antenna("dipole", rng)


def solver_monopole(rng):
    return solved_antenna("monopole", rng)


FAMILIES = {
    "series": series_circuit,
    "series + line": series_behind_line,
    "fan + line": fan_behind_line,
    "small loop": small_loop,
    "end-fed": end_fed,
}
SOLVED = {"solver dipole": solver_dipole, "solver monopole": solver_monopole}
