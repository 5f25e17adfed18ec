"""A session: saved, changed, undone, closed, opened again; nothing goes without being asked."""

from __future__ import annotations

import os
import threading

import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF, Qt, QTimer
from PySide6.QtWidgets import QApplication, QMenu
from window import CTRL, SHIFT, drop, key_of, labels, load, run_events, steps, write_sweep

import fairlead.app.handlers.bench
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.panels.unsaved_question import UnsavedQuestion
from fairlead.app.shell.window import MainWindow
from fairlead.core.bench_file import load_bench, save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.reading import open_sweeps

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def answer(monkeypatch):
    """What the chooser answers to "save as", a path or nothing; counts how often it was asked."""

    class Answer:
        path = ""
        suggestions = ()

        def __call__(self, _cls, _parent, suggestion):
            self.suggestions += (suggestion,)
            return str(self.path)

    given = Answer()
    monkeypatch.setattr(FileChooser, "bench_to_write", lambda *args: given(FileChooser, *args))
    return given


def settled(window, qtbot):
    """Wait for what was begun off the GUI thread."""
    qtbot.waitUntil(lambda: not window.worker.is_busy and not window.loader.is_busy, timeout=20_000)
    run_events()


def save(window, qtbot, keys=CTRL):
    qtbot.keyClick(window, Qt.Key.Key_S, keys)
    settled(window, qtbot)


@pytest.fixture
def saved(loaded, qtbot, answer, tmp_path):
    """Three sweeps, saved as roof.fairlead."""
    answer.path = tmp_path / "roof.fairlead"
    save(loaded, qtbot)
    return loaded


def click(button):
    Mouse(button).click(QPointF(button.rect().center()))
    run_events()


def rename(window, name, to):
    window.edits.rename(key_of(window, name), to)


# Saved, changed, undone


def test_saving_asks_once_for_a_name_and_keeps_everything(loaded, qtbot, answer, tmp_path):
    assert loaded.windowTitle() == "Unnamed bench[*] – Fairlead"
    assert loaded.isWindowModified()
    answer.path = tmp_path / "roof.fairlead"
    save(loaded, qtbot)
    assert loaded.windowTitle() == "roof.fairlead[*] – Fairlead"
    assert not loaded.isWindowModified()
    assert load_bench(answer.path) == loaded.document.bench
    rename(loaded, "wet", "rain-soaked")
    assert loaded.isWindowModified()
    save(loaded, qtbot)
    assert load_bench(answer.path) == loaded.document.bench
    assert not loaded.isWindowModified()
    assert len(answer.suggestions) == 1
    assert loaded.messages.lines == []
    # The button says that there is nothing left to save.
    assert not loaded.commands["save"].isEnabled()


def test_marks_are_right_after_undo_and_redo(saved, qtbot):
    rename(saved, "wet", "rain-soaked")
    assert saved.isWindowModified()
    qtbot.keyClick(saved, Qt.Key.Key_Z, CTRL)
    assert not saved.isWindowModified()
    qtbot.keyClick(saved, Qt.Key.Key_Y, CTRL)
    assert saved.isWindowModified()
    save(saved, qtbot)
    qtbot.keyClick(saved, Qt.Key.Key_Z, CTRL)
    assert saved.isWindowModified()
    qtbot.keyClick(saved, Qt.Key.Key_Y, CTRL)
    assert not saved.isWindowModified()


def test_what_comes_back_to_the_saved_state_by_hand_is_not_modified(saved):
    rename(saved, "wet", "rain-soaked")
    rename(saved, "rain-soaked", "wet")
    assert steps(saved) == 3
    assert not saved.isWindowModified()


