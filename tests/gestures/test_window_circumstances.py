"""Condition, date, place and notes of a sweep: typed in the details, sorted by, undone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from window import key_of, labels, load, run_events, select, steps, type_into, write_sweep

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def form(loaded):
    select(loaded, "wet")
    run_events()
    return loaded.detail.form


def noted(window, label):
    return window.document.bench.entry(key_of(window, label)).circumstances


def test_each_field_is_one_step(loaded, qtbot, form):
    fields = {
        "taken_at": "2026-05-14 18:30",
        "place": "club roof",
        "height": "9 m",
        "feed_line": "12 m, VF 0.66",
        "weather": "rain since noon",
        "continuity": "open, > 20 MΩ",
    }
    made = steps(loaded)
    for name, text in fields.items():
        type_into(qtbot, form.lines[name], text)
        qtbot.keyClick(form.lines[name], Qt.Key.Key_Tab)
        made += 1
        assert steps(loaded) == made
    wanted = {**fields, "taken_at": "2026-05-14T18:30"}
    assert {name: getattr(noted(loaded, "wet"), name) for name in fields} == wanted
    assert form.lines["taken_at"].text() == "2026-05-14 18:30"
    qtbot.keyClicks(form.notes, "first line")
    qtbot.keyClick(form.notes, Qt.Key.Key_Return)
    qtbot.keyClicks(form.notes, "second line")
    qtbot.keyClick(form.notes, Qt.Key.Key_Tab)
    assert noted(loaded, "wet").notes == "first line\nsecond line"
    assert steps(loaded) == made + 1
    loaded.commands["undo"].trigger()
    loaded.commands["undo"].trigger()
    assert noted(loaded, "wet").notes == ""
    assert noted(loaded, "wet").continuity == ""
    assert form.lines["continuity"].text() == ""
    assert form.lines["weather"].text() == "rain since noon"


def test_a_condition_is_typed_or_chosen_from_what_was_used(loaded, qtbot, form):
    made = steps(loaded)
    type_into(qtbot, form.condition_box.lineEdit(), "after the storm")
    qtbot.keyClick(form.condition_box.lineEdit(), Qt.Key.Key_Return)
    assert loaded.document.bench.entry(key_of(loaded, "wet")).condition == "after the storm"
    assert steps(loaded) == made + 1
    select(loaded, "iced")
    run_events()
    assert form.condition_box.currentText() == ""
    choices = [form.condition_box.itemText(i) for i in range(form.condition_box.count())]
    assert choices[:2] == ["after the storm", "dry"]
    form.condition_box.setFocus()
    run_events()
    place = choices.index("iced")
    for _ in range(place + 1):
        qtbot.keyClick(form.condition_box, Qt.Key.Key_Down)
    qtbot.keyClick(form.condition_box, Qt.Key.Key_Return)
    assert loaded.document.bench.entry(key_of(loaded, "iced")).condition == "iced"
    assert steps(loaded) == made + 2
    form.condition_box.showPopup()
    run_events()
    view = form.condition_box.view()
    index = view.model().index(form.condition_box.findText("rolled up"), 0)
    view.scrollTo(index)
    run_events()
    at = view.visualRect(index).center()
    qtbot.mouseMove(view.viewport(), at)
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=at)
    run_events()
    qtbot.waitUntil(lambda: steps(loaded) == made + 3)
    assert loaded.document.bench.entry(key_of(loaded, "iced")).condition == "rolled up"


def test_what_is_left_as_it_was_makes_no_step(loaded, qtbot, form):
    made = steps(loaded)
    type_into(qtbot, form.lines["place"], "somewhere")
    qtbot.keyClick(form.lines["place"], Qt.Key.Key_Escape)
    qtbot.keyClick(form.lines["place"], Qt.Key.Key_Tab)
    assert steps(loaded) == made
    assert noted(loaded, "wet").place == ""


def test_another_change_does_not_take_away_what_is_being_typed(loaded, qtbot, form):
    type_into(qtbot, form.lines["place"], "half a wo")
    loaded.edits.rename(key_of(loaded, "wet"), "soaked")
    run_events()
    assert form.lines["place"].text() == "half a wo"
    qtbot.keyClick(form.lines["place"], Qt.Key.Key_Tab)
    assert noted(loaded, "soaked").place == "half a wo"


def test_undoing_the_sweep_itself_while_typing_is_no_harm(loaded, qtbot, form):
    type_into(qtbot, form.lines["place"], "half")
    form.notes.setFocus()
    qtbot.keyClicks(form.notes, "half")
    for _ in range(4):
        loaded.commands["undo"].trigger()
    run_events()
    assert loaded.document.bench.entries == ()
    assert not form.isVisible()


def test_several_sweeps_have_no_fields(loaded, form):
    select(loaded, "dry", "wet")
    run_events()
    assert not form.isVisible()


def test_the_list_is_sorted_in_one_step(loaded, qtbot):
    loaded.edits.set_condition(key_of(loaded, "wet"), "b")
    loaded.edits.set_condition(key_of(loaded, "iced"), "a")
    made = steps(loaded)
    loaded.commands["sort-name"].trigger()
    assert labels(loaded) == ["dry", "iced", "wet"]
    loaded.commands["sort-condition"].trigger()
    assert labels(loaded) == ["iced", "wet", "dry"]
    assert steps(loaded) == made + 2
    reference = loaded.document.bench.reference_key
    loaded.commands["undo"].trigger()
    loaded.commands["undo"].trigger()
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert loaded.document.bench.reference_key == reference
    select(loaded, "wet")
    type_into(qtbot, loaded.detail.form.lines["taken_at"], "2026-05-14")
    qtbot.keyClick(loaded.detail.form.lines["taken_at"], Qt.Key.Key_Return)
    loaded.commands["sort-date"].trigger()
    assert labels(loaded) == ["wet", "dry", "iced"]


def test_names_are_sorted_as_people_count(window, qtbot, tmp_path):
    paths = [write_sweep(tmp_path / f"unit {n}.s1p", 50e6 + n * 1e5) for n in (10, 9, 2)]
    load(window, qtbot, paths)
    window.commands["sort-name"].trigger()
    assert labels(window) == ["unit 2", "unit 9", "unit 10"]


def test_the_same_numbers_twice_are_said_in_the_details(window, qtbot, tmp_path):
    load(window, qtbot, [write_sweep(tmp_path / "one.s1p"), write_sweep(tmp_path / "two.s1p")])
    select(window, "two")

    def is_said():
        texts = [label.text() for label in window.detail._facts.findChildren(QLabel)]
        assert any('same numbers as "one"' in text for text in texts), texts

    # What is suspect is worked out a moment after the change.
    qtbot.waitUntil(is_said, timeout=5000)
