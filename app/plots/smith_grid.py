"""The Smith chart itself, drawn from the published geometry in `fairlead.core.smith`."""

from __future__ import annotations

import cmath
import math
from typing import TYPE_CHECKING

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from fairlead.app.drawing.chart_rules import arc_points, rules
from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pens import mix, thin_pen
from fairlead.app.plots.pixmap_layer import PixmapLayer
from fairlead.app.plots.screen_line import FAR_PX, ScreenLine
from fairlead.core import smith
from fairlead.core.arrays import FloatArray
from fairlead.core.views.smith import ohm_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.drawing.chart_rules import Rule
    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme

Points = tuple[FloatArray, FloatArray]
"""x and y in pixels."""

_RIM = smith.Arc(0j, 1.0, 0, 360)
_GAP = 4.0


class SmithGrid(PixmapLayer):
    """Rim, axis, circles of resistance and arcs of reactance, with numbers in ohms."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._font = QFont()
        self._screen: ScreenMap | None = None
        self._z0_ohm = 50.0
        self._kept_free = QRectF()

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.renew()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font

    def set_view(self, screen: ScreenMap, z0_ohm: float, kept_free: QRectF) -> None:
        """Show other ranges, or numbers for another reference impedance; none in a rectangle."""
        self._screen, self._z0_ohm, self._kept_free = screen, z0_ohm, kept_free
        self.renew()

    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Draw lines, then numbers."""
        screen = self._screen
        if screen is None:
            return
        lines = [(rule, arc_points(rule.arc, screen)) for rule in rules(screen, self._z0_ohm)]
        major, minor = thin_pen(self._theme.grid_major), thin_pen(self._theme.grid_minor)
        for rule, points in lines:
            _stroke(painter, major if rule.is_major else minor, points, areas)
        strong = mix(self._theme.muted, self._theme.base, 0.75)
        painter.setPen(thin_pen(strong))
        axis_y = screen.y(0.0)
        painter.drawLine(QPointF(screen.x(-1.0), axis_y), QPointF(screen.x(1.0), axis_y))
        _stroke(painter, thin_pen(strong, 1.4), arc_points(_RIM, screen), areas)
        self._write_numbers(painter, screen, lines)

    def _write_numbers(
        self, painter: QPainter, screen: ScreenMap, lines: list[tuple[Rule, Points]]
    ) -> None:
        painter.setFont(self._font)
        ground = QColor(self._theme.base)
        ground.setAlpha(215)
        painter.setPen(QColor(self._theme.muted))
        for box, text in self.numbers(screen, lines):
            painter.fillRect(box, ground)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def numbers(
        self, screen: ScreenMap, lines: list[tuple[Rule, Points]]
    ) -> Iterator[tuple[QRectF, str]]:
        """Numbers at their usual positions or where their line enters the view, without overlap."""
        metrics = QFontMetricsF(self._font)
        taken = [self._kept_free]
        for rule, points in sorted(lines, key=lambda pair: not pair[0].is_major):
            text = ohm_text(rule.kind, rule.ohm)
            width, height = metrics.horizontalAdvance(text) + 2, metrics.height()
            for box in _places(rule, points, screen, self._z0_ohm, QSizeF(width, height)):
                if not any(box.intersects(other) for other in taken):
                    taken.append(box.adjusted(-_GAP, -_GAP, _GAP, _GAP))
                    yield box, text
                    break


class SwrCircle(PixmapLayer):
    """The circle of constant SWR at the limit."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._screen: ScreenMap | None = None
        self._limit_swr = 2.0
        self._font = QFont()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.renew()

    def set_view(self, screen: ScreenMap, limit_swr: float) -> None:
        """Show another limit or other ranges."""
        self._screen, self._limit_swr = screen, limit_swr
        self.renew()

    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Draw the circle and its label."""
        screen = self._screen
        if screen is None:
            return
        circle = smith.swr_circle(self._limit_swr)
        _stroke(painter, thin_pen(self._theme.limit, 1.5), arc_points(circle, screen), areas)
        # At the upper left, clear of axis and numbers.
        spot = cmath.rect(circle.radius, math.radians(135))
        text = f"SWR {self._limit_swr:.2f}".removesuffix("0")
        metrics = QFontMetricsF(self._font)
        size = QSizeF(metrics.horizontalAdvance(text) + 4, metrics.height())
        at = QPointF(screen.x(spot.real) - size.width() - 3, screen.y(spot.imag) - size.height())
        painter.setFont(self._font)
        ground = QColor(self._theme.base)
        ground.setAlpha(215)
        painter.fillRect(QRectF(at, size), ground)
        painter.setPen(QColor(self._theme.limit))
        painter.drawText(QRectF(at, size), Qt.AlignmentFlag.AlignCenter, text)


def _stroke(painter: QPainter, pen: QPen, points: Points, areas: FloatArray) -> None:
    x, y = points
    if max(np.abs(x).max(), np.abs(y).max()) < FAR_PX:
        painter.setPen(pen)
        painter.drawPolyline(arrayToQPolygonF(x, y))
        return
    # Only the few pieces near the screen.
    joined = np.ones(x.size - 1, dtype=np.bool_)
    ScreenLine.through(np.arange(x.size), x, y, joined).stroke(painter, pen, areas)


def _places(
    rule: Rule, points: Points, screen: ScreenMap, z0_ohm: float, size: QSizeF
) -> Iterator[QRectF]:
    """Boxes for a number, the best one first, all inside the view."""
    view = QRectF(0, 0, screen.width, screen.height)
    width, height = size.width(), size.height()
    if rule.kind == "resistance":
        at = smith.reflection(complex(rule.ohm / z0_ohm, 0))
        x, y = screen.x(at.real), screen.y(at.imag)
        yield from _inside(QRectF(x + 2, y - height, width, height), view)
    else:
        at = smith.reflection(complex(0, rule.ohm / z0_ohm))
        x, y = screen.x(at.real), screen.y(at.imag)
        out_x, out_y = at.real, -at.imag
        # Outside the rim, as far as the box reaches in that direction.
        reach = 5 + abs(out_x) * width / 2 + abs(out_y) * height / 2
        centre = QPointF(x + out_x * reach, y + out_y * reach)
        yield from _inside(
            QRectF(centre.x() - width / 2, centre.y() - height / 2, width, height), view
        )
    inner = view.adjusted(6, 6, -6, -6)
    line_x, line_y = points
    visible = np.flatnonzero(
        (line_x > inner.left())
        & (line_x < inner.right() - width)
        & (line_y > inner.top() + height)
        & (line_y < inner.bottom())
    )
    if visible.size:
        for number in (visible[np.argmin(line_y[visible])], visible[np.argmin(line_x[visible])]):
            yield QRectF(float(line_x[number]) + 2, float(line_y[number]) - height, width, height)


def _inside(box: QRectF, view: QRectF) -> Iterator[QRectF]:
    if view.contains(box):
        yield box
