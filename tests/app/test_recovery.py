"""Unsaved work is kept in the background; what a crash left is offered once, to one program."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from benches import full_bench, large_bench
from PySide6.QtCore import QLockFile

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.files import recovery
from fairlead.app.files.leftovers import Leftovers
from fairlead.app.files.recovery import Recovery, default_folder
from fairlead.app.files.recovery_file import read_about, read_bench
from fairlead.core.bench_file import bench_to_bytes
from fairlead.core.document.bench import Bench
from fairlead.core.errors import ReadError

ROOT = Path(__file__).parents[2]


QUIET_S = recovery.QUIET_S


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    monkeypatch.setattr(recovery, "QUIET_S", 0.05)


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "state" / "recovery"


@pytest.fixture
def program(qtbot, folder):  # noqa: ARG001 - there has to be an application
    """Makes documents with their recovery, as several running programs would."""
    made = []

    def start(bench: Bench | None = None):
        document = Document()
        keeper = Recovery(document, folder)
        made.append(keeper)
        if bench is not None:
            document.apply(bench)
        return document, keeper

    yield start
    for keeper in made:
        if keeper._document is not None:
            keeper.close()


def files_in(folder, suffix=".recovery"):
    return sorted(folder.glob(f"*{suffix}"))


def wait_for_write(qtbot, keeper):
    with qtbot.waitSignal(keeper.written, timeout=10_000):
        pass


def crash(keeper):
    """What a killed program leaves: file and lock, and nobody who holds it."""
    keeper._timer.stop()
    keeper._document.changed.disconnect(keeper._on_changed)
    keeper._jobs.close()
    path = keeper._store.path
    if keeper._store._lock.isLocked():
        lock = path.with_suffix(".lock")
        content = lock.read_bytes()
        keeper._store._lock.unlock()
        lock.write_bytes(of_the_dead(content))
    keeper._document = None
    return path


def wait_for_task(qtbot, keeper):
    """Until the worker has nothing to do and has told about everything."""
    qtbot.waitUntil(lambda: not keeper._jobs.is_busy)


def pending(qtbot, keeper):
    told = []
    keeper.look(told.append)
    qtbot.waitUntil(lambda: told != [])
    return told[0]


def take(qtbot, keeper, path):
    """The bench; told as taken at once, as the window does."""
    told = []
    keeper.take(path, told.append, told.append)
    qtbot.waitUntil(lambda: told != [])
    if isinstance(told[0], Exception):
        raise told[0]
    keeper.took(read_about(path))
    return told[0]


def discard(qtbot, keeper, path):
    keeper.discard(path)
    wait_for_task(qtbot, keeper)


def of_the_dead(lock: bytes) -> bytes:
    """A lock file's content with the number of a process that cannot be: Linux ends at 4194304."""
    return b"4194999\n" + lock.partition(b"\n")[2]


def test_a_change_is_kept(qtbot, program, folder):
    document, keeper = program()
    document.apply(full_bench())
    wait_for_write(qtbot, keeper)
    (path,) = files_in(folder)
    assert read_bench(path) == full_bench()
    if os.name == "posix":
        assert folder.stat().st_mode & 0o077 == 0


def test_a_write_comes_soon_after_a_pause_and_at_the_latest_after_three_seconds(
    program, monkeypatch
):
    """By a clock of our own: what a busy machine makes of it is the kill test's business."""
    now_s = [100.0]
    monkeypatch.setattr(recovery.time, "monotonic", lambda: now_s[0])
    monkeypatch.setattr(recovery, "QUIET_S", QUIET_S)
    document, keeper = program(full_bench())
    edits = Edits(document)
    # Qt's usual timers are off by up to a twentieth.
    assert 0.6 < keeper._timer.remainingTime() / 1000 < 0.75
    waits = []
    for count in range(1, 40):
        now_s[0] = 100.0 + count * 0.1
        edits.rename(3, f"name {count}")
        waits.append(keeper._timer.remainingTime() / 1000)
    # Put off while changes go on, but never beyond the limit.
    assert all(0.6 < wait < 0.75 for wait in waits[:22])
    assert waits[25] < 0.55
    assert waits[29:] == [0] * 10


