"""A folder that is watched: sweep files that appear or change in it are read when complete.

A file is complete when its size and time have stood still for a while; how long is learned from
the pauses of whoever writes it. Everything happens on a thread of its own. The system's notices of
changes only make it quick: they are lost after an atomic replace and on some network drives, so the
folder is also looked through every second.
"""

from __future__ import annotations

import os
import time
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from PySide6.QtCore import QFileSystemWatcher, QObject, Qt, QThread, QTimer, Signal, Slot

from fairlead.app.files.gathering import one_line, unforeseen
from fairlead.app.files.table_columns import Tables
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from fairlead.app.files.table_columns import Unclear
    from fairlead.core.document.bench import Bench
    from fairlead.core.reading.reading import Reading
    from fairlead.core.sweep import AnySweep

STILL_S = 0.5
"""A file that stood still for so long is taken to be complete ..."""
PAUSES = 3.0
"""... unless its writer has made pauses: then so many times the longest of them."""
LONGEST_STILL_S = 6.0
GIVE_UP_S = 2.0
"""A file that stands still and cannot be read is reported after that time."""
SOON_MS = 60
PENDING_MS = 150
POLL_MS = 1000
_MOST_WATCHED = 1000
# So many times as long as a look through the folder takes nothing is done.
_REST = 5.0

