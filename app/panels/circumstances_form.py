"""Conditions and notes of a sweep, in editable fields."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QWidget,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PySide6.QtGui import QFocusEvent, QKeyEvent

    from fairlead.core.document.entry import Circumstances, Entry

CONDITIONS = (
    "dry",
    "wet",
    "iced",
    "snow on it",
    "rolled up",
    "stretched out",
    "new",
    "old",
    "repaired",
    "indoors",
    "outdoors",
)
_LINES = {
    "taken_at": ("Taken", "Date and time", "Date and time"),
    "place": ("Place", "Place", "Where it was measured"),
    "height": ("Height", "Height above ground", "With its unit"),
    "feed_line": ("Feed line", "Feed line", "Kind and length"),
    "weather": ("Weather", "Weather", ""),
    "continuity": (
        "DC check",
        "Resistance at the connector or along the conductor, measured with an ohmmeter",
        "Ohms, or 12 mΩ along 1.35 m, quarter wave, 8 mm aluminium",
    ),
}
_NOTES_LINES = 3


class CircumstancesForm(QWidget):
    """Shows one sweep; a changed field is emitted when the cursor leaves it."""

    condition_wanted = Signal(int, str)
    """Key, condition."""
    circumstances_wanted = Signal(int, object)
    """Key, `Circumstances`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entry: Entry | None = None
        self.condition_box = _ConditionBox()
        self.condition_box.setEditable(True)
        self.condition_box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.condition_box.setAccessibleName("Condition")
        self.condition_box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        line = self.condition_box.lineEdit()
        if line is not None:
            line.setPlaceholderText("dry, wet, iced ...")
            line.setAcceptDrops(False)
            line.editingFinished.connect(self._send_condition)
        self.condition_box.closed.connect(self._send_condition)
        self.lines = {name: _Line(what, hint) for name, (_, what, hint) in _LINES.items()}
        self.notes = _Notes()
        form = QFormLayout(self)
        form.setContentsMargins(0, 4, 0, 0)
        form.setHorizontalSpacing(10)
        form.setVerticalSpacing(3)
        form.addRow(_caption("Condition"), self.condition_box)
        for name, (caption, _, _) in _LINES.items():
            form.addRow(_caption(caption), self.lines[name])
            self.lines[name].editingFinished.connect(self._send)
        form.addRow(_caption("Notes"), self.notes)
        self.notes.left.connect(self._send)

    def show_entry(self, entry: Entry, used: Iterable[str]) -> None:
        """Show a sweep.

        Parameters
        ----------
        entry : Entry
        used : iterable of str
            Conditions on the bench, suggested before the usual ones.
        """
        old, self._entry = self._entry, entry
        is_other = old is None or old.key != entry.key
        choices = list(dict.fromkeys([*filter(None, used), *CONDITIONS]))
        with QSignalBlocker(self.condition_box):
            known = [self.condition_box.itemText(i) for i in range(self.condition_box.count())]
            if known != choices:
                typed = self.condition_box.currentText()
                self.condition_box.clear()
                self.condition_box.addItems(choices)
                self.condition_box.setEditText(typed)
            if old is None or is_other or old.condition != entry.condition:
                self.condition_box.setCurrentIndex(self.condition_box.findText(entry.condition))
                self.condition_box.setEditText(entry.condition)
        for name, line in self.lines.items():
            line.show_text(_shown(entry.circumstances, name), is_new=is_other)
        self.notes.show_text(entry.circumstances.notes, is_new=is_other)

    def forget(self) -> None:
        """Show nothing; discards unfinished typing."""
        self._entry = None

    def _send_condition(self) -> None:
        entry = self._entry
        text = " ".join(self.condition_box.currentText().split())
        if entry is not None and text != entry.condition:
            self.condition_wanted.emit(entry.key, text)

    def _send(self) -> None:
        entry = self._entry
        if entry is None:
            return
        noted = entry.circumstances
        typed = {name: _typed(name, line.text()) for name, line in self.lines.items()}
        typed["notes"] = self.notes.toPlainText().strip()
        # Blanks at the ends do not count as a change.
        changed = {
            name: text for name, text in typed.items() if text != getattr(noted, name).strip()
        }
        if changed:
            self.circumstances_wanted.emit(entry.key, replace(noted, **changed))


def _shown(noted: Circumstances, name: str) -> str:
    text: str = getattr(noted, name)
    return text.replace("T", " ", 1) if name == "taken_at" and _is_iso(text) else text


def _typed(name: str, text: str) -> str:
    """A date in the form used in files, if it is one; else the text as typed."""
    text = " ".join(text.split())
    if name == "taken_at" and _is_iso(text):
        return text.replace(" ", "T", 1)
    return text


def _is_iso(text: str) -> bool:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


class _ConditionBox(QComboBox):
    """Arrow keys step through the suggestions; one chosen from the open list is applied at once."""

    closed = Signal()

    def hidePopup(self) -> None:
        """Signal that the list is closed and a choice has been made."""
        super().hidePopup()
        QTimer.singleShot(0, self, self.closed.emit)


class _Line(QLineEdit):
    def __init__(self, name: str, hint: str) -> None:
        super().__init__()
        self._text = ""
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setPlaceholderText(hint)
        self.setAcceptDrops(False)

    def show_text(self, text: str, *, is_new: bool = True) -> None:
        """Show another text; the same one does not replace what is being typed."""
        if is_new or text != self._text:
            self._text = text
            self.setText(text)
            self.setCursorPosition(0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape restores the text."""
        if event.key() == Qt.Key.Key_Escape and self.text() != self._text:
            self.show_text(self._text)
            event.accept()
        else:
            super().keyPressEvent(event)


class _Notes(QPlainTextEdit):
    """A few lines of text; Tab leaves the field."""

    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._text = ""
        self.setAccessibleName("Notes")
        self.setTabChangesFocus(True)
        self.setAcceptDrops(False)
        self.setPlaceholderText("Anything else")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        height = self.fontMetrics().lineSpacing() * _NOTES_LINES + 12
        self.setFixedHeight(height)

    def sizeHint(self) -> QSize:
        """As wide as the room allows."""
        return QSize(80, self.height())

    def show_text(self, text: str, *, is_new: bool = True) -> None:
        """Show another text; the same one does not replace what is being typed."""
        if is_new or text != self._text:
            self._text = text
            self.setPlainText(text)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Emit what was typed."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape restores the text."""
        if event.key() == Qt.Key.Key_Escape and self.toPlainText() != self._text:
            self.show_text(self._text)
            event.accept()
        else:
            super().keyPressEvent(event)


def _caption(text: str) -> QLabel:
    label = QLabel(text)
    label.setProperty("muted", "true")
    return label
