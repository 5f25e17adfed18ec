"""The axes and the grid of the plot over frequency: titles, numbers, small ticks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QSizeF
from PySide6.QtGui import QFont, QFontMetricsF

from fairlead.app.drawing.frequency_axis import frequency_ticks, log_frequency_ticks
from fairlead.app.drawing.screen_map import LogScreenMap
from fairlead.app.plots.frequency_grid import FrequencyGrid

if TYPE_CHECKING:
    # PySide6 comes before it, so that it binds to that.
    import pyqtgraph as pg

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.core.views.quantity import Quantity

_LEFT_AXIS_PX = 46
# Room for a sign and four digits.
_LEFT_AXIS_WIDE_PX = 62
_BOTTOM_AXIS_PX = 40
_TICK_DISTANCE_PX = 22.0
_NUMBER_GAP_PX = 36.0
_LOG_NUMBER_GAP_PX = 10.0


class PlotAxes:
    """Draws with the axes of a pyqtgraph plot, whose own numbers are never used.

    On a logarithmic axis pyqtgraph's ranges are exponents of ten.
    """

    def __init__(self, item: pg.PlotItem, theme: Theme) -> None:
        self._bottom, self._left = item.getAxis("bottom"), item.getAxis("left")
        self._grid = FrequencyGrid(item.getViewBox())
        self._font = QFont()
        self._theme = theme
        for axis in (self._bottom, self._left):
            axis.enableAutoSIPrefix(enable=False)
            axis.setStyle(tickLength=-4)
        self._bottom.setScale(1e-6)
        # pyqtgraph lets titles extend beyond their axis, hence the margins.
        item.layout.setContentsMargins(4, 8, 14, 6)

    def set_quantity(self, quantity: Quantity) -> None:
        """Write its titles."""
        self._left.setLabel(quantity.axis_title, color=self._theme.text)
        self._bottom.setLabel(quantity.frequency_title, color=self._theme.text)
        self._size(quantity)

    def set_font(self, font: QFont, quantity: Quantity) -> None:
        """Write in another font."""
        self._font = font
        for axis in (self._bottom, self._left):
            axis.setStyle(tickFont=font)
            axis.label.setFont(font)
        self._size(quantity)

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        for axis in (self._bottom, self._left):
            axis.setPen(theme.muted)
            axis.setTextPen(theme.text)
            axis.setLabel(axis.labelText, color=theme.text)
        self._grid.set_theme(theme)

    def show(self, screen: ScreenMap, quantity: Quantity) -> None:
        """Number the ranges shown."""
        rows = quantity.scale.ticks((screen.bottom, screen.top), _TICK_DISTANCE_PX / screen.y_scale)
        self._left.setTicks([[(tick.position, tick.text) for tick in rows]])
        is_log = isinstance(screen, LogScreenMap)
        find = log_frequency_ticks if is_log else frequency_ticks
        columns, small = find(
            screen.left,
            screen.right,
            screen.width,
            QFontMetricsF(self._font).horizontalAdvance,
            _LOG_NUMBER_GAP_PX if is_log else _NUMBER_GAP_PX,
        )
        texts = [tick.text for tick in columns]
        places = np.array([*(tick.frequency_hz for tick in columns), *small])
        if is_log:
            places = np.log10(places)
        numbered, unnumbered = places[: len(columns)].tolist(), places[len(columns) :].tolist()
        self._bottom.setTicks(
            [list(zip(numbered, texts, strict=True)), [(place, "") for place in unnumbered]]
        )
        self._grid.set_size(QSizeF(screen.width, screen.height))
        self._grid.set_lines(
            [screen.x(tick.frequency_hz) for tick in columns],
            [screen.y(tick.position) for tick in rows],
        )

    def _size(self, quantity: Quantity) -> None:
        """Room for numbers and titles; whole pixels, or all layers blur."""
        scale = self._theme.text_scale
        left_px = _LEFT_AXIS_WIDE_PX if quantity.needs_phase else _LEFT_AXIS_PX
        self._left.setWidth(round(left_px * scale))
        self._bottom.setHeight(round(_BOTTOM_AXIS_PX * scale))
