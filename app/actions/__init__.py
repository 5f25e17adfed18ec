"""The one table of commands: where each stands, what it is called, its keys, and what it calls."""

from __future__ import annotations

from app.actions.band_menu import BAND, TABLES
from app.actions.edit_menu import EDIT
from app.actions.file_menu import FILE
from app.actions.help_menu import HELP
from app.actions.spec import ActionSpec, Need
from app.actions.view_menu import VIEW

__all__ = ["SPECS", "ActionSpec", "Need"]

SPECS: tuple[ActionSpec, ...] = (*FILE, *EDIT, *VIEW, *BAND, *TABLES, *HELP)
"""All commands, in the order of the menus."""
