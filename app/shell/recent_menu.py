"""The submenu of recent benches: those that are missing cannot be chosen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.paths import is_file

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QMenu

    from fairlead.app.files.settings import Settings


class RecentMenu(QObject):
    """Fills the submenu again each time it opens.

    Parameters
    ----------
    clear : QAction
        The command that empties the list; its menu is the one to fill, above it.
    open_file : callable
        Called with the chosen path.
    """

    def __init__(
        self,
        menu: QMenu,
        clear: QAction,
        settings: Settings,
        open_file: Callable[[str], None],
    ) -> None:
        super().__init__(menu)
        self._menu = menu
        self._clear = clear
        self._settings = settings
        self._open_file = open_file
        self._shown: list[QAction] = []
        menu.aboutToShow.connect(self.fill)
        clear.setEnabled(bool(settings.recent))

    def fill(self) -> None:
        """List the benches, the newest first."""
        for action in self._shown:
            self._menu.removeAction(action)
            action.deleteLater()
        recent = self._settings.recent
        self._shown = [self._action(place, path) for place, path in enumerate(recent, 1)]
        first = self._menu.actions()[0]
        self._menu.insertActions(first, self._shown)
        self._clear.setEnabled(bool(recent))

    def _action(self, place: int, path: str) -> QAction:
        letter = f"&{place}  " if place < 10 else f"{place}  "
        name = Path(path).name.replace("&", "&&")
        folder = str(Path(path).parent).replace("&", "&&")
        action = QAction(f"{letter}{name}    {folder}", self._menu)
        is_there = is_file(path)
        action.setEnabled(is_there)
        action.setToolTip(tool_tip(path if is_there else f"{path} no longer exists"))
        action.setStatusTip(path)
        action.triggered.connect(lambda: self._open_file(path))
        return action
