"""The parts of a change beside the sentences, and the tick that only the user can give."""

from __future__ import annotations

from mouse import Mouse
from PySide6.QtCore import QPointF
from window import row_centre, run_events

pytest_plugins = ["window_fixtures"]


def wait(window, qtbot):
    qtbot.waitUntil(lambda: not window.background.is_busy, timeout=60_000)
    run_events()


def texts(table):
    return [
        [item.text() for column in range(4) if (item := table.item(row, column)) is not None]
        for row in range(table.rowCount())
    ]


def click_tick(table, row=0):
    box = table.visualItemRect(table.item(row, 0))
    Mouse(table.viewport()).click(QPointF(box.left() + 10, box.center().y()))


def test_the_parts_of_the_chosen_sweep_stand_beside_its_sentence(loaded, qtbot):
    wait(loaded, qtbot)
    Mouse(loaded.sweep_list.viewport()).click(row_centre(loaded, "iced"))
    table = loaded.parts_table
    found = texts(table)
    assert found[0] == ["iced: radiation unchanged"]
    assert [line[0] for line in found[1:]] == ["Tuning", "Match", "Damping", "Left over"]
    assert all(len(line) == 4 for line in found[1:])
    # Nothing is stated of the analyzer, so there is no accuracy and the reason can be read.
    assert found[1][3] == "–"
    assert "accuracy is not stated" in table.item(1, 3).toolTip()
    sentence = loaded.change_text.toPlainText()
    assert found[1][1].lstrip("−+").split()[0] in sentence


def test_the_tick_is_one_undo_step_and_says_why_there_is_no_loss(loaded, qtbot):
    wait(loaded, qtbot)
    Mouse(loaded.sweep_list.viewport()).click(row_centre(loaded, "iced"))
    reference, key = loaded.document.bench.reference_key, min(loaded.view_state.selection)
    count = loaded.document.undo_stack.count()
    click_tick(loaded.parts_table)
    assert loaded.document.bench.same_radiation == ((reference, key),)
    assert loaded.document.undo_stack.count() == count + 1
    wait(loaded, qtbot)
    assert "no loss can be stated: remove the feed line" in loaded.change_text.toPlainText()
    assert texts(loaded.parts_table)[-1] == ["Added loss", "–", "–", "–"]
    click_tick(loaded.parts_table)
    assert loaded.document.bench.same_radiation == ()
    loaded.document.undo_stack.undo()
    loaded.document.undo_stack.undo()
    wait(loaded, qtbot)
    assert "no loss" not in loaded.change_text.toPlainText()


def test_in_a_narrow_window_the_sentences_have_all_the_width(loaded, qtbot):
    wait(loaded, qtbot)
    loaded.resize(1280, 800)
    run_events()
    assert loaded.parts_table.isVisible()
    loaded.resize(800, 480)
    run_events()
    assert not loaded.parts_table.isVisible()
    assert loaded.change_text.isVisible()