def test_quick_changes_are_written_once(qtbot, program, monkeypatch):
    document, keeper = program(full_bench())
    writes = []
    original = recovery.RecoveryWriter.write
    monkeypatch.setattr(
        recovery.RecoveryWriter,
        "write",
        lambda self, *args: (writes.append(args[0]), original(self, *args)),
    )
    for count in range(20):
        Edits(document).rename(3, f"name {count}")
    wait_for_write(qtbot, keeper)
    assert [bench.entries[0].label for bench in writes] == ["name 19"]


def test_nothing_is_encoded_in_the_thread_of_the_window(qtbot, program, monkeypatch):
    document, keeper = program()
    threads = []
    original = recovery.RecoveryWriter.write

    def watched(self, *args):
        threads.append(threading.current_thread())
        original(self, *args)

    monkeypatch.setattr(recovery.RecoveryWriter, "write", watched)
    document.apply(full_bench())
    wait_for_write(qtbot, keeper)
    assert threads
    assert threading.main_thread() not in threads


def test_changes_during_a_write_are_kept_after_it(qtbot, program, folder, monkeypatch):
    document, keeper = program()
    gate = threading.Event()
    original = recovery.RecoveryWriter.write

    def slow(self, *args):
        gate.wait(5)
        original(self, *args)

    monkeypatch.setattr(recovery.RecoveryWriter, "write", slow)
    document.apply(full_bench())
    qtbot.waitUntil(lambda: keeper._job is not None)
    Edits(document).rename(3, "later")
    gate.set()
    wait_for_write(qtbot, keeper)
    (path,) = files_in(folder)
    assert read_bench(path) == document.bench


def test_work_that_is_saved_needs_no_recovery(qtbot, program, folder):
    document, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    assert len(files_in(folder)) == 1
    keeper.mark_saved(document.bench, "/home/me/a.fairlead")
    wait_for_write(qtbot, keeper)
    assert files_in(folder) == []
    edits = Edits(document)
    edits.rename(3, "changed")
    wait_for_write(qtbot, keeper)
    assert len(files_in(folder)) == 1
    edits.undo()
    wait_for_write(qtbot, keeper)
    assert files_in(folder) == []


def test_a_bench_without_sweeps_is_no_work(qtbot, program, folder):
    document, keeper = program()
    document.apply(replace(Bench(), limit_swr=3.0))
    wait_for_write(qtbot, keeper)
    assert not folder.exists()


def test_a_clean_exit_leaves_nothing(qtbot, program, folder):
    document, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    Edits(document).rename(3, "not saved on purpose")
    keeper.close()
    keeper._document = None
    assert list(folder.iterdir()) == []


def test_a_clean_exit_during_a_write_leaves_nothing(qtbot, program, folder):
    _, keeper = program(large_bench(5, 3000))
    qtbot.waitUntil(lambda: keeper._job is not None)
    keeper.close()
    keeper._document = None
    assert list(folder.iterdir()) == []


def test_what_a_crash_left_is_offered_and_taken(qtbot, program, folder):
    document, keeper = program(full_bench())
    keeper.mark_saved(Bench(), "/home/me/a.fairlead")
    wait_for_write(qtbot, keeper)
    left = crash(keeper)

    document, keeper = program()
    (about,) = pending(qtbot, keeper)
    assert about.path == left
    assert about.bench_path == "/home/me/a.fairlead"
    assert about.summary == "2 sweeps: Roof, wet, Mesuré à la main"
    assert pending(qtbot, keeper) == []  # offered once
    bench = take(qtbot, keeper, left)
    assert bench == full_bench()
    # Until our own file holds it, the old one stays: the next crash may come at once.
    assert left.exists()
    document.apply(bench)
    wait_for_write(qtbot, keeper)
    (own,) = files_in(folder)
    assert own != left
    assert read_bench(own) == full_bench()
    assert files_in(folder, ".lock") == [own.with_suffix(".lock")]
    keeper.close()
    keeper._document = None
    assert list(folder.iterdir()) == []


def test_a_crash_right_after_taking_loses_nothing(qtbot, program):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    _, keeper = program()
    pending(qtbot, keeper)
    take(qtbot, keeper, left)
    for lock in keeper._left._held.values():
        lock.unlock()
    crash(keeper)
    _, keeper = program()
    assert [about.path for about in pending(qtbot, keeper)] == [left]


