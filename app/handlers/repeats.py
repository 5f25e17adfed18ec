"""What came and went between sweeps before, during and after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from fairlead.core.comparison.repeats.output import lines_of
from fairlead.core.comparison.repeats.preset import likely_question
from fairlead.core.report import repeats_as_markdown

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.repeats_panel import RepeatsPanel
    from fairlead.core.comparison.repeats.answer import Answer


class RepeatsHandler:
    """Opens the panel; nothing on the bench changes."""

    def __init__(
        self, document: Document, view_state: ViewState, messages: MessageBar, window: QWidget
    ) -> None:
        self._document = document
        self._view_state = view_state
        self._messages = messages
        self._window = window
        self._panel: RepeatsPanel | None = None

    @property
    def panel(self) -> RepeatsPanel | None:
        """The panel while it is open."""
        return self._panel

    def ask(self) -> None:
        """Choose the sweeps and read what came and went."""
        first = likely_question(self._document.bench, self._view_state.selection)
        if self._panel is not None:
            return
        if first is None:
            self._messages.say("note", ["Two sweeps at least are needed: before and during"])
            return
        from fairlead.app.panels.repeats_panel import RepeatsPanel  # noqa: PLC0415 - only here

        panel = RepeatsPanel(self._document.rows(), first, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.copy_wanted.connect(self._copy)
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def _copy(self, answer: Answer, as_markdown: bool) -> None:
        form = repeats_as_markdown if as_markdown else lines_of
        QGuiApplication.clipboard().setText("\n".join(form(answer)) + "\n")

    def _on_finished(self) -> None:
        self._panel = None
