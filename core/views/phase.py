"""Phase of the reflection coefficient over frequency, from -180 to 180 degrees."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.units import DASH, format_signed
from fairlead.core.views.quantity import Quantity
from fairlead.core.views.scale import Linear

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.views.points import Points


def _values(points: Points) -> FloatArray:
    gamma = points.reflection
    if gamma is None:
        return np.full(points.power.shape, math.nan)
    # Nothing reflected has no phase.
    result: FloatArray = np.where(gamma == 0, math.nan, np.degrees(np.angle(gamma)))
    return result


def _of_disc(
    reflection: ComplexArray, radius: FloatArray, _z0_ohm: float
) -> tuple[FloatArray, FloatArray]:
    """A disc that holds the centre of the chart has every phase."""
    size: FloatArray = np.abs(reflection)
    share = np.where(radius >= size, 1.0, radius / np.where(size > 0, size, 1.0))
    half = np.where(share < 1, np.degrees(np.arcsin(np.minimum(share, 1.0))), 180.0)
    half = np.where(np.isnan(radius + size), np.nan, half)
    middle = np.degrees(np.angle(reflection))
    return middle - half, middle + half


PHASE = Quantity(
    id="phase",
    title="Phase of reflection",
    menu="&Phase of reflection",
    unit="°",
    hint="Angle of the reflection coefficient; it turns with the length of the feed line",
    needs_phase=True,
    values=_values,
    of_disc=_of_disc,
    scale=Linear(
        least=(-180, 180),
        most=(-180, 180),
        steps=(0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 45, 90, 180),
        widest=360,
    ),
    text=lambda value: f"Phase {DASH if math.isnan(value) else format_signed(value, 1)}°",
    specimen="Phase −000.0°",
    period=360.0,
    keys=("Ctrl+5",),
)
