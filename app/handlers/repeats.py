"""What came and went between sweeps before, during and after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from fairlead.app.handlers.saving import save_picture
from fairlead.core.comparison.repeats.output import lines_of
from fairlead.core.comparison.repeats.preset import likely_question
from fairlead.core.report import repeats_as_markdown

if TYPE_CHECKING:
    from PySide6.QtCore import QSize
    from PySide6.QtGui import QImage
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.repeats_panel import RepeatsPanel
    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.repeats.drying import Drying


class RepeatsHandler:
    """Opens the panel; nothing on the bench changes."""

    def __init__(
        self,
        document: Document,
        view_state: ViewState,
        messages: MessageBar,
        settings: Settings,
        window: QWidget,
    ) -> None:
        self._document = document
        self._view_state = view_state
        self._messages = messages
        self._settings = settings
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
            self._messages.say("note", ["At least two sweeps are needed: before and during"])
            return
        from fairlead.app.panels.repeats_panel import RepeatsPanel  # noqa: PLC0415 - only here

        panel = RepeatsPanel(self._document.rows(), first, self._draw, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.copy_wanted.connect(self._copy)
        panel.save_wanted.connect(self._save)
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def _copy(self, answer: Answer, as_markdown: bool) -> None:
        form = repeats_as_markdown if as_markdown else lines_of
        QGuiApplication.clipboard().setText("\n".join(form(answer)) + "\n")

    def _draw(self, found: Drying, size: QSize, ratio: float) -> QImage:
        from fairlead.app.printing.trend_export import render_drying  # noqa: PLC0415 - few print

        return render_drying(found, size, ratio, self._view_state.theme)

    def _save(self, answer: Answer) -> None:
        from fairlead.app.printing.export import write_picture  # noqa: PLC0415 - few print

        def write(path: str) -> None:
            document = self._document
            write_picture(
                document.bench,
                document.bench.picture,
                path,
                document.analyses,
                known=document.knowledge,
                changes=document.changes,
                shows_uncertainty=self._settings.shows_uncertainty,
                besides=answer.sentences,
            )

        parent = self._panel or self._window
        save_picture(parent, self._settings, self._messages, "sweeps.png", write)

    def _on_finished(self) -> None:
        self._panel = None
