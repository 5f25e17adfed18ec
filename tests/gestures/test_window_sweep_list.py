"""The list: tick, rename, condition, reference, order, remove; all of it undone exactly."""

from __future__ import annotations

from mouse import Mouse
from PySide6.QtCore import QPointF, QRect, Qt
from PySide6.QtWidgets import QLabel, QLineEdit
from window import (
    ALT,
    CTRL,
    SHIFT,
    cell,
    drop_data,
    key_of,
    labels,
    load,
    row_centre,
    run_events,
    select,
    share_of_colour,
    steps,
    write_sweep,
)

pytest_plugins = ["window_fixtures"]


def click(window, label):
    Mouse(window.sweep_list.viewport()).click(row_centre(window, label))


def detail_lines(window):
    """Everything that the area below the list says."""
    return [label.text() for label in window.detail._facts.findChildren(QLabel)]


def editor(window):
    """The line that is open in the list."""
    run_events()
    lines = window.sweep_list.viewport().findChildren(QLineEdit)
    return lines[0] if lines else None


def enter(qtbot, line):
    """Press Enter; Qt hands the text over when it comes back to its events."""
    qtbot.keyClick(line, Qt.Key.Key_Return)
    run_events()


def tick_centre(window, label):
    row = window.sweep_list.visualRect(
        window.sweep_model.index(window.sweep_model.row_of(key_of(window, label)), 0)
    )
    return QPointF(window.sweep_list._delegate.tick_rect(row).center())


# Selecting


def test_a_click_selects_in_list_table_and_detail(loaded):
    click(loaded, "wet")
    key = key_of(loaded, "wet")
    assert loaded.view_state.selection == {key}
    rows = loaded.figures.selectionModel().selectedRows()
    assert [loaded.figures_model.key_at(index.row()) for index in rows] == [key]
    shown = detail_lines(loaded)
    assert "wet.s1p" in shown
    assert "101, impedance known" in shown
    assert "46 – 58 MHz" in shown
    assert "120 kHz on average" in shown
    assert steps(loaded) == 1


def test_list_and_details_share_the_column(loaded, qtbot):
    """With nothing described yet the list has the height; after that rows stay where they are."""
    tall = loaded.sweep_list.height()
    assert loaded.detail.height() < tall / 4

    click(loaded, "wet")
    run_events()
    assert loaded.sweep_list.height() == tall, "a double click would miss its row"
    qtbot.waitUntil(lambda: loaded.detail.height() > tall / 4)
    shared = loaded.sweep_list.height()

    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_A, CTRL)
    run_events()
    assert loaded.sweep_list.height() == shared


def test_a_row_that_the_details_would_cover_is_scrolled_to(window, tmp_path, qtbot):
    load(
        window,
        qtbot,
        [write_sweep(tmp_path / f"s{i}.s1p", 50e6 + i * 1e5, points=11) for i in range(30)],
    )
    tall = window.sweep_list.height()
    row_px = row_centre(window, "s1").y() - row_centre(window, "s0").y()
    last = f"s{int(tall / row_px) - 1}"

    click(window, last)
    qtbot.waitUntil(lambda: window.sweep_list.height() < tall - row_px)
    run_events()

    assert window.view_state.selection == {key_of(window, last)}
    assert window.sweep_list.viewport().rect().contains(row_centre(window, last).toPoint())


def test_a_row_of_the_table_selects_in_the_list(loaded):
    table = loaded.figures
    at = QPointF(table.visualRect(loaded.figures_model.index(2, 3)).center())
    Mouse(table.viewport()).click(at)
    assert loaded.sweep_list.selected_keys == [key_of(loaded, "iced")]


def test_ctrl_a_selects_all_and_the_detail_says_how_many(loaded, qtbot):
    loaded.sweep_list.setFocus()
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_A, CTRL)
    assert len(loaded.view_state.selection) == 3
    assert len(loaded.figures.selectionModel().selectedRows()) == 3
    assert detail_lines(loaded) == ["3 sweeps selected, 303 points in all"]


# Ticks


def test_a_click_on_the_tick_hides_the_curve_and_keeps_its_figures(loaded):
    colour = loaded.view_state.theme.curves[1]
    before = share_of_colour(loaded.frequency_plot, colour)
    figures = cell(loaded, "wet", "best_match")
    Mouse(loaded.sweep_list.viewport()).click(tick_centre(loaded, "wet"))
    run_events()
    assert not loaded.document.bench.entry(key_of(loaded, "wet")).is_visible
    assert before > 0.0005
    assert share_of_colour(loaded.frequency_plot, colour) == 0
    assert cell(loaded, "wet", "best_match") == figures
    assert steps(loaded) == 2
    assert loaded.document.undo_stack.undoText() == "Hide"
    Mouse(loaded.sweep_list.viewport()).click(tick_centre(loaded, "wet"))
    assert loaded.document.bench.entry(key_of(loaded, "wet")).is_visible


