"""The list of sweeps as a model: what the user changes is emitted as an intent."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from PySide6.QtCore import QMimeData, QModelIndex, QObject, Qt, Signal

from fairlead.app.document.concerns import Concerns
from fairlead.app.document.keyed_model import NO_PARENT, AnyIndex, KeyedModel
from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.dragging import add_files
from fairlead.core.document.filtering import matching
from fairlead.core.document.groups import group_of, in_rows
from fairlead.core.names import Parts, parts_of
from fairlead.core.traced import TRACED_WORDS
from fairlead.core.units import format_mhz, mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Group
    from fairlead.core.soundness.finding import Finding
    from fairlead.core.sweep import AnySweep

    Findings = tuple[Finding, ...]

KEYS_MIME = "application/x-fairlead-rows"
ENTRY_ROLE = int(Qt.ItemDataRole.UserRole)
"""The row's `fairlead.core.document.bench.Entry`."""
REFERENCE_ROLE = ENTRY_ROLE + 1
"""Whether the row is the reference."""
CONDITION_ROLE = ENTRY_ROLE + 2
"""The condition, for editing."""
SECOND_LINE_ROLE = ENTRY_ROLE + 3
"""The line under the name."""
FINDINGS_ROLE = ENTRY_ROLE + 4
"""The findings about the sweep: a tuple of `fairlead.core.soundness.finding.Finding`."""
GROUP_ROLE = ENTRY_ROLE + 5
"""The row's `fairlead.core.document.session.Group`; None for a sweep."""
FOLDED_ROLE = ENTRY_ROLE + 6
"""Whether the members of the row's group do not show."""
MEMBER_ROLE = ENTRY_ROLE + 7
"""Whether the row's sweep is in a group."""
PARTS_ROLE = ENTRY_ROLE + 8
"""All names by what they share, of `fairlead.core.names.parts_of`."""


