"""Figures over the dates of the sweeps: the panel, its copies and its picture."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from fairlead.app.handlers.desk import PanelHandler
from fairlead.app.handlers.saving import save_picture

if TYPE_CHECKING:
    from PySide6.QtCore import QSize
    from PySide6.QtGui import QImage

    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.trends import OverTime


class OverTimeHandler(PanelHandler):
    """Opens the panel; nothing on the bench changes."""

    def ask(self) -> None:
        """Look at the selected sweeps, or at all that are shown if fewer than two are selected."""
        if self._panel is not None:
            return
        from fairlead.app.panels.over_time_panel import OverTimePanel  # noqa: PLC0415 - only here

        chosen = self._view_state.selection
        rows = [row for row in self._document.rows() if row.entry.key in chosen]
        if len(rows) < 2:
            rows = [row for row in self._document.rows() if row.entry.is_visible]
        panel = OverTimePanel(self._document.bench, rows, self._draw, self._window)
        panel.copy_wanted.connect(self._copy)
        panel.save_wanted.connect(self._save)
        self._open(panel)

    def _draw(self, spec: FigureSpec, found: OverTime, size: QSize, ratio: float) -> QImage:
        # Printing needs many modules, which most sessions never use.
        from fairlead.app.printing.trend_export import render_trend  # noqa: PLC0415

        bench = self._document.bench
        return render_trend(bench, spec, found, size, ratio, self._view_state.theme)

    def _copy(self, spec: FigureSpec, found: OverTime, as_markdown: bool) -> None:
        from fairlead.core.over_time.table_text import trends_as_text  # noqa: PLC0415 - as above

        text = trends_as_text(self._document.bench, spec, found, as_markdown=as_markdown)
        QGuiApplication.clipboard().setText(text)
        self._messages.say("note", ["Copied the trends"])

    def _save(self, spec: FigureSpec, found: OverTime) -> None:
        from fairlead.app.printing.trend_export import write_trend  # noqa: PLC0415 - as above

        bench = self._document.bench
        # A title of the other picture would be wrong here.
        request = replace(bench.picture, title=None, caption="")
        save_picture(
            self._panel or self._window,
            self._settings,
            self._messages,
            "over-time.png",
            lambda path: write_trend(bench, spec, found, request, path),
        )
