"""The grid of a plot over frequency."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pens import thin_pen
from fairlead.app.plots.pixmap_layer import PixmapLayer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPainter
    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.look.palette import Theme
    from fairlead.core.arrays import FloatArray


class FrequencyGrid(PixmapLayer):
    """Lines at the ticks of both axes."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._columns: Sequence[float] = ()
        self._rows: Sequence[float] = ()

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.renew()

    def set_lines(self, columns: Sequence[float], rows: Sequence[float]) -> None:
        """Set the positions of the lines, in pixels."""
        self._columns, self._rows = columns, rows
        self.renew()

    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Draw the lines on whole pixels."""
        del areas
        size = self.boundingRect()
        painter.setRenderHint(painter.RenderHint.Antialiasing, on=False)
        painter.setPen(thin_pen(self._theme.grid_minor))
        painter.drawLines([QLineF(round(x), 0, round(x), size.height()) for x in self._columns])
        painter.drawLines([QLineF(0, round(y), size.width(), round(y)) for y in self._rows])
