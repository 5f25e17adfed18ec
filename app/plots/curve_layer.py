"""The curves of a plot, painted once a view."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.markers import draw_markers
from fairlead.app.plots.pens import curve_colour, curve_pen
from fairlead.app.plots.pixmap_layer import PixmapLayer
from fairlead.core.arrays import distinct
from fairlead.core.reflection import UNITY_TOLERANCE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.curves import Curve, CurveSet
    from fairlead.core.arrays import FloatArray, IntArray

WIDTH = 1.7
_MANY = 60
_FADED = 0.45


def colour_of(curve: Curve, theme: Theme, strength: float = 1.0) -> QColor:
    """A curve's colour: paler if others are selected, or if only part of it matters."""
    return curve_colour(theme, curve.style, strength * (_FADED if curve.is_faded else 1.0))


class CurveLayer(PixmapLayer):
    """Every curve from end to end."""

    def __init__(self, curves: CurveSet, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._curves = curves
        self._theme = LIGHT

    @property
    def is_large(self) -> bool:
        """Whether there are very many curves."""
        return len(self._curves) > _MANY

    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Paint the curves."""
        for _ in self.pieces(lambda: painter, areas):
            pass

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.renew()


class SwrCurveLayer(CurveLayer):
    """Curves over frequency with their markers, and marks where |reflection| exceeds 1."""

    def pieces(self, canvas: Callable[[], QPainter], areas: FloatArray) -> Iterator[None]:
        """Paint curve after curve."""
        paper = QColor(self._theme.base)
        is_smooth = not self._curves.is_hasty
        for curve in self._curves:
            painter = canvas()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, is_smooth)
            colour = colour_of(curve, self._theme)
            line = self._curves.line(curve)
            pen = curve_pen(colour, WIDTH + curve.extra_width, curve.style)
            line.stroke(painter, pen, areas)
            lonely = line.lonely
            pen.setStyle(Qt.PenStyle.SolidLine)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setWidthF(pen.widthF() + 1.5)
            painter.setPen(pen)
            for x, y in zip(line.x[lonely].tolist(), line.y[lonely].tolist(), strict=True):
                painter.drawPoint(QPointF(x, y))
            yield
        # Markers over all lines, so that none is struck through.
        for curve in self._curves:
            painter = canvas()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            colour = colour_of(curve, self._theme)
            points = self._curves.pixels(curve, self._curves.marks(curve))
            draw_markers(painter, curve.style, colour, paper, points)
            self._mark_above_one(painter, curve, colour)
            yield

    def _mark_above_one(self, painter: QPainter, curve: Curve, colour: QColor) -> None:
        """Small triangles at the upper border, at most one every few pixels."""
        above = above_one_points(curve)
        if not above.size:
            return
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        x, _ = self._curves.pixels(curve, above)
        columns = distinct(np.round(x / _MARK_PX).astype(np.intp))
        for place in (columns * _MARK_PX).tolist():
            tip, left, right = (place, 0.5), (place - 3.5, 7), (place + 3.5, 7)
            painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in (tip, left, right)]))


class PaleCurveLayer(CurveLayer):
    """Curves as a pale background for what matters."""

    def pieces(self, canvas: Callable[[], QPainter], areas: FloatArray) -> Iterator[None]:
        """Paint curve after curve."""
        is_smooth = not self._curves.is_hasty
        for curve in self._curves:
            painter = canvas()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, is_smooth)
            colour = colour_of(curve, self._theme, _PALE)
            pen = curve_pen(colour, _PALE_WIDTH + 0.5 * curve.extra_width, curve.style)
            self._curves.line(curve).stroke(painter, pen, areas)
            yield


_MARK_PX = 8
_PALE = 0.5
_PALE_WIDTH = 1.2


def above_one_points(curve: Curve) -> IntArray:
    """Points of a curve with |reflection| > 1, which have no SWR."""
    return np.flatnonzero(curve.analysis.power > (1 + UNITY_TOLERANCE) ** 2)