def test_a_change_while_it_is_being_saved_stays_modified(saved, qtbot, monkeypatch):
    gate, write = threading.Event(), fairlead.app.handlers.bench.write_bench

    def slow(*args):
        assert gate.wait(20)
        return write(*args)

    monkeypatch.setattr(fairlead.app.handlers.bench, "write_bench", slow)
    rename(saved, "wet", "first")
    before = saved.document.bench
    qtbot.keyClick(saved, Qt.Key.Key_S, CTRL)
    qtbot.waitUntil(saved.saving.isVisible)
    assert not saved.saving.cancel_button.isVisible()
    # The window lives meanwhile.
    Mouse(saved.sweep_list.viewport()).click(QPointF(150, 20))
    rename(saved, "first", "second")
    gate.set()
    settled(saved, qtbot)
    assert not saved.saving.isVisible()
    assert load_bench(saved.document.path) == before
    assert saved.isWindowModified()
    qtbot.keyClick(saved, Qt.Key.Key_Z, CTRL)
    assert not saved.isWindowModified()


def test_an_edge_dragged_and_put_back_leaves_the_mark_as_it_was(saved):
    bench = saved.document.bench
    saved.edits.begin_gesture()
    saved.edits.drag_edge("low", bench.band.low_hz + 1e5)
    assert saved.isWindowModified()
    saved.edits.cancel_gesture()
    assert not saved.isWindowModified()


def test_save_as_goes_on_with_the_other_file(saved, qtbot, answer, tmp_path):
    answer.path = tmp_path / "second.fairlead"
    save(saved, qtbot, CTRL | SHIFT)
    assert answer.suggestions[-1] == str(tmp_path / "roof.fairlead")
    assert saved.document.path == str(tmp_path / "second.fairlead")
    rename(saved, "wet", "soaked")
    save(saved, qtbot)
    assert load_bench(answer.path) == saved.document.bench
    assert load_bench(tmp_path / "roof.fairlead") != saved.document.bench


@pytest.mark.usefixtures("answer")
def test_a_name_thought_better_of_saves_nothing(loaded, qtbot, tmp_path):
    before = sorted(tmp_path.iterdir())
    loaded.commands["save-as"].trigger()
    settled(loaded, qtbot)
    assert [path for path in sorted(tmp_path.iterdir()) if path not in before] == []
    assert loaded.isWindowModified()
    assert loaded.document.path is None


def test_a_name_with_qts_own_mark_in_it_is_shown_as_it_is(loaded, qtbot, answer, tmp_path):
    answer.path = tmp_path / "odd [*] name.fairlead"
    save(loaded, qtbot)
    assert loaded.windowTitle() == "odd [*][*] name.fairlead[*] – Fairlead"


# What cannot be saved


def test_a_failed_save_keeps_the_old_file_and_can_go_elsewhere(
    saved, qtbot, answer, tmp_path, monkeypatch
):
    old = (tmp_path / "roof.fairlead").read_bytes()
    rename(saved, "wet", "rain-soaked")

    def full(*_):
        raise OSError(28, os.strerror(28))

    with monkeypatch.context() as broken:
        broken.setattr(os, "write", full)
        save(saved, qtbot)
    (line,) = saved.messages.lines
    assert "roof.fairlead could not be saved: the drive is full" in line
    assert saved.messages.property("level") == "error"
    assert saved.isWindowModified()
    assert (tmp_path / "roof.fairlead").read_bytes() == old
    assert list(tmp_path.glob(".fairlead-*")) == []
    assert QApplication.activeModalWidget() is None
    answer.path = tmp_path / "elsewhere.fairlead"
    (button,) = saved.messages.offer_buttons
    assert button.text() == "Save elsewhere ..."
    click(button)
    settled(saved, qtbot)
    assert load_bench(answer.path) == saved.document.bench
    assert not saved.isWindowModified()
    assert saved.messages.lines == []


def test_a_read_only_folder_is_one_line(saved, qtbot, answer, tmp_path, monkeypatch):
    (tmp_path / "locked").mkdir()
    answer.path = tmp_path / "locked" / "roof.fairlead"
    open_file = os.open

    # A folder without permission to write lets nobody make a file; the tests may run as root.
    def locked(path, flags, *args, **kwargs):
        if "locked" in str(path) and flags & os.O_CREAT:
            raise PermissionError(13, os.strerror(13), path)
        return open_file(path, flags, *args, **kwargs)

    with monkeypatch.context() as broken:
        broken.setattr(os, "open", locked)
        save(saved, qtbot, CTRL | SHIFT)
    (line,) = saved.messages.lines
    assert "no permission to write there" in line
    assert saved.document.path == str(tmp_path / "roof.fairlead")


