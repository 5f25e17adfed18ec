"""The worked example beside the main window: a step at a time."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.panels.story_text import FOOT, STORY


class StoryWindow(QDialog):
    """Tells; what the plots show is somebody else's work."""

    step_wanted = Signal(int)
    """Number of the step that the plots shall show."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModal(False)
        self.setWindowTitle("The club's antenna, step by step")
        self.resize(420, 300)
        self.step = 0
        self.heading = QLabel()
        self.heading.setObjectName("title")
        self.text = QLabel()
        self.text.setTextFormat(Qt.TextFormat.PlainText)
        self.text.setWordWrap(True)
        self.text.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.text.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        foot = QLabel(FOOT)
        foot.setProperty("muted", "true")
        foot.setWordWrap(True)
        self.back_button = QPushButton("&Back")
        self.next_button = QPushButton("&Next")
        self.next_button.setDefault(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        for button, by in ((self.back_button, -1), (self.next_button, 1)):
            buttons.addButton(button, QDialogButtonBox.ButtonRole.ActionRole)
            button.clicked.connect(lambda *_, by=by: self.show_step(self.step + by))
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.heading)
        column.addWidget(self.text, 1)
        column.addWidget(foot)
        column.addWidget(buttons)

    def show_step(self, step: int) -> None:
        """Tell a step, and ask for its sweeps."""
        self.step = min(max(step, 0), len(STORY) - 1)
        told = STORY[self.step]
        self.heading.setText(f"{self.step + 1} of {len(STORY)}: {told.title}")
        self.text.setText(told.text)
        self.text.setAccessibleName(f"{told.title}. {told.text}")
        self.back_button.setEnabled(self.step > 0)
        self.next_button.setEnabled(self.step < len(STORY) - 1)
        self.step_wanted.emit(self.step)
        self.show()
