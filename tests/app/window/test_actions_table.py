"""Every command once in a menu, with words of its own, and no key twice."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QLabel, QMenu

from fairlead.app.look.resources import data_folder
from fairlead.app.shell.actions import SPECS

pytest_plugins = ["window_fixtures"]


def entries(menu):
    """Actions of a menu and of its submenus."""
    for action in menu.actions():
        if action.menu():
            yield from entries(action.menu())
        elif not action.isSeparator():
            yield action


def test_ids_are_unique():
    assert [name for name, count in Counter(spec.id for spec in SPECS).items() if count > 1] == []


def test_each_action_stands_in_exactly_one_menu(window):
    found = Counter(action.objectName() for action in entries(window.menuBar()))
    assert found == Counter(spec.id for spec in SPECS)
    assert len(list(window.commands)) == len(SPECS)


def test_each_action_has_text_and_tip(window):
    for action in window.commands:
        assert action.text().strip("&. "), action.objectName()
        assert len(action.statusTip()) >= 8, action.objectName()
        assert action.statusTip() in action.toolTip().replace("&#x27;", "'"), action.objectName()


def test_no_shortcut_is_given_twice_and_each_can_be_read(window):
    keys = [key for action in window.commands for key in action.shortcuts()]
    assert all(not key.isEmpty() for key in keys)
    assert [
        key for key, count in Counter(key.toString() for key in keys).items() if count > 1
    ] == []
    for spec in SPECS:
        assert [QKeySequence(key) for key in spec.keys] == window.commands[spec.id].shortcuts()


def test_the_usual_keys_are_there_on_every_system(window):
    """Standard keys are empty on some systems, so ours are spelled out."""
    assert QKeySequence("Ctrl+Q") in window.commands["quit"].shortcuts()
    assert QKeySequence("Ctrl+=") in window.commands["zoom-in"].shortcuts()
    assert QKeySequence("Ctrl++") in window.commands["zoom-in"].shortcuts()


@pytest.mark.parametrize("menu_of", [lambda window: window.menuBar()])
def test_the_letters_to_press_are_unique_in_each_menu(loaded, menu_of):
    menus = [menu_of(loaded), *loaded.menuBar().findChildren(QMenu)]
    for menu in menus:
        letters = [
            action.text().replace("&&", "").partition("&")[2][:1].lower()
            for action in menu.actions()
            if "&" in action.text().replace("&&", "")
        ]
        assert [letter for letter, count in Counter(letters).items() if count > 1] == []


def test_the_letters_of_the_fields_are_not_those_of_the_menus(window):
    letters = [
        text.partition("&")[2][:1].lower()
        for text in (
            *(action.text() for action in window.menuBar().actions()),
            *(label.text() for label in window.band_panel.findChildren(QLabel)),
        )
        if "&" in text
    ]
    assert len(letters) >= 10
    assert [letter for letter, count in Counter(letters).items() if count > 1] == []


def test_every_icon_named_is_ours():
    names = {path.stem for path in data_folder("icons").iterdir()}
    assert {spec.icon for spec in SPECS if spec.icon} <= names


def test_commands_that_need_something_are_off_without_it(window):
    off = {action.objectName() for action in window.commands if not action.isEnabled()}
    assert {"undo", "redo", "rename", "remove", "copy-table", "export-picture"} <= off
    assert not {"open", "open-folder", "open-samples", "quit", "help-keys"} & off


def test_one_selected_sweep_is_not_several(loaded):
    keys = [entry.key for entry in loaded.document.bench.entries]
    loaded.view_state.set_selection(frozenset(keys[:1]))
    assert loaded.commands["rename"].isEnabled()
    loaded.view_state.set_selection(frozenset(keys[:2]))
    assert not loaded.commands["rename"].isEnabled()
    assert loaded.commands["remove"].isEnabled()


def test_an_ampersand_in_a_name_is_no_letter_to_press(loaded):
    loaded.edits.remove([loaded.document.bench.entries[0].key])
    loaded.edits.rename(loaded.document.bench.entries[0].key, "R&D")
    loaded.edits.remove([loaded.document.bench.entries[0].key])
    assert loaded.commands["undo"].text() == '&Undo Remove "R&&D"'


def test_a_menu_that_opens_has_its_icons(window):
    """All of them wait until the window stands; a menu does not wait so long."""
    action = window.commands["about"]
    assert action.icon().isNull()
    menu = next(menu for menu in window.menuBar().findChildren(QMenu) if action in menu.actions())
    menu.popup(window.mapToGlobal(window.rect().center()))
    drawn = [one for one in menu.actions() if not one.isSeparator()]
    wanted = {spec.id for spec in SPECS if spec.icon}
    assert {one.objectName() for one in drawn if not one.icon().isNull()} == wanted & {
        one.objectName() for one in drawn
    }
    assert not action.icon().isNull()
    menu.close()
    assert window.commands["rename"].icon().isNull()
