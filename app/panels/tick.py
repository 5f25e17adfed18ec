"""A tick box visible in both themes; Qt's own frame is black on black in the dark one."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QCheckBox,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionButton,
    QStyleOptionViewItem,
    QStylePainter,
)


def draw_tick(painter: QPainter, box: QRect, palette: QPalette, *, is_on: bool) -> None:
    """Draw a frame, and a tick in it if it is on.

    Parameters
    ----------
    painter : QPainter
    box : QRect
        Square.
    palette : QPalette
        Its placeholder tone draws the frame, its text tone the tick.
    is_on : bool
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    frame = QRectF(box).adjusted(1.5, 1.5, -1.5, -1.5)
    painter.setPen(QPen(palette.color(QPalette.ColorRole.PlaceholderText), 1))
    painter.setBrush(palette.color(QPalette.ColorRole.Base))
    painter.drawRoundedRect(frame, 2.5, 2.5)
    if is_on:
        pen = QPen(palette.color(QPalette.ColorRole.Text), 2)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        x, y, side = frame.x(), frame.y(), frame.width()
        knee = QPointF(x + 0.43 * side, y + 0.74 * side)
        painter.drawLine(QPointF(x + 0.22 * side, y + 0.52 * side), knee)
        painter.drawLine(knee, QPointF(x + 0.78 * side, y + 0.27 * side))
    painter.restore()


class TickBox(QCheckBox):
    """A check box with our own tick."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Tick, text, and the focus frame."""
        option = QStyleOptionButton()
        self.initStyleOption(option)
        painter = QStylePainter(self)
        style = self.style()
        box = style.subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, option, self)
        draw_tick(painter, box, self.palette(), is_on=self.isChecked())
        option.rect = style.subElementRect(QStyle.SubElement.SE_CheckBoxContents, option, self)
        painter.drawControl(QStyle.ControlElement.CE_CheckBoxLabel, option)
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(self.palette().color(QPalette.ColorRole.Highlight))
            painter.drawRoundedRect(self.rect().adjusted(0, 0, -1, -1), 3, 3)


class TickDelegate(QStyledItemDelegate):
    """Items of a table or list with our own tick in place of Qt's."""

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """The item, and our tick over Qt's where it can be ticked."""
        super().paint(painter, option, index)
        state = index.data(Qt.ItemDataRole.CheckStateRole)
        if state is None:
            return
        full = QStyleOptionViewItem(option)
        self.initStyleOption(full, index)
        element = QStyle.SubElement.SE_ItemViewItemCheckIndicator
        box = full.widget.style().subElementRect(element, full, full.widget)
        is_on = Qt.CheckState(state) == Qt.CheckState.Checked
        draw_tick(painter, box, full.palette, is_on=is_on)
