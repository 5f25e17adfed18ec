"""Band, limit and reference impedance from menu and keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.key_steps import KeySteps
    from fairlead.app.handlers.view import ViewHandler
    from fairlead.app.panels.band_panel import BandPanel
    from fairlead.core.bands import Band, Edge


class BandHandler:
    """Passes band commands on to the edits."""

    def __init__(
        self, edits: Edits, key_steps: KeySteps, panel: BandPanel, view: ViewHandler
    ) -> None:
        self._edits = edits
        self._key_steps = key_steps
        self._panel = panel
        self._view = view

    def type_edges(self) -> None:
        """Move the cursor to the field of the lower edge."""
        self._panel.type_edges()

    def use_whole_span(self) -> None:
        """Use the span that all sweeps cover."""
        self._edits.use_whole_span()

    def choose(self, band: Band) -> None:
        """Use a band from the tables."""
        self._edits.set_band(band)
        self._view.show_small_band()

    def step_edge(self, edge: Edge, direction: int) -> None:
        """Move an edge by one step."""
        self._key_steps.move_edge(edge, direction)

    def step_limit(self, direction: int) -> None:
        """Move the SWR limit by one step."""
        self._key_steps.move_limit(direction)
