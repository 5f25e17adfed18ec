"""Readings from a meter: typed by keys, pasted as lists, edited again, undone."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QDialogButtonBox
from window import CTRL, cell, labels, run_events, select, share_of_colour, steps, type_into

from fairlead.core.document.entry import Typed

pytest_plugins = ["window_fixtures"]

FIVE = (("50.0", "2,4"), ("50.5", "1.7"), ("51", "1.2"), ("51.5", "1.6"), ("52", "2.3"))


@pytest.fixture
def panel(window, qtbot):
    return open_panel(window, qtbot, "type-readings")


def open_panel(window, qtbot, command):
    window.commands[command].trigger()
    panel = window.handlers.typed.panel
    qtbot.waitUntil(panel.isVisible)
    run_events()
    return panel


def type_cells(qtbot, panel, rows):
    """Into the grid, cell after cell, each ended by Enter."""
    for row in rows:
        for text in row:
            for letter in text:
                target = QApplication.focusWidget() or panel.grid
                qtbot.keyClick(target if panel.isAncestorOf(target) else panel.grid, letter)
            qtbot.keyClick(QApplication.focusWidget() or panel.grid, Qt.Key.Key_Return)
            run_events()


def accept(panel, qtbot):
    qtbot.waitUntil(panel.accept_button.isEnabled)
    qtbot.mouseClick(panel.accept_button, Qt.MouseButton.LeftButton)
    run_events()


def test_five_readings_typed_become_a_sweep_with_its_points_marked(window, qtbot, panel):
    assert not panel.accept_button.isEnabled()
    assert "at least 2 rows" in panel.problem
    type_cells(qtbot, panel, FIVE[:1])
    qtbot.waitUntil(lambda: "fewer than 2 readings" in panel.problem)
    type_cells(qtbot, panel, FIVE[1:])
    qtbot.waitUntil(lambda: panel.problem == "")
    assert panel.plot.line_count == 1
    type_into(qtbot, panel.name_field, "roof, by meter")
    accept(panel, qtbot)
    assert window.handlers.typed.panel is None
    assert steps(window) == 1
    (entry,) = window.document.bench.entries
    assert entry.label == "roof, by meter"
    assert entry.typed == Typed("swr", FIVE)
    assert not entry.sweep.has_phase
    assert entry.sweep.frequency_hz.tolist() == [50e6, 50.5e6, 51e6, 51.5e6, 52e6]
    # |G| = (SWR - 1) / (SWR + 1), a definition.
    assert entry.sweep.magnitude[0] == pytest.approx(1.4 / 3.4)
    # One resonance explains all five, so the worst is known as far as the last typed digit.
    qtbot.waitUntil(lambda: "±" in cell(window, "roof, by meter", "worst"))
    worst, half_width = (float(part) for part in cell(window, "roof, by meter", "worst").split("±"))
    assert abs(worst - 2.4) <= half_width <= 0.15
    for column in ("resonance", "q"):
        assert cell(window, "roof, by meter", column) == "–"
    colour = window.view_state.theme.curves[0]
    curves = next(iter(window.frequency_plot._curves))
    assert len(window.frequency_plot._curves.marks(curves)) == 5
    assert share_of_colour(window.frequency_plot, colour) > 0
    assert len(list(window.smith_plot._curves)) == 0
    assert window.smith_plot._corner_text._lines == ("no phase measured: roof, by meter",)


def test_a_pasted_list_fills_the_grid(window, qtbot, panel):
    QGuiApplication.clipboard().setText(
        "Frequency\tSWR\n" + "".join(f"{mhz}\t{swr}\n" for mhz, swr in FIVE)
    )
    qtbot.keyClick(panel.grid, Qt.Key.Key_V, CTRL)
    qtbot.waitUntil(lambda: panel.problem == "")
    assert [row for row in panel.grid.rows() if any(row)] == list(FIVE)
    accept(panel, qtbot)
    assert len(window.document.bench.entries[0].sweep) == 5


def test_a_list_pasted_into_an_open_cell_fills_the_grid_too(qtbot, panel):
    QGuiApplication.clipboard().setText("50 1.5\n51 1.2\n52 1.9\n")
    qtbot.keyClick(panel.grid, Qt.Key.Key_F2)
    run_events()
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_V, CTRL)
    qtbot.waitUntil(lambda: panel.problem == "")
    assert panel.grid.rows()[:3] == [("50", "1.5"), ("51", "1.2"), ("52", "1.9")]


def test_an_error_is_shown_at_its_cell_and_goes_when_mended(qtbot, panel):
    panel.grid.put(0, 0, [("50", "1.5"), ("51", "0.9"), ("52", "2")])
    qtbot.waitUntil(lambda: panel.problem.startswith("row 2"))
    item = panel.grid.item(1, 1)
    assert item.background().color().name() == panel._view_state.theme.error
    assert not panel.accept_button.isEnabled()
    assert panel.plot.line_count == 0
    panel.grid.setCurrentCell(1, 1)
    type_cells(qtbot, panel, [("1.9",)])
    qtbot.waitUntil(lambda: panel.problem == "")
    assert panel.grid.item(1, 1).background().style() == Qt.BrushStyle.NoBrush


def test_powers_are_read_as_well(window, qtbot, panel):
    panel.kind_box.setFocus()
    qtbot.keyClick(panel.kind_box, Qt.Key.Key_Down)
    assert panel.grid.columnCount() == 3
    # 4 W of 100 W come back: |G| = 0.2, SWR = 1.2 / 0.8 = 1.5.
    panel.grid.put(0, 0, [("50", "100 W", "4"), ("52", "100", "4 W")])
    qtbot.waitUntil(lambda: panel.problem == "")
    accept(panel, qtbot)
    (entry,) = window.document.bench.entries
    assert np.allclose(entry.sweep.magnitude, 0.2)
    assert entry.typed.quantity == "forward+reflected"
    assert cell(window, entry.label, "worst") == "–"  # so few readings leave it open


def test_readings_are_edited_again_and_every_step_is_undone(window, qtbot, panel):
    panel.grid.put(0, 0, FIVE)
    accept(panel, qtbot)
    first = window.document.bench
    (label,) = labels(window)
    select(window, label)
    again = open_panel(window, qtbot, "edit-readings")
    assert [row for row in again.grid.rows() if any(row)] == list(FIVE)
    assert again.name_field.text() == label
    again.grid.setCurrentCell(2, 1)
    type_cells(qtbot, again, [("1.1",)])
    accept(again, qtbot)
    (entry,) = window.document.bench.entries
    assert entry.typed.rows[2] == ("51", "1.1")
    assert entry.key == first.entries[0].key
    assert steps(window) == 2
    window.commands["undo"].trigger()
    assert window.document.bench is first
    window.commands["undo"].trigger()
    assert window.document.bench.entries == ()


def test_only_typed_sweeps_can_be_typed_again(loaded):
    assert not loaded.commands["edit-readings"].isEnabled()
    select(loaded, "dry")
    assert not loaded.commands["edit-readings"].isEnabled()


def test_cancel_and_escape_leave_the_bench_as_it_is(window, qtbot, panel):
    panel.grid.put(0, 0, FIVE)
    cancel = panel.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Cancel)
    qtbot.mouseClick(cancel, Qt.MouseButton.LeftButton)
    run_events()
    assert window.document.bench.entries == ()
    assert window.handlers.typed.panel is None


def test_cells_are_copied_and_cleared_by_keys(qtbot, panel):
    panel.grid.put(0, 0, FIVE)
    panel.grid.selectAll()
    qtbot.keyClick(panel.grid, Qt.Key.Key_C, CTRL)
    assert QGuiApplication.clipboard().text().startswith("50.0\t2,4\n50.5\t1.7\n")
    qtbot.keyClick(panel.grid, Qt.Key.Key_Delete)
    assert not any(map(any, panel.grid.rows()))
