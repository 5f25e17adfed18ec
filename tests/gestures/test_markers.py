"""Markers in the window: added, dragged, keyed, typed, named, removed, undone, and read off."""

from __future__ import annotations

import pytest
from circuits import SeriesCircuit
from mouse import Mouse, press_key, release_key, tap_key
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication, QDialogButtonBox
from window import run_events, steps

from fairlead.core.bands import Band
from fairlead.core.bench_file import load_bench, save_bench

pytest_plugins = ["window_fixtures"]

DRY = SeriesCircuit(51e6, 60.0, 8.0)
"""The circuit of "dry.s1p", in closed form."""


def markers(window):
    return [(one.frequency_hz, one.name) for one in window.document.bench.markers]


def pin(window, *wanted):
    window.edits.set_markers(list(wanted))
    run_events()


def at(window, hz, y_px=60.0):
    """A place in the plot over frequency, in pixels of its viewport."""
    plot = window.frequency_plot
    return QPointF(plot._screen.x(hz), y_px) + plot._origin()


def hz_a_pixel(window):
    return 1 / window.frequency_plot._screen.x_scale


def mouse_of(window):
    return Mouse(window.frequency_plot.viewport())


def shown(window, row=0):
    model = window.marker_model
    return [model.index(row, i).data() for i in range(model.columnCount())]


def heading(window, column):
    return window.marker_model.headerData(column, Qt.Orientation.Horizontal)


def test_the_key_pins_the_frequency_under_the_mouse_and_the_table_appears(loaded, qtbot):
    before = steps(loaded)
    assert not loaded.marker_view.isVisible()
    mouse_of(loaded).move(at(loaded, 48e6))
    qtbot.keyClick(loaded, Qt.Key.Key_M, Qt.KeyboardModifier.ControlModifier)
    run_events()
    (found,) = markers(loaded)
    assert found[0] == pytest.approx(48e6, abs=hz_a_pixel(loaded))
    assert loaded.marker_view.isVisible()
    assert (steps(loaded), loaded.document.undo_stack.undoText()) == (before + 1, "Add marker")
    assert float(shown(loaded)[0]) == pytest.approx(DRY.swr(found[0]), abs=0.006)
    loaded.edits.undo()
    run_events()
    assert markers(loaded) == []
    assert not loaded.marker_view.isVisible()


def test_on_a_curve_the_measured_point_is_pinned_by_mouse_and_by_keys(loaded):
    plot = loaded.frequency_plot
    entry = loaded.document.bench.entries[0]
    curve = next(one for one in plot._curves if one.key == entry.key)
    mouse_of(loaded).move(QPointF(*plot._curves.pixel(curve, 40)) + plot._origin())
    loaded.commands["marker-add"].trigger()
    assert markers(loaded) == [(float(entry.sweep.frequency_hz[40]), "")]
    plot.setFocus()
    tap_key(plot, Qt.Key.Key_Right)
    hover = loaded.view_state.hover
    loaded.commands["marker-add"].trigger()
    pinned_hz = float(loaded.document.bench.entry(hover.key).sweep.frequency_hz[hover.index])
    assert (pinned_hz, "") in markers(loaded)
    assert len(markers(loaded)) == 2


def test_the_context_menu_pins_and_removes_where_it_was_opened(loaded, qtbot):
    plot = loaded.frequency_plot

    def choose(hz, name):
        place = at(loaded, hz, 350).toPoint()
        reason = QContextMenuEvent.Reason.Mouse
        viewport = plot.viewport()
        event = QContextMenuEvent(reason, place, viewport.mapToGlobal(place))
        QApplication.sendEvent(viewport, event)
        run_events()
        menu = QApplication.activePopupWidget()
        action = next(one for one in menu.actions() if one.objectName() == name)
        button = Qt.MouseButton.LeftButton
        qtbot.mouseClick(menu, button, pos=menu.actionGeometry(action).center())
        run_events()

    choose(46.5e6, "marker-add")
    choose(57e6, "marker-add")
    found = [hz for hz, _ in markers(loaded)]
    assert found == pytest.approx([46.5e6, 57e6], abs=hz_a_pixel(loaded))
    choose(56.5e6, "marker-remove")
    assert [hz for hz, _ in markers(loaded)] == found[:1]


