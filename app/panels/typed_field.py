"""A field for a typed value: shows the document's value, and keeps invalid input for correction."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QLineEdit, QWidget

from fairlead.app.look.tool_tip import tool_tip

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent


class TypedField(QLineEdit):
    """Emits what was typed, once, when Enter is pressed or the field is left."""

    typed = Signal(str)
    """Text that differs from what was shown."""

    def __init__(self, name: str, tip: str, specimen: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = ""
        self._refused = ""
        self._tip = tip
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tool_tip(tip))
        # Dropped files are for the window.
        self.setAcceptDrops(False)
        self._specimen = specimen
        self._fit()
        self.editingFinished.connect(self._on_finished)

    def show_value(self, text: str) -> None:
        """Show the document's value in place of what was typed."""
        if text == self._shown == self.text() and not self._refused:
            return
        self._shown, self._refused = text, ""
        if text != self.text():
            self.setText(text)
            self.setCursorPosition(0)
        self._mark(is_refused=False, tip=self._tip)

    def refuse(self, reason: str) -> None:
        """Mark the input as invalid; it stays to be corrected."""
        self._refused = self.text()
        self._mark(is_refused=True, tip=reason)

    def wait(self, hint: str) -> None:
        """Keep what was typed without a change of the document; more is to be typed elsewhere."""
        self._refused = self.text()
        self._mark(is_refused=False, tip=hint)

    @property
    def is_waiting(self) -> bool:
        """Whether what was typed is kept, but not in the document."""
        return bool(self._refused) and self.text() == self._refused

    def changeEvent(self, event: QEvent) -> None:
        """Fit another size of text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape restores the document's value."""
        if event.key() == Qt.Key.Key_Escape and self.text() != self._shown:
            self.show_value(self._shown)
            self.selectAll()
            event.accept()
        else:
            super().keyPressEvent(event)

    def _fit(self) -> None:
        self.setFixedWidth(QFontMetrics(self.font()).horizontalAdvance(self._specimen) + 24)

    def _on_finished(self) -> None:
        text = self.text()
        if text == self._shown:
            self._mark(is_refused=False, tip=self._tip)
        elif text != self._refused:
            self.typed.emit(text)
            # The same value written differently is not a change.
            if not self._refused and self.text() != self._shown:
                self.show_value(self._shown)

    def _mark(self, *, is_refused: bool, tip: str) -> None:
        self.setToolTip(tool_tip(tip))
        self.setAccessibleDescription(tip)
        mark = "true" if is_refused else "false"
        if self.property("refused") != mark:
            self.setProperty("refused", mark)
            self.style().unpolish(self)
            self.style().polish(self)