def test_a_write_that_began_before_taking_does_not_end_the_old_file(
    qtbot, program, folder, monkeypatch
):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    document, keeper = program()
    pending(qtbot, keeper)
    gate = threading.Event()
    original = recovery.RecoveryWriter.write

    def slow(self, *args):
        gate.wait(5)
        original(self, *args)

    monkeypatch.setattr(recovery.RecoveryWriter, "write", slow)
    document.apply(large_bench(1, 5))
    qtbot.waitUntil(lambda: keeper._job is not None)
    seen = []

    def on_taken(bench):
        keeper.took(read_about(left))
        document.apply(bench)
        # The write that was going on has ended: it held another bench.
        seen.append(left.exists())

    keeper.take(left, on_taken, seen.append)
    gate.set()
    qtbot.waitUntil(lambda: seen != [])
    assert seen == [True]
    wait_for_write(qtbot, keeper)
    assert not left.exists()
    (own,) = files_in(folder)
    assert own != left
    assert read_bench(own) == full_bench()


def test_a_taken_bench_that_is_saved_needs_the_old_file_no_more(qtbot, program, folder):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    document, keeper = program()
    pending(qtbot, keeper)
    document.apply(take(qtbot, keeper, left))
    keeper.mark_saved(document.bench, "/home/me/b.fairlead")
    wait_for_write(qtbot, keeper)
    assert list(folder.iterdir()) == []


def test_what_was_not_decided_on_is_offered_again(qtbot, program, folder):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    for _ in range(3):
        _, keeper = program()
        assert [about.path for about in pending(qtbot, keeper)] == [left]
        keeper.close()
        keeper._document = None
    _, keeper = program()
    pending(qtbot, keeper)
    discard(qtbot, keeper, left)
    assert list(folder.iterdir()) == []


def test_a_running_program_is_left_alone_and_a_file_goes_to_one_program(qtbot, program):
    _, first = program(full_bench())
    wait_for_write(qtbot, first)
    _, second = program()
    assert pending(qtbot, second) == []
    left = crash(first)
    _, third = program()
    assert [about.path for about in pending(qtbot, second)] == [left]
    assert pending(qtbot, third) == []


def test_the_newest_is_offered_first(qtbot, program):
    paths = []
    for hour in (9, 11, 10):
        moment = f"2026-05-14T{hour:02}:00:00+00:00"
        _, keeper = program(full_bench())
        wait_for_write(qtbot, keeper)
        path = crash(keeper)
        first, _, rest = path.read_bytes().partition(b"\n")
        saved_at = first.split(b'"saved_at": "')[1].split(b'"')[0]
        path.write_bytes(first.replace(saved_at, moment.encode()) + b"\n" + rest)
        paths.append(path)
    _, keeper = program()
    assert [about.path for about in pending(qtbot, keeper)] == [paths[1], paths[2], paths[0]]


@pytest.mark.parametrize("damage", [b"", b"rubbish\n", None], ids=["empty", "rubbish", "cut"])
def test_a_broken_file_is_set_aside_with_a_line(qtbot, program, folder, damage):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    content = left.read_bytes()
    left.write_bytes(content[:-20] if damage is None else damage)
    _, keeper = program()
    said = []
    keeper.failed.connect(said.append)
    assert pending(qtbot, keeper) == []
    (line,) = said
    assert line.startswith(f"{left}: this recovery file cannot be used: ")
    assert line.endswith(f"; it is set aside as {left.stem}.broken")
    assert files_in(folder) == []
    assert len(files_in(folder, ".broken")) == 1
    assert files_in(folder, ".lock") == []


def test_a_file_that_turns_out_broken_when_taken_is_set_aside(qtbot, program, folder):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    left.write_bytes(left.read_bytes().replace(b"[49900000,", b"[49900001,"))
    _, keeper = program()
    pending(qtbot, keeper)
    with pytest.raises(ReadError) as caught:
        take(qtbot, keeper, left)
    assert "its checksum does not match" in caught.value.reason
    assert caught.value.advice == f"it is set aside as {left.stem}.broken"
    assert [path.suffix for path in folder.iterdir()] == [".broken"]


