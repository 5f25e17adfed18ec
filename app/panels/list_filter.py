"""The field above the list that filters it by name, condition and group."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent

    from fairlead.app.document.document import Document
    from fairlead.app.panels.sweep_list import SweepList

# With so many sweeps the field is always there; before, only when it is asked for.
_FROM_SWEEPS = 8


class ListFilter(QWidget):
    """Hides rows of the list, never sweeps of the plots: the bench stays as it is.

    How many rows are hidden stands beside the field, also for rows that arrive meanwhile.
    """

    def __init__(
        self, document: Document, sweep_list: SweepList, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._list = sweep_list
        self._is_asked_for = False
        self.line = _FilterLine(self.leave, sweep_list.setFocus)
        self.line.setAccessibleName("Filter the list")
        self.line.setPlaceholderText("Filter: name, condition, group")
        self.line.setClearButtonEnabled(True)
        self.line.textChanged.connect(self._on_text)
        self.count = QLabel()
        self.count.setProperty("muted", "true")
        self.count.setAccessibleName("Rows that the filter hides")
        row = QHBoxLayout(self)
        row.setContentsMargins(2, 0, 2, 0)
        row.setSpacing(6)
        row.addWidget(self.line, 1)
        row.addWidget(self.count)
        document.changed.connect(self._show_count)
        document.opened.connect(self.line.clear)
        self._show_count()

    def ask(self) -> None:
        """Show the field and type into it."""
        self._is_asked_for = True
        self._show_count()
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.line.selectAll()

    def leave(self) -> None:
        """Show every row again and go back to the list."""
        self._is_asked_for = False
        self.line.clear()
        self._show_count()
        self._list.setFocus(Qt.FocusReason.OtherFocusReason)

    def _on_text(self, text: str) -> None:
        self._list.set_filter(text)
        self._show_count()

    def _show_count(self) -> None:
        total = len(self._document.bench.entries)
        hidden = total - len(self._list.filtered_keys) if self.line.text().strip() else 0
        self.count.setText(f"{hidden} of {total} hidden" if hidden else "")
        self.line.setAccessibleDescription(
            f"Hides {hidden} of {total} sweeps from the list; plots and table keep them"
            if hidden
            else "Words of names, conditions or groups; plots and table keep every sweep"
        )
        self.count.setVisible(bool(hidden))
        self.setVisible(self._is_asked_for or bool(self.line.text()) or total >= _FROM_SWEEPS)


class _FilterLine(QLineEdit):
    """Escape empties and leaves it; Enter and Down go to what was found."""

    def __init__(self, leave: Callable[[], None], go_on: Callable[[], None]) -> None:
        super().__init__()
        # Files dropped here belong to the window.
        self.setAcceptDrops(False)
        self._leave = leave
        self._go_on = go_on

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave the field by key."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go_on()
        else:
            super().keyPressEvent(event)
            return
        event.accept()
