"""Groups in the window: made, named, folded, shown, dissolved with mouse and keys."""

from __future__ import annotations

import numpy as np
import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QLineEdit
from window import (
    CTRL,
    SHIFT,
    key_of,
    labels,
    load,
    row_centre,
    run_events,
    select,
    steps,
    write_sweep,
)

from fairlead.app.look.palette import LIGHT
from fairlead.core.comparison.rows import compare
from fairlead.core.group_table import group_rows
from fairlead.core.units import DASH

pytest_plugins = ["window_fixtures"]

UNITS = {"unit-1": 50.6e6, "unit-2": 51.0e6, "unit-3": 51.4e6}


@pytest.fixture
def units(window, qtbot, tmp_path):
    """The window with a reference and three units 400 kHz apart."""
    paths = [write_sweep(tmp_path / "old.s1p", 52e6)]
    paths += [write_sweep(tmp_path / f"{name}.s1p", hz, 48.0) for name, hz in UNITS.items()]
    load(window, qtbot, paths)
    return window


@pytest.fixture
def grouped(units, qtbot):
    """The same with the units in a group called "Kit", unselected."""
    select(units, *UNITS)
    press(units, qtbot, Qt.Key.Key_G, CTRL | SHIFT)
    name(units, qtbot, "Kit")
    units.view_state.set_selection(frozenset())
    run_events()
    return units


def press(window, qtbot, key, modifiers=Qt.KeyboardModifier.NoModifier):
    window.sweep_list.setFocus()
    run_events()
    qtbot.keyClick(window.sweep_list, key, modifiers)
    run_events()


def editor(window):
    run_events()
    lines = window.sweep_list.viewport().findChildren(QLineEdit)
    return lines[0] if lines else None


def name(window, qtbot, text):
    """Type a name into the line that is open, and press Enter."""
    line = editor(window)
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)
    run_events()


def group(window):
    (only,) = window.document.bench.groups
    return only


def rect_of(window, key):
    model = window.sweep_model
    return window.sweep_list.visualRect(model.index(model.row_of(key), 0))


def click(window, point):
    Mouse(window.sweep_list.viewport()).click(QPointF(point))
    run_events()


def group_cell(window, column_id):
    model = window.figures_model
    column = [spec.id for spec in model.specs].index(column_id)
    return model.index(model.row_of(group(window).key), column)


def names_in_table(window):
    model = window.figures_model
    return [
        model.headerData(row, Qt.Orientation.Vertical).strip() for row in range(model.rowCount())
    ]


def grab(plot):
    return plot.viewport().grab().toImage()


def near(image, at, colour, tolerance=60):
    """Whether a pixel is near a colour."""
    found = image.pixelColor(at.toPoint())
    wanted = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return sum(abs(a - b) for a, b in zip(found.getRgb(), wanted, strict=False)) < tolerance


# Making


def test_a_group_is_made_by_keys_and_named_at_once(units, qtbot):
    before = units.document.bench
    select(units, *UNITS)
    press(units, qtbot, Qt.Key.Key_G, CTRL | SHIFT)
    assert editor(units).text() == "group 1"
    assert steps(units) == 2
    name(units, qtbot, "Kit")
    made = group(units)
    assert (made.label, made.kind) == ("Kit", "units")
    assert made.members == tuple(key_of(units, one) for one in UNITS)
    assert made.reference_key is None
    assert labels(units) == ["old", "Kit", *UNITS]
    assert steps(units) == 3
    qtbot.keyClick(units, Qt.Key.Key_Z, CTRL)
    assert group(units).label == "group 1"
    qtbot.keyClick(units, Qt.Key.Key_Z, CTRL)
    assert units.document.bench == before
    assert labels(units) == ["old", *UNITS]


def test_the_context_menu_has_it(units):
    select(units, *UNITS)
    actions = {action.objectName(): action for action in units.sweep_list.actions()}
    assert {"group-units", "group-repeats", "ungroup", "group-fold"} <= actions.keys()
    assert not actions["ungroup"].isEnabled()
    actions["group-repeats"].trigger()
    run_events()
    assert group(units).kind == "repeats"
    assert actions["ungroup"].isEnabled()
    actions["ungroup"].trigger()
    assert units.document.bench.groups == ()
    assert labels(units) == ["old", *UNITS]
    assert units.document.undo_stack.undoText() == "Ungroup"


