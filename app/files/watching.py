"""Watching a folder: sweep files that appear or change in it are read when complete.

A file is complete when its size and time have not changed for a while; how long is learned from the
pauses of the program that writes it. The folder is scanned at intervals on a worker thread; the
system's change notifications are not used: they are lost after an atomic replace and on some
network drives. A failed scan is reported, and the next one follows all the same.
"""

from __future__ import annotations

import os
import time
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from fairlead.app.files.gathering import one_line, unforeseen
from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.files.table_columns import Tables
from fairlead.core.errors import FairleadError
from fairlead.core.paths import WRITTEN, is_file, is_folder, mark_of, names_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from fairlead.app.files.table_columns import Unclear
    from fairlead.core.document.bench import Bench
    from fairlead.core.paths import FileMark
    from fairlead.core.reading.reading import Reading
    from fairlead.core.sweep import AnySweep

STILL_S = 0.5
"""A file unchanged for this long is taken to be complete ..."""
PAUSES = 3.0
"""... unless its writer has paused: then for this many times the longest pause."""
LONGEST_STILL_S = 6.0
GIVE_UP_S = 2.0
"""An unchanged file that cannot be read is reported after this time."""
PENDING_MS = 150
POLL_MS = 400
SILENT_S = 10.0
"""A scan that has not ended after this time is reported: the drive does not respond."""
# The pause between scans, as a multiple of the duration of one.
_REST = 5.0
# A lost drive can block a scan for ever; the window closes all the same.
_PATIENCE_S = 5.0


