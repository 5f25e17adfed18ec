"""Unsaved work is stored in the background, and offered again after a crash.

Each running program has one recovery file, guarded by a lock file. The file exists as long as the
bench differs from what is on disk by the user's own saving. A file whose lock belongs to no
running program is what a crash has left (`fairlead.app.files.leftovers`).
"""

from __future__ import annotations

import os
import secrets
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths, QTimer, Signal

from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.files.leftovers import Leftovers, lock_file
from fairlead.app.files.recovery_file import RecoveryWriter
from fairlead.core.causes import why_not_written
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.document.document import Document
    from fairlead.app.files.recovery_file import Recovered
    from fairlead.core.document.bench import Bench

QUIET_S = 0.7
"""Delay of writing after the last of several quick changes."""
LONGEST_S = 3.0
"""Longest delay of writing while changes follow without a pause."""
RETRY_S = 10.0
"""Delay after a failure, unless a change comes first."""

_FILE, _LOCK = ".recovery", ".lock"


def default_folder() -> Path:
    """Where recovery files are stored; organisation and application must be set before."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)
    return Path(place) / "recovery"


class Recovery(QObject):
    """Stores one document's unsaved work, and finds what earlier runs have left.

    All files are accessed on a worker thread; the folder may contain anything.

    Parameters
    ----------
    document : Document
        Watched from now on. Its current bench counts as saved.
    folder : path-like, optional
        Where recovery files are stored; `default_folder` if not given.
    """

    failed = Signal(str)
    """One line: work could not be stored, or a recovery file is damaged. Reported once."""
    written = Signal()
    """The file on disk has caught up with the document."""

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
        self._left = Leftovers(self._folder, self._store.path)
        self._taken: list[Path] = []
        self._outlived: list[Path] = []
        self._last_failure = ""
        self._changed_at_s: float | None = None
        self._job: Job | None = None
        self._jobs = Jobs(self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._hand_over)
        document.changed.connect(self._on_changed)

    # Saved by the user

    def mark_saved(self, bench: Bench, bench_path: str | None) -> None:
        """Note that a bench is saved on disk, or is a new one with nothing to save.

        To be called after saving, opening and starting over.

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

    # Left by a crash

    def look(self, found: Callable[[list[Recovered]], None]) -> None:
        """Find recovery files of programs that have ended, the newest first.

        They are reserved for this program until they are taken or discarded, or `close`. Damaged
        ones are set aside in the same folder, and ``failed`` reports it.
        """

        def tell(result: tuple[list[Recovered], list[str]]) -> None:
            for line in result[1]:
                self.failed.emit(line)
            found(result[0])

        self._jobs.run("Looking for unsaved work", lambda _: self._left.find(), tell, self._fail)

    def take(
        self,
        path: Path,
        taken: Callable[[Bench], None],
        failed: Callable[[FairleadError], None],
    ) -> None:
        """Read the bench in a recovery file; the file stays.

        Parameters
        ----------
        path : Path
        taken : callable
            Called with the bench. If the document is to get it, call `took` right before.
        failed : callable
            Called with the error if the file is damaged; it is then set aside.
        """
        self._jobs.run("Restoring work", lambda _: self._left.take(path), taken, failed)

    def took(self, about: Recovered) -> None:
        """Note that the document is about to get the bench of a recovery file.

        The file stays until the bench is safe elsewhere: in our own recovery file, by saving, or by
        a clean exit.
        """
        self._safe = None
        self._bench_path = about.bench_path
        self._taken.append(about.path)

    def discard(self, path: Path) -> None:
        """Delete a recovery file."""
        self._jobs.run("", lambda _: self._left.discard([path]), self._report, self._fail)

    @property
    def is_busy(self) -> bool:
        """Whether the file is being written or removed."""
        return self._job is not None

    def keep_now(self, *, holds_edits: bool) -> None:
        """Write without waiting for a pause, because the session may end at any moment.

        Parameters
        ----------
        holds_edits : bool
            False: the file is deleted, since the end of a session is not a crash, and sweeps that
            were only viewed are not worth offering. The next change writes it again.
        """
        self._timer.stop()
        self._hand_over(drops=not holds_edits)

    def close(self, *, keeps: Bench | None = None) -> None:
        """End: remove our own files; undecided leftovers stay.

        Parameters
        ----------
        keeps : Bench, optional
            Work to offer at the next start: the session ended before the user could be asked.
        """
        self._timer.stop()
        self._document.changed.disconnect(self._on_changed)
        self._jobs.close()
        self._job = None
        # The thread has ended, so its objects may be used here.
        with suppress(OSError, FairleadError):
            if keeps is None:
                self._store.close()
            else:
                self._store.leave(keeps, self._bench_path)
        self._left.discard([*self._outlived, *self._taken])
        self._left.close()

    # In the background

    def _on_changed(self) -> None:
        if self._changed_at_s is None:
            self._changed_at_s = time.monotonic()
        self._schedule()

    def _schedule(self) -> None:
        # Changes during a job are handled when it ends.
        if self._changed_at_s is not None and self._job is None:
            left_s = self._changed_at_s + LONGEST_S - time.monotonic()
            self._timer.start(round(max(0.0, min(QUIET_S, left_s)) * 1000))

    def _hand_over(self, *, drops: bool = False) -> None:
        """Pass the bench, which is immutable, to the worker."""
        self._changed_at_s = None
        bench = self._document.bench
        needs_nothing = drops or not bench.entries or bench == self._safe
        # Files taken while the job runs are not in it yet.
        self._outlived += self._taken
        self._taken = []
        outlived = tuple(self._outlived)
        kept = None if needs_nothing else bench
        path = self._bench_path
        self._job = self._jobs.run(
            "",
            lambda _: self._keep(kept, path, outlived),
            self._on_kept,
            lambda error: self._on_done(str(error)),
        )

    def _keep(self, bench: Bench | None, path: str | None, outlived: tuple[Path, ...]) -> _Kept:
        """On the worker thread: write, or delete the file if there is nothing to store."""
        try:
            if bench is None:
                self._store.drop()
            else:
                self._store.keep(bench, path)
        except Exception as error:  # noqa: BLE001 - reported in our words, not in the runner's
            return _Kept(failure=f"Unsaved work is not stored for recovery: {_what(error)}")
        return _Kept(outlived, tuple(self._left.discard(outlived)))

    def _on_kept(self, kept: _Kept) -> None:
        self._outlived = [path for path in self._outlived if path not in kept.discarded]
        self._report(kept.lines)
        self._on_done(kept.failure)

    def _on_done(self, failure: str) -> None:
        self._job = None
        if failure:
            if failure != self._last_failure:
                self.failed.emit(failure)
            if self._changed_at_s is None:
                self._timer.start(round(RETRY_S * 1000))
        elif self._changed_at_s is None:
            self.written.emit()
        self._last_failure = failure
        self._schedule()

    def _report(self, lines: Sequence[str]) -> None:
        for line in lines:
            self.failed.emit(line)

    def _fail(self, error: FairleadError) -> None:
        self.failed.emit(str(error))


