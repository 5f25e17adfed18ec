"""What came and went between sweeps before, during and after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from fairlead.app.handlers.desk import PanelHandler
from fairlead.app.handlers.saving import save_picture, write_shown
from fairlead.core.comparison.repeats.output import lines_of
from fairlead.core.comparison.repeats.preset import likely_question
from fairlead.core.report import repeats_as_markdown

if TYPE_CHECKING:
    from PySide6.QtCore import QSize
    from PySide6.QtGui import QImage

    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.repeats.drying import Drying


class RepeatsHandler(PanelHandler):
    """Opens the panel; nothing on the bench changes."""

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
        panel.copy_wanted.connect(self._copy)
        panel.save_wanted.connect(self._save)
        self._open(panel)

    def _copy(self, answer: Answer, as_markdown: bool) -> None:
        form = repeats_as_markdown if as_markdown else lines_of
        QGuiApplication.clipboard().setText("\n".join(form(answer)) + "\n")

    def _draw(self, found: Drying, size: QSize, ratio: float) -> QImage:
        from fairlead.app.printing.trend_export import render_drying  # noqa: PLC0415 - few print

        return render_drying(found, size, ratio, self._view_state.theme)

    def _save(self, answer: Answer) -> None:
        document, settings = self._document, self._settings

        def write(path: str) -> None:
            request, said = document.bench.picture, answer.sentences
            missing = write_shown(document, settings, request, path, said)
            self._messages.say("warning", filter(None, [missing]))

        parent = self._panel or self._window
        save_picture(parent, settings, self._messages, "sweeps.png", write)
