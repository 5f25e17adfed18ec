"""Work recovered after a crash, offered in the window: no dialog, and waiting loses nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from fairlead.app.panels.elided_label import ElidedLabel

if TYPE_CHECKING:
    from collections.abc import Sequence

_MOST_ROWS = 3


@dataclass(frozen=True, slots=True)
class RecoveryOffer:
    """One bench that can be restored.

    Attributes
    ----------
    id : str
        Its name in the signals.
    text : str
        When it was stored, and what it contains; one line.
    """

    id: str
    text: str


class RecoveryBar(QFrame):
    """Hidden while there is nothing to restore."""

    restore_wanted = Signal(str)
    """Id of stored work."""
    discard_wanted = Signal(str)
    """Id of stored work."""
    later_wanted = Signal()
    """Ask again at the next start."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("messages")
        self.setProperty("level", "warning")
        self.setAccessibleName("Unsaved work of an earlier session")
        self._title = QLabel("Fairlead ended before this work was saved:")
        self._title.setTextFormat(Qt.TextFormat.PlainText)
        self.later_button = _button("&Later", "Keep everything, and ask again at the next start")
        self.later_button.clicked.connect(self.later_wanted)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        self._more = QLabel()
        self._more.setTextFormat(Qt.TextFormat.PlainText)
        head = QHBoxLayout()
        head.addWidget(self._title, 1)
        head.addWidget(self.later_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 4, 4)
        column.setSpacing(3)
        column.addLayout(head)
        column.addLayout(self._rows)
        column.addWidget(self._more)
        self.restore_buttons: dict[str, QPushButton] = {}
        self.discard_buttons: dict[str, QPushButton] = {}
        self.hide()

    def show_offers(self, offers: Sequence[RecoveryOffer]) -> None:
        """Offer these, the first ones in full; without any the bar is hidden."""
        while (item := self._rows.takeAt(0)) is not None:
            if (row := item.widget()) is not None:
                row.hide()
                row.deleteLater()
        self.restore_buttons, self.discard_buttons = {}, {}
        for offer in offers[:_MOST_ROWS]:
            self._rows.addWidget(self._row(offer))
        others = len(offers) - _MOST_ROWS
        self._more.setText(f"and {others} more, offered after these")
        self._more.setVisible(others > 0)
        self.setVisible(bool(offers))

    def _row(self, offer: RecoveryOffer) -> QWidget:
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(ElidedLabel(offer.text, Qt.TextElideMode.ElideRight), 1)
        restore = _button("Restore", f"Put it on the bench: {offer.text}")
        restore.clicked.connect(lambda: self.restore_wanted.emit(offer.id))
        discard = _button("Discard", f"Delete it when Fairlead closes: {offer.text}")
        discard.clicked.connect(lambda: self.discard_wanted.emit(offer.id))
        line.addWidget(restore)
        line.addWidget(discard)
        self.restore_buttons[offer.id] = restore
        self.discard_buttons[offer.id] = discard
        return row


def _button(text: str, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setToolTip(tip)
    button.setAccessibleName(tip)
    button.setAutoDefault(False)
    return button