def test_without_anything_pointed_at_the_middle_of_the_band_is_pinned(loaded):
    loaded.edits.set_band(Band(50e6, 52e6))
    loaded.view_state.pointed_hz = None
    loaded.commands["marker-add"].trigger()
    assert markers(loaded) == [(51e6, "")]


def test_a_marker_is_dragged_as_one_step_and_escape_takes_it_back(loaded):
    pin(loaded, (48e6, "net"))
    before, bench = steps(loaded), loaded.document.bench
    mouse, start = mouse_of(loaded), at(loaded, 48e6)
    mouse.move(start)
    mouse.press()
    mouse.move(start + QPointF(30, 0))
    moved_hz = loaded.document.bench.markers[0].frequency_hz
    assert moved_hz - 48e6 == pytest.approx(30 * hz_a_pixel(loaded), abs=hz_a_pixel(loaded))
    assert float(shown(loaded)[0]) == pytest.approx(DRY.swr(moved_hz), abs=0.006)
    mouse.release()
    assert (steps(loaded), loaded.document.undo_stack.undoText()) == (before + 1, "Move marker")
    loaded.edits.undo()
    assert loaded.document.bench is bench
    mouse.move(start)
    mouse.press()
    mouse.move(start + QPointF(-20, 0))
    tap_key(loaded.frequency_plot, Qt.Key.Key_Escape)
    mouse.release()
    assert loaded.document.bench is bench


def test_a_marker_on_an_edge_leaves_the_edge_to_the_hand_and_its_tag_moves_it(loaded):
    loaded.edits.set_band(Band(50e6, 52e6))
    pin(loaded, (50e6, "beacon"))
    mouse = mouse_of(loaded)
    start = at(loaded, 50e6, 150)
    mouse.drag([start, start + QPointF(-15, 0)])
    assert loaded.document.bench.band.low_hz < 50e6
    assert markers(loaded) == [(50e6, "beacon")]
    flag = loaded.frequency_plot._flags._flags[loaded.document.bench.markers[0].key]
    tag = flag.tag_in_plot.center() + loaded.frequency_plot._origin()
    mouse.drag([tag, tag + QPointF(25, 0)])
    assert markers(loaded)[0][0] > 50e6


def test_by_keys_alone_a_marker_is_reached_moved_and_removed(loaded):
    pin(loaded, (48e6, "net"))
    plot = loaded.frequency_plot
    plot.setFocus(Qt.FocusReason.TabFocusReason)
    for _ in range(3):  # low, high, limit
        tap_key(plot, Qt.Key.Key_Tab)
    assert plot.accessibleDescription().startswith("Marker, 48 MHz, net. Delete removes it. ")
    before = steps(loaded)
    for _ in range(3):
        press_key(plot, Qt.Key.Key_Right)
    release_key(plot, Qt.Key.Key_Right)
    assert markers(loaded)[0][0] > 48e6
    assert steps(loaded) == before + 1
    tap_key(plot, Qt.Key.Key_Delete)
    assert markers(loaded) == []
    assert "a marker" not in plot.accessibleDescription()
    loaded.edits.undo()
    assert markers(loaded)[0][1] == "net"


def test_markers_are_typed_and_named_and_a_fault_is_told(loaded, qtbot):
    pin(loaded, (48.0123456e6, ""))
    before = steps(loaded)
    loaded.commands["markers-edit"].trigger()
    run_events()
    panel = loaded.handlers.markers.panel
    ok = panel.buttons.button(QDialogButtonBox.StandardButton.Ok)
    panel.grid.put(0, 1, [["net"]])
    panel.grid.put(1, 0, [["fifty", ""]])
    assert not ok.isEnabled()
    assert '"fifty" is not a frequency' in panel.fault_label.text()
    panel.grid.put(1, 0, [["50200 kHz", "beacon"], ["50,2", "again"]])
    assert ok.isEnabled()
    qtbot.mouseClick(ok, Qt.MouseButton.LeftButton)
    run_events()
    assert markers(loaded) == [(48.0123456e6, "net"), (50.2e6, "beacon")]
    assert (steps(loaded), loaded.document.undo_stack.undoText()) == (before + 1, "Edit markers")
    assert loaded.handlers.markers.panel is None
    assert [heading(loaded, i) for i in range(4)] == [
        "net\nSWR",
        "\nR (Ω)",
        "\nX (Ω)",
        "beacon\nSWR",
    ]


