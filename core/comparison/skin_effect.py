"""Resistance of a round wire at radio frequency, from the exact solution in Bessel functions.

S. Ramo, J. R. Whinnery, T. Van Duzer, Fields and Waves in Communication Electronics, chapter on
internal impedance of round wires; H. A. Wheeler, Formulas for the skin effect, Proc. IRE 30, 1942
(both from memory).
"""

from __future__ import annotations

import math

_MU_0 = 4e-7 * math.pi
# From so many skin depths in the radius the next term of the expansion is below 1e-6 of the whole.
_THICK = 60.0


def skin_depth_m(frequency_hz: float, resistivity_ohm_m: float) -> float:
    """Skin depth of a metal that is not magnetic: sqrt(rho / (pi f mu0))."""
    return math.sqrt(resistivity_ohm_m / (math.pi * frequency_hz * _MU_0))


def ac_over_dc(radius_m: float, depth_m: float) -> float:
    """R_ac / R_dc of a solid round wire: Re(z I0(z) / (2 I1(z))) with z = (1 + j) a / delta.

    A thick wire has a / (2 delta) + 1/4 + 3 delta / (32 a), the expansion of the same.
    """
    depths = radius_m / depth_m
    if depths > _THICK:
        return depths / 2 + 0.25 + 3 / (32 * depths)
    z = (1 + 1j) * depths
    # I0/I1 as a continued fraction, from I(n-1) - I(n+1) = 2n/z I(n).
    last = int(2 * abs(z)) + 20
    ratio = 2 * last / z
    for n in range(last - 1, 0, -1):
        ratio = 2 * n / z + 1 / ratio
    return (z * ratio / 2).real
