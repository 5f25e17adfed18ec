"""The marker shapes of sweeps, as paths around a point."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath, QPen, QPolygonF

from fairlead.app.look.palette import MARKERS

if TYPE_CHECKING:
    from PySide6.QtGui import QColor, QPainter

    from fairlead.core.arrays import FloatArray
    from fairlead.core.document.bench import Style

RADIUS = 4.0
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
        x and y in pixels; points that stand nowhere (NaN) are left out.
    """
    path = _path(MARKERS[style.marker % len(MARKERS)])
    painter.setPen(QPen(colour, _OUTLINE))
    painter.setBrush(paper)
    for x, y in zip(at[0].tolist(), at[1].tolist(), strict=True):
        if y == y:  # noqa: PLR0124  # False for NaN only
            painter.drawPath(path.translated(x, y))


@lru_cache(maxsize=len(MARKERS))
def _path(name: str) -> QPainterPath:
    path, r = QPainterPath(), RADIUS
    if name == "circle":
        path.addEllipse(QPointF(0, 0), r - 0.6, r - 0.6)
    elif name == "square":
        path.addRect(1 - r, 1 - r, 2 * r - 2, 2 * r - 2)
    elif name == "triangle":
        _close(path, (0, -r), (r, r - 1), (-r, r - 1))
    elif name == "diamond":
        _close(path, (0, -r), (r, 0), (0, r), (-r, 0))
    elif name == "cross":
        _cross(path, ((-r + 1, -r + 1), (r - 1, r - 1)), ((-r + 1, r - 1), (r - 1, -r + 1)))
    else:
        _cross(path, ((-r, 0), (r, 0)), ((0, -r), (0, r)))
    return path


def _close(path: QPainterPath, *corners: tuple[float, float]) -> None:
    path.addPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
    path.closeSubpath()


def _cross(path: QPainterPath, *strokes: tuple[tuple[float, float], tuple[float, float]]) -> None:
    for start, end in strokes:
        path.moveTo(QPointF(*start))
        path.lineTo(QPointF(*end))