def test_what_is_no_population_is_refused_in_one_line(units, qtbot):
    units.edits.set_condition(key_of(units, "unit-1"), "dry")
    units.edits.set_condition(key_of(units, "unit-2"), "iced")
    made = steps(units)
    select(units, *UNITS)
    press(units, qtbot, Qt.Key.Key_G, CTRL | SHIFT)
    assert units.document.bench.groups == ()
    assert steps(units) == made
    (text,) = units.messages.lines
    assert "different conditions" in text


def test_one_sweep_cannot_be_grouped(units):
    select(units, "unit-1")
    assert not units.commands["group-units"].isEnabled()


# The table


def test_the_table_has_a_row_with_the_spread(grouped):
    assert names_in_table(grouped) == ["old", "▾ Kit (3 units)", *UNITS]
    bench = grouped.document.bench
    (found,) = group_rows(bench, compare(bench))
    spread = found.spreads["best_match_hz"]
    # The circuits are 400 kHz apart: so is the deviation.
    assert spread.sd == pytest.approx(0.4e6, rel=0.01)
    assert group_cell(grouped, "best_match").data() == "51.00 (sd 0.40)"
    tip = group_cell(grouped, "best_match").data(Qt.ItemDataRole.ToolTipRole)
    assert "The next one lies between 49.0" in tip
    assert "normally distributed" in tip


def test_it_follows_the_band_and_the_limit(grouped):
    grouped.edits.set_limit(1.05)
    assert group_cell(grouped, "verdict").data().startswith("0 of 3")
    grouped.edits.set_limit(20.0)
    assert group_cell(grouped, "verdict").data() == "3 of 3"


def test_a_condition_noted_later_takes_the_spread_away_with_its_reason(grouped):
    grouped.edits.set_condition(key_of(grouped, "unit-1"), "dry")
    assert group_cell(grouped, "best_match").data() == "51.00 (sd 0.40)"
    grouped.edits.set_condition(key_of(grouped, "unit-3"), "iced")
    assert group_cell(grouped, "best_match").data() == DASH
    tip = group_cell(grouped, "best_match").data(Qt.ItemDataRole.ToolTipRole)
    assert "different conditions" in tip


def test_a_member_as_what_the_others_are_held_against(grouped):
    select(grouped, "unit-1")
    grouped.commands["group-reference"].trigger()
    assert group(grouped).reference_key == key_of(grouped, "unit-1")
    tip = group_cell(grouped, "best_match").data(Qt.ItemDataRole.ToolTipRole)
    assert "Furthest from &quot;unit-1&quot;: &quot;unit-3&quot;" in tip
    grouped.commands["group-mean"].trigger()
    assert group(grouped).reference_key is None


# Folding


def test_the_arrow_folds_list_and_table(grouped):
    made = steps(grouped)
    click(
        grouped,
        grouped.sweep_list._delegate.fold_rect(rect_of(grouped, group(grouped).key)).center(),
    )
    assert labels(grouped) == ["old", "Kit"]
    assert names_in_table(grouped) == ["old", "▸ Kit (3 units)"]
    # A way of looking: nothing to undo.
    assert steps(grouped) == made
    click(
        grouped,
        grouped.sweep_list._delegate.fold_rect(rect_of(grouped, group(grouped).key)).center(),
    )
    assert labels(grouped) == ["old", "Kit", *UNITS]
    assert names_in_table(grouped) == ["old", "▾ Kit (3 units)", *UNITS]


def test_a_double_click_in_the_table_folds_too(grouped):
    rect = grouped.figures.visualRect(group_cell(grouped, "best_match"))
    Mouse(grouped.figures.viewport()).double_click(QPointF(rect.center()))
    run_events()
    assert labels(grouped) == ["old", "Kit"]


