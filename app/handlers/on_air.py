"""The on-air log in the window."""

from __future__ import annotations

from PySide6.QtGui import QGuiApplication

from fairlead.app.handlers.desk import PanelHandler


class OnAirHandler(PanelHandler):
    """Opens the panel; OK is one undo step, and the bench keeps the log."""

    def ask(self) -> None:
        """Type reports, and read what they say of two antennas."""
        if self._panel is not None:
            return
        from fairlead.app.panels.log_panel import LogPanel  # noqa: PLC0415 - only here

        document = self._document
        panel = LogPanel(document.bench, document.rows(), self._view_state, self._window)
        panel.wanted.connect(self._edits.set_log)
        panel.copy_wanted.connect(self._copy)
        self._open(panel)

    def _copy(self, text: str) -> None:
        QGuiApplication.clipboard().setText(text)
        self._messages.say("note", ["Copied the log"])
