"""The on-air log in the window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.log_panel import LogPanel
    from fairlead.app.panels.message_bar import MessageBar


class OnAirHandler:
    """Opens the panel; OK is one undo step, and the bench keeps the log."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        messages: MessageBar,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._messages = messages
        self._window = window
        self._panel: LogPanel | None = None

    @property
    def panel(self) -> LogPanel | None:
        """The panel while it is open."""
        return self._panel

    def ask(self) -> None:
        """Type reports, and read what they say of two antennas."""
        if self._panel is not None:
            return
        from fairlead.app.panels.log_panel import LogPanel  # noqa: PLC0415 - only here

        document = self._document
        panel = LogPanel(document.bench, document.rows(), self._view_state, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.wanted.connect(self._edits.set_log)
        panel.copy_wanted.connect(self._copy)
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def _copy(self, text: str) -> None:
        QGuiApplication.clipboard().setText(text)
        self._messages.say("note", ["Copied the log"])

    def _on_finished(self) -> None:
        self._panel = None