def test_rows_fold_in_the_table_itself_and_the_figures_of_the_group_stay(grouped):
    table = grouped.figures
    made = steps(grouped)
    group_text = group_cell(grouped, "best_match").data()
    header = table.verticalHeader()
    folded, unfolded = ["old", "▸ Kit (3 units)"], ["old", "▾ Kit (3 units)", *UNITS]
    assert names_in_table(grouped) == unfolded
    for names in (folded, unfolded):
        # The name at the side is as good a place for it as any cell of the row.
        y = header.sectionViewportPosition(1) + header.sectionSize(1) / 2
        Mouse(header.viewport()).double_click(QPointF(20, y))
        run_events()
        assert names_in_table(grouped) == names
        assert table.model().rowCount() == len(names)
        shown = [row for row in range(len(names)) if table.rowHeight(row) > 0]
        assert shown == list(range(len(names)))
        assert group_cell(grouped, "best_match").data() == group_text
    assert "sd" in group_text
    assert steps(grouped) == made


def test_left_and_right_fold_and_unfold(grouped, qtbot):
    click(grouped, rect_of(grouped, group(grouped).key).center())
    press(grouped, qtbot, Qt.Key.Key_Right)
    assert labels(grouped) == ["old", "Kit", *UNITS]
    press(grouped, qtbot, Qt.Key.Key_Left)
    assert labels(grouped) == ["old", "Kit"]
    press(grouped, qtbot, Qt.Key.Key_Left)
    assert labels(grouped) == ["old", "Kit"]
    press(grouped, qtbot, Qt.Key.Key_Right)
    assert labels(grouped) == ["old", "Kit", *UNITS]


def test_members_stay_selected_while_they_are_folded_away(grouped, qtbot):
    select(grouped, "unit-1", "unit-2")
    press(grouped, qtbot, Qt.Key.Key_D, CTRL | SHIFT)
    assert labels(grouped) == ["old", "Kit"]
    keys = {key_of(grouped, "unit-1"), key_of(grouped, "unit-2")}
    assert grouped.view_state.selection == keys
    press(grouped, qtbot, Qt.Key.Key_D, CTRL | SHIFT)
    assert grouped.view_state.selection == keys
    rows = grouped.figures.selectionModel().selectedRows()
    assert {grouped.figures_model.key_at(index.row()) for index in rows} == keys


# Selecting, naming, moving, removing


def test_a_click_on_the_group_selects_its_members(grouped):
    click(grouped, rect_of(grouped, group(grouped).key).center())
    assert grouped.view_state.selection == set(group(grouped).members)
    rows = grouped.figures.selectionModel().selectedRows()
    assert [grouped.figures_model.key_at(index.row()) for index in rows] == list(
        group(grouped).members
    )


def test_a_click_on_a_folded_group_selects_it_in_the_table(grouped):
    grouped.view_state.turn_fold(group(grouped).key)
    click(grouped, rect_of(grouped, group(grouped).key).center())
    assert grouped.view_state.selection == set(group(grouped).members)
    rows = grouped.figures.selectionModel().selectedRows()
    assert [grouped.figures_model.key_at(index.row()) for index in rows] == [group(grouped).key]


def test_f2_renames_the_selected_group(grouped, qtbot):
    click(grouped, rect_of(grouped, group(grouped).key).center())
    made = steps(grouped)
    press(grouped, qtbot, Qt.Key.Key_F2)
    assert editor(grouped).accessibleName() == "Name of the group"
    name(grouped, qtbot, "Roof kit")
    assert group(grouped).label == "Roof kit"
    assert steps(grouped) == made + 1
    assert labels(grouped)[1] == "Roof kit"
    assert "▾ Roof kit (3 units)" in names_in_table(grouped)


def test_a_double_click_on_the_group_renames_it(grouped, qtbot):
    Mouse(grouped.sweep_list.viewport()).double_click(
        QPointF(rect_of(grouped, group(grouped).key).center())
    )
    name(grouped, qtbot, "Twice")
    assert group(grouped).label == "Twice"


