"""The questions that the window asks: what to do with unsaved changes and unaccepted marks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

Answer = Literal["save", "discard", "cancel"]


class UnsavedQuestion:
    """Asks before changes are lost."""

    @classmethod
    def ask(cls, parent: QWidget, name: str, purpose: str) -> Answer:
        """Save, discard, or leave everything as it is.

        Parameters
        ----------
        parent : QWidget
        name : str
            Of the bench.
        purpose : str
            What the user is about to do: ``closing``.
        """
        answer = cls.make(parent, name, purpose).exec()
        answers: dict[int, Answer] = {
            QMessageBox.StandardButton.Save.value: "save",
            QMessageBox.StandardButton.Discard.value: "discard",
        }
        # Escape and the window's close button mean Cancel.
        return answers.get(answer, "cancel")

    @classmethod
    def make(cls, parent: QWidget, name: str, purpose: str) -> QMessageBox:
        """The box, with Save as the default: no single key loses anything."""
        box = QMessageBox(parent)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle("Unsaved changes")
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setText(f'Save the changes to "{name}" before {purpose}?')
        box.setInformativeText("They will be lost if you do not save.")
        buttons = QMessageBox.StandardButton
        box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
        box.setDefaultButton(buttons.Save)
        box.setEscapeButton(buttons.Cancel)
        box.button(buttons.Save).setText("&Save")
        box.button(buttons.Discard).setText("&Discard changes")
        box.button(buttons.Cancel).setText("&Cancel")
        _remove_icons(box)
        return box


class MarksQuestion:
    """Asks before marks on pictures are lost that were not accepted as sweeps."""

    @classmethod
    def discards(cls, parent: QWidget, names: Sequence[str]) -> bool:
        """Whether the marks on the pictures of these names may go; one or more names."""
        answer: int = cls.make(parent, names).exec()
        return answer == QMessageBox.StandardButton.Discard.value

    @classmethod
    def make(cls, parent: QWidget, names: Sequence[str]) -> QMessageBox:
        """The box, with going back as the default: no single key loses anything."""
        where = f'"{names[0]}"' if len(names) == 1 else f"{len(names)} pictures"
        box = QMessageBox(parent)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle("Marks not accepted")
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setText(f"Discard the marks on {where} before closing?")
        box.setInformativeText("They are not on the bench as a sweep yet.")
        buttons = QMessageBox.StandardButton
        box.setStandardButtons(buttons.Discard | buttons.Cancel)
        box.setDefaultButton(buttons.Cancel)
        box.setEscapeButton(buttons.Cancel)
        box.button(buttons.Discard).setText("&Discard marks")
        box.button(buttons.Cancel).setText("&Back to the picture")
        _remove_icons(box)
        return box


def _remove_icons(box: QMessageBox) -> None:
    """The style's own icons would be invisible in the dark theme."""
    for button in box.buttons():
        button.setIcon(type(button.icon())())