def test_a_sweep_is_never_written_over(loaded, qtbot, answer, tmp_path):
    answer.path = tmp_path / "dry.s1p"
    old = answer.path.read_bytes()
    save(loaded, qtbot)
    assert answer.path.read_bytes() == old
    (line,) = loaded.messages.lines
    assert "the file of this name is not a bench" in line
    assert "choose another name" in line
    assert loaded.document.path is None
    assert loaded.isWindowModified()


def test_what_another_program_has_saved_since_is_not_replaced_unasked(saved, qtbot, tmp_path):
    path = tmp_path / "roof.fairlead"
    other = saved.document.bench.without([key_of(saved, "iced")])
    save_bench(other, path)
    rename(saved, "wet", "soaked")
    save(saved, qtbot)
    assert load_bench(path) == other
    assert saved.isWindowModified()
    assert "changed by another program" in saved.messages.lines[0]
    elsewhere, replace = saved.messages.offer_buttons
    assert (elsewhere.text(), replace.text()) == ("Save elsewhere ...", "Replace it")
    click(replace)
    settled(saved, qtbot)
    assert load_bench(path) == saved.document.bench
    assert not saved.isWindowModified()
    rename(saved, "soaked", "wet again")
    save(saved, qtbot)
    assert load_bench(path) == saved.document.bench
    assert saved.messages.lines == []


# Closing


def test_closing_asks_once_and_cancel_keeps_the_window(loaded, qtbot, questions):
    questions.answer = "cancel"
    qtbot.keyClick(loaded, Qt.Key.Key_Q, CTRL)
    assert loaded.isVisible()
    assert questions == [("Unnamed bench", "closing")]
    assert labels(loaded) == ["dry", "wet", "iced"]
    questions.answer = "discard"
    qtbot.keyClick(loaded, Qt.Key.Key_Q, CTRL)
    assert not loaded.isVisible()
    assert len(questions) == 2


def test_closing_what_is_saved_asks_nothing(saved, questions):
    saved.close()
    assert not saved.isVisible()
    assert questions == []


def test_an_empty_bench_closes_without_a_question(window, questions):
    window.edits.set_limit(1.5)
    assert not window.isWindowModified()
    window.close()
    assert questions == []


def test_save_on_closing_saves_and_then_closes(saved, qtbot, questions, tmp_path):
    rename(saved, "wet", "soaked")
    bench = saved.document.bench
    questions.answer = "save"
    saved.close()
    qtbot.waitUntil(lambda: not saved.isVisible())
    assert load_bench(tmp_path / "roof.fairlead") == bench
    assert questions == [("roof.fairlead", "closing")]


def test_a_save_on_closing_that_fails_keeps_the_window(saved, qtbot, questions, tmp_path):
    rename(saved, "wet", "soaked")
    (tmp_path / "roof.fairlead").unlink()
    (tmp_path / "roof.fairlead").mkdir()
    questions.answer = "save"
    saved.close()
    settled(saved, qtbot)
    assert saved.isVisible()
    assert "there is a folder of this name" in saved.messages.lines[0]
    assert saved.isWindowModified()


def test_no_name_for_the_save_on_closing_keeps_the_window(loaded, qtbot, questions, answer):
    questions.answer = "save"
    loaded.close()
    settled(loaded, qtbot)
    assert loaded.isVisible()
    assert len(answer.suggestions) == 1


def test_closing_while_it_is_being_saved_waits_for_it(saved, qtbot, questions, tmp_path):
    rename(saved, "wet", "soaked")
    bench = saved.document.bench
    qtbot.keyClick(saved, Qt.Key.Key_S, CTRL)
    saved.close()
    qtbot.waitUntil(lambda: not saved.isVisible())
    assert load_bench(tmp_path / "roof.fairlead") == bench
    assert questions == []


