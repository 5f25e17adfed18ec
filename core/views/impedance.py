"""What all impedance views share."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import impedance_ohm
from fairlead.core.units import DASH, format_number, format_signed

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.views.points import Points


def impedances(points: Points) -> ComplexArray:
    """Impedance in ohm, shape (n,); NaN for an open circuit, and everywhere without phase."""
    if points.reflection is None:
        return np.full(points.power.shape, complex(math.nan, math.nan))
    z_ohm = impedance_ohm(points.reflection, points.z0_ohm)
    result: ComplexArray = np.where(np.isfinite(z_ohm), z_ohm, complex(math.nan, math.nan))
    return result


def impedance_discs(
    reflection: ComplexArray, radius: FloatArray, z0_ohm: float
) -> tuple[ComplexArray, FloatArray]:
    """Where the impedance is if the reflection is in a disc: a disc too (Moebius).

    Parameters
    ----------
    reflection : ComplexArray, shape (k,)
        The centres.
    radius : FloatArray, shape (k,)
    z0_ohm : float

    Returns
    -------
    centre_ohm : ComplexArray, shape (k,)
    radius_ohm : FloatArray, shape (k,)
        Infinite where the disc holds an open circuit. From Z + z0 = 2 z0 / (1 - G).
    """
    away = 1 - reflection
    room = away.real**2 + away.imag**2 - radius**2
    is_open = ~(room > 0)
    room = np.where(is_open, 1.0, room)
    centre_ohm = np.where(is_open, 0, 2 * z0_ohm * away.conj() / room - z0_ohm)
    radius_ohm = np.where(is_open, np.inf, 2 * z0_ohm * radius / room)
    # What is not known stays so.
    is_known = ~np.isnan(radius + reflection.real)
    return centre_ohm, np.where(is_known, radius_ohm, np.nan)


def ohms(value: float, *, is_signed: bool = False) -> str:
    """Ohms without their unit: no decimal from 1000 on; a dash for NaN."""
    if math.isnan(value):
        return DASH
    decimals = 1 if abs(value) < 1000 else 0
    return format_signed(value, decimals) if is_signed else format_number(value, decimals)
