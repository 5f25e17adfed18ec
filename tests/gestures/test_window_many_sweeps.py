"""Many sweeps in the window: one shown alone, the list filtered, colours by what they share."""

from __future__ import annotations

import pytest
from mouse import LEFT, Mouse
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtWidgets import QApplication
from window import (
    ALT,
    CTRL,
    SHIFT,
    key_of,
    labels,
    load,
    row_centre,
    run_events,
    select,
    share_of_colour,
    steps,
    type_into,
    write_sweep,
)

from fairlead.app.look.palette import LIGHT

pytest_plugins = ["window_fixtures"]


def shown(window):
    return [entry.label for entry in window.document.bench.visible]


@pytest.fixture
def several(window, qtbot, tmp_path):
    """Eight sweeps, so that the filter is there."""
    for i in range(1, 9):
        write_sweep(tmp_path / f"mast {i}.s1p", 50e6 + 0.1e6 * i, points=21)
    load(window, qtbot, [str(path) for path in sorted(tmp_path.glob("*.s1p"))])
    return window


# Shown alone


def test_alone_by_key_then_the_next_one_and_back_to_what_was_shown(loaded, qtbot):
    select(loaded, "iced")
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_H, CTRL)
    assert shown(loaded) == ["dry", "wet"]
    select(loaded, "wet")
    loaded.sweep_list.setFocus()
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_H, CTRL | SHIFT)
    assert shown(loaded) == ["wet"]
    select(loaded, "iced")
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_H, CTRL | SHIFT)
    assert shown(loaded) == ["iced"]
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_H, CTRL | SHIFT)
    assert shown(loaded) == ["dry", "wet"]
    texts = [loaded.document.undo_stack.text(i) for i in range(2, steps(loaded))]
    assert texts == ["Show alone", "Show alone", "Show as before"]
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert shown(loaded) == ["iced"]


def test_alt_and_a_click_on_the_tick_show_a_sweep_alone(loaded):
    row = loaded.sweep_list.visualRect(
        loaded.sweep_model.index(loaded.sweep_model.row_of(key_of(loaded, "wet")), 0)
    )
    mouse = Mouse(loaded.sweep_list.viewport())
    at = QPointF(loaded.sweep_list._delegate.tick_rect(row).center())
    for wanted in (["wet"], ["dry", "wet", "iced"]):
        mouse.move(at)
        for kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease):
            mouse._buttons = LEFT
            mouse._send(kind, LEFT, ALT)
        assert shown(loaded) == wanted
    assert steps(loaded) == 3


def test_a_single_one_that_was_always_alone_shows_everything(loaded):
    for name in ("wet", "iced"):
        select(loaded, name)
        loaded.commands["toggle"].trigger()
    select(loaded, "dry")
    loaded.commands["show-alone"].trigger()
    assert shown(loaded) == ["dry", "wet", "iced"]


# Filter


def test_the_field_is_there_with_many_sweeps_and_on_demand_with_few(loaded, qtbot):
    assert not loaded.list_filter.isVisible()
    loaded.sweep_list.setFocus()
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_F, CTRL)
    assert loaded.list_filter.isVisible()
    assert QApplication.focusWidget() is loaded.list_filter.line
    qtbot.keyClick(loaded.list_filter.line, Qt.Key.Key_Escape)
    assert not loaded.list_filter.isVisible()
    assert QApplication.focusWidget() is loaded.sweep_list


def test_words_hide_rows_and_nothing_else(several, qtbot):
    bench = several.document.bench
    assert several.list_filter.isVisible()
    type_into(qtbot, several.list_filter.line, "mast 3")
    assert labels(several) == ["mast 3"]
    assert several.list_filter.count.text() == "7 of 8 hidden"
    assert "7 of 8" in several.list_filter.line.accessibleDescription()
    assert several.document.bench is bench
    assert several.figures_model.rowCount() == 8
    qtbot.keyClick(several.list_filter.line, Qt.Key.Key_Escape)
    assert len(labels(several)) == 8
    assert several.list_filter.count.text() == ""