def test_the_question_names_the_file_and_enter_saves(loaded):
    box = UnsavedQuestion.make(loaded, "roof.fairlead", "closing")
    assert box.text() == 'Save the changes to "roof.fairlead" before closing?'
    texts = [button.text().replace("&", "") for button in box.buttons()]
    assert sorted(texts) == ["Cancel", "Discard changes", "Save"]
    assert box.defaultButton().text().replace("&", "") == "Save"
    assert box.escapeButton().text().replace("&", "") == "Cancel"
    box.deleteLater()


@pytest.mark.parametrize(
    ("key", "wanted"), [(Qt.Key.Key_Return, "save"), (Qt.Key.Key_Escape, "cancel")]
)
def test_the_real_question_is_answered_by_keys(window, qtbot, monkeypatch, key, wanted):
    monkeypatch.undo()
    make = UnsavedQuestion.make

    def press():
        box = QApplication.activeModalWidget()
        qtbot.keyClick(box, key)

    QTimer.singleShot(200, press)
    assert UnsavedQuestion.make == make
    assert UnsavedQuestion.ask(window, "roof.fairlead", "closing") == wanted
    run_events()


# New and opened


def test_new_asks_and_begins_anew(loaded, qtbot, questions):
    questions.answer = "cancel"
    qtbot.keyClick(loaded, Qt.Key.Key_N, CTRL)
    assert labels(loaded) == ["dry", "wet", "iced"]
    questions.answer = "discard"
    qtbot.keyClick(loaded, Qt.Key.Key_N, CTRL)
    assert questions == [("Unnamed bench", "starting a new bench")] * 2
    assert loaded.document.bench.entries == ()
    assert loaded.empty_page.isVisible()
    assert loaded.windowTitle() == "Unnamed bench[*] – Fairlead"
    assert not loaded.isWindowModified()
    assert not loaded.commands["undo"].isEnabled()


def test_a_bench_opens_as_it_was_saved_with_no_history(saved, qtbot, questions, tmp_path):
    bench = saved.document.bench
    qtbot.keyClick(saved, Qt.Key.Key_N, CTRL)
    load(saved, qtbot, [str(tmp_path / "roof.fairlead")])
    assert saved.document.bench == bench
    assert labels(saved) == ["dry", "wet", "iced"]
    assert steps(saved) == 0
    assert not saved.commands["undo"].isEnabled()
    assert not saved.isWindowModified()
    assert questions == []


def test_a_bench_of_another_span_is_seen_whole(saved, qtbot, tmp_path):
    """Its keys are the same by chance, and the user had zoomed."""
    high = write_sweep(tmp_path / "high.s1p", 145e6, span_hz=(140e6, 150e6))
    bench = Bench().with_readings([*open_sweeps(high)] * 3)
    save_bench(bench, tmp_path / "high.fairlead")
    for _ in range(3):
        qtbot.keyClick(saved, Qt.Key.Key_Plus, CTRL)
    load(saved, qtbot, [str(tmp_path / "high.fairlead")])
    assert [entry.key for entry in bench.entries] == [1, 2, 3]
    plot = saved.frequency_plot
    left, right = (plot.position_of(hz, 0.5).x() for hz in (140e6, 150e6))
    assert 0 < left < 0.3 * plot.width()
    assert 0.8 * plot.width() < right < plot.width()


def test_one_chooser_opens_sweeps_and_benches_by_what_is_in_them(
    saved, qtbot, tmp_path, monkeypatch
):
    odd = tmp_path / "a bench called.s1p"
    (tmp_path / "roof.fairlead").rename(odd)
    saved.commands["new"].trigger()
    monkeypatch.setattr(FileChooser, "files_to_open", classmethod(lambda *_: [str(odd)]))
    with qtbot.waitSignal(saved.loader.ended):
        qtbot.keyClick(saved, Qt.Key.Key_O, CTRL)
    assert labels(saved) == ["dry", "wet", "iced"]
    assert saved.document.path == str(odd)


