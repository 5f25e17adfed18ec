"""The help pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QKeySequence

from fairlead.app.panels.help_window import HelpWindow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.concerns import Concerns
    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.handlers.paper import PaperHandler


class HelpHandler:
    """Shows the pages in one window beside the main one."""

    def __init__(
        self,
        document: Document,
        view_state: ViewState,
        concerns: Concerns,
        paper: PaperHandler,
        window: QWidget,
        keys: Sequence[tuple[str, str, tuple[str, ...]]],
    ) -> None:
        """``keys`` holds menu, command and keys of every command that has keys."""
        self._document = document
        self._view_state = view_state
        self._concerns = concerns
        self._keys = keys
        self._paper = paper
        self._window = window
        self._shown: HelpWindow | None = None

    @property
    def shown(self) -> HelpWindow | None:
        """The help window; None before the first page."""
        return self._shown

    def show_keys(self) -> None:
        """Show every key."""
        from fairlead.app.panels.help_text import keys_page  # noqa: PLC0415 - only needed here

        rows = [(menu, text, [_shown_key(key) for key in keys]) for menu, text, keys in self._keys]
        self._show("Keys", keys_page(rows))

    def show_figures(self) -> None:
        """Show what each column of the table means."""
        from fairlead.app.panels.help_text import figures_page  # noqa: PLC0415 - only needed here

        limit = f"{self._document.bench.limit_swr:.4g}"
        self._show("What the figures mean", figures_page(limit))

    def show_questions(self) -> None:
        """Show what newcomers ask, and the words of the trade."""
        from fairlead.app.panels.help_text import questions_page  # noqa: PLC0415 - only needed here

        self._show("Questions and words", questions_page())

    def show_why_selected(self) -> None:
        """Show why the selected sweep is marked."""
        for entry in self._document.bench.entries:
            if entry.key in self._view_state.selection:
                self.show_why(entry.key)
                return

    def show_why(self, key: int) -> None:
        """Show the findings about a sweep, with reason, threshold, source and what to do."""
        from fairlead.app.panels.concern_text import concerns_page  # noqa: PLC0415 - seldom needed

        entry = self._document.bench.entry(key)
        page = concerns_page(entry.label, self._concerns.of(key))
        self._show("Why is this marked?", page)

    def show_cautions(self) -> None:
        """Show the cautions, local codes first."""
        from fairlead.app.panels.help_text import cautions_page  # noqa: PLC0415 - only needed here

        self._show("Cautions", cautions_page())

    def show_about(self) -> None:
        """Show version, licence and libraries."""
        from fairlead.app.panels.help_text import about_page  # noqa: PLC0415 - only needed here

        self._show("About Fairlead", about_page())

    def _show(self, title: str, html: str) -> None:
        if self._shown is None:
            self._shown = HelpWindow(self._window)
            self._shown.print_wanted.connect(self._print)
        self._shown.show_page(title, html)

    def _print(self) -> None:
        if self._shown is not None:
            # A copy: the window may show another page while this one is in the preview.
            page = self._shown.page.document().clone()
            self._paper.print_text(self._shown.windowTitle(), page)


def _shown_key(key: str) -> str:
    return QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText)
