"""A small grid of cells to type or paste lists into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QColor, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_FIRST_ROWS = 8
_MOST_ROWS = 5000


class CellGrid(QTableWidget):
    """A grid of text cells that grows by a row as it is filled, and accepts pasted lists.

    Parameters
    ----------
    name : str
        For those who have the screen read to them.
    read_pasted : callable
        Makes rows of cells from pasted text.
    """

    def __init__(
        self,
        name: str,
        read_pasted: Callable[[str], Sequence[Sequence[str]]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(_FIRST_ROWS, 2, parent)
        self._read_pasted = read_pasted
        self.setAccessibleName(name)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        trigger = QAbstractItemView.EditTrigger
        self.setEditTriggers(trigger.DoubleClicked | trigger.AnyKeyPressed | trigger.EditKeyPressed)
        self.setItemDelegate(CellDelegate(self))
        self.setTabKeyNavigation(True)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.itemChanged.connect(self._grow)

    def set_columns(self, names: Sequence[str]) -> None:
        """Change the columns; the contents of the first ones stay."""
        self.setColumnCount(len(names))
        self.setHorizontalHeaderLabels(list(names))

    def rows(self) -> list[tuple[str, ...]]:
        """All cells as text."""
        return [
            tuple(self._text(row, column) for column in range(self.columnCount()))
            for row in range(self.rowCount())
        ]

    def put(self, row: int, column: int, rows: Sequence[Sequence[str]]) -> None:
        """Fill cells, starting at one."""
        rows = rows[:_MOST_ROWS]
        self.blockSignals(True)  # one notice for all of them
        self.setRowCount(max(self.rowCount(), row + len(rows) + 1))
        for down, cells in enumerate(rows):
            for right, text in enumerate(cells[: self.columnCount() - column]):
                self.setItem(row + down, column + right, QTableWidgetItem(text.strip()))
        self.blockSignals(False)
        if rows:
            self.itemChanged.emit(self.item(row, column))

    def mark(self, row: int | None, column: int, reason: str, colour: str) -> None:
        """Mark a cell that cannot be read; without a row, none."""
        self.blockSignals(True)
        if row is None:
            for item in self._items():
                item.setData(Qt.ItemDataRole.BackgroundRole, None)
                item.setToolTip("")
        else:
            column = min(column, self.columnCount() - 1)
            faulty = self.item(row, column)
            if faulty is None:
                faulty = QTableWidgetItem("")
                self.setItem(row, column, faulty)
            faulty.setBackground(QColor(colour))
            faulty.setToolTip(tool_tip(reason))
        self.blockSignals(False)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste, copy, clear cells; Enter goes down, and at the end of a row to the next one."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self._copy()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._clear()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            # A cell being edited signals by itself when it is closed.
            if self.state() != QAbstractItemView.State.EditingState:
                self._go_on()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Enter in a cell moves to the next one."""
        is_enter = hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache
        super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint if is_enter else hint)
        if is_enter:
            self._go_on()

    def remove_rows(self) -> None:
        """Remove the rows of the selection; the row that follows becomes the current one."""
        rows = sorted({index.row() for index in self.selectedIndexes()})
        for row in reversed(rows):
            self.removeRow(row)
        self.setRowCount(max(self.rowCount(), 1))
        if rows:
            self.setCurrentCell(min(rows[0], self.rowCount() - 1), max(self.currentColumn(), 0))

    def paste(self) -> None:
        """Paste the clipboard into the cells, starting at the current one.

        Rows as wide as the grid start at its first column.
        """
        rows = self._read_pasted(QGuiApplication.clipboard().text())
        if rows:
            is_whole = max(map(len, rows)) >= self.columnCount()
            column = 0 if is_whole else max(self.currentColumn(), 0)
            self.put(max(self.currentRow(), 0), column, rows)

    def _copy(self) -> None:
        found = self.selectedRanges()
        if found:
            area = found[0]
            lines = (
                "\t".join(
                    self._text(row, column)
                    for column in range(area.leftColumn(), area.rightColumn() + 1)
                )
                for row in range(area.topRow(), area.bottomRow() + 1)
            )
            QGuiApplication.clipboard().setText("\n".join(lines))

    def _clear(self) -> None:
        for index in self.selectedIndexes():
            item = self.item(index.row(), index.column())
            if item is not None:
                item.setText("")

    def _go_on(self) -> None:
        row, column = self.currentRow(), self.currentColumn()
        if column + 1 < self.columnCount():
            self.setCurrentCell(row, column + 1)
        else:
            self.setCurrentCell(min(row + 1, self.rowCount() - 1), 0)

    def _grow(self, item: QTableWidgetItem) -> None:
        if item.row() == self.rowCount() - 1 and item.text() and self.rowCount() < _MOST_ROWS:
            self.setRowCount(self.rowCount() + 1)

    def _text(self, row: int, column: int) -> str:
        item = self.item(row, column)
        return item.text().strip() if item is not None else ""

    def _items(self) -> list[QTableWidgetItem]:
        found = (
            self.item(row, column)
            for row in range(self.rowCount())
            for column in range(self.columnCount())
        )
        return [item for item in found if item is not None]


class CellDelegate(QStyledItemDelegate):
    """Puts a list pasted into a cell being edited into the grid, not onto one line."""

    def __init__(self, grid: CellGrid) -> None:
        super().__init__(grid)
        self._grid = grid

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Intercept a pasted list."""
        is_paste = (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.matches(QKeySequence.StandardKey.Paste)
        )
        text = QGuiApplication.clipboard().text().strip() if is_paste else ""
        if is_paste and isinstance(editor, QWidget) and any(mark in text for mark in "\n\t"):
            self.closeEditor.emit(editor, QAbstractItemDelegate.EndEditHint.RevertModelCache)
            self._grid.paste()
            return True
        return super().eventFilter(editor, event)
