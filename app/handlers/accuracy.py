"""The analyzer's accuracy: stated once, for all sweeps or for some."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from fairlead.core.document.measuring_errors import error_model_of

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.accuracy_panel import AccuracyPanel


class AccuracyHandler:
    """Opens the panel; its result is one undo step."""

    def __init__(
        self, document: Document, edits: Edits, view_state: ViewState, window: QWidget
    ) -> None:
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._window = window
        self._panel: AccuracyPanel | None = None

    @property
    def panel(self) -> AccuracyPanel | None:
        """The panel while it is open."""
        return self._panel

    def choose(self) -> None:
        """State how the analyzer was calibrated."""
        bench = self._document.bench
        if self._panel is not None or not bench.entries:
            return
        from fairlead.app.panels.accuracy_panel import AccuracyPanel  # noqa: PLC0415 - only here

        selection = self._view_state.selection
        chosen = [entry for entry in bench.entries if entry.key in selection]
        model = error_model_of(bench, (chosen or bench.entries)[0])
        panel = AccuracyPanel(bench.entries, chosen, model, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.wanted.connect(self._edits.set_accuracy)
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def _on_finished(self) -> None:
        self._panel = None
