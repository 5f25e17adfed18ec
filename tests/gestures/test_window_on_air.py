"""Band > On-air log: typed by keys, pasted, refused in place, kept as one step, copied."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication
from PySide6.QtWidgets import QApplication
from window import CTRL, run_events

pytest_plugins = ["window_fixtures"]

LEFT = Qt.MouseButton.LeftButton


def panel_of(window, qtbot):
    window.commands["on-air-log"].trigger()
    panel = window.handlers.on_air.panel
    qtbot.waitUntil(panel.isVisible)
    run_events()
    return panel


def type_cell(qtbot, panel, text):
    """Into the current cell, ended by Enter, which goes to the next one."""
    for letter in text:
        target = QApplication.focusWidget()
        qtbot.keyClick(target if target and panel.isAncestorOf(target) else panel.grid, letter)
    qtbot.keyClick(QApplication.focusWidget() or panel.grid, Qt.Key.Key_Return)
    run_events()


def filled(panel):
    return [row for row in panel.grid.rows() if any(row)]


@pytest.fixture
def names(loaded):
    return [entry.label for entry in loaded.document.bench.entries[:2]]


def test_two_blocks_are_typed_read_kept_and_undone(loaded, qtbot, names):
    """All reports are invented; each block has B better by one S-unit, 6 dB (IARU R.1)."""
    before = loaded.document.bench
    steps = loaded.document.undo_stack.count()
    panel = panel_of(loaded, qtbot)
    a, b = names
    for name, report in ((a, "57"), (b, "58"), (b, "58"), (a, "57")) * 2:
        for text in ("2026-05-01", name, "50", "31", report, ""):
            type_cell(qtbot, panel, text)
    assert filled(panel)[1] == ("2026-05-01", b, "50", "31", "58", "")
    said = panel.result_text.toPlainText()
    assert f"{b} against {a}: the difference is smaller than your reports can show" in said
    assert "+6.0 ± 6.0 dB (95 %, 2 blocks of four, steps of 6 dB)" in said
    assert "By match alone the power budget predicts at most" in said
    qtbot.mouseClick(panel.ok_button, LEFT)
    run_events()
    assert loaded.document.undo_stack.count() == steps + 1
    assert [line.report for line in loaded.document.bench.log] == ["57", "58", "58", "57"] * 2
    assert {line.power_w for line in loaded.document.bench.log} == {50.0}
    again = panel_of(loaded, qtbot)
    assert len(filled(again)) == 8
    assert again.result_text.toPlainText() == said
    qtbot.mouseClick(again.ok_button, LEFT)
    run_events()
    assert loaded.document.undo_stack.count() == steps + 1  # looking is no change
    loaded.commands["undo"].trigger()
    assert loaded.document.bench == before
    empty = panel_of(loaded, qtbot)
    assert filled(empty) == []
    empty.reject()


def test_a_name_is_completed_or_chosen_from_the_list(loaded, qtbot, names):
    panel = panel_of(loaded, qtbot)
    panel.grid.setCurrentCell(0, 1)
    type_cell(qtbot, panel, names[1][:-1].upper())
    panel.grid.setCurrentCell(1, 1)
    qtbot.keyClick(panel.grid, Qt.Key.Key_F2)
    run_events()
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Down)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    run_events()
    assert panel.grid.rows()[0][1].casefold() == names[1].casefold()
    assert panel.grid.rows()[1][1] in names
    panel.reject()


def test_a_name_that_another_one_begins_with_can_be_typed(loaded, qtbot):
    keys = [entry.key for entry in loaded.document.bench.entries[:2]]
    for key, label in zip(keys, ("wire high", "wire"), strict=True):
        loaded.edits.rename(key, label)
    panel = panel_of(loaded, qtbot)
    for row, text in enumerate(("wire", "wire h")):
        panel.grid.setCurrentCell(row, 1)
        type_cell(qtbot, panel, text)
    assert [row[1] for row in filled(panel)] == ["wire", "wire high"]
    panel.reject()


def test_four_rows_are_added_and_rows_are_removed(loaded, qtbot, names):
    panel = panel_of(loaded, qtbot)
    a, b = names
    qtbot.mouseClick(panel.block_button, LEFT)
    assert [row[1] for row in filled(panel)] == [a, b, b, a]
    assert (panel.grid.currentRow(), panel.grid.currentColumn()) == (0, 4)
    type_cell(qtbot, panel, "S7")
    qtbot.mouseClick(panel.block_button, LEFT)
    assert [row[1] for row in filled(panel)] == [a, b, b, a] * 2
    panel.grid.setCurrentCell(1, 0)
    qtbot.mouseClick(panel.insert_button, LEFT)
    assert panel.grid.rows()[1] == ("",) * 6
    assert panel.grid.currentRow() == 1
    qtbot.mouseClick(panel.remove_button, LEFT)
    qtbot.mouseClick(panel.remove_button, LEFT)
    assert [row[1] for row in filled(panel)] == [a, b, a, a, b, b, a]
    panel.grid.selectAll()
    qtbot.mouseClick(panel.remove_button, LEFT)
    assert panel.grid.rowCount() == 1
    assert not panel.copy_buttons["csv"].isEnabled()
    qtbot.keyClick(panel.boxes[1], Qt.Key.Key_Home)
    assert panel.result_text.toPlainText() == "Choose two different antennas to compare."
    panel.reject()
    assert loaded.document.bench.log == ()


def test_a_bad_row_is_named_marked_and_not_kept(loaded, qtbot, names):
    panel = panel_of(loaded, qtbot)
    text = f"antenna\treport\tpower_w\n{names[0]}\t57\t50\n{names[1]}\tloud\t50\n"
    QGuiApplication.clipboard().setText(text)
    panel.grid.setCurrentCell(0, 3)  # with headings, the cells go where they belong
    qtbot.keyClick(panel.grid, Qt.Key.Key_V, CTRL)
    assert filled(panel)[0] == ("", names[0], "50", "", "57", "")
    first, second = panel.result_text.toPlainText().splitlines()
    assert first.startswith('row 2: "loud" is not a signal report')
    assert second == "Correct or remove these rows to see the comparison."
    bad = panel.grid.item(1, 4)
    assert bad.background().color() == QColor(loaded.view_state.theme.error)
    assert "not a signal report" in bad.toolTip()
    qtbot.mouseClick(panel.ok_button, LEFT)
    assert panel.isVisible()
    assert loaded.document.bench.log == ()
    assert (panel.grid.currentRow(), panel.grid.currentColumn()) == (1, 4)
    type_cell(qtbot, panel, "58")
    assert "row 2" not in panel.result_text.toPlainText()
    qtbot.mouseClick(panel.ok_button, LEFT)
    run_events()
    assert [line.report for line in loaded.document.bench.log] == ["57", "58"]


def test_what_is_pasted_and_not_read_is_said_and_a_wrong_date_is_kept(loaded, qtbot, names):
    panel = panel_of(loaded, qtbot)
    QGuiApplication.clipboard().setText(f"date\tsky\tantenna\treport\n1.5.\tgrey\t{names[0]}\t57")
    qtbot.keyClick(panel.grid, Qt.Key.Key_V, CTRL)
    first, second, *said = panel.result_text.toPlainText().splitlines()
    assert first == 'Not read, because a log has no such column: "sky".'
    assert second.startswith('row 1: "1.5." is not a date; write 2026-05-14')
    assert "no four reports" in said[0]  # the date decides nothing
    assert "is not a date" in panel.grid.item(0, 0).toolTip()
    qtbot.mouseClick(panel.ok_button, LEFT)
    run_events()
    assert [line.at for line in loaded.document.bench.log] == ["1.5."]


def test_the_log_is_copied_in_three_forms(loaded, qtbot, names):
    panel = panel_of(loaded, qtbot)
    panel.grid.put(0, 1, [(names[0], "50", "31", "57")])
    copied = {}
    for form, button in panel.copy_buttons.items():
        qtbot.mouseClick(button, LEFT)
        copied[form] = QGuiApplication.clipboard().text()
        assert list(loaded.messages.lines) == ["Copied the log"]
    assert "no four reports in the order A B B A" in copied["text"]
    assert copied["markdown"].startswith("| Date and time | Sweep or group |")
    assert copied["csv"].splitlines()[0] == "date,antenna,power_w,path_km,report,notes"
    assert f"{names[0]},50,31,57" in copied["csv"]
    panel.reject()


def test_an_empty_window_has_a_log_without_names(window, qtbot):
    panel = panel_of(window, qtbot)
    assert not panel.block_button.isEnabled()
    assert panel.grid.first_free == 0
    type_cell(qtbot, panel, "2026-05-01")
    assert "two different antennas" in panel.result_text.toPlainText()
    panel.reject()
