"""The grid of the on-air log: cells to type into, and a list of the bench's sweeps and groups."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QComboBox, QCompleter, QHeaderView, QStyleOptionViewItem, QWidget

from fairlead.app.panels.cell_grid import CellDelegate, CellGrid
from fairlead.core.onair.table import ANTENNA, TITLES, ignored_words, log_table

if TYPE_CHECKING:
    from collections.abc import Sequence


class LogGrid(CellGrid):
    """One row for each report.

    Parameters
    ----------
    names : sequence of str
        Of the sweeps and groups to choose from.

    Attributes
    ----------
    not_read : str
        What the last paste had and a log has not; empty if nothing.
    """

    def __init__(self, names: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__("Reports", self._read, parent)
        self.not_read = ""
        self.set_columns(TITLES)
        self.setItemDelegateForColumn(ANTENNA, _NameDelegate(self, names))
        # Names are long, numbers are short.
        header = self.horizontalHeader()
        for column in range(len(TITLES)):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        letter_px = self.fontMetrics().averageCharWidth()
        for column, letters in enumerate(_WIDTHS):
            self.setColumnWidth(column, letters * letter_px)

    def _read(self, text: str) -> Sequence[Sequence[str]]:
        """Rows of a pasted list; what a log has no column for is remembered."""
        table = log_table(text)
        self.not_read = ignored_words(table.ignored)
        return table.rows

    @property
    def first_free(self) -> int:
        """The row below the last one that is filled."""
        filled = [number for number, row in enumerate(self.rows()) if any(row)]
        return filled[-1] + 1 if filled else 0

    def insert_row(self) -> None:
        """An empty row above the current one."""
        row = max(self.currentRow(), 0)
        self.insertRow(row)
        self.setCurrentCell(row, 0)


_WIDTHS = (22, 30, 12, 12, 12)


class _NameDelegate(CellDelegate):
    """A name is typed, and completed while it is, or chosen from the list."""

    def __init__(self, grid: CellGrid, names: Sequence[str]) -> None:
        super().__init__(grid)
        self._names = tuple(names)

    def createEditor(
        self,
        parent: QWidget,
        _option: QStyleOptionViewItem,
        _index: QModelIndex | QPersistentModelIndex,
    ) -> QWidget:
        box = QComboBox(parent)
        box.setEditable(True)
        box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        box.setFrame(False)
        box.addItems(self._names)
        # In this order "wire" comes before "wire high", or it could not be typed.
        completer = QCompleter(sorted(self._names, key=str.casefold), box)
        completer.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        box.setCompleter(completer)
        return box

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:
        if isinstance(editor, QComboBox):
            editor.setEditText(str(index.data(Qt.ItemDataRole.EditRole) or ""))
            line = editor.lineEdit()
            if line is not None:
                line.selectAll()