@dataclass(frozen=True, slots=True)
class Arrived:
    """Files that are complete now.

    Attributes
    ----------
    files : tuple of (str, tuple of Reading)
        Each file with its sweeps.
    errors : tuple of str
        One line for each file that cannot be read.
    unclear : tuple of Unclear
        Tables whose columns the user has to identify.
    moved : tuple of (str, str)
        Files that were renamed or moved: the old path and the new one. Nothing else about them is
        new.
    """

    files: tuple[tuple[str, tuple[Reading, ...]], ...] = ()
    errors: tuple[str, ...] = ()
    unclear: tuple[Unclear, ...] = ()
    moved: tuple[tuple[str, str], ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to report."""
        return not (self.files or self.errors or self.unclear or self.moved)


class FolderWatch(QObject):
    """Watches one folder and its subfolders.

    Parameters
    ----------
    bench_now : callable
        Returns the bench that sweeps will be added to; called on the watch's thread.
    prepare : callable, optional
        Called on the watch's thread with each new sweep and the reference impedance.
    """

    began = Signal(object)
    """Paths of sweep files that are in the folder already."""
    arrived = Signal(object)
    """`Arrived`."""
    trouble_changed = Signal(str)
    """Why the folder cannot be read now; empty once it can."""

    def __init__(
        self,
        bench_now: Callable[[], Bench],
        parent: QObject | None = None,
        prepare: Callable[[AnySweep, Bench], None] | None = None,
    ) -> None:
        super().__init__(parent)
        self._bench_now = bench_now
        self._prepare = prepare
        self._jobs = Jobs(self)
        self._job: Job | None = None
        self._look: _Look | None = None
        self._trouble = ""
        self._said: set[str] = set()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._go)
        self._silence = QTimer(self)
        self._silence.setSingleShot(True)
        self._silence.timeout.connect(self._on_silence)
        self.columns: Mapping[str, str] = {}

    @property
    def folder(self) -> str:
        """The watched folder; empty while none is."""
        return "" if self._look is None else self._look.folder

    def start(self, folder: str) -> None:
        """Watch a folder from now on, in place of any other."""
        self.stop()
        whole = os.path.abspath(folder)  # noqa: PTH100 - odd names stay as given
        self._look = _Look(whole, self._bench_now, self._prepare)
        self._go()

    def stop(self) -> None:
        """Stop watching; what is being read is dropped."""
        self._look = None
        self._trouble = ""
        self._said = set()
        self._timer.stop()
        self._silence.stop()
        self._jobs.cancel()

    def close(self) -> None:
        """Stop, and wait for the current file, but not for a drive that does not respond."""
        self.stop()
        self._jobs.close(_PATIENCE_S)

    def _go(self) -> None:
        """Scan the folder once."""
        look = self._look
        if look is None:
            return
        columns = dict(self.columns)
        # Whatever happens, the next scan follows: a watch must not die silently.
        self._job = self._jobs.run(
            "",
            lambda job: look.through(job, columns),
            lambda seen: self._on_seen(look, seen),
            lambda error: self._on_seen(look, Seen(trouble=str(error))),
        )
        self._silence.start(round(SILENT_S * 1e3))

    def _on_seen(self, look: _Look, seen: Seen) -> None:
        # Results for a folder that is no longer watched are dropped.
        if look is not self._look:
            return
        self._silence.stop()
        self._timer.start(seen.wait_ms)
        self._tell_trouble(seen.trouble)
        if seen.began is not None:
            self.began.emit(seen.began)
        # Each error is reported once.
        errors = tuple(line for line in seen.arrived.errors if line not in self._said)
        self._said.update(errors)
        arrived = replace(seen.arrived, errors=errors)
        if not arrived.is_empty:
            self.arrived.emit(arrived)

    def _on_silence(self) -> None:
        if self._look is not None:
            self._tell_trouble("the drive does not respond")

    def _tell_trouble(self, trouble: str) -> None:
        if trouble != self._trouble:
            self._trouble = trouble
            self.trouble_changed.emit(trouble)


@dataclass(slots=True)
class _Pending:
    """A file that is new or has changed."""

    mark: FileMark
    since_s: float
    still_s: float = STILL_S

    def note(self, mark: FileMark, now_s: float) -> None:
        """Update with the current state of the file."""
        if mark != self.mark:
            pause_s = now_s - self.since_s
            self.still_s = min(max(self.still_s, PAUSES * pause_s), LONGEST_STILL_S)
            self.mark, self.since_s = mark, now_s


@dataclass(slots=True)
class FolderState:
    """What is known about a folder's files; free of Qt and of threads.

    A file is identified by device and inode, so that a renamed one is not a new one.

    Attributes
    ----------
    known : dict
        Mark of every file that was handled, by path. Deleted files stay known: a folder that is
        removed and restored contains nothing new.
    pending : dict
        Files that are new or have changed.
    """

    known: dict[str, FileMark] = field(default_factory=dict)
    pending: dict[str, _Pending] = field(default_factory=dict)

    def moves(self, marks: Mapping[str, FileMark]) -> list[tuple[str, str]]:
        """Known files with a new path: the old path and the new one.

        From then on they are known by their new path.
        """
        elsewhere = [
            file
            for file, mark in marks.items()
            if file not in self.known or self.known[file].identity != mark.identity
        ]
        if not elsewhere:
            return []
        gone = {
            mark.identity: (file, mark)
            for file, mark in self.known.items()
            if file not in marks or marks[file].identity != mark.identity
        }
        found = []
        for file in elsewhere:
            before, known = gone.get(marks[file].identity, (file, None))
            # Inode numbers of deleted files are reused: the content must be the same, too.
            if known is not None and marks[file].has_content_of(known):
                found.append((before, file))
        # All at once: two files may have swapped names.
        for before, _ in found:
            del self.known[before]
        for _, file in found:
            self.known[file] = marks[file]
            self.pending.pop(file, None)
        return found

    def note(self, marks: Mapping[str, FileMark], now_s: float) -> list[str]:
        """Update with the current state of the files.

        Returns
        -------
        list of str
            Files that have been unchanged for long enough to be read, in the order given.
        """
        for file in [file for file in self.pending if file not in marks]:
            del self.pending[file]
        ready = []
        for file, mark in marks.items():
            if self.known.get(file) == mark:
                self.pending.pop(file, None)
                continue
            pending = self.pending.setdefault(file, _Pending(mark, now_s))
            pending.note(mark, now_s)
            if now_s - pending.since_s >= pending.still_s:
                ready.append(file)
        return ready

    def is_hopeless(self, file: str, now_s: float) -> bool:
        """Whether an unreadable file has been unchanged for so long that it will stay so."""
        pending = self.pending[file]
        return now_s - pending.since_s >= max(GIVE_UP_S, pending.still_s)

    def mark_done(self, file: str) -> None:
        """Note that a file was handled in its current state."""
        self.known[file] = self.pending.pop(file).mark


@dataclass(frozen=True, slots=True)
class Seen:
    """The result of one scan.

    Attributes
    ----------
    arrived : Arrived
    began : tuple of str or None
        After the first scan, the files that are there already.
    trouble : str
        Why the folder cannot be read.
    wait_ms : int
        Until the next scan.
    """

    arrived: Arrived = field(default_factory=Arrived)
    began: tuple[str, ...] | None = None
    trouble: str = ""
    wait_ms: int = POLL_MS


class _Look:
    """Scans one folder at intervals, only on the worker thread."""

    def __init__(
        self,
        folder: str,
        bench_now: Callable[[], Bench],
        prepare: Callable[[AnySweep, Bench], None] | None,
    ) -> None:
        self.folder = folder
        self._bench_now = bench_now
        self._prepare = prepare
        self._state = FolderState()
        self._has_begun = False

    def through(self, job: Job, columns: Mapping[str, str]) -> Seen:
        """Scan once and read files that are complete."""
        begin_s = time.monotonic()
        trouble = self._trouble()
        if trouble:
            return Seen(trouble=trouble)
        marks, errors = self._marks()
        if not self._has_begun:
            self._has_begun = True
            self._state.known.update(marks)
            there = tuple(file for file, mark in marks.items() if not WRITTEN.holds(mark))
            return Seen(Arrived(errors=errors), began=there)
        moved = self._state.moves(marks)
        # A large tree is scanned less often.
        rest_ms = round(_REST * 1e3 * (time.monotonic() - begin_s))
        ready = self._state.note(marks, time.monotonic())
        arrived = self._read(job, ready, Tables(columns))
        arrived = replace(
            arrived, errors=(*errors, *arrived.errors), moved=(*moved, *arrived.moved)
        )
        wait_ms = max(PENDING_MS if self._state.pending else POLL_MS, rest_ms)
        return Seen(arrived, wait_ms=wait_ms)

    def _trouble(self) -> str:
        """Why the folder cannot be read; empty if it can."""
        if not is_folder(self.folder):
            return "it does not exist"
        try:
            names_in(self.folder)
        except FairleadError as error:
            return error.reason
        return ""

    def _marks(self) -> tuple[dict[str, FileMark], tuple[str, ...]]:
        """Every sweep file of the folder with its mark, and a line for what cannot be accessed."""
        from fairlead.core.reading import expand_paths  # noqa: PLC0415 - readers load after the window

        paths, refused = expand_paths([self.folder])
        # For a watched folder, having no sweep yet is not an error.
        errors = tuple(
            str(error) for error in refused if not error.reason.startswith("no sweep file")
        )
        marks = {}
        for path in paths:
            mark = mark_of(path)
            if mark is not None:
                marks[str(path)] = mark
        return marks, errors

    def _read(self, job: Job, files: Iterable[str], tables: Tables) -> Arrived:
        """Read complete files; unreadable ones wait, and are reported in the end."""
        found: list[tuple[str, tuple[Reading, ...]]] = []
        errors: list[str] = []
        moved: list[tuple[str, str]] = []
        bench = self._bench_now()
        for file in files:
            if job.is_cancelled:
                break
            if WRITTEN.holds(self._state.pending[file].mark):
                # Our own export, picture or bench, which must not be added.
                self._state.mark_done(file)
                continue
            try:
                readings = tuple(map(one_line, tables.open(file)))
            except FairleadError as error:
                line = str(error)
            except Exception as error:  # noqa: BLE001 - one odd file must not end the watch
                line = str(unforeseen(file, error))
            else:
                self._state.mark_done(file)
                before = _path_before(file, readings, bench)
                if before:
                    moved.append((before, file))
                elif readings:
                    found.append((file, readings))
                continue
            if self._state.is_hopeless(file, time.monotonic()):
                self._state.mark_done(file)
                errors.append(line)
        self._work_out(job, [reading for _, readings in found for reading in readings], bench)
        return Arrived(tuple(found), tuple(errors), tables.unclear, tuple(moved))

    def _work_out(self, job: Job, readings: Sequence[Reading], bench: Bench) -> None:
        """Analyse each new sweep here, so that the window finds it ready."""
        if not readings or self._prepare is None:
            return
        shown = {entry.sweep for entry in bench.entries}
        after = bench.with_readings(readings)
        for reading in readings:
            if not job.is_cancelled and reading.sweep not in shown:
                self._prepare(reading.sweep, after)


def _path_before(file: str, readings: Sequence[Reading], bench: Bench) -> str:
    """The path that a file had when its sweeps came onto the bench; empty for a new file.

    On drives without stable inode numbers, a renamed file is identified by its content: exactly the
    sweeps of a file that is gone.
    """
    if not readings or any(entry.file == file for entry in bench.entries):
        return ""
    from_file = {reading.sweep for reading in readings}
    keys: dict[str, list[int]] = {}
    for entry in bench.entries:
        if entry.file:
            keys.setdefault(entry.file, []).append(entry.key)
    for before, own in keys.items():
        if set(bench.as_read(own)) == from_file and not is_file(before):
            return before
    return ""
