"""Band, limit and reference impedance from menu and keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.errors import FairleadError
from fairlead.core.own_bands import read_own_bands

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.edits import Edits
    from fairlead.app.document.key_steps import KeySteps
    from fairlead.app.files.settings import Settings
    from fairlead.app.handlers.view import ViewHandler
    from fairlead.app.panels.band_panel import BandPanel
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.core.bands import Band, Edge


class BandHandler:
    """Passes band commands on to the edits."""

    def __init__(
        self,
        edits: Edits,
        key_steps: KeySteps,
        panel: BandPanel,
        view: ViewHandler,
        messages: MessageBar,
        settings: Settings,
        window: QWidget,
    ) -> None:
        self._edits = edits
        self._key_steps = key_steps
        self._panel = panel
        self._view = view
        self._messages = messages
        self._settings = settings
        self._window = window

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

    def read_own(self) -> None:
        """Ask for a text file of bands, and offer them from now on; the last ones go."""
        name = FileChooser.bands_to_read(self._window, self._settings.folder)
        if not name:
            return
        try:
            bands = read_own_bands(name)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        self._settings.own_bands = bands
        self._panel.show_own_bands(bands)
        many = "1 band" if len(bands) == 1 else f"{len(bands)} bands"
        self._messages.say("note", [f"{many} of your own can be chosen now: {bands[0].name} ..."])

    def step_edge(self, edge: Edge, direction: int) -> None:
        """Move an edge by one step."""
        self._key_steps.move_edge(edge, direction)

    def step_limit(self, direction: int) -> None:
        """Move the SWR limit by one step."""
        self._key_steps.move_limit(direction)
