"""Groups in a plot: the envelope below the curves, the mean above them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from fairlead.app.look.palette import LIGHT
from fairlead.app.look.swatch import ENVELOPE_ALPHA, MEAN_WIDTH
from fairlead.app.plots.pens import curve_colour, curve_pen, thin_pen
from fairlead.app.plots.pixmap_layer import PixmapLayer
from fairlead.app.plots.screen_line import FAR_PX
from fairlead.core.arrays import runs

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter
    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.group_curves import DrawnGroup, GroupSet
    from fairlead.core.arrays import FloatArray
    from fairlead.core.views.quantity import Quantity

GroupCurve = Literal["envelope", "mean"]
_EDGE_SHARE = 0.6
_PALE = 0.35


class GroupLayer(PixmapLayer):
    """One of the two parts of every group."""

    def __init__(self, groups: GroupSet, part: GroupCurve, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._groups = groups
        self._part = part
        self._theme = LIGHT
        self._screen: ScreenMap | None = None

    @property
    def is_empty(self) -> bool:
        """Whether no group is shown."""
        return not len(self._groups)

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.renew()

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the ranges of the plot."""
        self._screen = screen

    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Paint every group."""
        del areas
        if self._screen is not None:
            for drawn in self._groups:
                self._paint_group(painter, drawn, self._screen)

    def _paint_group(self, painter: QPainter, drawn: DrawnGroup, screen: ScreenMap) -> None:
        raise NotImplementedError

    def _stroke_mean(
        self, painter: QPainter, drawn: DrawnGroup, x: FloatArray, y: FloatArray
    ) -> None:
        painter.setPen(
            curve_pen(self._colour(drawn), MEAN_WIDTH * self._theme.line_scale, drawn.group.style)
        )
        _stroke(painter, x, y)

    def _colour(self, drawn: DrawnGroup, share: float = 1.0) -> QColor:
        return QColor(curve_colour(self._theme, drawn.group.style, share))


class FrequencyGroupLayer(GroupLayer):
    """Groups over frequency: between the least and the largest value of any member."""

    def __init__(
        self, groups: GroupSet, part: GroupCurve, quantity: Quantity, parent: QGraphicsItem
    ) -> None:
        super().__init__(groups, part, parent)
        self._quantity = quantity

    def set_quantity(self, quantity: Quantity) -> None:
        """Show another quantity."""
        self._quantity = quantity
        self.renew()

    def _paint_group(self, painter: QPainter, drawn: DrawnGroup, screen: ScreenMap) -> None:
        envelope = drawn.curves.envelope(self._quantity)
        if envelope is None:
            return
        x = screen.x(drawn.curves.frequency_hz)
        low, mean, high = (screen.y(places).clip(-FAR_PX, FAR_PX) for places in envelope)
        if self._part == "mean":
            self._stroke_mean(painter, drawn, x, mean)
            return
        fill = self._colour(drawn)
        fill.setAlpha(ENVELOPE_ALPHA)
        painter.setBrush(fill)
        painter.setPen(Qt.PenStyle.NoPen)
        exists = np.isfinite(low) & np.isfinite(high)
        for start, last in runs(exists[1:] & exists[:-1]):
            part = slice(start, last + 1)
            outline = (
                np.concatenate((x[part], x[part][::-1])),
                np.concatenate((low[part], high[part][::-1])),
            )
            painter.drawPolygon(arrayToQPolygonF(*outline))
        painter.setPen(thin_pen(self._colour(drawn, _EDGE_SHARE)))
        _stroke(painter, x, low)
        _stroke(painter, x, high)


class SmithGroupLayer(GroupLayer):
    """Groups in the reflection plane: all members thin and pale, and the mean reflection."""

    def _paint_group(self, painter: QPainter, drawn: DrawnGroup, screen: ScreenMap) -> None:
        reflections = drawn.curves.reflections
        if reflections is None:
            return
        if self._part == "mean":
            mean = reflections.mean(axis=0)
            self._stroke_mean(painter, drawn, screen.x(mean.real), screen.y(mean.imag))
            return
        painter.setPen(thin_pen(self._colour(drawn, _PALE)))
        for own in reflections:
            _stroke(painter, screen.x(own.real), screen.y(own.imag))


def _stroke(painter: QPainter, x: FloatArray, y: FloatArray) -> None:
    """A line through the points that exist, broken where they do not."""
    exists = np.isfinite(x) & np.isfinite(y)
    for start, last in runs(exists[1:] & exists[:-1]):
        part = slice(start, last + 1)
        painter.drawPolyline(arrayToQPolygonF(x[part], y[part]))
