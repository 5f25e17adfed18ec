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

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

SHARED = 11
"""So many parameters belong to both sweeps; three to each follow."""
SIZE = SHARED + 6
THETA, LOSS, PHI = 0, 1, 2
_SECOND, _THIRD = 0.47, 0.48


def own(which: int) -> slice:
    """Where ln(f0/fc), ln r and ln Q of a sweep stand; 0 is the reference, 1 the other one."""
    return slice(SHARED + 3 * which, SHARED + 3 * which + 3)


def reflection(
    parameters: FloatArray, frequency_hz: FloatArray, centre_hz: float, which: int
) -> tuple[ComplexArray, ComplexArray]:
    """Reflection of one of the two sweeps and its gradient.

    Parameters
    ----------
    parameters : FloatArray, shape (17,)
    frequency_hz : FloatArray, shape (n,)
    centre_hz : float
        fc.
    which : int
        0 for the reference, 1 for the other sweep.

    Returns
    -------
    ComplexArray, shape (n,)
    ComplexArray, shape (n, 17)
        By each parameter.
    """
    theta, loss, phi, slope, growth, bend, rho, cubic, curve, share, law = parameters[
        :SHARED
    ].tolist()
    at, level, damping = parameters[own(which)].tolist()
    sign = 0.5 if which else -0.5
    scale = frequency_hz / centre_hz
    relative = scale * np.exp(-at)
    u = relative - 1 / relative
    log = np.log(relative)
    r, q = np.exp(level), np.exp(damping)
    flat = share + sign * growth
    shape = log * (1 + (_SECOND + _THIRD * log) * log)
    rising = r * (1 - flat) * np.exp(slope * shape + curve * log * log)
    resistance = rising + r * flat
    reactance = r * q * u * (1 + (bend + cubic * u) * u)
    z = resistance + 1j * reactance
    root = scale**law
    line = np.exp(-loss * root + 1j * (phi - theta * (scale - 1)))
    h = line * (z - 1) / (z + 1)
    below = 1 + rho * h
    value = (rho + h) / below
    of_h = (1 - rho * rho) / below**2
    of_z = of_h * line * 2 / (z + 1) ** 2
    gradient = np.zeros((frequency_hz.size, SIZE), dtype=np.complex128)
    turned = of_h * h
    gradient[:, THETA] = -1j * (scale - 1) * turned
    gradient[:, LOSS] = -root * turned
    gradient[:, 10] = loss * np.log(scale) * gradient[:, LOSS]
    gradient[:, PHI] = 1j * turned
    gradient[:, 3] = of_z * rising * shape
    gradient[:, 9] = of_z * (r - rising / (1 - flat))
    gradient[:, 4] = sign * gradient[:, 9]
    gradient[:, 8] = of_z * rising * log * log
    gradient[:, 5] = of_z * (1j * r * q) * u * u
    gradient[:, 7] = gradient[:, 5] * u
    gradient[:, 6] = (1 - h * h) / below**2
    of_u = 1j * r * q * (1 + (2 * bend + 3 * cubic * u) * u)
    steep = slope * (1 + (2 * _SECOND + 3 * _THIRD * log) * log) + 2 * curve * log
    first = own(which).start
    gradient[:, first] = of_z * (-steep * rising - of_u * (relative + 1 / relative))
    gradient[:, first + 1] = of_z * z
    gradient[:, first + 2] = of_z * 1j * reactance
    return value, gradient