def test_a_double_click_on_the_condition_of_a_member_still_edits_it(grouped):
    rect = rect_of(grouped, key_of(grouped, "unit-2"))
    Mouse(grouped.sweep_list.viewport()).double_click(QPointF(rect.left() + 120, rect.bottom() - 8))
    assert editor(grouped).accessibleName() == "Condition"


def test_a_removed_member_leaves_and_the_last_one_takes_the_group_along(grouped, qtbot):
    select(grouped, "unit-2")
    press(grouped, qtbot, Qt.Key.Key_Delete)
    assert labels(grouped) == ["old", "Kit", "unit-1", "unit-3"]
    assert "▾ Kit (2 units)" in names_in_table(grouped)
    select(grouped, "unit-1", "unit-3")
    press(grouped, qtbot, Qt.Key.Key_Delete)
    assert labels(grouped) == ["old"]
    assert grouped.document.bench.groups == ()
    qtbot.keyClick(grouped, Qt.Key.Key_Z, CTRL)
    assert labels(grouped) == ["old", "Kit", "unit-1", "unit-3"]


def test_a_group_is_moved_as_a_whole(grouped, qtbot):
    grouped.view_state.turn_fold(group(grouped).key)
    click(grouped, rect_of(grouped, group(grouped).key).center())
    press(grouped, qtbot, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert labels(grouped) == ["Kit", "old"]


def test_a_group_that_is_dragged_takes_its_members_along(grouped):
    model = grouped.sweep_model
    row = model.row_of(group(grouped).key)
    data = model.mimeData([model.index(row, 0)])
    model.dropMimeData(data, Qt.DropAction.MoveAction, 0, 0, model.index(-1, -1))
    assert labels(grouped) == ["Kit", *UNITS, "old"]
    data = model.mimeData([model.index(model.row_of(key_of(grouped, "old")), 0)])
    model.dropMimeData(data, Qt.DropAction.MoveAction, 0, 0, model.index(-1, -1))
    assert labels(grouped) == ["old", "Kit", *UNITS]
    model.dropMimeData(data, Qt.DropAction.MoveAction, model.rowCount(), 0, model.index(-1, -1))
    assert labels(grouped) == ["Kit", *UNITS, "old"]


# The plots


def place_of_mean(window, frequency_hz):
    """Where the mean stands at a frequency: at the mean |reflection| of the circuits."""
    from circuits import SeriesCircuit  # noqa: PLC0415

    hz = np.array([frequency_hz])
    sizes = [abs(SeriesCircuit(f0, 48.0, 8.0).reflection(hz))[0] for f0 in UNITS.values()]
    return window.frequency_plot.position_of(frequency_hz, float(np.mean(sizes))), sizes


def colour_of(window):
    return LIGHT.curves[group(window).style.colour % len(LIGHT.curves)]


def test_envelope_and_mean_are_drawn_and_follow_the_tick(grouped, qtbot):
    grouped.edits.set_visible(group(grouped).members, is_visible=False)
    run_events()
    mean_at, sizes = place_of_mean(grouped, 47.37e6)
    between = grouped.frequency_plot.position_of(47.37e6, (min(sizes) + np.mean(sizes)) / 2)
    outside = grouped.frequency_plot.position_of(47.37e6, min(sizes) - 0.06)
    image = grab(grouped.frequency_plot)
    paper = image.pixelColor(outside.toPoint())
    # Dashes may leave a hole at one pixel, not at all of them.
    around = [QPointF(mean_at.x() + dx, mean_at.y()) for dx in range(-12, 13)]
    assert any(near(image, at, colour_of(grouped)) for at in around)
    filled = image.pixelColor(between.toPoint())
    assert filled != paper
    tick = grouped.sweep_list._delegate.tick_rect(rect_of(grouped, group(grouped).key))
    made = steps(grouped)
    click(grouped, tick.center())
    assert not group(grouped).is_visible
    assert steps(grouped) == made + 1
    assert grab(grouped.frequency_plot).pixelColor(between.toPoint()) == paper
    qtbot.keyClick(grouped, Qt.Key.Key_Z, CTRL)
    run_events()
    assert grab(grouped.frequency_plot).pixelColor(between.toPoint()) == filled


def test_the_smith_chart_has_mean_and_members(grouped):
    from circuits import SeriesCircuit  # noqa: PLC0415

    grouped.edits.set_visible([one.key for one in grouped.document.bench.entries], is_visible=False)
    run_events()
    hz = np.array([47.4e6])
    gammas = [SeriesCircuit(f0, 48.0, 8.0).reflection(hz)[0] for f0 in UNITS.values()]
    mean = complex(np.mean(gammas))
    at = grouped.smith_plot.position_of(mean.real, mean.imag)
    image = grab(grouped.smith_plot)
    around = [at + QPointF(dx, dy) for dx in range(-6, 7) for dy in range(-6, 7)]
    assert any(near(image, one, colour_of(grouped)) for one in around)
    grouped.edits.set_group_visible(group(grouped).key, is_visible=False)
    run_events()
    gone = grab(grouped.smith_plot)
    assert not any(near(gone, one, colour_of(grouped)) for one in around)


def test_space_on_the_group_turns_its_tick(grouped, qtbot):
    click(grouped, rect_of(grouped, group(grouped).key).center())
    press(grouped, qtbot, Qt.Key.Key_Space)
    assert not group(grouped).is_visible
    assert all(entry.is_visible for entry in grouped.document.bench.entries)


def test_a_view_that_has_no_mean_draws_none(grouped):
    grouped.edits.set_visible(group(grouped).members, is_visible=False)
    run_events()
    for action in ("view-phase", "view-resistance", "view-shape", "view-swr-change", "view-swr"):
        grouped.commands[action].trigger()
        run_events()
        image = grab(grouped.frequency_plot).convertToFormat(QImage.Format.Format_RGB32)
        lines = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1, 4)
        wanted = QColor(colour_of(grouped))
        off = lines[60:-60:2, ::2, :3].astype(int) - (wanted.blue(), wanted.green(), wanted.red())
        found = int((np.abs(off).sum(axis=-1) < 30).sum())
        assert (found > 20) == (action not in ("view-phase", "view-shape")), action