def test_space_turns_all_selected_ticks_as_one_step(loaded, qtbot):
    select(loaded, "dry", "iced")
    loaded.sweep_list.setFocus()
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_Space)
    assert [entry.is_visible for entry in loaded.document.bench.entries] == [False, True, False]
    assert steps(loaded) == 2
    qtbot.keyClick(loaded.sweep_list, Qt.Key.Key_Space)
    assert [entry.is_visible for entry in loaded.document.bench.entries] == [True, True, True]


# Names


def test_f2_typing_and_enter_rename(loaded, qtbot):
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_F2)
    line = editor(loaded)
    assert line.text() == "wet"
    line.selectAll()
    qtbot.keyClicks(line, "  after <b>rain</b> ")
    enter(qtbot, line)
    assert labels(loaded) == ["dry", "after <b>rain</b>", "iced"]
    assert cell(loaded, "after <b>rain</b>", "label") == "after <b>rain</b>"
    assert loaded.document.undo_stack.undoText() == "Rename"
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert labels(loaded) == ["dry", "wet", "iced"]


def test_escape_leaves_the_name(loaded, qtbot):
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_F2)
    line = editor(loaded)
    qtbot.keyClicks(line, "x")
    qtbot.keyClick(line, Qt.Key.Key_Escape)
    assert editor(loaded) is None
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert steps(loaded) == 1


def test_an_empty_name_is_no_name(loaded, qtbot):
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_F2)
    line = editor(loaded)
    line.selectAll()
    qtbot.keyClick(line, Qt.Key.Key_Delete)
    enter(qtbot, line)
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert steps(loaded) == 1


def test_a_double_click_edits_the_line_it_hits(loaded, qtbot):
    assert loaded.figures.isColumnHidden(1)
    centre = row_centre(loaded, "wet")
    Mouse(loaded.sweep_list.viewport()).double_click(centre + QPointF(0, 9))
    line = editor(loaded)
    assert line.objectName() == "edit condition"
    qtbot.keyClicks(line, "after heavy rain")
    enter(qtbot, line)
    assert loaded.document.bench.entries[1].condition == "after heavy rain"
    assert cell(loaded, "wet", "condition") == "after heavy rain"
    # The column comes up with the first condition.
    assert not loaded.figures.isColumnHidden(1)
    Mouse(loaded.sweep_list.viewport()).double_click(centre - QPointF(0, 9))
    assert editor(loaded).objectName() == "edit label"


def test_shift_f2_edits_the_condition(loaded, qtbot):
    select(loaded, "iced")
    qtbot.keyClick(loaded, Qt.Key.Key_F2, SHIFT)
    qtbot.keyClicks(editor(loaded), "5 mm")
    enter(qtbot, editor(loaded))
    assert loaded.document.bench.entries[2].caption == "iced (5 mm)"


def test_delete_in_the_open_line_removes_a_letter_and_no_sweep(loaded, qtbot):
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_F2)
    line = editor(loaded)
    qtbot.keyClick(line, Qt.Key.Key_Home)
    qtbot.keyClick(line, Qt.Key.Key_Delete)
    assert line.text() == "et"
    assert len(labels(loaded)) == 3


# Reference


def test_the_key_chooses_the_reference_and_every_change_turns(loaded, qtbot):
    before = cell(loaded, "wet", "shift")
    assert cell(loaded, "dry", "shift") == "reference"
    assert before.startswith("−")
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_R, CTRL)
    assert loaded.document.bench.reference_key == key_of(loaded, "wet")
    assert cell(loaded, "wet", "shift") == "reference"
    # The same distance, seen from the other side.
    assert cell(loaded, "dry", "shift") == "+" + before.removeprefix("−")
    assert steps(loaded) == 2
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert cell(loaded, "wet", "shift") == before


def test_choosing_the_reference_again_is_no_step(loaded, qtbot):
    select(loaded, "dry")
    qtbot.keyClick(loaded, Qt.Key.Key_R, CTRL)
    assert steps(loaded) == 1


def test_the_key_gives_the_selected_sweep_a_look_of_its_own(loaded, qtbot):
    key, before = key_of(loaded, "wet"), loaded.document.bench
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_K, CTRL)
    changed = loaded.document.bench
    assert changed.entry(key).style not in {entry.style for entry in before.entries}
    assert len({entry.style for entry in changed.entries}) == len(changed.entries)
    assert steps(loaded) == 2
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench == before


# Order