def test_remains_of_killed_writers_are_cleared_away(qtbot, program, folder):
    folder.mkdir(parents=True)
    old, new = folder / ".fairlead-0.part", folder / ".fairlead-1.part"
    old.write_bytes(b"x")
    new.write_bytes(b"x")
    os.utime(old, (1, 1))
    lonely = QLockFile(str(folder / "abc.lock"))
    assert lonely.tryLock(0)
    content = (folder / "abc.lock").read_bytes()
    lonely.unlock()
    (folder / "abc.lock").write_bytes(of_the_dead(content))
    (folder / "notes.txt").write_text("not ours", "ascii")
    _, keeper = program()
    assert pending(qtbot, keeper) == []
    assert sorted(path.name for path in folder.iterdir()) == [".fairlead-1.part", "notes.txt"]


def test_a_file_that_vanishes_meanwhile_is_not_offered(qtbot, program, folder, monkeypatch):
    folder.mkdir(parents=True)
    _, keeper = program()
    monkeypatch.setattr(keeper._left, "_files", lambda: [folder / "gone.recovery"])
    assert pending(qtbot, keeper) == []
    assert list(folder.iterdir()) == []


def test_a_failure_is_told_once_and_tried_again(qtbot, program, folder, monkeypatch):
    document, keeper = program()
    said = []
    keeper.failed.connect(said.append)
    folder.parent.mkdir(parents=True)
    folder.write_text("a file where the folder should be", "ascii")
    monkeypatch.setattr(recovery, "RETRY_S", 0.1)
    document.apply(full_bench())
    qtbot.waitUntil(lambda: len(said) == 1)
    qtbot.wait(500)  # several tries more
    assert len(said) == 1
    assert said[0].startswith("Unsaved work is not stored for recovery: ")
    folder.unlink()
    wait_for_write(qtbot, keeper)
    assert read_bench(files_in(folder)[0]) == full_bench()


def test_a_lock_that_cannot_be_had_is_told(qtbot, program):
    document, keeper = program()
    said = []
    keeper.failed.connect(said.append)
    keeper._store._lock = NoLock()
    document.apply(full_bench())
    qtbot.waitUntil(lambda: bool(said))
    assert "cannot be used for recovery files" in said[0]


class NoLock:
    """Stands for a lock on a drive that has none."""

    def isLocked(self):
        return False

    def tryLock(self, _):
        return False

    def unlock(self):
        pass


