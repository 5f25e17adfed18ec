"""What a crash has left is offered in a bar, restored or discarded; a clean exit leaves nothing."""

from __future__ import annotations

import threading

import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from window import key_of, labels, load, run_events, write_sweep

from fairlead.app.files.leftovers import Leftovers
from fairlead.app.files.recovery_file import RecoveryWriter, read_bench
from fairlead.core.bench_file import load_bench
from fairlead.core.document.bench import Bench
from fairlead.core.reading import open_sweeps

pytest_plugins = ["window_fixtures"]


def left(folder, number, *labels_):
    """A recovery file whose program runs no more; the bench in it."""
    folder.mkdir(exist_ok=True)
    bench = Bench()
    for i, label in enumerate(labels_):
        path = write_sweep(folder.parent / f"{label}.s1p", 50e6 + i * 1e5)
        bench = bench.with_readings(open_sweeps(path))
    RecoveryWriter(folder / f"{number:016x}.recovery").write(bench, None)
    return bench


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "recovery"


def start(window, folder):
    window.handlers.recovery.start(folder)
    wait_for_worker(window)


def wait_for_worker(window):
    """Until the keeper's worker has told about everything it was asked."""
    recovery = window.handlers.recovery.recovery
    for _ in range(2000):
        run_events()
        if recovery is None or not recovery._jobs.is_busy:
            return
        QTest.qWait(5)
    raise AssertionError("the worker does not end")


def click(button):
    window = button.window()
    Mouse(button).click(QPointF(button.rect().center()))
    wait_for_worker(window)


def first(buttons):
    return next(iter(buttons.values()))


def test_nothing_left_is_no_bar_and_no_folder(window, folder):
    start(window, folder)
    assert not window.recovery_bar.isVisible()
    window.close()
    assert not folder.exists()


def test_kept_work_is_offered_and_restored_as_modified(window, qtbot, folder):
    bench = left(folder, 1, "dry", "wet")
    start(window, folder)
    assert window.recovery_bar.isVisible()
    assert QApplication.activeModalWidget() is None
    button = first(window.recovery_bar.restore_buttons)
    assert "2 sweeps: dry, wet" in button.accessibleName()
    click(button)
    assert labels(window) == ["dry", "wet"]
    assert window.document.bench == bench
    assert window.isWindowModified()
    assert window.windowTitle() == "Unnamed bench[*] – Fairlead"
    assert not window.recovery_bar.isVisible()
    # It is kept until it is safe in a file of this program's own.
    recovery = window.handlers.recovery.recovery
    with qtbot.waitSignal(recovery.written, timeout=10_000):
        pass
    files = list(folder.glob("*.recovery"))
    assert len(files) == 1
    assert files[0].stem != f"{1:016x}"


def test_restored_work_goes_back_to_its_file_when_saved(window, qtbot, folder, tmp_path):
    target = tmp_path / "roof.fairlead"
    bench = left(folder, 1, "dry")
    RecoveryWriter(folder / f"{1:016x}.recovery").write(bench, str(target))
    start(window, folder)
    click(first(window.recovery_bar.restore_buttons))
    assert window.windowTitle() == "roof.fairlead[*] – Fairlead"
    assert window.isWindowModified()
    window.commands["save"].trigger()
    qtbot.waitUntil(lambda: not window.worker.is_busy)
    assert load_bench(target) == bench
    assert not window.isWindowModified()
    window.close()
    assert list(folder.iterdir()) == []


def test_several_are_offered_and_restoring_asks_for_the_present_bench(loaded, folder, questions):
    for number, label in enumerate(("one", "two", "three", "four", "five")):
        left(folder, number, label)
    start(loaded, folder)
    bar = loaded.recovery_bar
    assert len(bar.restore_buttons) == 3
    assert "and 2 more" in bar._more.text()
    questions.answer = "cancel"
    click(first(bar.restore_buttons))
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert len(bar.restore_buttons) == 3
    questions.answer = "discard"
    click(first(bar.restore_buttons))
    assert len(loaded.document.bench.entries) == 1
    assert "and 1 more" in bar._more.text()