def test_alt_down_and_alt_up_move_and_the_selection_goes_along(loaded, qtbot):
    select(loaded, "dry")
    before = loaded.document.bench
    qtbot.keyClick(loaded, Qt.Key.Key_Down, ALT)
    assert labels(loaded) == ["wet", "dry", "iced"]
    assert loaded.sweep_list.selected_keys == [key_of(loaded, "dry")]
    assert [index.row() for index in loaded.figures.selectionModel().selectedRows()] == [1]
    qtbot.keyClick(loaded, Qt.Key.Key_Down, ALT)
    qtbot.keyClick(loaded, Qt.Key.Key_Down, ALT)
    assert labels(loaded) == ["wet", "iced", "dry"]
    assert steps(loaded) == 3
    for _ in range(2):
        qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench is before


def test_several_move_together_as_one_step(loaded, qtbot):
    select(loaded, "wet", "iced")
    qtbot.keyClick(loaded, Qt.Key.Key_Up, ALT)
    assert labels(loaded) == ["wet", "iced", "dry"]
    assert steps(loaded) == 2
    assert loaded.document.undo_stack.undoText() == "Move in list"
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert labels(loaded) == ["dry", "wet", "iced"]


def test_rows_that_are_dragged_stand_where_they_are_dropped(loaded, qtbot):
    model, view = loaded.sweep_model, loaded.sweep_list
    data = model.mimeData([model.index(0, 0)])
    row = view.visualRect(model.index(2, 0))
    at = QPointF(view.viewport().mapTo(loaded, row.bottomLeft()))
    took = drop_data(loaded, at + QPointF(60, 0), data, Qt.DropAction.MoveAction)
    assert took
    assert labels(loaded) == ["wet", "iced", "dry"]
    assert steps(loaded) == 2
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert labels(loaded) == ["dry", "wet", "iced"]


def test_rows_of_another_window_are_not_taken(loaded):
    model, view = loaded.sweep_model, loaded.sweep_list
    data = model.mimeData([model.index(0, 0)])
    foreign = bytes(data.data(data.formats()[0]).data()).split()
    data.setData(data.formats()[0], b" ".join([b"0" * 32, *foreign[1:]]))
    at = QPointF(view.viewport().mapTo(loaded, view.viewport().rect().center()))
    drop_data(loaded, at, data, Qt.DropAction.MoveAction)
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert steps(loaded) == 1


# Removing


def test_delete_removes_and_undo_returns_the_exact_bench(loaded, qtbot):
    before = loaded.document.bench
    select(loaded, "dry", "iced")
    qtbot.keyClick(loaded, Qt.Key.Key_Delete)
    assert labels(loaded) == ["wet"]
    # The reference went with it: the first one left takes its place.
    assert cell(loaded, "wet", "shift") == "reference"
    assert loaded.view_state.selection == {key_of(loaded, "wet")}
    assert steps(loaded) == 2
    assert loaded.document.undo_stack.undoText() == "Remove 2 sweeps"
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench is before
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert cell(loaded, "dry", "shift") == "reference"


def test_the_next_one_is_selected_so_that_delete_can_be_pressed_again(loaded, qtbot):
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_Delete)
    assert loaded.sweep_list.selected_keys == [key_of(loaded, "iced")]
    qtbot.keyClick(loaded, Qt.Key.Key_Delete)
    assert loaded.sweep_list.selected_keys == [key_of(loaded, "dry")]
    qtbot.keyClick(loaded, Qt.Key.Key_Delete)
    assert loaded.empty_page.isVisible()


def test_removing_a_sweep_whose_name_is_being_typed_is_safe(loaded, qtbot):
    select(loaded, "wet")
    qtbot.keyClick(loaded, Qt.Key.Key_F2)
    qtbot.keyClicks(editor(loaded), "half a na")
    loaded.edits.remove([key_of(loaded, "wet")])
    run_events()
    assert labels(loaded) == ["dry", "iced"]
    assert editor(loaded) is None
    assert steps(loaded) == 2


# What was noticed


def test_a_notice_shows_as_a_mark_and_in_full_below_the_list(window, qtbot, tmp_path):
    path = tmp_path / "no option line.s1p"
    path.write_text("0.050 0.1 10\n0.051 0.1 20\n0.052 0.1 30\n", encoding="utf-8")
    load(window, qtbot, [str(path), write_sweep(tmp_path / "good.s1p")])
    entry = window.document.bench.entries[0]
    assert entry.notices
    click(window, entry.label)
    shown = detail_lines(window)
    for notice in entry.notices:
        assert f"• {notice.text}" in shown
    assert "notices" in window.sweep_model.index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    viewport, warning = window.sweep_list.viewport(), window.view_state.theme.limit
    marks = [
        QRect(viewport.width() - 30, row.top(), 30, 24)
        for i in range(2)
        for row in [window.sweep_list.visualRect(window.sweep_model.index(i, 0))]
    ]
    shares = [share_of_colour(viewport, warning, tolerance=260, part=part) for part in marks]
    assert shares[0] > 0.02
    assert shares[1] == 0