@dataclass(frozen=True, slots=True)
class _Kept:
    """The result of one write: files discarded after it, messages, a failure."""

    discarded: tuple[Path, ...] = ()
    lines: tuple[str, ...] = ()
    failure: str = ""


class _Store:
    """Our own recovery file and its lock; used by one thread at a time."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / f"{secrets.token_hex(8)}{_FILE}"
        self._writer = RecoveryWriter(self.path)
        self._lock_path = self.path.with_suffix(_LOCK)
        self._lock = lock_file(self._lock_path)

    def keep(self, bench: Bench, bench_path: str | None) -> None:
        """Write the bench; FairleadError or OSError if that fails."""
        # The lock is created first and removed last: a file without a lock is left by a crash.
        if not self._lock.isLocked():
            folder = self.path.parent
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            # The folder may predate this rule; its contents are private.
            folder.chmod(0o700)
            if not self._lock.tryLock(0):
                raise _no_lock(folder)
            with suppress(OSError):
                self._lock_path.chmod(0o600)
        self._writer.write(bench, bench_path)

    def drop(self) -> None:
        """Delete the file; there is nothing to store."""
        self._writer.remove()

    def close(self) -> None:
        """Delete file and lock."""
        try:
            self.drop()
        finally:
            self._lock.unlock()

    def leave(self, bench: Bench, bench_path: str | None) -> None:
        """Write the bench and release the lock, so that the next start offers it."""
        try:
            self.keep(bench, bench_path)
        finally:
            self._lock.unlock()


def _no_lock(folder: Path) -> FairleadError:
    """Why there is no lock: Qt does not report it, so try to write a file."""
    probe = folder / f".fairlead-{secrets.token_hex(8)}.part"
    reason, advice = "lock files cannot be created there", "save your work soon"
    try:
        os.close(os.open(probe, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        probe.unlink()
    except OSError as error:
        reason, advice = why_not_written(error)
    return FairleadError(f"{folder} cannot be used for recovery files: {reason}", advice)


def _what(error: Exception) -> str:
    if isinstance(error, FairleadError):
        return str(error)
    if isinstance(error, OSError):
        return "; ".join(why_not_written(error))
    return f"{' '.join(str(error).split()) or type(error).__name__}; save it soon"
