"""The model of two sweeps: one resonance behind one feed line that both share.

    G_k = (rho + h_k) / (1 + rho h_k),    h_k = g (z_k - 1) / (z_k + 1)
    g   = exp(-a L^e + j phi - j theta (L - 1)),    L = f / fc
    z_k = r_k ((1 - w_k) E + w_k + j Q_k u_k (1 + x u_k + y u_k^2)),    u_k = f/f0_k - f0_k/f
    E   = exp(p (l + 0.47 l^2 + 0.48 l^3) + c l^2),    l = ln(f/f0_k)

Common to both: the delay theta (radians at fc), the line's loss a and its exponent e, the phase
phi, and rho, by how much the line's impedance differs from the reference impedance; the rise p of
the resistance with frequency, in the shape that a solver's thin dipoles and monopoles share, and
how it departs from that (c); the bends x and y of the reactance. A share w of the resistance does
not rise; its mean and its change d are parameters. Each sweep's own: f0, r and Q. A constant
reactance in series or across the feed only turns phi, scales both r alike and moves both f0
alike; a parallel circuit is the same with phi + pi and 1/z. Parameters in this order: theta, a,
phi, p, d, x, rho, y, c, w, e; ln(f0/fc), ln r, ln Q of the reference; the same of the other
sweep.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray, IntArray

SHARED = 11
"""Number of parameters common to both sweeps; three for each sweep follow."""
SIZE = SHARED + 6
THETA, LOSS, PHI = 0, 1, 2
_SECOND, _THIRD = 0.47, 0.48


def own(which: int) -> slice:
    """Indices of ln(f0/fc), ln r and ln Q of a sweep; 0 is the reference, 1 the other one."""
    return slice(SHARED + 3 * which, SHARED + 3 * which + 3)


class Model:
    """The model at the points of both sweeps, those of the reference first.

    Parameters
    ----------
    frequencies_hz : tuple of FloatArray, shape (n,) each
        Of the reference and of the other sweep.
    centre_hz : float
        fc.
    """

    def __init__(self, frequencies_hz: tuple[FloatArray, FloatArray], centre_hz: float) -> None:
        first, second = frequencies_hz
        self._first = first.size
        self._which: IntArray = np.repeat([0, 1], [first.size, second.size])
        self._sign = self._which - 0.5
        self._scale = np.concatenate(frequencies_hz) / centre_hz
        self._log = np.log(self._scale)

    def at(self, parameters: FloatArray) -> Seen:
        """The reflection with these parameters, shape (17,), and what its gradient needs."""
        theta, loss, phi, slope, growth, bend, rho, cubic, curve, share, law = parameters[
            :SHARED
        ].tolist()
        both = parameters[SHARED:].reshape(2, 3)
        at, level, damping = both[self._which].T
        log = self._log - at
        relative = np.exp(log)
        u = relative - 1 / relative
        r, q = np.exp(level), np.exp(damping)
        flat = share + self._sign * growth
        shape = log * (1 + (_SECOND + _THIRD * log) * log)
        rising = r * (1 - flat) * np.exp(slope * shape + curve * log * log)
        z = rising + r * flat + 1j * (r * q * u * (1 + (bend + cubic * u) * u))
        root = np.exp(law * self._log)
        line = np.exp(-loss * root + 1j * (phi - theta * (self._scale - 1)))
        h = line * (z - 1) / (z + 1)
        value = (rho + h) / (1 + rho * h)
        return Seen(parameters, value, log, u, z, rising, r, r * q, root, line, h)

    def gradient(self, seen: Seen) -> ComplexArray:
        """Of the reflection by each parameter, shape (17, n)."""
        _, loss, _, slope, _, bend, rho, cubic, curve, share, _ = seen.parameters[:SHARED].tolist()
        u, z, log, rising, line, h = seen.u, seen.z, seen.log, seen.rising, seen.line, seen.h
        growth = seen.parameters[4]
        flat = share + self._sign * growth
        below = 1 / (1 + rho * h) ** 2
        of_h = (1 - rho * rho) * below
        of_z = of_h * line * 2 / (z + 1) ** 2
        of_x = 1j * of_z * seen.steepness
        turned = of_h * h
        gradient = np.zeros((SIZE, u.size), dtype=np.complex128)
        gradient[THETA] = -1j * (self._scale - 1) * turned
        gradient[LOSS] = -seen.root * turned
        gradient[10] = loss * self._log * gradient[LOSS]
        gradient[PHI] = 1j * turned
        of_rising = of_z * rising
        gradient[3] = of_rising * (log * (1 + (_SECOND + _THIRD * log) * log))
        gradient[9] = of_z * (seen.r - rising / (1 - flat))
        gradient[4] = self._sign * gradient[9]
        square = log * log
        gradient[8] = of_rising * square
        gradient[5] = of_x * (u * u)
        gradient[7] = gradient[5] * u
        gradient[6] = (1 - h * h) * below
        steep = slope * (1 + (2 * _SECOND + 3 * _THIRD * log) * log) + 2 * curve * log
        wide = np.sqrt(u * u + 4)
        own_rows = (
            -of_rising * steep - of_x * ((1 + (2 * bend + 3 * cubic * u) * u) * wide),
            of_z * z,
            1j * of_z * z.imag,
        )
        for at, row in enumerate(own_rows):
            gradient[SHARED + at, : self._first] = row[: self._first]
            gradient[SHARED + 3 + at, self._first :] = row[self._first :]
        return gradient


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """The model with given parameters.

    Attributes
    ----------
    parameters : FloatArray, shape (17,)
    value : ComplexArray, shape (n,)
        Reflection at the points of both sweeps; the rest are terms of it, of the same shape.
    """

    parameters: FloatArray
    value: ComplexArray
    log: FloatArray
    u: FloatArray
    z: ComplexArray
    rising: FloatArray
    r: FloatArray
    steepness: FloatArray
    root: FloatArray
    line: ComplexArray
    h: ComplexArray
