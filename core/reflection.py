"""From the reflection coefficient to what people read off a meter, and back.

Conventions (IEEE Std 211; signs of return loss as in T. S. Bird, "Definition and misuse of return
loss", IEEE Antennas Propag. Mag. 51(2), 2009, cited from memory): return loss is positive when
less power comes back than was sent. With G the reflection coefficient at a real reference
impedance z0:

    SWR = (1 + |G|) / (1 - |G|)           return loss = -20 log10 |G|  dB
    reflected power share = |G|^2         mismatch loss = -10 log10 (1 - |G|^2)  dB
    Z = z0 (1 + G) / (1 - G)

Noise and calibration error can give |G| > 1 for a passive antenna. Then no SWR and no mismatch
loss exists: the functions give NaN there, infinity only at |G| = 1.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import SweepError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray

# |G| of a computed exp(j phi) misses 1 by rounding; that far from 1 is taken as 1.
UNITY_TOLERANCE = 1e-9


def above_one(magnitude: ArrayLike) -> BoolArray:
    """Where |G| exceeds 1 by more than rounding, any shape."""
    result: BoolArray = np.asarray(magnitude, dtype=np.float64) > 1 + UNITY_TOLERANCE
    return result


def swr(magnitude: ArrayLike) -> FloatArray:
    """Standing wave ratio of |G|, any shape: >= 1, infinite at |G| = 1, NaN above 1."""
    rho = np.asarray(magnitude, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = (1 + rho) / (1 - rho)
    ratio = np.where(np.abs(rho - 1) <= UNITY_TOLERANCE, np.inf, ratio)
    result: FloatArray = np.where(above_one(rho), np.nan, ratio)
    return result


def swr_of_one(magnitude: float) -> float:
    """`swr` of a single |G| without an array's overhead."""
    if abs(magnitude - 1) <= UNITY_TOLERANCE:
        return math.inf
    return math.nan if magnitude > 1 else (1 + magnitude) / (1 - magnitude)


def magnitude_from_swr(ratio: ArrayLike) -> FloatArray:
    """|G| of a standing wave ratio >= 1 (infinity gives 1), any shape.

    Raises
    ------
    SweepError
        If a ratio is below 1 or not a number.
    """
    ratio = np.asarray(ratio, dtype=np.float64)
    if not (ratio >= 1).all():
        raise SweepError("an SWR below 1 does not exist", "check the value or its column")
    # 1 - 2/(s+1) equals (s-1)/(s+1) and needs no special case at infinity.
    result: FloatArray = 1 - 2 / (ratio + 1)
    return result


def return_loss_db(magnitude: ArrayLike) -> FloatArray:
    """Return loss in dB, any shape: infinite at |G| = 0, negative above |G| = 1."""
    with np.errstate(divide="ignore"):
        result: FloatArray = -20 * np.log10(np.asarray(magnitude, dtype=np.float64)) + 0.0
    return result


def magnitude_from_return_loss(loss_db: ArrayLike) -> FloatArray:
    """|G| of a return loss in dB (positive: less comes back), any shape."""
    result: FloatArray = 10 ** (-np.asarray(loss_db, dtype=np.float64) / 20)
    return result


def mismatch_loss_db(magnitude: ArrayLike) -> FloatArray:
    """Mismatch loss in dB, any shape: infinite at |G| = 1, NaN above 1."""
    rho = np.asarray(magnitude, dtype=np.float64)
    passed = np.where(np.abs(rho - 1) <= UNITY_TOLERANCE, 0.0, 1 - rho**2)
    with np.errstate(divide="ignore", invalid="ignore"):
        result: FloatArray = -10 * np.log10(passed) + 0.0
    return result


def loss_of_swr_db(ratio: float) -> float:
    """Mismatch loss in dB of one SWR; infinite at an infinite one."""
    return float(mismatch_loss_db(magnitude_from_swr(ratio)))


def impedance_ohm(reflection: ArrayLike, z0_ohm: float) -> ComplexArray:
    """Z = z0 (1 + G) / (1 - G), any shape; an open circuit (G = 1) gives inf + nan j."""
    gamma = np.asarray(reflection, dtype=np.complex128)
    is_open = gamma == 1
    with np.errstate(divide="ignore", invalid="ignore"):
        z_ohm = z0_ohm * (1 + gamma) / np.where(is_open, np.nan, 1 - gamma)
    result: ComplexArray = np.where(is_open, complex(np.inf, np.nan), z_ohm)
    return result


def reflection_from_impedance(z_ohm: ArrayLike, z0_ohm: float) -> ComplexArray:
    """G = (Z - z0) / (Z + z0), any shape; an infinite Z gives 1.

    Z = -z0 has no finite reflection: infinity or NaN comes out and `Sweep` refuses it.
    """
    impedance = np.asarray(z_ohm, dtype=np.complex128)
    is_open = np.isinf(impedance.real) | np.isinf(impedance.imag)
    with np.errstate(divide="ignore", invalid="ignore"):
        gamma = (impedance - z0_ohm) / (impedance + z0_ohm)
    result: ComplexArray = np.where(is_open, 1, gamma)
    return result


def renormalise(reflection: ArrayLike, from_ohm: float, to_ohm: float) -> ComplexArray:
    """Reflection at another real reference impedance, any shape.

    From Z(G) put into G(Z): G' = (G + k) / (1 + k G), k = (from - to) / (from + to). Never passes
    through Z, so open and short circuits come out exact (Pozar, Microwave Engineering, ch. 2:
    both relations).
    """
    gamma = np.asarray(reflection, dtype=np.complex128)
    if from_ohm == to_ohm:
        return gamma
    step = (from_ohm - to_ohm) / (from_ohm + to_ohm)
    with np.errstate(divide="ignore", invalid="ignore"):
        result: ComplexArray = (gamma + step) / (1 + step * gamma)
    return result