def test_an_unforeseen_error_is_told_too(qtbot, program, monkeypatch):
    document, keeper = program()
    said = []
    keeper.failed.connect(said.append)

    def fail(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(recovery.RecoveryWriter, "write", fail)
    document.apply(full_bench())
    qtbot.waitUntil(lambda: bool(said))
    assert said == ["Unsaved work is not stored for recovery: ZeroDivisionError; save it soon"]


def test_a_file_that_cannot_be_removed_is_told(qtbot, program, monkeypatch):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    _, keeper = program()
    pending(qtbot, keeper)
    said = []
    keeper.failed.connect(said.append)

    def refuse(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", refuse)
        discard(qtbot, keeper, left)
    assert said == [f"{left}: this recovery file cannot be deleted: no permission to write there"]


def test_the_lock_is_that_of_a_running_process(qtbot, program, folder):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    (path,) = files_in(folder, ".lock")
    script = (
        "import sys; from PySide6.QtCore import QLockFile; lock = QLockFile(sys.argv[1]);"
        "lock.setStaleLockTime(0); print(lock.tryLock(0))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)], check=True, capture_output=True, text=True
    )
    assert done.stdout.strip() == "False"
    assert QLockFile(str(path)).getLockInfo()[0] == os.getpid()


@pytest.mark.usefixtures("qapp")
def test_the_default_folder_is_that_of_the_program():
    assert default_folder().name == "recovery"
    assert default_folder().is_absolute()


@pytest.mark.unmeasured
def test_a_large_bench_does_not_stall_the_window(qtbot, program, folder):
    """Counted, not timed: the window's own timer goes on firing while a bench is written."""
    document, keeper = program()
    document.apply(large_bench(20, 5000))
    qtbot.waitUntil(lambda: keeper._job is not None)
    turns = 0
    while keeper._job is not None:
        qtbot.wait(1)
        turns += 1
    assert turns > 3
    assert bench_to_bytes(read_bench(files_in(folder)[0])) == bench_to_bytes(document.bench)


def kinds_of_nasty(folder):
    """What somebody may put into the recovery folder to harm who starts the program."""
    (folder / "endless.recovery").symlink_to("/dev/zero")
    os.mkfifo(folder / "pipe.recovery")
    (folder / "folder.recovery").mkdir()
    (folder / "loop.recovery").symlink_to(folder / "loop.recovery")
    (folder / "dangling.recovery").symlink_to(folder / "nothing")
    (folder / "a.recovery").write_bytes(b"x")
    (folder / "a.lock").symlink_to("/dev/zero")
    (folder / "b.recovery").write_bytes(b"x")
    os.mkfifo(folder / "b.lock")
    os.mkfifo(folder / "c.lock")
    os.mkfifo(folder / ".fairlead-0.part")


@pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")
def test_links_pipes_and_folders_are_neither_followed_nor_opened(qtbot, program, folder):
    """A link to an endless device would fill all memory, a pipe would hold the start for ever."""
    folder.mkdir(parents=True)
    secret = folder.parent / "secret"
    _, other = program(full_bench())
    wait_for_write(qtbot, other)
    crash(other).rename(secret)
    (folder / "elsewhere.recovery").symlink_to(secret)
    kinds_of_nasty(folder)
    _, keeper = program()
    said = []
    keeper.failed.connect(said.append)
    assert pending(qtbot, keeper) == []
    assert len(said) == 6
    assert all("not an ordinary file" in line for line in said)
    # Put aside, so that it is told once; what a link leads to is as it was.
    assert secret.exists()
    assert len(files_in(folder, ".broken")) == 6
    assert pending(qtbot, keeper) == []


@pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")
def test_unsaved_work_and_locks_are_nobody_elses_business(qtbot, program, folder):
    folder.mkdir(parents=True, mode=0o755)
    before = os.umask(0)
    try:
        _, keeper = program(full_bench())
        wait_for_write(qtbot, keeper)
    finally:
        os.umask(before)
    modes = {path.suffix: path.stat().st_mode & 0o777 for path in folder.iterdir()}
    assert modes == {".recovery": 0o600, ".lock": 0o600}
    assert folder.stat().st_mode & 0o777 == 0o700


@pytest.mark.skipif(os.name != "posix", reason="holes in files")
def test_a_file_larger_than_any_bench_is_not_read(qtbot, program):
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    content = left.read_bytes()
    with left.open("r+b") as stream:
        stream.seek(2**40)
        stream.write(content[-20:])
    _, keeper = program()
    assert len(pending(qtbot, keeper)) == 1
    with pytest.raises(ReadError, match="larger than any bench"):
        take(qtbot, keeper, left)


def test_the_folder_is_looked_at_off_the_gui_thread(qtbot, program, folder, monkeypatch):
    threads = []
    for name in ("find", "take", "discard"):
        real = getattr(Leftovers, name)
        monkeypatch.setattr(
            Leftovers,
            name,
            lambda self, *args, real=real: (
                threads.append(threading.current_thread()) or real(self, *args)
            ),
        )
    _, keeper = program(full_bench())
    wait_for_write(qtbot, keeper)
    left = crash(keeper)
    document, keeper = program()
    pending(qtbot, keeper)
    document.apply(take(qtbot, keeper, left))
    wait_for_write(qtbot, keeper)
    discard(qtbot, keeper, folder / "other.recovery")
    assert len(threads) >= 4
    assert threading.main_thread() not in threads


def test_the_true_cause_is_told_where_no_lock_can_be_had(qtbot, program, folder, monkeypatch):
    document, keeper = program()
    said = []
    keeper.failed.connect(said.append)
    keeper._store._lock = NoLock()
    real = os.open

    def full(path, *args, **kwargs):
        if str(path).startswith(str(folder)):
            raise OSError(28, "No space left on device")
        return real(path, *args, **kwargs)

    monkeypatch.setattr(os, "open", full)
    document.apply(full_bench())
    qtbot.waitUntil(lambda: bool(said))
    assert said[0].endswith(
        "for recovery files: the drive is full; free some space, or save it somewhere else"
    )


def test_work_that_is_kept_at_the_end_is_offered_at_the_next_start(qtbot, program, folder):
    document, keeper = program(full_bench())
    Edits(document).rename(3, "the last word")
    keeper.close(keeps=document.bench)
    keeper._document = None
    assert files_in(folder, ".lock") == []
    _, keeper = program()
    (about,) = pending(qtbot, keeper)
    assert read_bench(about.path) == document.bench
