"""One line that shows which folder is watched, with a button to stop watching."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from fairlead.app.look.resources import icon, icon_image
from fairlead.app.panels.elided_label import ElidedLabel

if TYPE_CHECKING:
    from fairlead.app.document.view_state import ViewState

_MARK_PX = 16


class WatchLine(QWidget):
    """Hidden while no folder is watched."""

    stop_wanted = Signal()

    def __init__(self, view_state: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._folder = ""
        self.setAccessibleName("Watched folder")
        self._mark = QLabel()
        self._line = ElidedLabel()
        self.stop_button = QPushButton("Stop watching")
        self.stop_button.setToolTip(
            "Stop adding new files from the folder; sweeps already on the bench stay"
        )
        self.stop_button.clicked.connect(self.stop_wanted)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 0, 4, 0)
        row.setSpacing(8)
        row.addWidget(self._mark)
        row.addWidget(self._line, 1)
        row.addWidget(self.stop_button)
        view_state.theme_changed.connect(self._paint)
        self._paint()
        self.hide()

    @property
    def text(self) -> str:
        """The text of the line."""
        return self._line.full_text

    def begin(self, folder: str) -> None:
        """Show which folder is watched."""
        self._folder = folder
        self.set_trouble("")
        self.show()

    def set_trouble(self, trouble: str) -> None:
        """Show why the folder cannot be read; nothing if it can."""
        self._line.set_full_text(
            f"Cannot be read, trying again: {self._folder}: {trouble}"
            if trouble
            else f"Watching {self._folder}"
        )

    def end(self) -> None:
        """Watching has ended."""
        self.hide()

    def _paint(self) -> None:
        ratio = self.devicePixelRatioF()
        colour = self._view_state.theme.muted
        image = icon_image("watch-folder", colour, round(_MARK_PX * ratio)).copy()
        image.setDevicePixelRatio(ratio)
        self._mark.setPixmap(QPixmap.fromImage(image))
        self.stop_button.setIcon(icon("cancel", self._view_state.theme.text))