def test_a_double_click_on_a_heading_opens_the_list_and_rows_are_removed_there(loaded, qtbot):
    pin(loaded, (48e6, ""), (50e6, ""))
    header = loaded.marker_view.horizontalHeader()
    place = QPointF(header.sectionViewportPosition(0) + 10, 8).toPoint()
    qtbot.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=place)
    qtbot.mouseDClick(header.viewport(), Qt.MouseButton.LeftButton, pos=place)
    run_events()
    panel = loaded.handlers.markers.panel
    loaded.handlers.markers.edit()  # once is enough
    assert loaded.handlers.markers.panel is panel
    panel.grid.setCurrentCell(0, 0)
    qtbot.mouseClick(panel.remove_button, Qt.MouseButton.LeftButton)
    panel.grid.setCurrentCell(1, 0)
    QApplication.clipboard().setText("51; calling\n52\n")
    panel.grid.paste()
    panel.buttons.accepted.emit()
    run_events()
    assert markers(loaded) == [(50e6, ""), (51e6, "calling"), (52e6, "")]


def test_what_is_plotted_comes_first_and_a_dash_has_its_reason(loaded):
    pin(loaded, (48e6, ""), (70e6, ""))
    loaded.commands["view-return-loss"].trigger()
    run_events()
    assert heading(loaded, 0) == "48 MHz\nReturn loss (dB)"
    assert loaded.marker_model.columnCount() == 8
    loaded.commands["view-resistance"].trigger()
    assert loaded.marker_model.columnCount() == 6
    beyond = loaded.marker_model.index(0, 3)
    assert beyond.data() == "–"
    assert "outside the sweep" in beyond.data(Qt.ItemDataRole.ToolTipRole)
    assert beyond.data(Qt.ItemDataRole.AccessibleDescriptionRole) == "outside the sweep"
    told = loaded.marker_model.headerData(
        3, Qt.Orientation.Horizontal, Qt.ItemDataRole.AccessibleTextRole
    )
    assert told == "SWR at 70 MHz"


def test_a_drag_of_the_band_reads_nothing_off(loaded, monkeypatch):
    pin(loaded, (48e6, ""))
    loaded.edits.set_band(Band(50e6, 52e6))
    shown(loaded)
    asked = []
    monkeypatch.setattr(type(loaded.marker_model), "_renew", lambda *a: asked.append(a))
    start = at(loaded, 52e6, 150)
    mouse_of(loaded).drag([start, start + QPointF(30, 0), start + QPointF(50, 0)])
    assert loaded.document.bench.band.high_hz > 52e6
    assert asked == []


def test_rows_follow_the_selection_and_lead_it(loaded):
    pin(loaded, (48e6, ""))
    keys = [entry.key for entry in loaded.document.bench.entries]
    loaded.view_state.set_selection(frozenset({keys[1]}))
    assert [i.row() for i in loaded.marker_view.selectionModel().selectedRows()] == [1]
    loaded.marker_view.selectRow(0)
    assert loaded.view_state.selection == frozenset({keys[0]})


def test_the_table_can_be_put_away_and_this_is_remembered(loaded):
    pin(loaded, (48e6, ""))
    loaded.commands["marker-values"].trigger()
    assert not loaded.marker_view.isVisible()
    assert not loaded.settings.shows_markers
    loaded.commands["marker-values"].trigger()
    assert loaded.marker_view.isVisible()


def test_a_removed_sweep_leaves_the_table_and_a_hidden_one_is_faint(loaded):
    pin(loaded, (48e6, ""))
    keys = [entry.key for entry in loaded.document.bench.entries]
    loaded.edits.set_visible([keys[0]], is_visible=False)
    faint = loaded.marker_model.index(0, 0).data(Qt.ItemDataRole.ForegroundRole)
    assert faint.name() == loaded.view_state.theme.muted.lower()
    loaded.edits.remove([keys[0]])
    assert loaded.marker_model.rowCount() == len(keys) - 1


