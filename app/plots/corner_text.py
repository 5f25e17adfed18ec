"""A few unobtrusive lines of text in a corner of a plot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem

from fairlead.app.look.palette import LIGHT

if TYPE_CHECKING:
    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme

_INSET = 6.0
_MOST_LINES = 6


class CornerText(QGraphicsItem):
    """Plain text, at the bottom left or at a distance below the top left corner."""

    def __init__(self, parent: QGraphicsItem, *, top: float | None = None) -> None:
        super().__init__(parent)
        self._top = top
        self._theme = LIGHT
        self._font = QFont()
        self._lines: tuple[str, ...] = ()
        self._area = QRectF()
        self._width = 0.0
        self._height = 0.0

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.update()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font

    def set_lines(self, lines: tuple[str, ...]) -> None:
        """Change the lines; if there are too many, the rest are only counted."""
        if len(lines) > _MOST_LINES:
            more = len(lines) - _MOST_LINES + 1
            lines = (*lines[: _MOST_LINES - 1], f"and {more} more")
        if lines != self._lines:
            self._lines = lines
            self._lay_out()

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the size of the plot."""
        if (screen.width, screen.height) != (self._width, self._height):
            self._width, self._height = screen.width, screen.height
            self._lay_out()

    def _lay_out(self) -> None:
        self.prepareGeometryChange()
        metrics = QFontMetricsF(self._font)
        lines = self._shown()
        width = max((metrics.horizontalAdvance(line) for line in lines), default=0.0)
        height = metrics.lineSpacing() * len(lines)
        top = self._height - _INSET - height if self._top is None else self._top
        self._area = QRectF(_INSET, top, width, height)
        self.update()

    def _shown(self) -> list[str]:
        metrics = QFontMetricsF(self._font)
        room = max(self._width - 2 * _INSET, 40.0)
        return [metrics.elidedText(t, Qt.TextElideMode.ElideRight, room) for t in self._lines]

    @property
    def area(self) -> QRectF:
        """What the lines cover, in pixels of the plot."""
        return self._area if self._lines else QRectF()

    def boundingRect(self) -> QRectF:
        """The lines."""
        return self._area.adjusted(-2, -2, 2, 2)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Write the lines."""
        del option, widget
        if not self._lines:
            return
        ground = QColor(self._theme.base)
        ground.setAlpha(245)
        painter.fillRect(self._area.adjusted(-2, -1, 2, 1), ground)
        painter.setFont(self._font)
        painter.setPen(QColor(self._theme.muted))
        metrics = QFontMetricsF(self._font)
        for number, text in enumerate(self._shown()):
            y = self._area.top() + metrics.ascent() + number * metrics.lineSpacing()
            painter.drawText(QPointF(self._area.left(), y), text)
