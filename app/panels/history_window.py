"""The undo history as a list: every step by its name; a click or an arrow key goes there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QListWidget,
    QVBoxLayout,
    QWidget,
)

if TYPE_CHECKING:
    from PySide6.QtGui import QUndoStack

    from fairlead.app.document.document import Document

_BEGINNING = "As opened"


class HistoryWindow(QDialog):
    """Beside the main window, so that the plots show each step as it is chosen.

    Steps after the current one are there until something else is done.
    """

    step_wanted = Signal(int)
    """So many steps shall be done; 0 for the bench as it was opened."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._stack: QUndoStack = document.undo_stack
        self.setModal(False)
        self.setWindowTitle("Undo history")
        self.resize(320, 420)
        self.steps = QListWidget()
        self.steps.setAccessibleName("Steps, the oldest first")
        self.steps.setAccessibleDescription("Up and Down undo and redo up to the step")
        self.steps.currentRowChanged.connect(self._go)
        note = QLabel("The marked step is the last one done; those below it are undone.")
        note.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.steps, 1)
        column.addWidget(note)
        column.addWidget(buttons)
        self._stack.indexChanged.connect(self._show_steps)
        self._stack.cleanChanged.connect(self._show_steps)
        self._show_steps()

    def _show_steps(self) -> None:
        stack, steps = self._stack, self.steps
        texts = [_BEGINNING, *(stack.text(index) for index in range(stack.count()))]
        if 0 <= stack.cleanIndex() < len(texts) and stack.cleanIndex() > 0:
            texts[stack.cleanIndex()] += " (saved)"
        steps.blockSignals(True)
        try:
            if texts != [steps.item(row).text() for row in range(steps.count())]:
                steps.clear()
                steps.addItems(texts)
            for row in range(steps.count()):
                font = steps.item(row).font()
                font.setItalic(row > stack.index())
                steps.item(row).setFont(font)
            steps.setCurrentRow(stack.index())
        finally:
            steps.blockSignals(False)
        steps.scrollTo(steps.currentIndex() if steps.count() else QModelIndex())

    def _go(self, row: int) -> None:
        if row >= 0 and row != self._stack.index():
            self.step_wanted.emit(row)
