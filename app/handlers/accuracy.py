"""The analyzer's accuracy: stated once, for all sweeps or for some."""

from __future__ import annotations

from fairlead.app.handlers.desk import PanelHandler
from fairlead.core.document.measuring_errors import error_model_of


class AccuracyHandler(PanelHandler):
    """Opens the panel; its result is one undo step."""

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
        panel.wanted.connect(self._edits.set_accuracy)
        self._open(panel)
