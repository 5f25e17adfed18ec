"""Steps of a sweep: added, typed, switched off and on, removed, undone, and named everywhere."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from window import key_of, labels, load, run_events, select, steps, type_into

from fairlead.core.transform.registry import KINDS
from fairlead.core.transform.renormalise import Renormalise

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def form(loaded):
    select(loaded, "wet")
    run_events()
    return loaded.detail.steps


def entry_of(window, label):
    return window.document.bench.entry(key_of(window, label))


def type_number(qtbot, field, text):
    type_into(qtbot, field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    run_events()


def test_a_what_if_is_added_typed_switched_and_removed(loaded, qtbot, form):
    measured = entry_of(loaded, "wet").sweep
    made = steps(loaded)
    assert not form.isVisible()
    loaded.commands["step-what-if"].trigger()
    run_events()
    (row,) = form.rows
    assert form.isVisible()
    assert row.field.hasFocus()
    type_number(qtbot, row.field, "0,58")
    assert row.field.text() == "+0.58"
    assert steps(loaded) == made + 2
    entry = entry_of(loaded, "wet")
    assert entry.sweep.frequency_hz[0] == pytest.approx(measured.frequency_hz[0] * 1.0058)
    assert entry.caption.startswith("what-if: wet (")

    qtbot.mouseClick(row.switch, Qt.MouseButton.LeftButton, pos=row.switch.rect().center() / 4)
    assert entry_of(loaded, "wet").sweep is measured
    assert entry_of(loaded, "wet").steps[0].parameters == {"change_percent": 0.58}
    assert row.field.text() == "+0.58"
    qtbot.mouseClick(row.remove_button, Qt.MouseButton.LeftButton)
    run_events()
    assert entry_of(loaded, "wet").steps == ()
    assert form.rows == []
    for _ in range(4):
        loaded.commands["undo"].trigger()
    assert entry_of(loaded, "wet").sweep is measured
    assert steps(loaded) == made
    for _ in range(2):
        loaded.commands["redo"].trigger()
    assert entry_of(loaded, "wet").steps[0].parameters == {"change_percent": 0.58}


def test_a_what_if_is_named_in_list_table_and_details(loaded, qtbot, form):
    loaded.commands["step-what-if"].trigger()
    type_number(qtbot, form.rows[0].field, "-1")
    key = key_of(loaded, "wet")
    row = loaded.figures_model.row_of(key)
    vertical = Qt.Orientation.Vertical
    names = [
        loaded.figures_model.index(row, 0).data(),
        loaded.figures_model.headerData(row, vertical, Qt.ItemDataRole.DisplayRole),
    ]
    assert any("what-if: wet (frequency -1 %)" in str(name) for name in names)
    index = loaded.sweep_model.index(loaded.sweep_model.row_of(key), 0)
    assert "what-if: wet (frequency -1 %)" in index.data(Qt.ItemDataRole.AccessibleTextRole)


def test_a_number_that_cannot_be_is_marked_and_changes_nothing(loaded, qtbot, form):
    loaded.commands["step-renormalise"].trigger()
    run_events()
    (row,) = form.rows
    made = steps(loaded)
    type_number(qtbot, row.field, "-75")
    assert row.field.property("refused") == "true"
    assert steps(loaded) == made
    type_number(qtbot, row.field, "75")
    assert row.field.property("refused") == "false"
    assert entry_of(loaded, "wet").sweep.z0_ohm == 75


def test_a_sweep_without_phase_is_not_renormalised_and_the_user_is_told(window, qtbot, tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text("MHz,SWR\n50,2\n51,1.5\n52,1.2\n", encoding="utf-8")
    load(window, qtbot, [str(path)])
    select(window, *labels(window))
    made = steps(window)
    window.commands["step-renormalise"].trigger()
    assert steps(window) == made
    assert any("without phase" in line for line in window.messages.lines)


def test_several_sweeps_get_a_step_at_once_and_are_switched_together(loaded):
    names = labels(loaded)
    select(loaded, *names)
    loaded.commands["steps-switch"].trigger()
    made = steps(loaded)
    loaded.commands["step-what-if"].trigger()
    assert steps(loaded) == made + 1
    assert all(entry.is_what_if for entry in loaded.document.bench.entries)
    loaded.commands["steps-switch"].trigger()
    assert not any(entry.is_what_if for entry in loaded.document.bench.entries)
    assert all(len(entry.steps) == 1 for entry in loaded.document.bench.entries)
    loaded.commands["steps-switch"].trigger()
    assert all(entry.is_what_if for entry in loaded.document.bench.entries)
    assert steps(loaded) == made + 3


def test_a_switch_that_cannot_be_turned_on_stays_off(window, qtbot, tmp_path):
    """As after its file was read again and now holds no phase."""
    path = tmp_path / "meter.csv"
    path.write_text("MHz,SWR\n50,2\n51,1.5\n52,1.2\n", encoding="utf-8")
    load(window, qtbot, [str(path)])
    select(window, *labels(window))
    key = window.document.bench.entries[0].key
    window.edits.set_steps(key, (replace(Renormalise(75.0), is_on=False),))
    run_events()
    (row,) = window.detail.steps.rows
    qtbot.mouseClick(row.switch, Qt.MouseButton.LeftButton, pos=row.switch.rect().center() / 4)
    assert not row.switch.isChecked()
    assert not window.document.bench.entries[0].steps[0].is_on


def test_a_duplicate_stands_below_and_shares_what_was_measured(loaded):
    select(loaded, "wet")
    before = labels(loaded)
    sweep = entry_of(loaded, "wet").sweep
    loaded.commands["duplicate"].trigger()
    place = before.index("wet")
    assert labels(loaded) == [*before[: place + 1], "wet", *before[place + 1 :]]
    assert loaded.document.bench.entries[place + 1].sweep is sweep


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_step_has_a_row_and_can_be_removed(loaded, qtbot, form, kind):
    """A kind that none can add with defaults would fail here: it needs its own way of adding."""
    loaded.edits.set_steps(key_of(loaded, "wet"), (KINDS[kind](is_on=False),))
    run_events()
    (row,) = form.rows
    assert row.switch.text()
    assert row.remove_button.accessibleName().startswith("Remove the step: ")
    qtbot.mouseClick(row.remove_button, Qt.MouseButton.LeftButton)
    assert entry_of(loaded, "wet").steps == ()
