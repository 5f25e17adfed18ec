"""The marker shapes of sweeps, as paths around a point."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath, QPen, QPolygonF

from fairlead.app.drawing.marks import CORNERS, OUTLIER, OUTLIER_SIZE, STROKES
from fairlead.app.look.palette import MARKERS

if TYPE_CHECKING:
    from PySide6.QtGui import QColor, QPainter

    from fairlead.core.arrays import FloatArray
    from fairlead.core.document.entry import Style

RADIUS = 3.5
_OUTLINE = 1.6


def draw_markers(
    painter: QPainter, style: Style, colour: QColor, paper: QColor, at: tuple[FloatArray, ...]
) -> None:
    """Draw a sweep's marker at points.

    Parameters
    ----------
    colour, paper : QColor
        Of the outline and of the inside.
    at : tuple of FloatArray
        x and y in pixels; points without a position (NaN) are left out.
    """
    path = _path(MARKERS[style.marker % len(MARKERS)])
    painter.setPen(QPen(colour, _OUTLINE))
    painter.setBrush(paper)
    for x, y in zip(at[0].tolist(), at[1].tolist(), strict=True):
        if y == y:  # noqa: PLR0124  # False for NaN only
            painter.drawPath(path.translated(x, y))


def draw_crosses(painter: QPainter, colour: QColor, at: tuple[FloatArray, ...]) -> None:
    """Draw a small open cross at points, x and y in pixels; NaN is left out."""
    path = _strokes(OUTLIER, OUTLIER_SIZE * RADIUS)
    painter.setPen(QPen(colour, 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for x, y in zip(at[0].tolist(), at[1].tolist(), strict=True):
        if math.isfinite(y):
            painter.drawPath(path.translated(x, y))


@lru_cache(maxsize=len(MARKERS))
def _path(name: str) -> QPainterPath:
    if name in STROKES:
        return _strokes(STROKES[name], RADIUS)
    path = QPainterPath()
    if name in CORNERS:
        path.addPolygon(QPolygonF([QPointF(RADIUS * x, RADIUS * y) for x, y in CORNERS[name]]))
        path.closeSubpath()
    else:
        path.addEllipse(QPointF(0, 0), RADIUS, RADIUS)
    return path


def _strokes(
    strokes: tuple[tuple[tuple[float, float], tuple[float, float]], ...], radius: float
) -> QPainterPath:
    path = QPainterPath()
    for start, end in strokes:
        path.moveTo(radius * start[0], radius * start[1])
        path.lineTo(radius * end[0], radius * end[1])
    return path
