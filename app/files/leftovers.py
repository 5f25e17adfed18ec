"""What crashes have left in the recovery folder: find, read, set aside, remove.

The folder may contain anything: a link to an endless device, a named pipe, a folder. Links are not
followed, only ordinary files of a bounded size are opened, and nothing blocks.

Used by one thread at a time, never by the GUI thread.
"""

from __future__ import annotations

import os
import stat
import time
from contextlib import suppress
from typing import TYPE_CHECKING

from PySide6.QtCore import QLockFile

from fairlead.app.files.recovery_file import Recovered, read_about, read_bench
from fairlead.core.causes import why_not_written
from fairlead.core.errors import ReadError
from fairlead.core.paths import link_mode_of, mark_of, names_in

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from fairlead.core.document.bench import Bench

_FILE, _LOCK, _BROKEN = ".recovery", ".lock", ".broken"
_PART_BEGIN, _PART_END = ".fairlead-", ".part"
_OLD_PART_S = 3600.0
# A lock file contains a number, a name and two words.
_LARGEST_LOCK_BYTES = 4096


class Leftovers:
    """The recovery folder, without this program's own files.

    Parameters
    ----------
    folder : Path
    own : Path
        Our own recovery file, which is not a leftover.
    """

    def __init__(self, folder: Path, own: Path) -> None:
        self._folder = folder
        self._own = own
        self._held: dict[Path, QLockFile] = {}

    def find(self) -> tuple[list[Recovered], list[str]]:
        """Recovery files of programs that have ended, and a line for each broken one.

        They are reserved for this program, the newest first. Broken ones are set aside.
        """
        found, lines = [], []
        for path in self._files():
            if path in self._held or not self._reserve(path):
                continue
            try:
                found.append(read_about(path))
            except ReadError as error:
                lines.append(str(self._set_aside(path, error)))
        return sorted(found, key=lambda about: about.saved_at, reverse=True), lines

    def take(self, path: Path) -> Bench:
        """The bench in a recovery file; the file stays.

        Raises
        ------
        ReadError
            If it is damaged; it is then set aside.
        """
        try:
            read_about(path)
            return read_bench(path)
        except ReadError as error:
            raise self._set_aside(path, error) from error

    def discard(self, paths: Iterable[Path]) -> list[str]:
        """Delete recovery files; returns one line for each that cannot be deleted."""
        lines = []
        for path in paths:
            try:
                path.unlink(missing_ok=True)
            except OSError as error:
                reason, _ = why_not_written(error)
                lines.append(f"{path}: this recovery file cannot be deleted: {reason}")
            self._release(path)
        return lines

    def close(self) -> None:
        """Release what was reserved; it is offered again at the next start."""
        for path in list(self._held):
            self._release(path)

    def _files(self) -> list[Path]:
        """Recovery files in the folder except our own; deletes the remains of killed writers."""
        try:
            names = sorted(names_in(self._folder))
        except ReadError:
            return []  # there is no folder before the first recovery file
        paths = [self._folder / name for name in names]
        files = [path for path in paths if path.suffix == _FILE and path != self._own]
        known = {path.stem for path in files} | {self._own.stem}
        for path in paths:
            if path.suffix == _LOCK and path.stem not in known:
                self._clear_lock(path)
            elif path.name.startswith(_PART_BEGIN) and path.suffix == _PART_END:
                _clear_part(path)
        return files

    def _clear_lock(self, path: Path) -> None:
        """Delete the lock file of a program that has ended and left no recovery file."""
        lock = _lock_of_others(path)
        if lock is not None and lock.tryLock(0):
            lock.unlock()

    def _reserve(self, path: Path) -> bool:
        """Whether the program that wrote the file has ended; if so, reserve the file."""
        lock = _lock_of_others(path.with_suffix(_LOCK))
        if lock is None or not lock.tryLock(0):
            return False
        with suppress(OSError):
            path.with_suffix(_LOCK).chmod(0o600)
        if link_mode_of(path) is None:
            # Another program has just dealt with it.
            lock.unlock()
            return False
        self._held[path] = lock
        return True

    def _release(self, path: Path) -> None:
        lock = self._held.pop(path, None)
        if lock is not None:
            lock.unlock()

    def _set_aside(self, path: Path, error: ReadError) -> ReadError:
        """Rename a damaged file; returns the error, with that name."""
        aside = path.with_suffix(_BROKEN)
        advice = f"it is set aside as {aside.name}"
        try:
            path.rename(aside)
        except OSError as why:
            advice = f"delete it: it cannot be set aside ({why_not_written(why)[0]})"
        self._release(path)
        return ReadError(error.file, error.reason, advice, error.line)


def lock_file(path: Path) -> QLockFile:
    """A lock file that never becomes stale with age: a program may run for weeks.

    Qt still detects that a program has ended.
    """
    lock = QLockFile(str(path))
    lock.setStaleLockTime(0)
    return lock


def _lock_of_others(path: Path) -> QLockFile | None:
    """A lock file that may exist already; None if Qt should not open what is there."""
    mode = link_mode_of(path)
    if mode is not None:
        mark = mark_of(path) if stat.S_ISREG(mode) else None
        if mark is None or mark.size_bytes > _LARGEST_LOCK_BYTES:
            return None
    return lock_file(path)


def _clear_part(path: Path) -> None:
    mode = link_mode_of(path)
    mark = mark_of(path) if mode is not None and stat.S_ISREG(mode) else None
    if mark is not None and time.time() - mark.modified_ns / 1e9 > _OLD_PART_S:
        with suppress(OSError):
            os.unlink(path)  # noqa: PTH108 - as it is named
