"""What is known of a command."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.app.handlers import Handlers

# fmt: off
Need = Literal[
    "", "unsaved", "sweeps", "selection", "one", "named", "several", "grouped", "member", "typed",
    "traced", "markers", "undo", "redo",
]
# fmt: on


@dataclass(frozen=True, slots=True)
class ActionSpec:
    """One command.

    Attributes
    ----------
    id : str
    menu : str
        Menu, or menu and submenu with a slash between.
    text : str
        In the menu; ``&`` before the letter to press.
    tip : str
        One sentence.
    call : callable
        Takes the `Handlers`.
    keys : tuple of str
        In Qt's portable spelling. Standard keys are empty on some systems, so they stand here.
    icon : str
        Name of one of our icons, or empty.
    need : str
        What the command needs in order to make sense: unsaved changes, sweeps on the bench, a
        selection, one selected sweep, one with a name (a sweep or a whole group), several sweeps,
        a sweep of a group, one sweep of a group, one that was typed or traced, markers, something
        to undo or redo; empty for nothing.
    group : str
        Commands of a group exclude each other; the current one is checked.
    is_checkable : bool
    starts_section : bool
        It has a separator line above it in the menu.
    """

    id: str
    menu: str
    text: str
    tip: str
    call: Callable[[Handlers], None]
    keys: tuple[str, ...] = ()
    icon: str = ""
    need: Need = ""
    group: str = ""
    is_checkable: bool = False
    starts_section: bool = False