def test_a_dropped_bench_asks_for_the_present_one(saved, qtbot, questions, tmp_path):
    rename(saved, "wet", "soaked")
    other = saved.document.bench.without([key_of(saved, "iced")])
    save_bench(other, tmp_path / "other.fairlead")
    before = saved.document.bench
    questions.answer = "cancel"
    with qtbot.waitSignal(saved.loader.ended):
        assert drop(saved, QPointF(640, 400), files=[tmp_path / "other.fairlead"])
    assert saved.document.bench is before
    assert questions == [("roof.fairlead", 'opening "other.fairlead"')]
    questions.answer = "save"
    with qtbot.waitSignal(saved.loader.ended):
        assert drop(saved, QPointF(640, 400), files=[tmp_path / "other.fairlead"])
    settled(saved, qtbot)
    assert load_bench(tmp_path / "roof.fairlead") == before
    assert saved.document.bench == other
    assert saved.windowTitle() == "other.fairlead[*] – Fairlead"


def test_the_bench_comes_first_and_the_sweeps_on_top(saved, qtbot, tmp_path):
    new = write_sweep(tmp_path / "new.s1p")
    saved.commands["new"].trigger()
    load(saved, qtbot, [new, str(tmp_path / "roof.fairlead")])
    assert labels(saved) == ["dry", "wet", "iced", "new"]
    assert steps(saved) == 1
    assert saved.isWindowModified()
    qtbot.keyClick(saved, Qt.Key.Key_Z, CTRL)
    assert not saved.isWindowModified()


def test_the_same_file_twice_says_so(saved, qtbot, questions, tmp_path):
    rename(saved, "wet", "soaked")
    before = saved.document.bench
    link = tmp_path / "link.fairlead"
    link.symlink_to(tmp_path / "roof.fairlead")
    for path in (tmp_path / "roof.fairlead", link):
        saved.messages.clear()
        load(saved, qtbot, [str(path)])
        assert saved.messages.lines == ["roof.fairlead is already open"]
    assert saved.document.bench is before
    assert questions == []


def test_the_same_file_changed_by_another_program_can_be_opened_again(saved, qtbot, tmp_path):
    other = saved.document.bench.without([key_of(saved, "iced")])
    save_bench(other, tmp_path / "roof.fairlead")
    load(saved, qtbot, [str(tmp_path / "roof.fairlead")])
    assert labels(saved) == ["dry", "wet", "iced"]
    (button,) = saved.messages.offer_buttons
    click(button)
    assert labels(saved) == ["dry", "wet"]
    rename(saved, "wet", "soaked")
    save(saved, qtbot)
    assert load_bench(tmp_path / "roof.fairlead") == saved.document.bench


def test_two_benches_at_once_are_one_and_a_line(saved, qtbot, tmp_path):
    save_bench(saved.document.bench, tmp_path / "second.fairlead")
    saved.commands["new"].trigger()
    load(saved, qtbot, [str(tmp_path / name) for name in ("roof.fairlead", "second.fairlead")])
    assert saved.document.path == str(tmp_path / "roof.fairlead")
    (line,) = saved.messages.lines
    assert line.startswith(str(tmp_path / "second.fairlead"))
    assert "only one bench" in line


@pytest.mark.parametrize(
    "content", [b"", b"{", b'{"fairlead": 1}', b'{"fairlead": 99}', b"\x80\x04pickle"]
)
def test_a_broken_bench_is_one_line_and_nothing_is_lost(saved, qtbot, questions, tmp_path, content):
    rename(saved, "wet", "soaked")
    before = saved.document.bench
    (tmp_path / "broken.fairlead").write_bytes(content)
    load(saved, qtbot, [str(tmp_path / "broken.fairlead")])
    assert saved.document.bench is before
    assert questions == []
    (line,) = saved.messages.lines
    assert "broken.fairlead" in line
    assert (tmp_path / "broken.fairlead").read_bytes() == content


# Recent


def recent_entries(window):
    menu = window.recent_menu.parent()
    assert isinstance(menu, QMenu)
    menu.aboutToShow.emit()
    return [action for action in menu.actions() if action.statusTip().endswith(".fairlead")]