class SweepListModel(KeyedModel):
    """One column, one row per sweep or group.

    Nothing is changed here: every edit is a signal, and the document responds with ``changed``.
    """

    rename_wanted = Signal(int, str)
    """Key, new name."""
    condition_wanted = Signal(int, str)
    """Key, new condition."""
    visibility_wanted = Signal(object, bool)
    """Keys, visible or not."""
    move_wanted = Signal(object, int)
    """Keys, and the place among the bench's sweeps to move them before."""
    group_rename_wanted = Signal(int, str)
    """Key of a group, new name."""
    group_visibility_wanted = Signal(int, bool)
    """Key of a group, and whether envelope and mean are drawn."""

    def __init__(
        self,
        document: Document,
        parent: QObject | None = None,
        view_state: ViewState | None = None,
    ) -> None:
        self._filter = ""
        self._parts: tuple[Bench, dict[str, Parts]] | None = None
        self.files_of: Callable[[list[int]], list[str]] = lambda _: []
        super().__init__(document, parent, view_state)
        self._token = uuid4().hex
        self.concerns = Concerns(document, self)
        self.concerns.changed.connect(self._show_concerns)

    def columnCount(self, parent: AnyIndex = NO_PARENT) -> int:
        """One."""
        return 0 if parent.isValid() else 1

    def data(self, index: AnyIndex, role: int = int(Qt.ItemDataRole.DisplayRole)) -> object:
        """Everything the delegate draws and assistive technology reads."""
        group = self.group_at(index.row())
        if group is not None:
            return self._of_group(group, role)
        entry = self.entry_at(index.row())
        is_reference = entry.key == self.document.bench.reference_key
        text = _TEXTS.get(role)
        if text is not None:
            return text(entry, is_reference, self.concerns.of(entry.key))
        return self._of_sweep(entry, role)

    def _of_sweep(self, entry: Entry, role: int) -> object:
        if role == ENTRY_ROLE:
            return entry
        if role == REFERENCE_ROLE:
            return entry.key == self.document.bench.reference_key
        if role == FINDINGS_ROLE:
            return self.concerns.of(entry.key)
        if role == MEMBER_ROLE:
            return group_of(self.document.bench, entry.key) is not None
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if entry.is_visible else Qt.CheckState.Unchecked
        return self._name_parts() if role == PARTS_ROLE else None

    def _of_group(self, group: Group, role: int) -> object:
        text = _GROUP_TEXTS.get(role)
        if text is not None:
            return text(group, self.is_folded(group.key))
        if role == GROUP_ROLE:
            return group
        if role == FOLDED_ROLE:
            return self.is_folded(group.key)
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if group.is_visible else Qt.CheckState.Unchecked
        return {} if role == PARTS_ROLE else None

    def setData(
        self, index: AnyIndex, value: object, role: int = int(Qt.ItemDataRole.EditRole)
    ) -> bool:
        """Emit a change; True if it is one that the list supports."""
        key = self.key_at(index.row())
        if self.group_at(index.row()) is not None:
            return self._set_group(key, value, role)
        if role == Qt.ItemDataRole.EditRole:
            self.rename_wanted.emit(key, str(value))
        elif role == CONDITION_ROLE:
            self.condition_wanted.emit(key, str(value))
        elif role == Qt.ItemDataRole.CheckStateRole:
            self.visibility_wanted.emit([key], Qt.CheckState(value) == Qt.CheckState.Checked)
        else:
            return False
        return True

    def _set_group(self, key: int, value: object, role: int) -> bool:
        if role == Qt.ItemDataRole.EditRole:
            self.group_rename_wanted.emit(key, str(value))
        elif role == Qt.ItemDataRole.CheckStateRole:
            is_visible = Qt.CheckState(value) == Qt.CheckState.Checked
            self.group_visibility_wanted.emit(key, is_visible)
        else:
            return False
        return True

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        """Rows can be edited, ticked and dragged; drops go between them."""
        if not index.isValid():
            return Qt.ItemFlag.ItemIsDropEnabled
        return (
            Qt.ItemFlag.ItemIsEnabled
            | Qt.ItemFlag.ItemIsSelectable
            | Qt.ItemFlag.ItemIsEditable
            | Qt.ItemFlag.ItemIsUserCheckable
            | Qt.ItemFlag.ItemIsDragEnabled
            | Qt.ItemFlag.ItemNeverHasChildren
        )

    # Filter

    @property
    def filter(self) -> str:
        """The words that the rows are filtered by; empty for all."""
        return self._filter

    def set_filter(self, text: str) -> None:
        """Show only the sweeps that have these words, and their groups; the bench stays."""
        self._filter = text.strip()
        self.show_passing()

    @property
    def passing_keys(self) -> list[int]:
        """Keys of the sweeps that pass the filter, in the order of the bench."""
        bench = self.document.bench
        found = matching(bench, self._filter)
        return [entry.key for entry in bench.entries if entry.key in found]

    def passing(self, bench: Bench, keys: list[int]) -> list[int]:
        """The rows that pass the filter."""
        if not self._filter:
            return keys
        found = matching(bench, self._filter)
        return [key for key in keys if key in found]

    def members(self, group: Group) -> list[int]:
        """Members of a group that pass the filter: what is done to its row is done to them."""
        if not self._filter:
            return list(group.members)
        found = matching(self.document.bench, self._filter)
        return [key for key in group.members if key in found]

    def _name_parts(self) -> dict[str, Parts]:
        bench = self.document.bench
        if self._parts is None or self._parts[0].entries is not bench.entries:
            self._parts = bench, parts_of(entry.label for entry in bench.entries)
        return self._parts[1]

    # Drag within the list

    def supportedDropActions(self) -> Qt.DropAction:
        """Rows are moved, never copied."""
        return Qt.DropAction.MoveAction

    def supportedDragActions(self) -> Qt.DropAction:
        """Rows are moved; files may be copied from here."""
        return Qt.DropAction.MoveAction | Qt.DropAction.CopyAction

    def mimeTypes(self) -> list[str]:
        """Only our own rows."""
        return [KEYS_MIME]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """Keys of the dragged rows, and their sweeps as files for other programs."""
        data = QMimeData()
        keys = self.sweeps_at(sorted({index.row() for index in indexes}))
        data.setData(KEYS_MIME, " ".join([self._token, *map(str, keys)]).encode())
        add_files(data, self.files_of(keys))
        return data

    def holds_own_rows(self, data: QMimeData) -> bool:
        """Whether rows of this list are dragged: they are on the bench already."""
        return self._dropped_keys(data) is not None

    def canDropMimeData(
        self, data: QMimeData, _action: Qt.DropAction, _row: int, _column: int, _parent: AnyIndex
    ) -> bool:
        """Only our own rows, not those of another window or program."""
        return self._dropped_keys(data) is not None

    def dropMimeData(
        self, data: QMimeData, _action: Qt.DropAction, row: int, _column: int, parent: AnyIndex
    ) -> bool:
        """Emit the move; False, so that the view does not remove rows by itself."""
        keys = self._dropped_keys(data)
        if keys:
            if row < 0:
                row = parent.row() if parent.isValid() else self.rowCount()
            self.move_wanted.emit(keys, self._place_of(row))
        return False

    def _place_of(self, row: int) -> int:
        """Place among the sweeps of the bench of what a row shows; of the end after the last."""
        places = {entry.key: place for place, entry in enumerate(self.document.bench.entries)}
        if row < self.rowCount():
            return places[self.sweeps_at([row])[0]]
        # Below the last row that is shown; a filter may hide some that follow.
        shown = self.sweeps_at(range(self.rowCount()))
        return max(places[key] for key in shown) + 1

    def _dropped_keys(self, data: QMimeData) -> list[int] | None:
        """Keys of rows of this list; None for anything else."""
        words = bytes(data.data(KEYS_MIME).data()).decode(errors="replace").split()
        if not words or words[0] != self._token:
            return None
        known = {entry.key for entry in self.document.bench.entries}
        return [int(word) for word in words[1:] if word.isdecimal() and int(word) in known]

    # Following the bench

    def announce(self, old: Bench, new: Bench) -> None:
        """Announce rows whose entry, group or part as the reference changed."""
        is_same = old.entries is new.entries and old.groups is new.groups
        if is_same and old.reference_key == new.reference_key:
            # Most steps of a drag.
            return
        before = {one.key: one for one in in_rows(old)}
        turned = {old.reference_key, new.reference_key}
        if old.reference_key == new.reference_key:
            turned = set()
        if old.groups is not new.groups:
            turned |= {key for group in (*old.groups, *new.groups) for key in group.members}
        for one in in_rows(new):
            if before.get(one.key) is not one or one.key in turned:
                self._tell(one.key)

    def _tell(self, key: int) -> None:
        row = self.row_of(key)
        if row is not None:
            self.dataChanged.emit(self.index(row, 0), self.index(row, 0))

    def _show_concerns(self, keys: frozenset[int]) -> None:
        for key in keys:
            self._tell(key)


