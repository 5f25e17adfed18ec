"""What all impedance views share."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import impedance_ohm
from fairlead.core.units import DASH, format_number, format_signed

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.views.points import Points


def impedances(points: Points) -> ComplexArray:
    """Impedance in ohm, shape (n,); NaN for an open circuit, and everywhere without phase."""
    if points.reflection is None:
        return np.full(points.power.shape, complex(math.nan, math.nan))
    z_ohm = impedance_ohm(points.reflection, points.z0_ohm)
    result: ComplexArray = np.where(np.isfinite(z_ohm), z_ohm, complex(math.nan, math.nan))
    return result


def ohms(value: float, *, is_signed: bool = False) -> str:
    """Ohms without their unit: no decimal from 1000 on; a dash for NaN."""
    if math.isnan(value):
        return DASH
    decimals = 1 if abs(value) < 1000 else 0
    return format_signed(value, decimals) if is_signed else format_number(value, decimals)
