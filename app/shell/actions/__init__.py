"""The one table of commands: the menu of each, its name, its keys, and what it calls."""

from __future__ import annotations

from fairlead.app.shell.actions.band_menu import BAND, TABLES
from fairlead.app.shell.actions.edit_menu import EDIT
from fairlead.app.shell.actions.file_menu import FILE
from fairlead.app.shell.actions.help_menu import HELP
from fairlead.app.shell.actions.spec import ActionSpec, Need
from fairlead.app.shell.actions.view_menu import VIEW

__all__ = ["KEYS", "SPECS", "ActionSpec", "Need"]

SPECS: tuple[ActionSpec, ...] = (*FILE, *EDIT, *VIEW, *BAND, *TABLES, *HELP)
"""All commands, in the order of the menus."""

KEYS: tuple[tuple[str, str, tuple[str, ...]], ...] = tuple(
    (spec.menu.replace("&", ""), spec.text.replace("&", "").removesuffix(" ..."), spec.keys)
    for spec in SPECS
    if spec.keys
)
"""Menu, command and keys of every command that has keys, for the help page."""
