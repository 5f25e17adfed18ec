"""The curves of a plot, painted once per view."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.markers import draw_crosses, draw_markers
from fairlead.app.plots.pens import curve_colour, curve_pen
from fairlead.app.plots.pixmap_layer import PixmapLayer
from fairlead.app.plots.screen_line import FAR_PX, lots_hit, reach_of
from fairlead.core.arrays import distinct, runs
from fairlead.core.views.points import in_gap

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.curves import Curve, CurveSet
    from fairlead.app.plots.screen_line import ScreenLine
    from fairlead.core.arrays import FloatArray
    from fairlead.core.views.quantity import Quantity

WIDTH = 1.7
Stretch = tuple[float, float]
"""Start and end on a line, as point number plus share of the next piece."""

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

    def _width(self, usual: float) -> float:
        """Width of a line in the theme, in pixels."""
        return usual * self._theme.line_scale


class FrequencyCurveLayer(CurveLayer):
    """Curves over frequency with their markers, and marks where a value does not exist."""

    def __init__(self, curves: CurveSet, quantity: Quantity, parent: QGraphicsItem) -> None:
        super().__init__(curves, parent)
        self._quantity = quantity
        self._screen: ScreenMap | None = None

    def set_quantity(self, quantity: Quantity) -> None:
        """Show another quantity."""
        self._quantity = quantity
        self.renew()

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the ranges of the plot."""
        self._screen = screen

    def pieces(self, canvas: Callable[[], QPainter], areas: FloatArray) -> Iterator[None]:
        """Paint curve after curve."""
        paper = QColor(self._theme.base)
        is_hasty = self._curves.is_hasty
        for curve in self._curves.shaded:
            if self._quantity.can_shade(curve.points, curve.beside):
                painter = canvas()
                painter.setRenderHint(QPainter.RenderHint.Antialiasing, not is_hasty)
                self._shade(painter, curve)
                yield
        for curve in self._curves:
            painter = canvas()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            colour = colour_of(curve, self._theme)
            line = self._curves.line(curve)
            width = self._width(WIDTH + curve.extra_width)
            pen = curve_pen(colour, width, curve.style, is_hasty=is_hasty)
            stroke_curve(painter, pen, line, areas, self._curves.gaps(curve))
            lonely = line.lonely
            pen.setStyle(Qt.PenStyle.SolidLine)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setWidthF(pen.widthF() + 1.5)
            painter.setPen(pen)
            for x, y in zip(line.x[lonely].tolist(), line.y[lonely].tolist(), strict=True):
                painter.drawPoint(QPointF(x, y))
            yield
        # Markers on top of all lines, so that none is crossed out.
        for curve in self._curves:
            painter = canvas()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            colour = colour_of(curve, self._theme)
            points = self._curves.pixels(curve, self._curves.marks(curve))
            draw_markers(painter, curve.style, colour, paper, points)
            cross_outliers(painter, self._curves, curve, colour)
            self._mark_edge(painter, curve, colour)
            yield

    def _mark_edge(self, painter: QPainter, curve: Curve, colour: QColor) -> None:
        """Small triangles at the upper border, at most one every few pixels."""
        beyond = self._quantity.edge_points(curve.analysis)
        if not beyond.size:
            return
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        x, _ = self._curves.pixels(curve, beyond)
        columns = distinct(np.round(x / _MARK_PX).astype(np.intp))
        for place in (columns * _MARK_PX).tolist():
            tip, left, right = (place, 0.5), (place - 3.5, 7), (place + 3.5, 7)
            painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in (tip, left, right)]))

    def _shade(self, painter: QPainter, curve: Curve) -> None:
        """A pale band around the curve: where its points may lie."""
        line = self._curves.line(curve)
        if curve.points is None or self._screen is None:
            return
        shaded = self._quantity.shaded_of(curve.analysis, curve.points, curve.beside, line.index)
        if shaded is None:
            return
        low, high = (self._screen.y(places).clip(-FAR_PX, FAR_PX) for places in shaded)
        exists = np.isfinite(low) & np.isfinite(high)
        # Between points that are too far apart nothing is known, however accurate the analyzer.
        known = exists[1:] & exists[:-1]
        known &= ~in_gap(curve.analysis, curve.analysis.frequency_hz[line.index])
        colour = QColor(colour_of(curve, self._theme))
        colour.setAlpha(_SHADE_ALPHA)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        for start, last in runs(known):
            part = slice(start, last + 1)
            outline = (
                np.concatenate((line.x[part], line.x[part][::-1])),
                np.concatenate((low[part], high[part][::-1])),
            )
            painter.drawPolygon(arrayToQPolygonF(*outline))


class PaleCurveLayer(CurveLayer):
    """Curves as a pale background for what matters."""

    def pieces(self, canvas: Callable[[], QPainter], areas: FloatArray) -> Iterator[None]:
        """Paint curve after curve."""
        is_hasty = self._curves.is_hasty
        for curve in self._curves:
            painter = canvas()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            colour = colour_of(curve, self._theme, _PALE)
            width = self._width(_PALE_WIDTH + 0.5 * curve.extra_width)
            pen = curve_pen(colour, width, curve.style, is_hasty=is_hasty)
            stroke_curve(painter, pen, self._curves.line(curve), areas, self._curves.gaps(curve))
            cross_outliers(painter, self._curves, curve, colour_of(curve, self._theme))
            yield


def stroke_curve(
    painter: QPainter, pen: QPen, line: ScreenLine, areas: FloatArray, gaps: list[Stretch]
) -> None:
    """A curve from end to end, dotted and thinner where its points are too far apart."""
    whole = (0.0, float(line.index.size - 1))
    hit = lots_hit(line.lots, areas, reach_of(pen))
    for stretch in solid_parts(whole, gaps):
        line.stroke_lots(painter, pen, hit, stretch)
    if gaps:
        dotted = QPen(pen)
        dotted.setWidthF(min(pen.widthF(), _GAP_WIDTH))
        dotted.setCapStyle(Qt.PenCapStyle.FlatCap)
        dotted.setDashPattern([_GAP_DOT_PX / dotted.widthF(), 2 * _GAP_DOT_PX / dotted.widthF()])
        for gap in gaps:
            line.stroke_lots(painter, dotted, hit, gap)


def solid_parts(stretch: Stretch, gaps: list[Stretch]) -> Iterator[Stretch]:
    """What remains of a stretch between gaps, given in rising order."""
    start, end = stretch
    for low, high in gaps:
        if low >= end:
            break
        if low > start:
            yield start, low
        start = max(start, min(high, end))
    if start < end:
        yield start, end


def cross_outliers(painter: QPainter, curves: CurveSet, curve: Curve, colour: QColor) -> None:
    """Small open crosses at the points that the curve does not join."""
    outliers = curve.analysis.outliers
    if outliers.size:
        draw_crosses(painter, colour, curves.pixels(curve, outliers))


_MARK_PX = 8
_PALE = 0.5
_PALE_WIDTH = 1.2
_GAP_WIDTH = 1.1
_GAP_DOT_PX = 1.6
_SHADE_ALPHA = 48
