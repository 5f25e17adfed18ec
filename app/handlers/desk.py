"""What handlers share, and the shape of those that open a panel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

if TYPE_CHECKING:
    from PySide6.QtWidgets import QDialog, QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.jobs import Jobs
    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.message_bar import MessageBar


@dataclass(frozen=True, slots=True)
class Desk:
    """The document and everything around it that a command may need.

    Attributes
    ----------
    window : QWidget
        Parent of panels and file choosers.
    """

    document: Document
    edits: Edits
    view_state: ViewState
    worker: Jobs
    messages: MessageBar
    settings: Settings
    window: QWidget


class Handler:
    """Does what some of the commands ask for."""

    def __init__(self, desk: Desk) -> None:
        self._document = desk.document
        self._edits = desk.edits
        self._view_state = desk.view_state
        self._worker = desk.worker
        self._messages = desk.messages
        self._settings = desk.settings
        self._window = desk.window


class PanelHandler(Handler):
    """Has one panel at most, which is gone once it is closed."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._panel: QDialog | None = None

    @property
    def panel(self) -> QDialog | None:
        """The panel while it is open."""
        return self._panel

    def _open(self, panel: QDialog) -> None:
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def _on_finished(self, _result: int) -> None:
        self._panel = None
