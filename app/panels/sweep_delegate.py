"""How a row of the sweep list is drawn and edited: tick, line sample, name, condition."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFontMetrics, QImage, QMouseEvent, QPainter
from PySide6.QtWidgets import (
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from fairlead.app.look.resources import icon_image
from fairlead.app.look.swatch import group_swatch_image, swatch_image
from fairlead.app.panels.sweep_list_model import (
    CONDITION_ROLE,
    ENTRY_ROLE,
    FINDINGS_ROLE,
    FOLDED_ROLE,
    GROUP_ROLE,
    MEMBER_ROLE,
    PARTS_ROLE,
    REFERENCE_ROLE,
    SECOND_LINE_ROLE,
)
from fairlead.app.panels.tick import draw_tick
from fairlead.core.names import shortened

if TYPE_CHECKING:
    from PySide6.QtCore import QPersistentModelIndex

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Group
    from fairlead.core.soundness.finding import Severity

    AnyIndex = QModelIndex | QPersistentModelIndex

# Shapes distinguish them rather than colours.
_MARKS: dict[Severity, str] = {"note": "remark", "suspect": "remark-filled"}
Field = Literal["label", "condition"]

_MARGIN = 6
_TICK = 16
_SWATCH = QSize(34, 16)
_MARK = 16
_INDENT = 14


class SweepDelegate(QStyledItemDelegate):
    """Draws two lines per row; ``field`` is the one that the next editor is for."""

    explanation_wanted = Signal(int)
    """Key of the sweep whose mark was clicked."""
    fold_wanted = Signal(int)
    """Key of the group whose arrow was clicked."""
    alone_wanted = Signal(int)
    """Row whose tick was clicked with Alt held: to be shown alone."""

    def __init__(self, view_state: ViewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self.field: Field = "label"

    # Places

    def sizeHint(self, option: QStyleOptionViewItem, _index: AnyIndex) -> QSize:
        """The same for every row."""
        return QSize(120, 2 * QFontMetrics(option.font).height() + 2 * _MARGIN)

    def tick_rect(self, row: QRect) -> QRect:
        """Where the tick is, and where a click toggles it."""
        top = row.center().y() - _TICK // 2 + 1
        return QRect(row.left() + _MARGIN, top, _TICK, _TICK)

    def text_rect(self, row: QRect, marks: int = 0) -> QRect:
        """Both lines of text, left of the marks."""
        left = row.left() + _MARGIN + _TICK + 8 + _SWATCH.width() + 8
        right = row.right() - _MARGIN - marks * (_MARK + 4)
        return QRect(left, row.top() + _MARGIN, right - left, row.height() - 2 * _MARGIN)

    def mark_rect(self, row: QRect) -> QRect:
        """Where the warning mark of a sweep is; a click there asks why."""
        return QRect(row.right() - _MARGIN - _MARK, row.top() + _MARGIN, _MARK, _MARK)

    def fold_rect(self, row: QRect) -> QRect:
        """Where the arrow of a group is, and where a click folds or unfolds it."""
        return self.mark_rect(row)

    def content_rect(self, row: QRect, index: AnyIndex) -> QRect:
        """The row without its indentation: members stand under their group."""
        return row.adjusted(_INDENT if index.data(MEMBER_ROLE) else 0, 0, 0, 0)

    def field_at(self, row: QRect, y: int) -> Field:
        """The line at a height."""
        return "label" if y < row.center().y() else "condition"

    # Drawing

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Draw one row."""
        row = QStyleOptionViewItem(option)
        painter.save()
        if row.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(row.rect, row.palette.highlight())
        whole = QRect(row.rect)
        group: Group | None = index.data(GROUP_ROLE)
        if group is not None:
            self._paint_group(painter, row, index, group)
        else:
            row.rect = self.content_rect(row.rect, index)
            self._paint_sweep(painter, row, index)
        if row.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(self._view_state.theme.accent))
            painter.drawRect(whole.adjusted(0, 0, -1, -1))
        painter.restore()

    def _paint_group(
        self, painter: QPainter, row: QStyleOptionViewItem, index: AnyIndex, group: Group
    ) -> None:
        draw_tick(painter, self.tick_rect(row.rect), row.palette, is_on=group.is_visible)
        ratio, theme = painter.device().devicePixelRatioF(), self._view_state.theme
        image = group_swatch_image(group.style, theme, _SWATCH.width(), _SWATCH.height(), ratio)
        self._draw_image(painter, row, image, is_visible=group.is_visible)
        place = self.fold_rect(row.rect)
        arrow = [(4, 5), (12, 5), (8, 11)]
        if index.data(FOLDED_ROLE):
            arrow = [(5, 4), (5, 12), (11, 8)]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.text))
        painter.drawPolygon([QPoint(place.left() + x, place.top() + y) for x, y in arrow])
        self._draw_text(painter, row, index, 1, is_bold=False, is_visible=group.is_visible)

    def _paint_sweep(self, painter: QPainter, row: QStyleOptionViewItem, index: AnyIndex) -> None:
        entry: Entry = index.data(ENTRY_ROLE)
        draw_tick(painter, self.tick_rect(row.rect), row.palette, is_on=entry.is_visible)
        self._draw_swatch(painter, row, entry)
        theme = self._view_state.theme
        marks = [(_MARKS[kind], theme.muted) for kind in self._concern(index)]
        if index.data(REFERENCE_ROLE):
            marks.append(("reference", theme.text))
        self._draw_marks(painter, row, marks)
        is_reference = bool(index.data(REFERENCE_ROLE))
        self._draw_text(
            painter, row, index, len(marks), is_bold=is_reference, is_visible=entry.is_visible
        )

    def _concern(self, index: AnyIndex) -> list[Severity]:
        """The more serious kind of finding of a sweep, at most one."""
        kinds = {found.severity for found in index.data(FINDINGS_ROLE)}
        return ["suspect"] if "suspect" in kinds else ["note"] if kinds else []

    def _draw_swatch(self, painter: QPainter, row: QStyleOptionViewItem, entry: Entry) -> None:
        ratio = painter.device().devicePixelRatioF()
        image = swatch_image(
            entry.drawn_style, self._view_state.theme, _SWATCH.width(), _SWATCH.height(), ratio
        )
        self._draw_image(painter, row, image, is_visible=entry.is_visible)

    def _draw_image(
        self, painter: QPainter, row: QStyleOptionViewItem, image: QImage, *, is_visible: bool
    ) -> None:
        left = row.rect.left() + _MARGIN + _TICK + 8
        top = row.rect.center().y() - _SWATCH.height() // 2 + 1
        painter.setOpacity(1.0 if is_visible else 0.35)
        painter.drawImage(QRect(left, top, _SWATCH.width(), _SWATCH.height()), image)
        painter.setOpacity(1.0)

    def _draw_marks(
        self, painter: QPainter, row: QStyleOptionViewItem, marks: list[tuple[str, str]]
    ) -> None:
        ratio = painter.device().devicePixelRatioF()
        place = self.mark_rect(row.rect)
        for name, colour in marks:
            painter.drawImage(place, icon_image(name, colour, round(_MARK * ratio)))
            place.translate(-_MARK - 4, 0)

    def _draw_text(
        self,
        painter: QPainter,
        row: QStyleOptionViewItem,
        index: AnyIndex,
        marks: int,
        *,
        is_bold: bool,
        is_visible: bool,
    ) -> None:
        theme = self._view_state.theme
        font = row.font
        font.setBold(is_bold)
        painter.setFont(font)
        metrics = QFontMetrics(font)
        place = self.text_rect(row.rect, marks)
        top = QRect(place.left(), place.top(), place.width(), metrics.height())
        painter.setPen(QColor(theme.text if is_visible else theme.muted))
        # What all names share goes first; the rest tells them apart.
        name = shortened(
            index.data(),
            index.data(PARTS_ROLE),
            lambda text: metrics.horizontalAdvance(text) <= top.width(),
        )
        painter.drawText(top, Qt.AlignmentFlag.AlignVCenter, name)
        font.setBold(False)
        painter.setFont(font)
        metrics = QFontMetrics(font)
        below = self.text_rect(row.rect)
        below.setTop(top.bottom() + 1)
        painter.setPen(QColor(theme.muted))
        text = metrics.elidedText(
            index.data(SECOND_LINE_ROLE), Qt.TextElideMode.ElideRight, below.width()
        )
        painter.drawText(below, Qt.AlignmentFlag.AlignVCenter, text)

    # Editing

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: AnyIndex,
    ) -> bool:
        """Toggle the tick when it is clicked; ask why at a click on the mark."""
        kinds = (
            QEvent.Type.MouseButtonPress,
            QEvent.Type.MouseButtonRelease,
            QEvent.Type.MouseButtonDblClick,
        )
        if event.type() not in kinds or not isinstance(event, QMouseEvent):
            return False
        if event.button() != Qt.MouseButton.LeftButton:
            return False
        point = event.position().toPoint()
        group: Group | None = index.data(GROUP_ROLE)
        if group is not None and self._around_mark(option.rect).contains(point):
            if event.type() == QEvent.Type.MouseButtonPress:
                self.fold_wanted.emit(group.key)
            return True
        on_mark = self._around_mark(option.rect).contains(point)
        if on_mark and index.data(FINDINGS_ROLE):
            if event.type() == QEvent.Type.MouseButtonRelease:
                self.explanation_wanted.emit(index.data(ENTRY_ROLE).key)
            return True
        # A little larger than drawn: a tick is a small target.
        content = self.content_rect(option.rect, index)
        grown = self.tick_rect(content).adjusted(-_MARGIN, -8, 4, 8)
        if not grown.contains(point):
            return False
        if event.type() == QEvent.Type.MouseButtonRelease:
            self._on_tick(event, model, index)
        return True

    def _on_tick(self, event: QMouseEvent, model: QAbstractItemModel, index: AnyIndex) -> None:
        """Show or hide the row, or with Alt show it alone."""
        if event.modifiers() & Qt.KeyboardModifier.AltModifier:
            self.alone_wanted.emit(index.row())
            return
        is_on = index.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
        turned = Qt.CheckState.Unchecked if is_on else Qt.CheckState.Checked
        model.setData(index, turned, Qt.ItemDataRole.CheckStateRole)

    def _around_mark(self, row: QRect) -> QRect:
        return self.mark_rect(row).adjusted(-3, -_MARGIN, _MARGIN, 4)

    def createEditor(
        self, parent: QWidget, _option: QStyleOptionViewItem, index: AnyIndex
    ) -> QWidget:
        """A line edit; a group has a name and no condition."""
        line = QLineEdit(parent)
        is_group = index.data(GROUP_ROLE) is not None
        is_label = self.field == "label" or is_group
        line.setObjectName("edit label" if is_label else "edit condition")
        line.setAccessibleName(
            "Condition"
            if not is_label
            else "Name of the group"
            if is_group
            else "Name of the sweep"
        )
        line.setPlaceholderText("Name" if is_label else "Condition: dry, wet, iced ...")
        return line

    def setEditorData(self, editor: QWidget, index: AnyIndex) -> None:
        """Fill in the current text."""
        if isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(index.data(self._role(editor)))

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: AnyIndex) -> None:
        """Emit the text that was typed."""
        if isinstance(editor, QLineEdit) and editor.isModified():
            model.setData(index, editor.text(), self._role(editor))

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: AnyIndex
    ) -> None:
        """Place it over its line, as wide as the row allows."""
        place = self.text_rect(self.content_rect(option.rect, index))
        height = editor.sizeHint().height()
        is_label = editor.objectName() == "edit label"
        top = option.rect.top() + 1 if is_label else option.rect.bottom() - height
        editor.setGeometry(place.left() - 4, top, place.width() + 4 + _MARGIN, height)

    def _role(self, editor: QWidget) -> int:
        is_label = editor.objectName() == "edit label"
        return int(Qt.ItemDataRole.EditRole) if is_label else CONDITION_ROLE
