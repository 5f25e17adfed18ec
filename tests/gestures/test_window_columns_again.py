"""Columns of a loaded table chosen once more: its sweep is replaced, and undo brings it back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from window import choose, load, run_events, select, steps

from fairlead.app.panels.column_roles import Role

pytest_plugins = ["window_fixtures"]

ROWS = ((50, 2.4, 1.3), (50.5, 1.6, 1.9), (51, 1.2, 2.8), (51.5, 1.7, 3.6))
TABLE = "MHz,SWR,swapped\n" + "".join(f"{f},{a},{b}\n" for f, a, b in ROWS)


@pytest.fixture
def table(window, qtbot, tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text(TABLE, "ascii")
    load(window, qtbot, [str(path)])
    (entry,) = window.document.bench.entries
    select(window, entry.label)
    return path


def reopen(window, qtbot):
    window.commands["choose-columns"].trigger()
    qtbot.waitUntil(lambda: window.handlers.imports.panel is not None)
    panel = window.handlers.imports.panel
    qtbot.waitUntil(panel.isVisible)
    run_events()
    return panel


def ratios(window):
    found = []
    for entry in window.document.bench.entries:
        rho = entry.measured.magnitude
        found.append([round(float(one), 6) for one in (1 + rho) / (1 - rho)])
    return found


def test_another_column_replaces_the_sweep_and_undo_brings_it_back(window, qtbot, table):
    before = window.document.bench.entries[0]
    done = steps(window)
    panel = reopen(window, qtbot)
    # Only what the headings say is chosen beforehand.
    assert [box.currentText() for box in panel.role_boxes] == [
        Role.FREQUENCY.value,
        Role.SWR.value,
        Role.UNUSED.value,
    ]
    choose(qtbot, panel.role_boxes[1], Role.UNUSED.value)
    choose(qtbot, panel.role_boxes[2], Role.SWR.value)
    qtbot.waitUntil(panel.import_button.isEnabled)
    qtbot.mouseClick(panel.import_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: ratios(window) == [[b for _, _, b in ROWS]])
    (entry,) = window.document.bench.entries
    assert (entry.key, entry.label, entry.style) == (before.key, before.label, before.style)
    assert steps(window) == done + 1
    window.commands["undo"].trigger()
    assert window.document.bench.entries == (before,)
    assert table.read_text("ascii") == TABLE


def test_more_sweeps_are_added_and_fewer_removed_in_one_step(window, qtbot, table):
    panel = reopen(window, qtbot)
    choose(qtbot, panel.role_boxes[2], Role.SWR.value)
    qtbot.waitUntil(panel.import_button.isEnabled)
    qtbot.mouseClick(panel.import_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(window.document.bench.entries) == 2)
    done = steps(window)
    select(window, window.document.bench.entries[0].label)
    panel = reopen(window, qtbot)
    # As chosen before, since the table has headings.
    assert panel.role_boxes[2].currentText() == Role.SWR.value
    choose(qtbot, panel.role_boxes[2], Role.UNUSED.value)
    qtbot.wait(200)
    qtbot.waitUntil(panel.import_button.isEnabled)
    qtbot.mouseClick(panel.import_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(window.document.bench.entries) == 1)
    assert steps(window) == done + 1
    assert str(table) == window.document.bench.entries[0].file


def test_touchstone_has_no_columns_to_choose(loaded, qtbot):
    select(loaded, loaded.document.bench.entries[0].label)
    loaded.commands["choose-columns"].trigger()
    qtbot.waitUntil(lambda: "is not a table" in " ".join(loaded.messages.lines))
    assert loaded.handlers.imports.panel is None


def test_a_file_that_has_gone_is_an_error(window, qtbot, table):
    table.unlink()
    window.commands["choose-columns"].trigger()
    qtbot.waitUntil(lambda: "meter.csv" in " ".join(window.messages.lines))
    assert window.handlers.imports.panel is None


@pytest.mark.usefixtures("table")
def test_without_a_selection_there_is_nothing_to_choose(window):
    window.view_state.set_selection(frozenset())
    window.handlers.imports.choose_again()
    assert "Select one sweep that was read from a table" in " ".join(window.messages.lines)
