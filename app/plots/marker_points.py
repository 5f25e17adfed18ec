"""Where the sweeps are at the markers, on the Smith chart: a small ring with a dot in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pens import curve_colour
from fairlead.core.comparison.at_marker import reflection_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.curves import Curve
    from fairlead.core.document.entry import Style
    from fairlead.core.document.session import Marker

_RADIUS_PX, _DOT_PX = 4.0, 1.2


class MarkerPoints(QGraphicsItem):
    """One ring for each sweep with phase at each marker that it reaches."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._points: list[tuple[Style, complex]] = []
        self._screen: ScreenMap | None = None
        self._size = QSizeF()

    @property
    def reflections(self) -> list[complex]:
        """Where the rings are."""
        return [point for _, point in self._points]

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.update()

    def set_size(self, size: QSizeF) -> None:
        """Cover the plot."""
        if size != self._size:
            self.prepareGeometryChange()
            self._size = size

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the ranges of the plot."""
        self._screen = screen
        self.update()

    def show_markers(self, markers: Sequence[Marker], curves: Iterable[Curve]) -> None:
        """Read these curves off at these markers."""
        self._points = [
            (curve.style, found)
            for curve in curves
            for marker in markers
            if (found := reflection_at(curve.analysis, marker.frequency_hz)) is not None
        ]
        self.update()

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return QRectF(QPointF(0, 0), self._size)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw the rings."""
        del option, widget
        screen = self._screen
        if screen is None:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for style, point in self._points:
            x, y = screen.x(point.real), screen.y(point.imag)
            if not (np.isfinite(x) and np.isfinite(y)):
                continue
            colour = curve_colour(self._theme, style)
            painter.setPen(QPen(colour, 1.6))
            painter.setBrush(QColor(self._theme.base))
            painter.drawEllipse(QPointF(x, y), _RADIUS_PX, _RADIUS_PX)
            painter.setBrush(colour)
            painter.drawEllipse(QPointF(x, y), _DOT_PX, _DOT_PX)
