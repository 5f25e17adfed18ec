"""A table model with one row per sweep or group, which follows the bench row by row.

Rows are identified by the key of their entry or group. The members of a group follow it, or are
hidden while it is folded. When the bench changes, rows are removed, moved and inserted to match, so
that selection and scroll position stay; a model reset would lose both.
"""

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

from fairlead.core.document.groups import in_rows

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Group

AnyIndex = QModelIndex | QPersistentModelIndex

NO_PARENT = QModelIndex()

# Nobody reads numbers faster; curves that move with the hand have the time in between.
_LATE_MS = 100


class KeyedModel(QAbstractTableModel):
    """Rows follow the document's entries; subclasses supply their contents."""

    def __init__(
        self,
        document: Document,
        parent: QObject | None = None,
        view_state: ViewState | None = None,
    ) -> None:
        """Without a view state nothing can be folded."""
        super().__init__(parent)
        self.document = document
        self._folds = view_state
        self.is_folding = False
        self._keys = self._wanted(document.bench)
        self._entries = {entry.key: entry for entry in document.bench.entries}
        self._groups = {group.key: group for group in document.bench.groups}
        self._behind: Bench | None = None
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(_LATE_MS)
        self._late.timeout.connect(self._catch_up)
        document.changed.connect(self._on_changed)
        if view_state is not None:
            view_state.folded_changed.connect(self._on_folded)

    # For subclasses

    def take(self, old: Bench, new: Bench) -> None:
        """Prepare the contents of all rows of the new bench; the rows have not changed yet."""

    def passing(self, _bench: Bench, keys: list[int]) -> list[int]:
        """The rows that are shown of these; all, unless a subclass filters them."""
        return keys

    def members(self, group: Group) -> list[int]:
        """Members of a group, unless a subclass filters them."""
        return list(group.members)

    def announce(self, old: Bench, new: Bench) -> None:
        """Announce to the views which cells changed; the rows are those of the new bench."""

    # Rows

    def rowCount(self, parent: AnyIndex = NO_PARENT) -> int:
        """One row per visible sweep or group."""
        return 0 if parent.isValid() else len(self._keys)

    def key_at(self, row: int) -> int:
        """Key of a row's entry or group."""
        return self._keys[row]

    def entry_at(self, row: int) -> Entry:
        """Entry of a row; KeyError at a group."""
        return self._entries[self._keys[row]]

    def group_at(self, row: int) -> Group | None:
        """Group of a row; None at a sweep."""
        return self._groups.get(self._keys[row])

    def is_folded(self, group_key: int) -> bool:
        """Whether the members of a group do not show."""
        return self._folds is not None and group_key in self._folds.folded

    def sweeps_at(self, rows: Iterable[int]) -> list[int]:
        """Keys of the sweeps of some rows, in their order: a group stands for its members."""
        found: dict[int, None] = {}
        for row in rows:
            group = self.group_at(row)
            found.update(dict.fromkeys([self._keys[row]] if group is None else self.members(group)))
        return list(found)

    def rows_of(self, keys: Collection[int]) -> list[int]:
        """Rows of sweeps, rising; a folded group has the row of its members if all are meant."""
        return [
            row
            for row, key in enumerate(self._keys)
            if key in keys
            or (self.is_folded(key) and key in self._groups and self._is_whole(key, keys))
        ]

    def _is_whole(self, group_key: int, keys: Collection[int]) -> bool:
        return all(key in keys for key in self.members(self._groups[group_key]))

    def row_of(self, key: int) -> int | None:
        """Row of the key of a sweep or group, or None."""
        return self._keys.index(key) if key in self._keys else None

    def _wanted(self, bench: Bench) -> list[int]:
        if not bench.groups:
            return self.passing(bench, [entry.key for entry in bench.entries])
        hidden = {
            key for group in bench.groups if self.is_folded(group.key) for key in group.members
        }
        rows = [one.key for one in in_rows(bench) if one.key not in hidden]
        return self.passing(bench, rows)

    def _on_changed(self, old: Bench, _new: Bench) -> None:
        if self._behind is None:
            self._behind = old
        if not self.document.is_hurried:
            self._catch_up()
        elif not self._late.isActive():
            self._late.start()

    def _catch_up(self) -> None:
        """Follow all changes since the last time."""
        old, self._behind = self._behind, None
        self._late.stop()
        if old is not None:
            self._go_from(old, self.document.bench)

    def _go_from(self, old: Bench, new: Bench) -> None:
        # Until old rows are removed, views may still ask for them.
        is_other = new.entries is not old.entries or new.groups is not old.groups
        if is_other:
            self._entries.update((entry.key, entry) for entry in new.entries)
            self._groups.update((group.key, group) for group in new.groups)
        self.take(old, new)
        if is_other:
            self._show_rows(self._wanted(new))
            self._entries = {entry.key: entry for entry in new.entries}
            self._groups = {group.key: group for group in new.groups}
        self.announce(old, new)

    def show_passing(self) -> None:
        """Show the rows that pass now; what is selected stays selected, though its row may go."""
        self.is_folding = True
        try:
            self._show_rows(self._wanted(self.document.bench))
        finally:
            self.is_folding = False

    def _on_folded(self) -> None:
        self.show_passing()
        rows = [row for row, key in enumerate(self._keys) if key in self._groups]
        for row in rows:
            self.dataChanged.emit(self.index(row, 0), self.index(row, 0))
            self.headerDataChanged.emit(Qt.Orientation.Vertical, row, row)

    def _show_rows(self, wanted: list[int]) -> None:
        self._remove_rows(wanted)
        self._order_rows(wanted)
        self._insert_rows(wanted)

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
