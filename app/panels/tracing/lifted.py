"""A curve that was found in a picture, as it is laid over it: its line and its band, with gaps."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPolygonF

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.picture_trace.axes_fit import AxesFit
    from fairlead.core.picture_trace.trace import FollowedCurve

_SIGMAS = 2.0


@dataclass(frozen=True, slots=True)
class Lifted:
    """In pixels of the picture.

    Attributes
    ----------
    lines, bands : tuple of QPolygonF
        One for each piece between gaps; a band is closed.
    problem : str
        Why the curve is shown but is no sweep; empty if it is one.
    """

    lines: tuple[QPolygonF, ...] = ()
    bands: tuple[QPolygonF, ...] = ()
    problem: str = ""


def lifted(found: FollowedCurve, fit: AxesFit, problem: str = "") -> Lifted:
    """Lay a curve over its picture; the band is two standard uncertainties to either side."""
    low = fit.pixels(found.frequency_hz, _bounded(found.value - _SIGMAS * found.sigma, found))
    high = fit.pixels(found.frequency_hz, _bounded(found.value + _SIGMAS * found.sigma, found))
    ends = [0, *(np.flatnonzero(found.is_lost_after) + 1).tolist(), len(found.places)]
    pieces = [slice(start, stop) for start, stop in pairwise(ends)]
    return Lifted(
        tuple(_polygon(found.places[piece]) for piece in pieces),
        tuple(_polygon(np.concatenate([low[piece], high[piece][::-1]])) for piece in pieces),
        problem,
    )


def _bounded(values: FloatArray, found: FollowedCurve) -> FloatArray:
    """A logarithmic axis has no place for zero; the band ends where the values have ended."""
    if found.value.min() > 0:
        result: FloatArray = np.maximum(values, found.value.min() / 4)
        return result
    return values


def _polygon(places: FloatArray) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in places.tolist()])
