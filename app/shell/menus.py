"""Actions and menus built from the table in `fairlead.app.shell.actions`."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from shiboken6 import isValid

from fairlead.app.look.resources import icon
from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.shell.actions import SPECS, ActionSpec
from fairlead.core.document.groups import group_chosen

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.handlers import Handlers
    from fairlead.app.look.palette import Theme
    from fairlead.app.shell.actions import Need
    from fairlead.core.document.bench import Bench

_ALL_ICONS_AFTER_MS = 2000


class Actions(QObject):
    """Every command as a `QAction`, kept up to date with document and selection."""

    def __init__(
        self,
        handlers: Handlers,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._groups: dict[str, QActionGroup] = {}
        self._actions = {spec.id: self._make(spec, handlers, parent) for spec in SPECS}
        stack = document.undo_stack
        stack.undoTextChanged.connect(self._refresh)
        stack.indexChanged.connect(self._refresh)
        document.changed.connect(self._on_changed)
        document.file_changed.connect(self._refresh)
        view_state.selection_changed.connect(self._refresh)
        view_state.theme_changed.connect(self._paint_icons_again)
        # Painting all icons takes a twentieth of the start. Buttons and menus request theirs when
        # they are shown; a context menu requests nothing, so in the end all are painted.
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._paint_icons)
        self._later.start(_ALL_ICONS_AFTER_MS)
        self._refresh()

    def __getitem__(self, name: str) -> QAction:
        """The action with that id (KeyError if there is none)."""
        return self._actions[name]

    def with_icon(self, name: str) -> QAction:
        """The same with its icon, for a button that is shown at once."""
        self._paint_icon(next(spec for spec in SPECS if spec.id == name))
        return self._actions[name]

    def __iter__(self) -> Iterator[QAction]:
        """All actions, in the order of the table."""
        return iter(self._actions.values())

    def fill(self, bar: QMenuBar) -> dict[str, QMenu]:
        """Put every action into its menu; the menus by their path in the table."""
        menus: dict[str, QMenu] = {}
        for spec in SPECS:
            menu = _menu(bar, menus, spec.menu)
            if spec.starts_section:
                menu.addSeparator()
            menu.addAction(self._actions[spec.id])
        for path, menu in menus.items():
            menu.aboutToShow.connect(partial(self._paint_icons, path))
        return menus

    def _make(self, spec: ActionSpec, handlers: Handlers, parent: QWidget) -> QAction:
        action = QAction(spec.text, parent)
        action.setObjectName(spec.id)
        action.setShortcuts([QKeySequence(key) for key in spec.keys])
        keys = ", ".join(
            QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText) for key in spec.keys
        )
        action.setToolTip(tool_tip(f"{spec.tip} ({keys})" if keys else spec.tip))
        action.setStatusTip(spec.tip)
        action.setMenuRole(_ROLES.get(spec.id, QAction.MenuRole.NoRole))
        if spec.group:
            group = self._groups.setdefault(spec.group, QActionGroup(self))
            group.addAction(action)
        action.setCheckable(spec.is_checkable or bool(spec.group))
        call = spec.call
        action.triggered.connect(lambda: call(handlers))
        return action

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if (
            new.entries is not old.entries
            or new.groups is not old.groups
            or bool(new.markers) != bool(old.markers)
        ):
            self._refresh()
        elif self._edits.is_in_gesture:
            # Sixty times a second while an edge is dragged: only what a gesture changes.
            self._actions["undo"].setEnabled(True)

    def _refresh(self) -> None:
        if not isValid(self._document.undo_stack):
            return  # the stack reports once more that it is empty while the program ends
        there = self._what_is_there()
        for spec in SPECS:
            if spec.need:
                self._actions[spec.id].setEnabled(spec.need in there)
        stack = self._document.undo_stack
        self._actions["undo"].setText(f"&Undo {_plain(stack.undoText())}".rstrip())
        self._actions["redo"].setText(f"&Redo {_plain(stack.redoText())}".rstrip())

    def _what_is_there(self) -> set[Need]:
        keys = {entry.key for entry in self._document.bench.entries}
        chosen = self._view_state.selection & keys
        selected = len(chosen)
        groups = self._document.bench.groups
        is_grouped = any(not chosen.isdisjoint(group.members) for group in groups)
        stack = self._document.undo_stack
        there: dict[Need, bool] = {
            "unsaved": self._document.is_modified,
            "sweeps": bool(keys),
            "selection": selected > 0,
            "one": selected == 1,
            "named": selected == 1 or group_chosen(self._document.bench, chosen) is not None,
            "several": selected > 1,
            "grouped": is_grouped,
            "member": selected == 1 and is_grouped,
            "typed": selected == 1 and self._is_typed(keys & self._view_state.selection),
            "markers": bool(self._document.bench.markers),
            "traced": selected == 1 and self._is_traced(chosen),
            # An unfinished gesture can be undone although it is not on the stack yet.
            "undo": stack.canUndo() or self._edits.is_in_gesture,
            "redo": stack.canRedo(),
        }
        return {need for need, is_there in there.items() if is_there}

    def _is_typed(self, keys: set[int]) -> bool:
        return all(bool(self._document.bench.entry(key).typed.rows) for key in keys)

    def _is_traced(self, keys: frozenset[int]) -> bool:
        entries = [self._document.bench.entry(key) for key in keys]
        return all(entry.picture_curve is not None for entry in entries)

    def _paint_icons(self, path: str = "") -> None:
        """Those that a menu, or any menu, still lacks."""
        for spec in SPECS:
            if spec.icon and spec.menu.startswith(path):
                self._paint_icon(spec)

    def _paint_icon(self, spec: ActionSpec) -> None:
        action = self._actions[spec.id]
        if action.icon().isNull():
            action.setIcon(icon(spec.icon, self._view_state.theme.text))

    def _paint_icons_again(self, theme: Theme) -> None:
        for spec in SPECS:
            if not self._actions[spec.id].icon().isNull():
                self._actions[spec.id].setIcon(icon(spec.icon, theme.text))


# Systems with a single menu bar move these two to where users expect them.
_ROLES = {"quit": QAction.MenuRole.QuitRole, "about": QAction.MenuRole.AboutRole}


def _menu(bar: QMenuBar, menus: dict[str, QMenu], path: str) -> QMenu:
    if path not in menus:
        parent, _, name = path.rpartition("/")
        menus[path] = (_menu(bar, menus, parent) if parent else bar).addMenu(name)
        menus[path].setToolTipsVisible(True)
    return menus[path]


def _plain(text: str) -> str:
    """A name in a menu: an ampersand in it is not a letter to press."""
    return text.replace("&", "&&")
