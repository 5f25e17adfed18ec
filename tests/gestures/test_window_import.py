"""Tables that do not tell their columns: asked once in a panel, then read the same way."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QDialogButtonBox
from window import cell, choose, load, run_events, steps, type_into

from fairlead.app.files.settings import Settings
from fairlead.app.panels.column_roles import Role

pytest_plugins = ["window_fixtures"]

ROWS = "".join(
    f"{mhz:.1f},{swr:.2f},{extra:.1f}\n"
    for mhz, swr, extra in ((50, 2.4, 71), (50.5, 1.6, 64), (51, 1.2, 52), (51.5, 1.7, 60))
)
MEASURED = "mystery,first,second\n" + ROWS


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text(MEASURED)
    return path


def open_panel(window, qtbot, *paths):
    load(window, qtbot, [str(path) for path in paths])
    (button,) = window.messages.offer_buttons
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    panel = window.handlers.imports.panel
    qtbot.waitUntil(panel.isVisible)
    run_events()
    return panel


def take(panel, qtbot, window):
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        qtbot.mouseClick(panel.import_button, Qt.MouseButton.LeftButton)
    run_events()


def choose_swr(panel, qtbot):
    choose(qtbot, panel.role_boxes[0], Role.FREQUENCY.value)
    choose(qtbot, panel.role_boxes[1], Role.SWR.value)
    choose(qtbot, panel.role_boxes[2], Role.UNUSED.value)
    box = panel.frequency_unit
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _ in range(box.findText("MHz")):
        qtbot.keyClick(box, Qt.Key.Key_Down)
    qtbot.waitUntil(panel.import_button.isEnabled)


def test_the_whole_way_from_the_bar_to_the_sweep(window, qtbot, table):
    panel = open_panel(window, qtbot, table)
    assert window.messages.lines == []
    assert panel.table.item(1, 1).text() == "2.40"
    choose(qtbot, panel.role_boxes[0], Role.UNUSED.value)
    qtbot.waitUntil(lambda: not panel.import_button.isEnabled())
    assert "no column is the frequency" in panel.problem
    assert panel.plot.line_count == 0
    choose_swr(panel, qtbot)
    assert "1 sweep, 4 points" in panel.found
    assert panel.problem == ""
    assert panel.plot.line_count == 1
    take(panel, qtbot, window)
    assert steps(window) == 1
    (entry,) = window.document.bench.entries
    assert not entry.sweep.has_phase
    assert float(entry.sweep.frequency_hz[0]) == 50e6
    assert cell(window, "meter", "worst").startswith("2.4")
    assert cell(window, "meter", "q") == "–"
    assert window.handlers.imports.panel is None


def test_a_choice_is_used_again_for_the_same_headings_and_can_be_forgotten(
    window, qtbot, table, tmp_path
):
    panel = open_panel(window, qtbot, table)
    choose_swr(panel, qtbot)
    take(panel, qtbot, window)
    other = tmp_path / "roof.csv"
    other.write_text(MEASURED.replace("2.40", "2.90"))
    load(window, qtbot, [str(other)])
    assert window.messages.lines == []
    second = window.document.bench.entries[1]
    assert second.label == "roof"
    assert "columns-remembered" in [notice.code for notice in second.notices]
    assert "columns-remembered" not in [
        notice.code for notice in window.document.bench.entries[0].notices
    ]
    window.commands["forget-columns"].trigger()
    assert window.messages.lines == ["Forgot the columns chosen for 1 kind of table"]
    window.messages.clear()
    load(window, qtbot, [str(other)])
    assert len(window.messages.offer_buttons) == 1
    assert len(window.document.bench.entries) == 2


def test_without_the_tick_the_choice_holds_only_this_time(window, qtbot, table):
    panel = open_panel(window, qtbot, table)
    choose_swr(panel, qtbot)
    panel.remembers.setFocus()
    qtbot.keyClick(panel.remembers, Qt.Key.Key_Space)
    take(panel, qtbot, window)
    assert window.settings.columns == {}
    assert len(window.document.bench.entries) == 1


def test_files_alike_are_asked_about_once_and_come_in_one_step(window, qtbot, tmp_path):
    paths = []
    for number in range(5):
        path = tmp_path / f"unit {number}.csv"
        path.write_text(MEASURED.replace("71.0", f"7{number}.0"))
        paths.append(path)
    panel = open_panel(window, qtbot, *paths)
    choose_swr(panel, qtbot)
    take(panel, qtbot, window)
    assert [entry.label for entry in window.document.bench.entries] == [
        f"unit {number}" for number in range(5)
    ]
    assert steps(window) == 1


def test_cancel_changes_nothing_and_the_offer_stays(window, qtbot, table):
    panel = open_panel(window, qtbot, table)
    cancel = panel.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Cancel)
    qtbot.mouseClick(cancel, Qt.MouseButton.LeftButton)
    run_events()
    assert window.document.bench.entries == ()
    assert window.settings.columns == {}
    assert len(window.messages.offer_buttons) == 1


def test_a_wrong_reference_impedance_is_said(window, qtbot, table):
    panel = open_panel(window, qtbot, table)
    choose_swr(panel, qtbot)
    type_into(qtbot, panel.z0_field, "abc")
    qtbot.waitUntil(lambda: not panel.import_button.isEnabled())
    assert panel.problem
    type_into(qtbot, panel.z0_field, "75")
    qtbot.waitUntil(panel.import_button.isEnabled)
    take(panel, qtbot, window)
    assert window.document.bench.entries[0].sweep.z0_ohm == 75


def test_a_broken_remembered_choice_is_asked_anew(window, qtbot, table):
    panel = open_panel(window, qtbot, table)
    mark = panel._unclear.preview.fingerprint
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    run_events()
    for broken in ("nonsense", "frequency=1:MHz,swr=9"):
        window.settings.set_columns(mark, broken)
        window.messages.clear()
        load(window, qtbot, [str(table)])
        assert len(window.messages.offer_buttons) == 1


def test_choices_survive_a_restart(tmp_path):
    file = str(tmp_path / "choices.ini")
    Settings(QSettings(file, QSettings.Format.IniFormat)).set_columns("abc", "frequency=1,swr=2")
    again = Settings(QSettings(file, QSettings.Format.IniFormat))
    assert again.columns == {"abc": "frequency=1,swr=2"}
    again.forget_columns()
    assert again.columns == {}


def test_nothing_is_chosen_that_no_heading_says(window, qtbot, table):
    panel = open_panel(window, qtbot, table)
    assert panel.roles == (Role.UNUSED,) * 3
    assert panel.frequency_unit.currentIndex() == 0
    assert not panel.import_button.isEnabled()
    assert panel.remembers.isChecked()


def test_what_the_headings_say_is_chosen(window, qtbot, tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text("Frequency (kHz),S11\n50000,2.4\n50500,1.6\n51000,1.2\n")
    panel = open_panel(window, qtbot, path)
    assert panel.roles[0] is Role.FREQUENCY
    assert panel.frequency_unit.currentText() == "kHz"
    # "S11" leaves open what 2.4 is.
    assert panel.roles[1] is Role.UNUSED


def test_without_headings_the_choice_holds_only_this_time(window, qtbot, tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text(ROWS)
    panel = open_panel(window, qtbot, path)
    assert panel.roles == (Role.UNUSED,) * 3
    assert not panel.remembers.isChecked()
    choose_swr(panel, qtbot)
    take(panel, qtbot, window)
    assert len(window.document.bench.entries) == 1
    assert window.settings.columns == {}


def test_an_earlier_choice_is_offered_first(window, qtbot, tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text(ROWS)
    panel = open_panel(window, qtbot, path)
    choose_swr(panel, qtbot)
    panel.remembers.setChecked(True)
    take(panel, qtbot, window)
    panel = open_panel(window, qtbot, path)
    assert panel.roles == (Role.FREQUENCY, Role.SWR, Role.UNUSED)
    panel.reject()
