"""The ring around the hovered point, with its figures beside it and a disc of its uncertainty."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pens import curve_colour, mix

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.curves import Curve
    from fairlead.app.plots.screen_line import ScreenLine

_RADIUS = 6.0
_HALO = 3.0
_GAP = 12.0
_PADDING = 5.0
_LONGEST_LINE_PX = 220.0
# Zoomed in, a disc may be larger than any screen.
_LARGEST_DISC_PX = 8000.0
_DISC_ALPHA = 56
# Covering the point itself is worse than covering any length of curve.
_RING_COST_PX = 1e9


class HoverMarker(QGraphicsItem):
    """A ring in the sweep's colour; a point above the plot is shown by a ring at the border."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._colour = QColor(LIGHT.text)
        self._lines: tuple[str, ...] = ()
        self._disc_px = 0.0
        self._text_box = QRectF()
        self._font = QFont()
        self.hide()

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.update()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font

    def point_at(
        self,
        curve: Curve,
        others: Sequence[ScreenLine],
        at: tuple[float, float],
        lines: tuple[str, ...],
        screen: ScreenMap,
        disc_px: float = 0.0,
    ) -> None:
        """Show the ring at a point in pixels; hide it if the point is out of view.

        Parameters
        ----------
        curve : Curve
        others : sequence of ScreenLine
            All curves, which the text avoids.
        at : tuple of float
        lines : tuple of str
        screen : ScreenMap
        disc_px : float
            Radius of the disc in which the point may lie; 0 for none.
        """
        x, y = at
        if not (np.isfinite(x) and np.isfinite(y) and -1 <= x <= screen.width + 1):
            self.hide()
            return
        y = min(max(y, 0.0), screen.height)
        metrics = QFontMetricsF(self._font)
        lines = tuple(
            metrics.elidedText(text, Qt.TextElideMode.ElideRight, _LONGEST_LINE_PX)
            for text in lines
        )
        size = QSizeF(
            max(metrics.horizontalAdvance(text) for text in lines) + 2 * _PADDING,
            metrics.lineSpacing() * len(lines) + 2 * _PADDING - 2,
        )
        self.prepareGeometryChange()
        self._lines = lines
        self._disc_px = min(disc_px, _LARGEST_DISC_PX)
        self._colour = curve_colour(self._theme, curve.style)
        self._text_box = QRectF(_free_corner(others, x, y, size, screen), size)
        self.setPos(x, y)
        self.show()
        self.update()

    def boundingRect(self) -> QRectF:
        """Ring, disc and text."""
        reach = max(_RADIUS + _HALO, self._disc_px) + 1
        ring = QRectF(-reach, -reach, 2 * reach, 2 * reach)
        return ring | self._text_box.adjusted(-1, -1, 1, 1)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw the disc, the ring and the figures."""
        del option, widget
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._disc_px:
            pale = QColor(self._colour)
            pale.setAlpha(_DISC_ALPHA)
            painter.setBrush(pale)
            painter.setPen(QPen(self._colour, 1))
            painter.drawEllipse(QPointF(0, 0), self._disc_px, self._disc_px)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self._theme.base), 2.5 + _HALO))
        painter.drawEllipse(QPointF(0, 0), _RADIUS, _RADIUS)
        painter.setPen(QPen(self._colour, 2.5))
        painter.drawEllipse(QPointF(0, 0), _RADIUS, _RADIUS)
        painter.setPen(QPen(mix(self._theme.border, self._theme.text, 0.8), 1))
        ground = QColor(self._theme.base)
        ground.setAlpha(235)
        painter.setBrush(ground)
        painter.drawRoundedRect(self._text_box.adjusted(0.5, 0.5, -0.5, -0.5), 3, 3)
        painter.setPen(QColor(self._theme.text))
        painter.setFont(self._font)
        metrics = QFontMetricsF(self._font)
        x, y = self._text_box.left() + _PADDING, self._text_box.top() + _PADDING - 1
        for number, text in enumerate(self._lines):
            painter.drawText(
                QPointF(x, y + metrics.ascent() + number * metrics.lineSpacing()), text
            )


def _free_corner(
    lines: Sequence[ScreenLine], x: float, y: float, size: QSizeF, screen: ScreenMap
) -> QPointF:
    """Position of the text from the ring: inside the plot, over as little curve as possible."""
    ring = QRectF(x - _GAP, y - _GAP, 2 * _GAP, 2 * _GAP).adjusted(1, 1, -1, -1)
    best, place = np.inf, QPointF(_GAP, _GAP)
    for left in (x + _GAP, x - _GAP - size.width()):
        for top in (y - _GAP - size.height(), y + _GAP):
            corner = QPointF(
                max(min(left, screen.width - size.width() - 2), 2.0),
                max(min(top, screen.height - size.height() - 2), 2.0),
            )
            box = QRectF(corner, size)
            edges = (box.left(), box.right(), box.top(), box.bottom())
            cost = sum(line.way_near(edges) for line in lines)
            cost += _RING_COST_PX * box.intersects(ring)
            if cost < best:
                best, place = cost, corner - QPointF(x, y)
    return place
