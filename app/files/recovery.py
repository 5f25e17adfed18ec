"""Work that is not saved yet is kept in the background, and offered again after a crash.

Each running program has one recovery file, guarded by a lock file. The file exists as long as the
bench differs from what is on the drive by the user's own saving. A file whose lock belongs to no
running program is what a crash has left.
"""

from __future__ import annotations

import secrets
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QLockFile,
    QObject,
    QRunnable,
    QStandardPaths,
    QThreadPool,
    QTimer,
    Signal,
)

from fairlead.app.files.recovery_file import Recovered, RecoveryWriter, read_about, read_bench
from fairlead.core.errors import FairleadError, ReadError

if TYPE_CHECKING:
    import os

    from fairlead.app.document.document import Document
    from fairlead.core.document.bench import Bench

QUIET_S = 0.7
"""Saved so long after the last of several quick changes."""
LONGEST_S = 3.0
"""Changes that do not pause are saved so long after the first of them."""
RETRY_S = 10.0
"""After a failure it is tried again so much later, or at the next change."""

_FILE, _LOCK, _BROKEN = ".recovery", ".lock", ".broken"
_LEFT_PARTS = ".fairlead-*.part"
_OLD_PART_S = 3600.0


def default_folder() -> Path:
    """Where recovery files live; organisation and application must be set before."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)
    return Path(place) / "recovery"


class Recovery(QObject):
    """Keeps one document's unsaved work, and finds what earlier programs have left.

    Parameters
    ----------
    document : Document
        Watched from now on. Its present bench counts as needing no recovery.
    folder : path-like, optional
        Where recovery files live; `default_folder` if not given.
    """

    failed = Signal(str)
    """One line: work could not be kept, or a recovery file is broken. Not repeated at each try."""
    written = Signal()
    """The state on the drive has caught up with the document."""

    def __init__(
        self,
        document: Document,
        folder: str | os.PathLike[str] | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._safe: Bench | None = document.bench
        self._bench_path: str | None = None
        self._folder = default_folder() if folder is None else Path(folder)
        self._store = _Store(self._folder)
        self._held: dict[Path, QLockFile] = {}
        self._taken: list[Path] = []
        self._outlived: list[Path] = []
        self._last_failure = ""
        self._changed_at_s: float | None = None
        self._job: _Job | None = None
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._hand_over)
        document.changed.connect(self._on_changed)

    # What the user has saved

    def settle(self, bench: Bench, bench_path: str | None) -> None:
        """Tell that a bench is safe on the drive, or that a new one holds no work.

        To be called after saving, opening and starting anew.

        Parameters
        ----------
        bench : Bench
            As it was saved or opened; the document may have changed since.
        bench_path : str or None
            Its file; None for a new one.
        """
        self._safe = bench
        self._bench_path = bench_path
        self._on_changed()

    # What a crash has left

    def pending(self) -> list[Recovered]:
        """Recovery files of programs that run no more, the newest first.

        They are reserved for this program until they are taken or discarded, or `close`. Broken
        ones are set aside beside the others, and ``failed`` says so.
        """
        found = []
        for path in self._left_files():
            if path in self._held or not self._reserve(path):
                continue
            try:
                found.append(read_about(path))
            except ReadError as error:
                self.failed.emit(str(self._set_aside(path, error)))
        return sorted(found, key=lambda about: about.saved_at, reverse=True)

    def take(self, path: Path) -> Bench:
        """The bench in a recovery file, to be given to the document.

        The file stays until the bench is safe elsewhere: in our own recovery file, by saving, or by
        a clean exit. A large bench takes some tenths of a second to read.

        Raises
        ------
        ReadError
            If it is broken; it is set aside then.
        """
        try:
            about, bench = read_about(path), read_bench(path)
        except ReadError as error:
            raise self._set_aside(path, error) from error
        self._safe = None
        self._bench_path = about.bench_path
        self._taken.append(path)
        return bench

    def discard(self, path: Path) -> None:
        """Remove a recovery file for good."""
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            self.failed.emit(f"{path}: this recovery file cannot be removed: {error.strerror}")
        self._release(path)

    def close(self) -> None:
        """At a clean exit: leave nothing of our own behind; what was not decided on stays."""
        self._timer.stop()
        self._document.changed.disconnect(self._on_changed)
        if self._job is not None:
            self._job.voice.done.disconnect(self._on_done)
        self._pool.waitForDone()
        self._job = None
        with suppress(OSError):
            self._store.close()
        self._outlived += self._taken
        self._discard_outlived()
        for path in list(self._held):
            self._release(path)

    # In the background

    def _on_changed(self) -> None:
        if self._changed_at_s is None:
            self._changed_at_s = time.monotonic()
        self._schedule()

    def _schedule(self) -> None:
        # What changes while a job runs is looked at when it ends.
        if self._changed_at_s is not None and self._job is None:
            left_s = self._changed_at_s + LONGEST_S - time.monotonic()
            self._timer.start(round(max(0.0, min(QUIET_S, left_s)) * 1000))

    def _hand_over(self) -> None:
        """Give the bench, which nobody can change, to the worker."""
        self._changed_at_s = None
        bench = self._document.bench
        needs_nothing = not bench.entries or bench == self._safe
        # What is taken while the job runs is not in it yet.
        self._outlived += self._taken
        self._taken = []
        self._job = _Job(self._store, None if needs_nothing else bench, self._bench_path)
        self._job.voice.done.connect(self._on_done)
        self._pool.start(self._job)

    def _on_done(self, failure: str) -> None:
        self._job = None
        if failure:
            if failure != self._last_failure:
                self.failed.emit(failure)
            if self._changed_at_s is None:
                self._timer.start(round(RETRY_S * 1000))
        else:
            self._discard_outlived()
            if self._changed_at_s is None:
                self.written.emit()
        self._last_failure = failure
        self._schedule()

    def _discard_outlived(self) -> None:
        outlived, self._outlived = self._outlived, []
        for path in outlived:
            self.discard(path)

    # Files and locks

    def _left_files(self) -> list[Path]:
        """Recovery files in the folder but our own; remains of killed writers are cleared away."""
        with suppress(OSError):
            for part in self._folder.glob(_LEFT_PARTS):
                if time.time() - part.stat().st_mtime > _OLD_PART_S:
                    part.unlink()
        try:
            names = sorted(self._folder.iterdir())
        except OSError:
            return []  # there is no folder before the first recovery file
        files = [path for path in names if path.suffix == _FILE and path != self._store.path]
        known = {path.stem for path in files} | {self._store.path.stem}
        for lock in names:
            if lock.suffix == _LOCK and lock.stem not in known:
                self._clear_lock(lock)
        return files

    def _clear_lock(self, path: Path) -> None:
        """Remove a lock file of a program that runs no more and has left no recovery file."""
        lock = _lock_file(path)
        if lock.tryLock(0):
            lock.unlock()

    def _reserve(self, path: Path) -> bool:
        """Whether the program that wrote the file runs no more; the file is ours then."""
        lock = _lock_file(path.with_suffix(_LOCK))
        if not lock.tryLock(0):
            return False
        if not path.exists():
            # Another program has dealt with it in this moment.
            lock.unlock()
            return False
        self._held[path] = lock
        return True

    def _release(self, path: Path) -> None:
        lock = self._held.pop(path, None)
        if lock is not None:
            lock.unlock()

    def _set_aside(self, path: Path, error: ReadError) -> ReadError:
        """Keep a broken file under another name; the error, with that name."""
        aside = path.with_suffix(_BROKEN)
        with suppress(OSError):
            path.replace(aside)
        self._release(path)
        return ReadError(error.file, error.reason, f"it is set aside as {aside.name}", error.line)


class _Store:
    """The own recovery file and its lock; used by one thread at a time."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / f"{secrets.token_hex(8)}{_FILE}"
        self._writer = RecoveryWriter(self.path)
        self._lock = _lock_file(self.path.with_suffix(_LOCK))

    def keep(self, bench: Bench, bench_path: str | None) -> None:
        """Write the bench; FairleadError or OSError if that fails."""
        # The lock comes first and goes last: a file without a lock is what a crash has left.
        if not self._lock.isLocked():
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not self._lock.tryLock(0):
                raise FairleadError(f"{self.path.parent} cannot be used for recovery files")
        self._writer.write(bench, bench_path)

    def drop(self) -> None:
        """Remove the file; there is no work to keep."""
        self._writer.remove()

    def close(self) -> None:
        """Remove file and lock."""
        try:
            self.drop()
        finally:
            self._lock.unlock()