def test_markers_are_saved_with_the_bench(loaded, tmp_path):
    pin(loaded, (48e6, "net"))
    save_bench(loaded.document.bench, tmp_path / "x.fairlead")
    assert load_bench(tmp_path / "x.fairlead").markers == loaded.document.bench.markers


def test_on_the_smith_chart_each_sweep_has_a_ring_at_each_marker_it_reaches(loaded):
    pin(loaded, (48e6, ""), (70e6, ""))
    rings = loaded.smith_plot._points.reflections
    with_phase = [one for one in loaded.document.bench.visible if one.sweep.has_phase]
    assert len(rings) == len(with_phase)
    assert min(abs(ring - DRY.reflection(48e6)) for ring in rings) < 1e-4


def test_tags_do_not_overlap(loaded):
    pin(loaded, *((50e6 + 20e3 * i, f"marker {i}") for i in range(4)), (57.99e6, "last"))
    flags = loaded.frequency_plot._flags
    tags = [flags._flags[key].tag_in_plot for key in flags.keys]
    for i, tag in enumerate(tags):
        assert not any(tag.intersects(other) for other in tags[i + 1 :])
        assert tag.left() >= 0
        assert tag.right() <= loaded.frequency_plot._screen.width


def test_no_marker_is_shown_where_frequencies_are_divided_by_the_best_match(loaded):
    pin(loaded, (48e6, ""))
    loaded.commands["view-shape"].trigger()
    run_events()
    assert loaded.frequency_plot._flags.keys == ()
    mouse_of(loaded).move(at(loaded, 100e6, 20))
    QApplication.sendEvent(loaded.frequency_plot.viewport(), QEvent(QEvent.Type.Leave))
    loaded.view_state.pointed_hz = 49e6
    loaded.commands["marker-add"].trigger()
    assert (49e6, "") in markers(loaded)
    loaded.commands["view-swr"].trigger()
    assert len(loaded.frequency_plot._flags.keys) == 2


def test_best_matches_are_marked_once_they_are_known_and_not_while_a_band_moves(loaded, qtbot):
    plot = loaded.frequency_plot
    loaded.edits.set_band(Band(50e6, 52e6))
    qtbot.waitUntil(lambda: bool(plot._matches.marks), timeout=10_000)
    dry = next(m for m in plot._matches.marks if m.key == loaded.document.bench.entries[0].key)
    assert dry.frequency_hz == pytest.approx(51e6, abs=5e3)
    assert dry.low_hz <= dry.frequency_hz <= dry.high_hz
    start = at(loaded, 52e6, 150)
    mouse = mouse_of(loaded)
    mouse.move(start)
    mouse.press()
    mouse.move(start + QPointF(10, 0))
    assert plot._matches.marks == ()
    mouse.release()


def test_in_a_narrow_window_the_numbers_are_seen_and_names_are_samples(loaded):
    pin(loaded, (48e6, ""))
    loaded.resize(800, 480)
    run_events()
    view = loaded.marker_view
    assert view.columnViewportPosition(1) + view.columnWidth(1) <= view.viewport().width()
    loaded.resize(1920, 1080)
    run_events()
    assert view.verticalHeader().width() >= 90


@pytest.mark.parametrize("size", [(800, 480), (1280, 800)])
def test_tags_leave_the_best_match_in_view_however_low_the_plot_is(loaded, size):
    loaded.resize(*size)
    pin(loaded, *((50e6 + 20e3 * i, f"marker {i}") for i in range(9)))
    plot = loaded.frequency_plot
    tags = [plot._flags._flags[key].tag_in_plot for key in plot._flags.keys]
    drawn = [tag for tag in tags if not tag.isEmpty()]
    assert 1 <= len(drawn) < len(tags)
    assert max(tag.bottom() for tag in drawn) <= 0.7 * plot._screen.height
    assert min(tag.top() for tag in drawn) >= plot._handles.foot
    # A line without a tag is grabbed all the same.
    key = plot._flags.keys[-1]
    low = QPointF(plot._screen.x(50e6 + 8 * 20e3), plot._screen.height - 2)
    assert plot._flags.at(low) == key