def second_line(entry: Entry) -> str:
    """Whether it was traced, the steps and the condition; while there are none, the span."""
    mark = "" if entry.sweep.traced is None else TRACED_WORDS
    words = ", ".join(filter(None, [mark, entry.steps_caption, entry.plane_words, entry.condition]))
    return words or span_text(entry.sweep)


def span_text(sweep: AnySweep) -> str:
    """First to last frequency, no finer than the points allow."""
    low_hz, high_hz = float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1])
    decimals = mhz_decimals((high_hz - low_hz) / 20)
    return f"{_short(low_hz, decimals)} – {_short(high_hz, decimals)} MHz"


def _short(frequency_hz: float, decimals: int) -> str:
    text = format_mhz(frequency_hz, decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _tool_tip(entry: Entry, is_reference: bool, findings: Findings) -> str:
    reference = "The reference: the others are compared with it" if is_reference else ""
    return tool_tip(entry.caption, reference, *(found.text for found in findings))


def _spoken(entry: Entry, is_reference: bool, findings: Findings) -> str:
    reference = ", reference" if is_reference else ""
    hidden = "" if entry.is_visible else ", hidden"
    suspect = sum(found.severity == "suspect" for found in findings)
    notes = len(findings) - suspect
    warning = f", {suspect} suspect" if suspect else ""
    warning += f", {notes} notices" if notes else ""
    return f"{entry.caption}{reference}{hidden}{warning}"


_TEXTS: dict[int, Callable[[Entry, bool, Findings], str]] = {
    int(Qt.ItemDataRole.DisplayRole): lambda entry, *_: entry.label,
    int(Qt.ItemDataRole.EditRole): lambda entry, *_: entry.label,
    int(Qt.ItemDataRole.ToolTipRole): _tool_tip,
    int(Qt.ItemDataRole.AccessibleTextRole): _spoken,
    CONDITION_ROLE: lambda entry, *_: entry.condition,
    SECOND_LINE_ROLE: lambda entry, *_: second_line(entry),
}


def group_line(group: Group) -> str:
    """How many sweeps of what kind are in a group, and what they are compared with."""
    count = len(group.members)
    what = group.kind if count != 1 else group.kind.removesuffix("s")
    against = "" if group.reference_key is None else ", compared with one of them"
    return f"{count} {what}{against}"


def _group_spoken(group: Group, is_folded: bool) -> str:
    folded = ", folded" if is_folded else ""
    hidden = "" if group.is_visible else ", envelope and mean hidden"
    return f"Group {group.label}, {group_line(group)}{folded}{hidden}"


_GROUP_TEXTS: dict[int, Callable[[Group, bool], str]] = {
    int(Qt.ItemDataRole.DisplayRole): lambda group, _: group.label,
    int(Qt.ItemDataRole.EditRole): lambda group, _: group.label,
    int(Qt.ItemDataRole.ToolTipRole): lambda group, _: tool_tip(
        f"{group.label}: {group_line(group)}",
        "The tick shows or hides envelope and mean; the arrow folds the group",
    ),
    int(Qt.ItemDataRole.AccessibleTextRole): _group_spoken,
    SECOND_LINE_ROLE: lambda group, _: group_line(group),
}
