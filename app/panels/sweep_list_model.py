"""The list of sweeps as a model: what the user changes is emitted as an intent."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from PySide6.QtCore import QMimeData, QModelIndex, QObject, Qt, Signal

from fairlead.app.document.concerns import Concerns
from fairlead.app.document.keyed_model import NO_PARENT, AnyIndex, KeyedModel
from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.units import format_mhz, mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.document.document import Document
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
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
FINDINGS_ROLE = ENTRY_ROLE + 4
"""The findings about the sweep: a tuple of `fairlead.core.soundness.finding.Finding`."""


class SweepListModel(KeyedModel):
    """One column, one row per sweep.

    Nothing is changed here: every edit is a signal, and the document responds with ``changed``.
    """

    rename_wanted = Signal(int, str)
    """Key, new name."""
    condition_wanted = Signal(int, str)
    """Key, new condition."""
    visibility_wanted = Signal(object, bool)
    """Keys, visible or not."""
    move_wanted = Signal(object, int)
    """Keys, and the row of the current list to move them before."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(document, parent)
        self._token = uuid4().hex
        self.concerns = Concerns(document, self)
        self.concerns.changed.connect(self._show_concerns)

    def columnCount(self, parent: AnyIndex = NO_PARENT) -> int:
        """One."""
        return 0 if parent.isValid() else 1

    def data(self, index: AnyIndex, role: int = int(Qt.ItemDataRole.DisplayRole)) -> object:
        """Everything the delegate draws and assistive technology reads."""
        entry = self.entry_at(index.row())
        if role == ENTRY_ROLE:
            return entry
        is_reference = entry.key == self.document.bench.reference_key
        if role == FINDINGS_ROLE:
            return self.concerns.of(entry.key)
        text = _TEXTS.get(role)
        if text is not None:
            return text(entry, is_reference, self.concerns.of(entry.key))
        if role == REFERENCE_ROLE:
            return is_reference
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if entry.is_visible else Qt.CheckState.Unchecked
        return None

    def setData(
        self, index: AnyIndex, value: object, role: int = int(Qt.ItemDataRole.EditRole)
    ) -> bool:
        """Emit a change; True if it is one that the list supports."""
        key = self.key_at(index.row())
        if role == Qt.ItemDataRole.EditRole:
            self.rename_wanted.emit(key, str(value))
        elif role == CONDITION_ROLE:
            self.condition_wanted.emit(key, str(value))
        elif role == Qt.ItemDataRole.CheckStateRole:
            self.visibility_wanted.emit([key], Qt.CheckState(value) == Qt.CheckState.Checked)
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

    # Drag within the list

    def supportedDropActions(self) -> Qt.DropAction:
        """Rows are moved, never copied."""
        return Qt.DropAction.MoveAction

    def mimeTypes(self) -> list[str]:
        """Only our own rows."""
        return [KEYS_MIME]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """Keys of the dragged rows."""
        data = QMimeData()
        keys = [self.key_at(row) for row in sorted({index.row() for index in indexes})]
        data.setData(KEYS_MIME, " ".join([self._token, *map(str, keys)]).encode())
        return data

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
            self.move_wanted.emit(keys, row)
        return False

    def _dropped_keys(self, data: QMimeData) -> list[int] | None:
        """Keys of rows of this list; None for anything else."""
        words = bytes(data.data(KEYS_MIME).data()).decode(errors="replace").split()
        if not words or words[0] != self._token:
            return None
        known = {self.key_at(row) for row in range(self.rowCount())}
        return [int(word) for word in words[1:] if word.isdecimal() and int(word) in known]

    # Following the bench

    def announce(self, old: Bench, new: Bench) -> None:
        """Announce rows whose entry changed or that became or ceased to be the reference."""
        before = {entry.key: entry for entry in old.entries}
        for row, entry in enumerate(new.entries):
            is_other = before.get(entry.key) is not entry
            has_role = (entry.key == new.reference_key) != (entry.key == old.reference_key)
            if is_other or has_role:
                index = self.index(row, 0)
                self.dataChanged.emit(index, index)

    def _show_concerns(self, keys: frozenset[int]) -> None:
        for key in keys:
            row = self.row_of(key)
            if row is not None:
                index = self.index(row, 0)
                self.dataChanged.emit(index, index)


def second_line(entry: Entry) -> str:
    """The steps and the condition; while there are none, the span."""
    words = ", ".join(filter(None, [entry.steps_caption, entry.plane_words, entry.condition]))
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