def test_discarded_work_can_be_kept_after_all_until_the_end(window, folder):
    left(folder, 1, "dry")
    start(window, folder)
    click(first(window.recovery_bar.discard_buttons))
    assert not window.recovery_bar.isVisible()
    assert len(list(folder.glob("*.recovery"))) == 1
    (offer,) = window.messages.offer_buttons
    click(offer)
    assert window.recovery_bar.isVisible()
    click(first(window.recovery_bar.discard_buttons))
    window.close()
    assert list(folder.iterdir()) == []


def test_later_keeps_it_for_the_next_start(window, folder):
    left(folder, 1, "dry")
    start(window, folder)
    click(window.recovery_bar.later_button)
    assert not window.recovery_bar.isVisible()
    window.close()
    assert [path.name for path in folder.iterdir()] == [f"{1:016x}.recovery"]


def test_broken_work_is_one_line_and_set_aside(window, folder):
    folder.mkdir()
    (folder / "1.recovery").write_bytes(b'{"fairlead_recovery": 1')
    start(window, folder)
    assert not window.recovery_bar.isVisible()
    (line,) = window.messages.lines
    assert "it is set aside as 1.broken" in line


def test_work_is_kept_while_it_is_unsaved_and_gone_after_saving(loaded, qtbot, folder, tmp_path):
    # Started late: what was loaded before counts as unsaved all the same.
    start(loaded, folder)
    recovery = loaded.handlers.recovery.recovery
    with qtbot.waitSignal(recovery.written, timeout=10_000):
        pass
    assert len(list(folder.glob("*.recovery"))) == 1
    loaded.document.mark_saved(loaded.document.bench, str(tmp_path / "roof.fairlead"))
    with qtbot.waitSignal(recovery.written, timeout=10_000):
        pass
    assert list(folder.glob("*.recovery")) == []
    loaded.edits.rename(key_of(loaded, "dry"), "drier")
    with qtbot.waitSignal(recovery.written, timeout=10_000):
        pass
    assert len(list(folder.glob("*.recovery"))) == 1
    loaded.close()
    assert list(folder.iterdir()) == []


def test_opening_counts_as_safe(window, qtbot, folder, tmp_path):
    start(window, folder)
    load(window, qtbot, [write_sweep(tmp_path / "dry.s1p")])
    recovery = window.handlers.recovery.recovery
    with qtbot.waitSignal(recovery.written, timeout=10_000):
        pass
    window.commands["new"].trigger()
    with qtbot.waitSignal(recovery.written, timeout=10_000):
        pass
    assert list(folder.glob("*.recovery")) == []


def test_the_end_of_the_session_asks_nothing_and_keeps_edits_only(loaded, folder, questions):
    start(loaded, folder)
    assert not loaded.document.holds_edits
    loaded.edits.rename(key_of(loaded, "dry"), "drier")
    assert loaded.document.holds_edits
    loaded.commands["undo"].trigger()
    assert not loaded.document.holds_edits
    loaded.commands["redo"].trigger()
    loaded.end_session()
    loaded.end_session()
    assert questions == []
    assert not loaded.isVisible()
    (kept,) = folder.glob("*.recovery")
    assert [entry.label for entry in read_bench(kept).entries] == ["drier", "wet", "iced"]
    assert list(folder.glob("*.lock")) == []


def test_edits_made_while_kept_work_is_read_are_asked_about(
    window, qtbot, folder, questions, monkeypatch
):
    left(folder, 1, "dry", "wet")
    start(window, folder)
    load(window, qtbot, [write_sweep(folder.parent / "mine.s1p")])
    gate, real = threading.Event(), Leftovers.take
    monkeypatch.setattr(Leftovers, "take", lambda self, path: gate.wait(10) and real(self, path))
    button = first(window.recovery_bar.restore_buttons)
    Mouse(button).click(QPointF(button.rect().center()))
    assert len(questions) == 1
    window.edits.rename(key_of(window, "mine"), "worked on")
    questions.answer = "cancel"
    gate.set()
    wait_for_worker(window)
    assert len(questions) == 2
    assert labels(window) == ["worked on"]
    # It is still there, and still offered.
    assert window.recovery_bar.isVisible()
    assert len(list(folder.glob(f"{1:016x}.recovery"))) == 1
