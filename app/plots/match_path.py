"""The way of a matching network over the Smith chart: a line an element, with its ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from fairlead.app.drawing.marks import PATH_ENDS
from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pixmap_layer import PixmapLayer
from fairlead.app.plots.screen_line import FAR_PX

if TYPE_CHECKING:
    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.core.arrays import ComplexArray, FloatArray

_WIDTH = 2.0
_DOT_PX = 3.5


class MatchPathLayer(PixmapLayer):
    """From the antenna to what the radio's side of the network shows, at one frequency."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._screen: ScreenMap | None = None
        self._path: tuple[ComplexArray, ...] = ()
        self._font = QFont()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.renew()

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the ranges of the plot."""
        self._screen = screen
        self.renew()

    def set_path(self, path: tuple[ComplexArray, ...]) -> None:
        """Show another way; reflections at the chart's impedance, an array an element."""
        self._path = path
        self.renew()

    @property
    def is_empty(self) -> bool:
        """Whether no way is shown."""
        return not self._path

    @property
    def path(self) -> tuple[ComplexArray, ...]:
        """What is shown."""
        return self._path

    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Draw the lines, a dot at each end of an element, and where it begins and ends."""
        del areas
        screen = self._screen
        if screen is None or not self._path:
            return
        colour = QColor(self._theme.text)
        lines = [(screen.x(part.real), screen.y(part.imag)) for part in self._path]
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for pen in (QPen(QColor(self._theme.base), _WIDTH + 3), QPen(colour, _WIDTH)):
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            for x, y in lines:
                if max(np.abs(x).max(), np.abs(y).max()) < FAR_PX:
                    painter.drawPolyline(arrayToQPolygonF(x, y))
        painter.setPen(QPen(QColor(self._theme.base), 1))
        painter.setBrush(colour)
        ends = [(float(lines[0][0][0]), float(lines[0][1][0]))]
        ends += [(float(x[-1]), float(y[-1])) for x, y in lines]
        for end in ends:
            painter.drawEllipse(QPointF(*end), _DOT_PX, _DOT_PX)
        # The upper end has its words above it, so that they stay apart however near the ends are.
        first_is_upper = ends[0][1] < ends[-1][1]
        self._write(painter, ends[0], PATH_ENDS[0], is_above=first_is_upper)
        self._write(painter, ends[-1], PATH_ENDS[1], is_above=not first_is_upper)

    def _write(
        self, painter: QPainter, at: tuple[float, float], words: str, *, is_above: bool
    ) -> None:
        metrics = QFontMetricsF(self._font)
        top = at[1] - 3 - metrics.height() if is_above else at[1] + 3
        box = QRectF(at[0] + 6, top, metrics.horizontalAdvance(words) + 4, metrics.height())
        ground = QColor(self._theme.base)
        ground.setAlpha(215)
        painter.fillRect(box, ground)
        painter.setFont(self._font)
        painter.setPen(QColor(self._theme.text))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