def test_what_the_filter_hides_is_not_selected_and_not_removed(several, qtbot):
    several.sweep_list.setFocus()
    qtbot.keyClick(several.sweep_list, Qt.Key.Key_A, CTRL)
    type_into(qtbot, several.list_filter.line, "3")
    assert several.view_state.selection == {key_of(several, "mast 3")}
    qtbot.keyClick(several.list_filter.line, Qt.Key.Key_Return)
    assert QApplication.focusWidget() is several.sweep_list
    several.commands["select-all"].trigger()
    assert several.view_state.selection == {key_of(several, "mast 3")}
    qtbot.keyClick(several.sweep_list, Qt.Key.Key_Delete)
    assert len(several.document.bench.entries) == 7
    assert labels(several) == []
    several.list_filter.line.clear()
    assert len(labels(several)) == 7


def test_moved_past_the_next_one_that_is_seen(several, qtbot):
    for name in ("mast 2", "mast 6"):
        several.edits.set_condition(key_of(several, name), "wet")
    type_into(qtbot, several.list_filter.line, "WET")
    assert labels(several) == ["mast 2", "mast 6"]
    select(several, "mast 2")
    several.commands["move-down"].trigger()
    assert labels(several) == ["mast 6", "mast 2"]
    order = [entry.label for entry in several.document.bench.entries]
    assert order.index("mast 2") == order.index("mast 6") + 1
    several.commands["move-up"].trigger()
    assert labels(several) == ["mast 2", "mast 6"]


def test_the_row_of_a_group_stands_for_the_members_that_are_seen(several, qtbot):
    select(several, "mast 1", "mast 2", "mast 3")
    several.commands["group-units"].trigger()
    type_into(qtbot, several.list_filter.line, "group mast 2")
    assert labels(several) == ["group 1", "mast 2"]
    index = several.sweep_model.index(0, 0)
    Mouse(several.sweep_list.viewport()).click(
        QPointF(several.sweep_list.visualRect(index).center())
    )
    assert several.view_state.selection == {key_of(several, "mast 2")}


def test_a_sweep_that_arrives_is_counted_among_the_hidden(several, qtbot, tmp_path):
    type_into(qtbot, several.list_filter.line, "mast")
    assert not several.list_filter.count.isVisible()
    load(several, qtbot, [write_sweep(tmp_path / "other.s1p", points=21)])
    assert several.list_filter.count.text() == "1 of 9 hidden"


# Colours


def test_colours_by_condition_are_one_step(loaded):
    before = loaded.document.bench
    for name in ("dry", "iced"):
        loaded.edits.set_condition(key_of(loaded, name), "calm")
    made = steps(loaded)
    loaded.commands["colour-condition"].trigger()
    run_events()
    assert steps(loaded) == made + 1
    assert [entry.style.colour for entry in loaded.document.bench.entries] == [0, 1, 0]
    assert share_of_colour(loaded.sweep_list.viewport(), LIGHT.curves[2], 20) == 0
    loaded.commands["colour-sweep"].trigger()
    styles = [entry.style for entry in loaded.document.bench.entries]
    assert styles == [entry.style for entry in before.entries]
    loaded.commands["undo"].trigger()
    assert [entry.style.colour for entry in loaded.document.bench.entries] == [0, 1, 0]


def test_more_conditions_than_colours_are_reported(several):
    for i in range(1, 8):
        several.edits.set_condition(key_of(several, f"mast {i}"), f"after {i} mm of rain")
    several.commands["colour-condition"].trigger()
    (line,) = [line for line in several.messages.lines if "share one" in line]
    assert "the last 4 conditions" in line


# Names


def test_long_names_differ_in_a_narrow_list(window, qtbot, tmp_path):
    common = "clubhouse-roof-ground-plane-after-"
    paths = [write_sweep(tmp_path / f"{common}{end}.s1p", points=21) for end in ("sun", "fog")]
    load(window, qtbot, paths)
    rows = [window.sweep_list.visualRect(window.sweep_model.index(i, 0)) for i in (0, 1)]
    images = []
    for label, row in zip(("sun", "fog"), rows, strict=True):
        place = window.sweep_list._delegate.text_rect(row, 1)
        place.setHeight(place.height() // 2)
        assert row_centre(window, f"{common}{label}").y() > place.top()
        # Without the last letters both texts would be the same pixels.
        place.setLeft(place.left() + place.width() // 2)
        select(window)
        images.append(window.sweep_list.viewport().grab(place.translated(QPoint(0, 0))).toImage())
    assert images[0] != images[1]
