"""Writing a file so that it is always whole: the old content, or all of the new.

The content goes into a new file in the same folder, is flushed to the drive and takes the old
file's place in one step. Whatever fails on the way, the old file is as it was.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from typing import TYPE_CHECKING

from fairlead.core.causes import why_not_written
from fairlead.core.errors import FairleadError
from fairlead.core.originals import ORIGINALS
from fairlead.core.paths import WRITTEN, mark_from, same_file

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_PREFIX, _SUFFIX = ".fairlead-", ".part"
# What file systems answer that cannot flush a folder, or let nobody open one.
_CANNOT_FLUSH_FOLDERS = frozenset(
    {errno.EACCES, errno.EPERM, errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EISDIR}
)


def write_atomic(
    path: str | os.PathLike[str],
    parts: Iterable[bytes],
    *,
    never_over: Iterable[str],
    is_private: bool = False,
) -> None:
    """Write a file, or leave the old one exactly as it was.

    Parameters
    ----------
    path : path-like
        A link is followed: the file that it names is replaced, the link stays. Permissions of the
        old file are kept, its owner and group where the system allows it. Other hard links to the
        old file keep the old content.
    parts : iterable of bytes
        The content, in pieces. What their making raises is passed on.
    never_over : iterable of str
        Files that must not be replaced, under whatever name: the originals that the sweeps of a
        bench were read from. Every caller has to say which these are (see `Bench.source_files`);
        those read since the program started are refused in any case (see `ORIGINALS`).
    is_private : bool
        Nobody but the owner may read it, whatever the old file allowed.

    Raises
    ------
    FairleadError
        One line with the path, the reason and what to do about it.
    """
    file = os.fsdecode(path)
    with _explained(file):
        target, old = _target(file)
        _refuse_original(file, target, old, never_over)
        folder = os.path.dirname(target)  # noqa: PTH120 - names with odd bytes stay as they are
        temporary = os.path.join(folder, f"{_PREFIX}{os.urandom(8).hex()}{_SUFFIX}")  # noqa: PTH118
        try:
            _write_new(temporary, parts, old, is_private=is_private)
            os.replace(temporary, target)  # noqa: PTH105
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(temporary)  # noqa: PTH108
            raise
        _flush_folder(folder)


def check_may_write(path: str | os.PathLike[str], never_over: Iterable[str] = ()) -> None:
    """Refuse a path that `write_atomic` would refuse, for files that something else writes.

    Raises
    ------
    FairleadError
        If it cannot be written to, or is a file that sweeps were read from.
    """
    file = os.fspath(path)
    with _explained(file):
        target, old = _target(file)
        _refuse_original(file, target, old, never_over)


@contextlib.contextmanager
def _explained(file: str) -> Iterator[None]:
    """Errors of the system as one line for people."""
    try:
        yield
    except OSError as error:
        raise _cannot_save(file, *why_not_written(error)) from error


def _cannot_save(file: str, reason: str, advice: str) -> FairleadError:
    shown = "".join(c if c.isprintable() else "\ufffd" for c in file)
    return FairleadError(f"{shown} could not be saved: {reason}", advice)


def _target(file: str) -> tuple[str, os.stat_result | None]:
    """The file to be replaced, links followed, and what is known of it; None if there is none."""
    try:
        target = os.path.realpath(file)
        old = os.stat(target)  # noqa: PTH116
    except FileNotFoundError:
        return target, None
    except ValueError as error:  # a zero character, or one that the file system cannot write
        raise _cannot_save(file, "no file can have this name", "choose another name") from error
    if stat.S_ISDIR(old.st_mode):
        raise _cannot_save(file, "there is a folder of this name", "choose another name")
    if not stat.S_ISREG(old.st_mode):
        raise _cannot_save(file, "this is not an ordinary file", "choose another name")
    # Renaming would not ask: a file that was protected on purpose stays.
    if not os.access(target, os.W_OK):
        raise _cannot_save(
            file, "the file is read-only", "choose another name, or make it writable"
        )
    return target, old


def _refuse_original(
    file: str, target: str, old: os.stat_result | None, never_over: Iterable[str]
) -> None:
    original = None if old is None else same_file(target, (*never_over, *ORIGINALS.paths()))
    if original is not None:
        raise _cannot_save(
            file,
            "a sweep was read from this file, and originals are never written over",
            "choose another name",
        )


def _write_new(
    temporary: str, parts: Iterable[bytes], old: os.stat_result | None, *, is_private: bool
) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    # Nobody else may look in before the old file's permissions are on it.
    is_open_to_all = old is None and not is_private
    descriptor = os.open(temporary, flags, 0o666 if is_open_to_all else 0o600)
    try:
        for part in parts:
            _write_all(descriptor, part)
        if old is not None:
            _keep_owner(temporary, old)
            mode = 0o600 if is_private else stat.S_IMODE(old.st_mode)
            os.chmod(temporary, mode)  # noqa: PTH101
        os.fsync(descriptor)
        # Before it has its name: a watched folder must not see it first.
        WRITTEN.note(mark_from(os.fstat(descriptor)))
    except BaseException:
        with contextlib.suppress(OSError):
            os.close(descriptor)
        raise
    # Network drives report a full disk only here.
    os.close(descriptor)


def _write_all(descriptor: int, part: bytes) -> None:
    rest = memoryview(part)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def _keep_owner(temporary: str, old: os.stat_result) -> None:
    """Owner and group of the old file, where we may; Windows has no such call."""
    with contextlib.suppress(OSError, AttributeError):
        os.chown(temporary, old.st_uid, old.st_gid)


def _flush_folder(folder: str) -> None:
    """Make the new name last through a power cut.

    The file is in place and whole by now; an error here means that the drive did not confirm it.
    """
    try:
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        if error.errno not in _CANNOT_FLUSH_FOLDERS:
            raise
