"""A folder is watched in the window: overlays come by themselves, changes are offered."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from window import key_of, labels, load, run_events, steps, write_sweep

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.document.entry import Circumstances

pytest_plugins = ["window_fixtures"]

pytestmark = pytest.mark.slow
WAIT_MS = 8000


@pytest.fixture
def folder(tmp_path):
    path = tmp_path / "watched"
    path.mkdir()
    return path


@pytest.fixture
def watching(window, qtbot, folder, monkeypatch):
    monkeypatch.setattr(FileChooser, "folder_to_watch", lambda *_: str(folder))
    with qtbot.waitSignal(window.watch.began, timeout=WAIT_MS):
        window.commands["watch-folder"].trigger()
    run_events()
    return window


def put(folder, name, f0_hz=51e6):
    outside = folder.parent / f"{name}.part"
    write_sweep(outside, f0_hz)
    outside.replace(folder / name)
    return str(folder / name)


def press(window, qtbot, text):
    (button,) = [one for one in window.messages.offer_buttons if one.text() == text]
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    run_events()


def test_a_new_file_becomes_an_overlay_in_one_step(watching, qtbot, folder):
    assert watching.watch_line.isVisible()
    assert watching.watch_line.text == f"Watching {folder}"
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: labels(watching) == ["dry"], timeout=WAIT_MS)
    assert steps(watching) == 1
    watching.commands["undo"].trigger()
    assert labels(watching) == []
    qtbot.wait(1500)
    assert labels(watching) == []


def test_a_changed_file_is_offered_and_keeps_what_was_said_of_it(watching, qtbot, folder):
    put(folder, "dry.s1p")
    put(folder, "wet.s1p", 50.5e6)
    qtbot.waitUntil(lambda: len(labels(watching)) == 2, timeout=WAIT_MS)
    key = key_of(watching, "wet")
    watching.edits.rename(key, "roof")
    watching.edits.set_condition(key, "after rain")
    watching.edits.set_reference(key)
    watching.edits.set_circumstances(key, Circumstances(place="club house"))
    before = watching.document.bench.entry(key)
    made = steps(watching)
    put(folder, "wet.s1p", 49.5e6)
    qtbot.waitUntil(lambda: watching.messages.lines != [], timeout=WAIT_MS)
    assert watching.messages.lines == ["wet.s1p has changed; the bench still shows the old sweep"]
    assert watching.document.bench.entry(key) is before
    press(watching, qtbot, "Reload")
    after = watching.document.bench.entry(key)
    assert after.sweep != before.sweep
    assert (after.label, after.condition, after.style) == ("roof", "after rain", before.style)
    assert after.circumstances.place == "club house"
    assert watching.document.bench.reference is after
    assert steps(watching) == made + 1
    assert watching.messages.lines == []
    watching.commands["undo"].trigger()
    assert watching.document.bench.entry(key) is before


def test_reload_all_is_one_step(watching, qtbot, folder):
    names = [f"unit {number}.s1p" for number in range(3)]
    for number, name in enumerate(names):
        put(folder, name, 50e6 + number * 1e5)
    qtbot.waitUntil(lambda: len(labels(watching)) == 3, timeout=WAIT_MS)
    made = steps(watching)
    old = [entry.sweep for entry in watching.document.bench.entries]
    for number, name in enumerate(names):
        put(folder, name, 52e6 + number * 1e5)
    qtbot.waitUntil(lambda: len(watching.messages.lines) == 3, timeout=WAIT_MS)
    press(watching, qtbot, "Reload all")
    new = [entry.sweep for entry in watching.document.bench.entries]
    assert not set(old) & set(new)
    assert steps(watching) == made + 1
    assert watching.messages.lines == []


def test_a_file_that_is_as_it_was_again_is_offered_no_longer(watching, qtbot, folder):
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: labels(watching) == ["dry"], timeout=WAIT_MS)
    put(folder, "dry.s1p", 49e6)
    qtbot.waitUntil(lambda: len(watching.messages.lines) == 1, timeout=WAIT_MS)
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: watching.messages.lines == [], timeout=WAIT_MS)
    assert watching.handlers.watch.changed_files == ()


def test_what_is_there_already_is_loaded_on_wish(window, qtbot, folder, monkeypatch):
    paths = [put(folder, "old.s1p"), put(folder, "older.s1p", 50e6)]
    load(window, qtbot, paths[:1])
    monkeypatch.setattr(FileChooser, "folder_to_watch", lambda *_: str(folder))
    with qtbot.waitSignal(window.watch.began, timeout=WAIT_MS):
        window.commands["watch-folder"].trigger()
    assert window.messages.lines[0].startswith('1 sweep file is already in "watched"')
    with qtbot.waitSignal(window.loader.ended, timeout=WAIT_MS):
        press(window, qtbot, "Load it")
    run_events()
    assert labels(window) == ["old", "older"]


def test_stop_ends_it(watching, qtbot, folder):
    qtbot.mouseClick(watching.watch_line.stop_button, Qt.MouseButton.LeftButton)
    assert not watching.watch_line.isVisible()
    put(folder, "late.s1p")
    qtbot.wait(1800)
    assert labels(watching) == []


def test_a_folder_that_goes_is_waited_for(watching, qtbot, folder):
    away = folder.parent / "away"
    folder.replace(away)
    line = watching.watch_line
    qtbot.waitUntil(lambda: line.text.endswith(f"{folder}: it does not exist"), timeout=WAIT_MS)
    away.replace(folder)
    qtbot.waitUntil(lambda: line.text == f"Watching {folder}", timeout=WAIT_MS)
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: labels(watching) == ["dry"], timeout=WAIT_MS)


def test_a_broken_file_gets_one_line(watching, qtbot, folder):
    (folder / "broken.s1p").write_text("# MHz S RI R 50\n50 0.1\n")
    qtbot.waitUntil(lambda: len(watching.messages.lines) == 1, timeout=WAIT_MS)
    assert "broken.s1p:2" in watching.messages.lines[0]
    assert labels(watching) == []


def test_many_files_at_once_are_one_step_each_batch(watching, qtbot, folder):
    for number in range(60):
        write_sweep(folder / f"unit {number}.s1p", 50e6 + number * 2e4, points=21)
    qtbot.waitUntil(lambda: len(labels(watching)) == 60, timeout=20_000)
    assert steps(watching) < 10


def test_a_new_bench_and_a_closed_window_do_not_mind_the_watch(watching, qtbot, folder):
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: labels(watching) == ["dry"], timeout=WAIT_MS)
    put(folder, "dry.s1p", 49e6)
    qtbot.waitUntil(lambda: len(watching.messages.lines) == 1, timeout=WAIT_MS)
    watching.edits.remove([key_of(watching, "dry")])
    press(watching, qtbot, "Reload")
    assert labels(watching) == []
    for number in range(40):
        write_sweep(folder / f"unit {number}.s1p", points=401)
    qtbot.wait(700)
    watching.close()
    assert watching.watch.folder == ""


def test_renamed_files_stay_what_they_are_on_the_bench(watching, qtbot, folder):
    put(folder, "dry.s1p")
    put(folder, "wet.s1p", 50.5e6)
    qtbot.waitUntil(lambda: len(labels(watching)) == 2, timeout=WAIT_MS)
    (folder / "wet.s1p").rename(folder / "soaked.s1p")
    (folder / "dry.s1p").rename(folder / "wet.s1p")
    qtbot.wait(2500)
    assert sorted(labels(watching)) == ["dry", "wet"]
    key = key_of(watching, "wet")
    before = watching.document.bench.entry(key).sweep
    put(folder, "soaked.s1p", 49.5e6)
    qtbot.waitUntil(lambda: watching.messages.lines != [], timeout=WAIT_MS)
    assert watching.messages.lines == [
        "soaked.s1p has changed; the bench still shows the old sweep"
    ]
    press(watching, qtbot, "Reload")
    assert watching.document.bench.entry(key).sweep != before
    assert sorted(labels(watching)) == ["dry", "wet"]


def test_an_export_into_the_watched_folder_does_not_come_back(watching, qtbot, folder, monkeypatch):
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: labels(watching) == ["dry"], timeout=WAIT_MS)
    out = str(folder / "out.s1p")
    monkeypatch.setattr(FileChooser, "data_to_write", lambda *_: out)
    watching.commands["export-touchstone-1"].trigger()
    qtbot.waitUntil((folder / "out.s1p").exists, timeout=WAIT_MS)
    qtbot.wait(2000)
    assert labels(watching) == ["dry"]