class _Voice(QObject):
    """Signals of a job; belongs to the job, so that it lives as long as the worker speaks."""

    done = Signal(str)
    """Empty, or a line that says what went wrong."""


class _Job(QRunnable):
    """One write, or one removal if there is no bench to keep."""

    def __init__(self, store: _Store, bench: Bench | None, bench_path: str | None) -> None:
        super().__init__()
        # Python owns it: the pool must not delete what the Recovery still holds.
        self.setAutoDelete(False)
        self.voice = _Voice()
        self._store = store
        self._bench = bench
        self._bench_path = bench_path

    def run(self) -> None:
        """Write; whatever goes wrong becomes one line."""
        failure = ""
        try:
            if self._bench is None:
                self._store.drop()
            else:
                self._store.keep(self._bench, self._bench_path)
        except Exception as error:  # noqa: BLE001 - Qt would only print it, and the end never come
            what = str(error) if isinstance(error, FairleadError) else _unexpected(error)
            failure = f"Unsaved work is not kept for recovery: {what}"
        self.voice.done.emit(failure)


def _unexpected(error: Exception) -> str:
    reason = error.strerror if isinstance(error, OSError) else None
    return f"{reason or ' '.join(str(error).split()) or type(error).__name__}; save it soon"


def _lock_file(path: Path) -> QLockFile:
    lock = QLockFile(str(path))
    # Never old: a program may run for weeks. Qt still finds out that a program runs no more.
    lock.setStaleLockTime(0)
    return lock
