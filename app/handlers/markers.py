"""Markers from menu and keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.marker_panel import MarkerPanel


class MarkerHandler:
    """Adds, removes and types markers; each is one undo step."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        settings: Settings,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._settings = settings
        self._window = window
        self._panel: MarkerPanel | None = None

    @property
    def panel(self) -> MarkerPanel | None:
        """The panel while it is open."""
        return self._panel

    def add(self) -> None:
        """Pin the frequency last pointed at; in the middle of the band if none was."""
        self._edits.add_marker(self._pointed_hz)

    def remove_nearest(self) -> None:
        """Remove the marker nearest to the frequency last pointed at."""
        markers, at_hz = self._document.bench.markers, self._pointed_hz
        if markers:
            nearest = min(markers, key=lambda marker: abs(marker.frequency_hz - at_hz))
            self._edits.remove_markers([nearest.key])

    def remove_all(self) -> None:
        """Remove every marker."""
        self._edits.remove_markers([marker.key for marker in self._document.bench.markers])

    def edit(self) -> None:
        """Type frequencies and names."""
        if self._panel is not None:
            return
        from fairlead.app.panels.marker_panel import MarkerPanel  # noqa: PLC0415 - only here

        panel = MarkerPanel(self._document.bench.markers, self._view_state, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.wanted.connect(self._edits.set_markers)
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def toggle_table(self) -> None:
        """Show or hide the table of their values."""
        self._settings.shows_markers = not self._settings.shows_markers
        self._view_state.show_marker_values(is_shown=self._settings.shows_markers)

    def _on_finished(self) -> None:
        self._panel = None

    @property
    def _pointed_hz(self) -> float:
        pointed_hz, band = self._view_state.pointed_hz, self._document.bench.band
        return (band.low_hz + band.high_hz) / 2 if pointed_hz is None else pointed_hz
