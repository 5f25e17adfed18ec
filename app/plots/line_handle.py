"""A line through the plot with a tag that can be grabbed, positioned in pixels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pens import mix, thin_pen
from fairlead.core.units import format_mhz

if TYPE_CHECKING:
    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.app.look.palette import Theme

GRAB_PX = 6.0
"""Reach of a line to either side."""
_PADDING = 5.0
_DOTS = (1.0, 3.0)


def edge_text(frequency_hz: float) -> str:
    """A frequency in MHz: at least three decimals, more if it lies between whole kilohertz.

    Not more than nine digits: no analyzer knows its frequency better.
    """
    before_point = len(f"{frequency_hz / 1e6:.0f}")
    text = format_mhz(frequency_hz, min(max(9 - before_point, 3), 6))
    whole, _, decimals = text.partition(".")
    return f"{whole}.{decimals[:3]}{decimals[3:].rstrip('0')}"


class LineHandle(QGraphicsItem):
    """A line through the plot with a tag, positioned in pixels."""

    def __init__(self, parent: QGraphicsItem, *, is_dotted: bool = False) -> None:
        super().__init__(parent)
        self._is_dotted = is_dotted
        self._colour = QColor(LIGHT.band)
        self._paper = QColor(LIGHT.base)
        self._accent = QColor(LIGHT.accent)
        self._font = QFont()
        self._text = ""
        self._line = QRectF()
        self._tag = QRectF()
        self._is_focused = False
        self._is_hot = False

    def set_tones(self, colour: str, theme: Theme) -> None:
        """Use other tones."""
        self._colour, self._paper = QColor(colour), QColor(theme.base)
        self._accent = QColor(theme.accent)
        self.update()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font

    def set_state(self, *, is_focused: bool, is_hot: bool) -> None:
        """Show whether keys move it and whether the mouse is over it."""
        if (is_focused, is_hot) != (self._is_focused, self._is_hot):
            self._is_focused, self._is_hot = is_focused, is_hot
            self.update()

    def set_shape(self, text: str, line: QRectF, tag: QRectF) -> None:
        """Lay out text, line and tag around its own position; an empty tag is not drawn."""
        if (text, line, tag) != (self._text, self._line, self._tag):
            self.prepareGeometryChange()
            self._text, self._line, self._tag = text, line, tag
            self.update()

    @property
    def tag_in_plot(self) -> QRectF:
        """The tag in pixels of the plot."""
        return self._tag.translated(self.pos())

    def tag_size(self, text: str) -> QSizeF:
        """The size of the tag for a text."""
        metrics = QFontMetricsF(self._font)
        return QSizeF(
            round(metrics.horizontalAdvance(text) + 2 * _PADDING), round(metrics.height() + 3)
        )

    def boundingRect(self) -> QRectF:
        """Line, tag and the outline of the focus."""
        return (self._line | self._tag).adjusted(-3, -3, 3, 3)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw line and tag."""
        del option, widget
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        strong = self._is_focused or self._is_hot
        if self._is_dotted and not strong:
            pen = QPen(self._colour, 1.0)
            pen.setDashPattern(_DOTS)
            painter.setPen(pen)
            x = self._line.center().x()
            painter.drawLine(QPointF(x, self._line.bottom()), QPointF(x, self._line.top()))
        else:
            painter.fillRect(self._thick_line() if strong else self._line, self._colour)
        if self._tag.isEmpty():
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self._accent, 2.5) if self._is_focused else thin_pen(self._colour, 1.0))
        painter.setBrush(
            self._colour if strong else mix(self._colour.name(), self._paper.name(), 0.16)
        )
        painter.drawRoundedRect(self._tag.adjusted(0.5, 0.5, -0.5, -0.5), 3, 3)
        painter.setPen(self._paper if strong else self._colour)
        painter.setFont(self._font)
        painter.drawText(self._tag, Qt.AlignmentFlag.AlignCenter, self._text)

    def _thick_line(self) -> QRectF:
        if self._line.height() > self._line.width():
            return self._line.adjusted(-0.5, 0, 0.5, 0)
        return self._line.adjusted(0, -0.5, 0, 0.5)