def test_recent_lists_the_newest_first_greys_the_missing_and_is_cleared(
    saved, qtbot, answer, tmp_path
):
    answer.path = tmp_path / "R&D.fairlead"
    save(saved, qtbot, CTRL | SHIFT)
    (tmp_path / "roof.fairlead").unlink()
    first, second = recent_entries(saved)
    assert first.text().startswith("&1  R&&D.fairlead")
    assert first.isEnabled()
    assert second.statusTip() == str(tmp_path / "roof.fairlead")
    assert not second.isEnabled()
    saved.commands["new"].trigger()
    with qtbot.waitSignal(saved.loader.ended):
        first.trigger()
    assert labels(saved) == ["dry", "wet", "iced"]
    assert saved.document.path == str(answer.path)
    saved.commands["clear-recent"].trigger()
    assert recent_entries(saved) == []
    assert not saved.commands["clear-recent"].isEnabled()
    assert answer.path.exists()


@pytest.mark.skipif(os.name != "posix", reason="links, pipes and devices of POSIX")
def test_recent_stands_whatever_its_files_have_become(saved, qtbot, tmp_path):
    odd = {name: tmp_path / f"{name}.fairlead" for name in ("loop", "gone", "endless", "pipe")}
    odd["loop"].symlink_to(odd["loop"])
    odd["gone"].symlink_to(tmp_path / "mount" / "bench.fairlead")
    odd["endless"].symlink_to("/dev/zero")
    os.mkfifo(odd["pipe"])
    odd["folder"] = tmp_path / "folder.fairlead"
    odd["folder"].mkdir()
    odd["below"] = tmp_path / "roof.fairlead" / "below a file.fairlead"
    odd["long"] = tmp_path / f"{'x' * 300}.fairlead"
    odd["secret"] = tmp_path / "secret.fairlead"
    odd["secret"].write_bytes((tmp_path / "roof.fairlead").read_bytes())
    odd["secret"].chmod(0)
    for path in odd.values():
        saved.settings.add_recent(str(path))
    found = {action.statusTip(): action for action in recent_entries(saved)}
    # One that may not be read is there; opening it says why it is not read.
    offered = {path for path, action in found.items() if action.isEnabled()}
    assert offered == {str(tmp_path / "roof.fairlead"), str(odd["secret"])}
    # A file may change between the look and the click.
    for name in ("loop", "endless", "pipe"):
        with qtbot.waitSignal(saved.loader.ended, timeout=5000):
            found[str(odd[name])].setEnabled(True)
            found[str(odd[name])].trigger()
        run_events()
        assert any(f"{name}.fairlead" in line for line in saved.messages.lines)
    assert labels(saved) == ["dry", "wet", "iced"]
    with qtbot.waitSignal(saved.loader.ended, timeout=5000):
        found[str(tmp_path / "roof.fairlead")].trigger()
    assert saved.document.path == str(tmp_path / "roof.fairlead")


@pytest.mark.usefixtures("saved")
def test_recent_survives_a_restart(settings, tmp_path):
    other = MainWindow(settings)
    (entry,) = recent_entries(other)
    assert entry.statusTip() == str(tmp_path / "roof.fairlead")
    other.close()
    other.deleteLater()
    run_events()


def test_a_file_that_has_gone_is_written_again_only_on_wish(saved, qtbot, tmp_path):
    path = tmp_path / "roof.fairlead"
    path.unlink()
    rename(saved, "wet", "soaked")
    save(saved, qtbot)
    assert not path.exists()
    assert saved.isWindowModified()
    assert "removed or renamed" in saved.messages.lines[0]
    elsewhere, again = saved.messages.offer_buttons
    assert (elsewhere.text(), again.text()) == ("Save elsewhere ...", "Save it there")
    again.click()
    qtbot.waitUntil(lambda: not saved.worker.is_busy)
    assert load_bench(path) == saved.document.bench
    assert not saved.isWindowModified()
