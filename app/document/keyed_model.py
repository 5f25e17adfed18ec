"""A table model with one row per sweep, which follows the bench row by row.

Rows are identified by the key of their entry. When the bench changes, rows are removed, moved and
inserted to match, so that selection and scroll position stay; a model reset would lose both.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry

AnyIndex = QModelIndex | QPersistentModelIndex

NO_PARENT = QModelIndex()


class KeyedModel(QAbstractTableModel):
    """Rows follow the document's entries; subclasses supply their contents."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._keys = [entry.key for entry in document.bench.entries]
        self._entries = {entry.key: entry for entry in document.bench.entries}
        document.changed.connect(self._on_changed)

    # For subclasses

    def take(self, old: Bench, new: Bench) -> None:
        """Prepare the contents of all rows of the new bench; the rows have not changed yet."""

    def announce(self, old: Bench, new: Bench) -> None:
        """Announce to the views which cells changed; the rows are those of the new bench."""

    # Rows

    def rowCount(self, parent: AnyIndex = NO_PARENT) -> int:
        """One row per sweep."""
        return 0 if parent.isValid() else len(self._keys)

    def key_at(self, row: int) -> int:
        """Key of a row's entry."""
        return self._keys[row]

    def entry_at(self, row: int) -> Entry:
        """Entry of a row."""
        return self._entries[self._keys[row]]

    def row_of(self, key: int) -> int | None:
        """Row of a key, or None."""
        return self._keys.index(key) if key in self._entries and key in self._keys else None

    def _on_changed(self, old: Bench, new: Bench) -> None:
        # Until old rows are removed, views may still ask for them.
        if new.entries is not old.entries:
            self._entries.update((entry.key, entry) for entry in new.entries)
        self.take(old, new)
        if new.entries is not old.entries:
            wanted = [entry.key for entry in new.entries]
            self._remove_rows(wanted)
            self._order_rows(wanted)
            self._insert_rows(wanted)
            self._entries = {entry.key: entry for entry in new.entries}
        self.announce(old, new)

    def _remove_rows(self, wanted: list[int]) -> None:
        kept = set(wanted)
        last = len(self._keys) - 1
        while last >= 0:
            if self._keys[last] in kept:
                last -= 1
                continue
            first = last
            while first > 0 and self._keys[first - 1] not in kept:
                first -= 1
            self.beginRemoveRows(NO_PARENT, first, last)
            del self._keys[first : last + 1]
            self.endRemoveRows()
            last = first - 1

    def _order_rows(self, wanted: list[int]) -> None:
        have = set(self._keys)
        order = [key for key in wanted if key in have]
        if order == self._keys:
            return
        self.layoutAboutToBeChanged.emit()
        before = self.persistentIndexList()
        keys = [self._keys[index.row()] for index in before]
        self._keys = order
        rows = {key: row for row, key in enumerate(order)}
        after = [
            self.index(rows[key], index.column()) for key, index in zip(keys, before, strict=True)
        ]
        self.changePersistentIndexList(before, after)
        self.layoutChanged.emit()

    def _insert_rows(self, wanted: list[int]) -> None:
        have = set(self._keys)
        first = 0
        while first < len(wanted):
            if wanted[first] in have:
                first += 1
                continue
            last = first
            while last + 1 < len(wanted) and wanted[last + 1] not in have:
                last += 1
            self.beginInsertRows(NO_PARENT, first, last)
            self._keys[first:first] = wanted[first : last + 1]
            self.endInsertRows()
            first = last + 1
