"""The table of markers: one row per sweep, for each marker the columns of what is read off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    QTimer,
)
from PySide6.QtGui import QColor

from fairlead.app.look.swatch import swatch_icon
from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.marker_table import MarkerTable, columns_for, heading_of, marker_title
from fairlead.core.table_lines import plain_mhz

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import Marker
    from fairlead.core.marker_table import MarkerCell
    from fairlead.core.views.quantity import Quantity

_NO_PARENT = QModelIndex()
_DISPLAY = int(Qt.ItemDataRole.DisplayRole)
_ALIGNMENT = int(Qt.ItemDataRole.TextAlignmentRole)
_TOOL_TIP = int(Qt.ItemDataRole.ToolTipRole)
_NUMBER = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_WORDS = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_LATER_MS = 40
_LONGEST_NAME = 14

AnyIndex = QModelIndex | QPersistentModelIndex


class MarkerModel(QAbstractTableModel):
    """Values are worked out when the view asks for them; a change of the band asks for none."""

    def __init__(
        self, document: Document, view_state: ViewState, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self._view_state = view_state
        self._cells: dict[tuple[int, int, str], MarkerCell] = {}
        self._table: MarkerTable | None = None
        self._take(document.bench)
        # Sweeps that move follow each other faster than anybody reads numbers.
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_LATER_MS)
        self._later.timeout.connect(lambda: self._renew(self.document.bench))
        document.changed.connect(self._on_changed)
        view_state.quantity_changed.connect(lambda: self._renew(self.document.bench))
        view_state.theme_changed.connect(self._on_theme_changed)

    @property
    def markers(self) -> tuple[Marker, ...]:
        """The markers shown, from left to right."""
        return self._bench.markers

    @property
    def columns(self) -> tuple[Quantity, ...]:
        """What is read off at each marker."""
        return self._columns

    def key_at(self, row: int) -> int:
        """The key of the sweep in a row."""
        return self._bench.entries[row].key

    def row_of(self, key: int) -> int | None:
        """The row of a sweep, or None."""
        return next((i for i, one in enumerate(self._bench.entries) if one.key == key), None)

    def marker_at(self, column: int) -> Marker:
        """The marker that a column belongs to."""
        return self._bench.markers[column // len(self._columns)]

    def rowCount(self, parent: AnyIndex = _NO_PARENT) -> int:
        """One per sweep."""
        return 0 if parent.isValid() else len(self._bench.entries)

    def columnCount(self, parent: AnyIndex = _NO_PARENT) -> int:
        """Those of all markers."""
        return 0 if parent.isValid() else len(self._bench.markers) * len(self._columns)

    def data(self, index: AnyIndex, role: int = _DISPLAY) -> object:
        """A number, or a dash whose reason is in its tip."""
        if role == _ALIGNMENT:
            return _NUMBER
        if role == Qt.ItemDataRole.ForegroundRole:
            is_drawn = self._bench.entries[index.row()].is_visible
            return None if is_drawn else QColor(self._view_state.theme.muted)
        if role == _DISPLAY:
            return self._cell(index.row(), index.column()).text
        if role in (_TOOL_TIP, Qt.ItemDataRole.AccessibleDescriptionRole):
            why_not = self._cell(index.row(), index.column()).why_not
            return tool_tip(why_not) if why_not and role == _TOOL_TIP else why_not or None
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _DISPLAY) -> object:
        """The marker over its first column, and what each column is; sweeps at the side."""
        if orientation == Qt.Orientation.Horizontal:
            return self._heading(section, role)
        entry = self._bench.entries[section]
        if role == _DISPLAY:
            return entry.title
        if role == Qt.ItemDataRole.DecorationRole:
            return swatch_icon(entry.drawn_style, self._view_state.theme)
        if role == _TOOL_TIP:
            return tool_tip(entry.caption)
        return _WORDS if role == _ALIGNMENT else None

    def _heading(self, section: int, role: int) -> object:
        marker = self.marker_at(section)
        column = self._columns[section % len(self._columns)]
        if role == _DISPLAY:
            is_first = section % len(self._columns) == 0
            title = _short(marker.name or f"{plain_mhz(marker.frequency_hz)} MHz")
            title = title if is_first else ""
            return f"{title}\n{heading_of(column)}"
        if role in (_TOOL_TIP, Qt.ItemDataRole.AccessibleTextRole):
            text = f"{heading_of(column)} at {marker_title(marker)}"
            return tool_tip(text, column.hint) if role == _TOOL_TIP else text
        return _NUMBER if role == _ALIGNMENT else None

    def _cell(self, row: int, column: int) -> MarkerCell:
        entry, marker = self._bench.entries[row], self.marker_at(column)
        quantity = self._columns[column % len(self._columns)]
        key = (entry.key, marker.key, quantity.id)
        if key not in self._cells:
            if self._table is None:
                shown = self._view_state.quantity
                self._table = MarkerTable(self._bench, self.document.analyses, shown)
            self._cells[key] = self._table.cell(entry, marker, quantity)
        return self._cells[key]

    def _take(self, bench: Bench) -> None:
        self._bench = bench
        self._columns = columns_for(self._view_state.quantity)
        self._cells.clear()
        self._table = None

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if (
            new.entries is old.entries
            and new.markers is old.markers
            and new.z0_ohm == old.z0_ohm
            and new.reference_key == old.reference_key
        ):
            return
        is_same_shape = [one.key for one in new.entries] == [one.key for one in self._bench.entries]
        if self.document.is_hurried and is_same_shape:
            self._later.start()
        else:
            self._renew(new)

    def _renew(self, bench: Bench) -> None:
        self._later.stop()
        old = self._bench
        keeps_shape = (
            [one.key for one in old.entries] == [one.key for one in bench.entries]
            and len(old.markers) == len(bench.markers)
            and self._columns == columns_for(self._view_state.quantity)
        )
        if not keeps_shape:
            self.beginResetModel()
            self._take(bench)
            self.endResetModel()
            return
        self._take(bench)
        if self.rowCount() and self.columnCount():
            last = self.index(self.rowCount() - 1, self.columnCount() - 1)
            self.dataChanged.emit(self.index(0, 0), last)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, self.columnCount() - 1)
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, self.rowCount() - 1)

    def _on_theme_changed(self) -> None:
        if self.rowCount():
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, self.rowCount() - 1)


def _short(name: str) -> str:
    """A name that keeps a column narrow; the tip has all of it."""
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1].rstrip()}…"