Signature = tuple[int, int, int]


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
        Tables whose columns a person has to name.
    """

    files: tuple[tuple[str, tuple[Reading, ...]], ...]
    errors: tuple[str, ...] = ()
    unclear: tuple[Unclear, ...] = ()


class FolderWatch(QObject):
    """Watches one folder and what is below it.

    Parameters
    ----------
    bench_now : callable
        Gives the bench that sweeps will be added to; called on the watch's thread.
    prepare : callable, optional
        Gets each new sweep and the reference impedance on the watch's thread.
    """

    began = Signal(object)
    """Paths of sweep files that are in the folder already."""
    arrived = Signal(object)
    """`Arrived`."""
    presence_changed = Signal(bool)
    """Whether the folder is there."""
    _folder_wanted = Signal(int, str)

    def __init__(
        self,
        bench_now: Callable[[], Bench],
        parent: QObject | None = None,
        prepare: Callable[[AnySweep, Bench], None] | None = None,
    ) -> None:
        super().__init__(parent)
        self._bench_now = bench_now
        self._prepare = prepare
        self._thread: QThread | None = None
        self._scanner: _Scanner | None = None
        self._folder = ""
        self._turn = 0
        self.columns: Mapping[str, str] = {}

    @property
    def folder(self) -> str:
        """The watched folder; empty while none is."""
        return self._folder

    def start(self, folder: str) -> None:
        """Watch a folder from now on, and no other."""
        if self._thread is None:
            self._thread = QThread(self)
            self._scanner = _Scanner(self._bench_now, lambda: self.columns, self._prepare)
            self._scanner.moveToThread(self._thread)
            # On its own thread, where its timers live.
            self._thread.finished.connect(self._scanner.deleteLater)
            queued = Qt.ConnectionType.QueuedConnection
            self._folder_wanted.connect(self._scanner.watch, queued)
            self._scanner.began.connect(self._on_began, queued)
            self._scanner.arrived.connect(self._on_arrived, queued)
            self._scanner.presence_changed.connect(self._on_presence, queued)
            self._thread.start()
        self._folder = os.path.abspath(folder)  # noqa: PTH100 - odd names stay as given
        self._turn += 1
        if self._scanner is not None:
            self._scanner.turn = self._turn
        self._folder_wanted.emit(self._turn, self._folder)

    def stop(self) -> None:
        """Watch no longer; what is being read is dropped."""
        self._folder = ""
        self._turn += 1
        if self._scanner is not None:
            self._scanner.turn = self._turn
            self._folder_wanted.emit(self._turn, "")

    def close(self) -> None:
        """Stop, and wait for the thread."""
        self.stop()
        if self._thread is not None:
            self._thread.quit()
            self._thread.wait()
            self._thread = None
            self._scanner = None

    # What was found for a folder that is watched no longer is not passed on.

    @Slot(int, object)
    def _on_began(self, turn: int, paths: object) -> None:
        if turn == self._turn:
            self.began.emit(paths)

    @Slot(int, object)
    def _on_arrived(self, turn: int, arrived: object) -> None:
        if turn == self._turn:
            self.arrived.emit(arrived)

    @Slot(int, bool)
    def _on_presence(self, turn: int, is_there: bool) -> None:
        if turn == self._turn:
            self.presence_changed.emit(is_there)


@dataclass(slots=True)
class _Pending:
    """A file that is new or has changed."""

    signature: Signature
    since_s: float
    still_s: float = STILL_S

    def note(self, signature: Signature, now_s: float) -> None:
        """Take in how the file is now."""
        if signature != self.signature:
            pause_s = now_s - self.since_s
            self.still_s = min(max(self.still_s, PAUSES * pause_s), LONGEST_STILL_S)
            self.signature, self.since_s = signature, now_s


@dataclass(slots=True)
class FolderState:
    """What is known of a folder's files; free of Qt and of threads.

    Attributes
    ----------
    known : dict
        Signature of every file that was dealt with. Files that go stay known: a folder that is
        taken away and put back brings nothing new.
    pending : dict
        Files that are new or have changed.
    """

    known: dict[str, Signature] = field(default_factory=dict)
    pending: dict[str, _Pending] = field(default_factory=dict)

    def note(self, signatures: Mapping[str, Signature], now_s: float) -> list[str]:
        """Take in how the files are now.

        Returns
        -------
        list of str
            Files that have stood still for long enough to be read, in the order given.
        """
        for file in [file for file in self.pending if file not in signatures]:
            del self.pending[file]
        ready = []
        for file, signature in signatures.items():
            if self.known.get(file) == signature:
                self.pending.pop(file, None)
                continue
            pending = self.pending.setdefault(file, _Pending(signature, now_s))
            pending.note(signature, now_s)
            if now_s - pending.since_s >= pending.still_s:
                ready.append(file)
        return ready

    def is_hopeless(self, file: str, now_s: float) -> bool:
        """Whether a file that cannot be read has stood still so long that it will stay so."""
        pending = self.pending[file]
        return now_s - pending.since_s >= max(GIVE_UP_S, pending.still_s)

    def settle(self, file: str) -> None:
        """A file was dealt with as it is."""
        self.known[file] = self.pending.pop(file).signature


class _Scanner(QObject):
    """Looks through the folder; lives on the watch's thread."""

    began = Signal(int, object)
    arrived = Signal(int, object)
    presence_changed = Signal(int, bool)

    def __init__(
        self,
        bench_now: Callable[[], Bench],
        columns_now: Callable[[], Mapping[str, str]],
        prepare: Callable[[AnySweep, Bench], None] | None,
    ) -> None:
        super().__init__()
        self._prepare = prepare
        self._bench_now = bench_now
        self._columns_now = columns_now
        self.turn = 0
        self._mine = 0
        self._folder = ""
        self._is_there = True
        self._state = FolderState()
        self._said: set[str] = set()
        self._watcher: QFileSystemWatcher | None = None
        self._timer: QTimer | None = None

    @Slot(int, str)
    def watch(self, turn: int, folder: str) -> None:
        """Look at another folder from now on; at none if it is empty."""
        if self._timer is None or self._watcher is None:
            # Made here: timers and watchers belong to the thread they are made on.
            self._timer = QTimer(self)
            self._timer.setSingleShot(True)
            self._timer.timeout.connect(self._look)
            self._watcher = QFileSystemWatcher(self)
            self._watcher.directoryChanged.connect(self._look_soon)
            self._watcher.fileChanged.connect(self._look_soon)
        self._forget_paths()
        self._mine, self._folder = turn, folder
        self.turn = max(self.turn, turn)
        self._state = FolderState()
        self._said = set()
        self._is_there = True
        self._timer.stop()
        if folder:
            files = self._signatures()
            self._state.known.update(files)
            self._watch_paths(files)
            self.began.emit(turn, tuple(files))
            self._timer.start(POLL_MS)

    def _look_soon(self) -> None:
        # Notices come in swarms: a pending look is not put off by another one.
        if self._timer is not None and self._folder and self._timer.remainingTime() > SOON_MS:
            self._timer.start(SOON_MS)

    def _look(self) -> None:
        assert self._timer is not None  # noqa: S101 - it calls this
        if self._folder and self._mine == self.turn:
            begin_s = time.monotonic()
            files = self._signatures()
            # A large tree is looked through less often.
            rest_ms = round(_REST * 1e3 * (time.monotonic() - begin_s))
            self._read(self._state.note(files, time.monotonic()))
            self._watch_paths(files)
            self._timer.start(max(PENDING_MS if self._state.pending else POLL_MS, rest_ms))

    def _signatures(self) -> dict[str, Signature]:
        """Every sweep file of the folder with its size, time and number on the drive."""
        from fairlead.core.reading import expand_paths  # noqa: PLC0415 - readers load after the window

        is_there = os.path.isdir(self._folder)  # noqa: PTH112 - odd names stay as given
        if is_there != self._is_there:
            self._is_there = is_there
            self.presence_changed.emit(self._mine, is_there)
        if not is_there:
            return {}
        found: dict[str, Signature] = {}
        paths, errors = expand_paths([self._folder])
        # That there is no sweep yet is no error of a folder that is watched.
        self._say(str(error) for error in errors if not error.reason.startswith("no sweep file"))
        for path in paths:
            try:
                status = path.stat()
            except OSError:
                continue
            found[str(path)] = (status.st_size, status.st_mtime_ns, status.st_ino)
        return found

    def _read(self, files: Iterable[str]) -> None:
        """Read what is complete; what cannot be read waits, and is reported in the end."""
        tables = Tables(self._columns_now())
        arrived: list[tuple[str, tuple[Reading, ...]]] = []
        errors: list[str] = []
        for file in files:
            if self._mine != self.turn:
                return
            try:
                readings = tuple(map(one_line, tables.open(file)))
            except FairleadError as error:
                line = str(error)
            except Exception as error:  # noqa: BLE001 - one odd file must not end the watch
                line = str(unforeseen(file, error))
            else:
                self._state.settle(file)
                if readings:
                    arrived.append((file, readings))
                continue
            if self._state.is_hopeless(file, time.monotonic()):
                self._state.settle(file)
                errors.append(line)
        self._say(errors)
        self._work_out([reading for _, readings in arrived for reading in readings])
        if (arrived or tables.unclear) and self._mine == self.turn:
            self.arrived.emit(self._mine, Arrived(tuple(arrived), (), tables.unclear))

    def _say(self, errors: Iterable[str]) -> None:
        """Hand on errors, each of them once."""
        new = tuple(line for line in dict.fromkeys(errors) if line not in self._said)
        self._said.update(new)
        if new and self._mine == self.turn:
            self.arrived.emit(self._mine, Arrived((), new))

    def _work_out(self, readings: list[Reading]) -> None:
        """Work out each new sweep here, so that the window finds it ready."""
        if not readings or self._prepare is None:
            return
        bench = self._bench_now()
        shown = {entry.sweep for entry in bench.entries}
        after = bench.with_readings(readings)
        for reading in readings:
            if self._mine == self.turn and reading.sweep not in shown:
                self._prepare(reading.sweep, after)

    def _watch_paths(self, files: Mapping[str, Signature]) -> None:
        """Ask the system for notices; it forgets a file that was replaced or removed."""
        if self._watcher is None or not self._is_there:
            return
        folders = {self._folder, *map(os.path.dirname, files)}
        wanted = [*sorted(folders), *files][:_MOST_WATCHED]
        have = {*self._watcher.directories(), *self._watcher.files()}
        missing = [path for path in wanted if path not in have]
        if missing:
            self._watcher.addPaths(missing)

    def _forget_paths(self) -> None:
        if self._watcher is not None:
            have = [*self._watcher.directories(), *self._watcher.files()]
            if have:
                self._watcher.removePaths(have)