def test_the_theme_and_a_selected_row_are_drawn(grouped):
    click(grouped, rect_of(grouped, group(grouped).key).center())
    light = grouped.sweep_list.viewport().grab(rect_of(grouped, group(grouped).key)).toImage()
    grouped.commands["theme-dark"].trigger()
    run_events()
    dark = grouped.sweep_list.viewport().grab(rect_of(grouped, group(grouped).key)).toImage()
    assert light != dark


def test_what_is_read_aloud(grouped):
    model = grouped.sweep_model
    index = model.index(model.row_of(group(grouped).key), 0)
    assert index.data(Qt.ItemDataRole.AccessibleTextRole) == "Group Kit, 3 units"
    assert "arrow folds" in index.data(Qt.ItemDataRole.ToolTipRole)
    grouped.view_state.turn_fold(group(grouped).key)
    grouped.edits.set_group_visible(group(grouped).key, is_visible=False)
    grouped.edits.set_group_reference(group(grouped).key, key_of_member(grouped))
    index = model.index(model.row_of(group(grouped).key), 0)
    spoken = index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert (
        spoken == "Group Kit, 3 units, compared with one of them, folded, envelope and mean hidden"
    )


def key_of_member(window):
    return group(window).members[0]


def test_a_saved_bench_brings_the_group_back(grouped, tmp_path, qtbot):
    path = tmp_path / "kit.fairlead"
    before = grouped.document.bench
    from fairlead.core.bench_file import save_bench  # noqa: PLC0415

    save_bench(before, path)
    grouped.document.mark_saved(before, str(path))
    load(grouped, qtbot, [str(path)])
    assert grouped.document.bench == before
    assert labels(grouped) == ["old", "Kit", *UNITS]


def test_a_click_on_a_member_selects_only_it(grouped):
    Mouse(grouped.sweep_list.viewport()).click(row_centre(grouped, "unit-2"))
    assert grouped.view_state.selection == {key_of(grouped, "unit-2")}
