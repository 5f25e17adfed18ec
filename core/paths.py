"""Every look at a path, in one guarded place: what is there, and which file it is.

A path may form a loop, lead to a drive that has gone, into a folder that nobody may list, or
to a pipe that blocks whoever opens it. Nothing here raises for that, blocks on a pipe, or opens
what is no ordinary file. Only a drive that does not answer may make a caller wait: look at paths
that are not your own on a worker's thread.
"""

from __future__ import annotations

import os
import stat
from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING

from fairlead.core.causes import why_not_read
from fairlead.core.errors import ReadError

if TYPE_CHECKING:
    from collections.abc import Iterable

AnyPath = str | os.PathLike[str]

# A named pipe would block whoever opens it; a device may act on being opened.
_FLAGS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_NO_FOLLOW = getattr(os, "O_NOFOLLOW", 0)
_MOST_REMEMBERED = 20_000


@dataclass(frozen=True, slots=True)
class FileMark:
    """Which file it is, and whether it is as it was.

    Attributes
    ----------
    device, inode : int
        They name the file, whatever it is called and however many links lead to it.
    size_bytes : int
    modified_ns : int
        When its content changed, as far as its writer tells: a writer may set it at will.
    changed_ns : int
        When anything about it changed, its name included. Nobody can set it (on Windows it is the
        time of creation).
    """

    device: int
    inode: int
    size_bytes: int
    modified_ns: int
    changed_ns: int

    @property
    def identity(self) -> tuple[int, int]:
        """Device and inode."""
        return self.device, self.inode

    def has_content_of(self, other: FileMark) -> bool:
        """Whether it is the same file with the same content, perhaps under another name."""
        return (self.identity, self.size_bytes, self.modified_ns) == (
            other.identity,
            other.size_bytes,
            other.modified_ns,
        )


def status_of(path: AnyPath) -> os.stat_result | None:
    """What the path leads to, links followed; None if to nothing that can be looked at."""
    try:
        return os.stat(path)  # noqa: PTH116 - odd names stay as given
    except (OSError, ValueError):
        return None


def link_mode_of(path: AnyPath) -> int | None:
    """Kind and permissions of what stands there itself, no link followed; None if nothing does."""
    try:
        return os.lstat(path).st_mode
    except (OSError, ValueError):
        return None


def mark_of(path: AnyPath) -> FileMark | None:
    """The mark of an ordinary file, links followed; None if there is none."""
    status = status_of(path)
    return None if status is None or not stat.S_ISREG(status.st_mode) else mark_from(status)


def mark_from(status: os.stat_result) -> FileMark:
    """The mark of a file from what the system says of it."""
    return FileMark(
        status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns
    )


def is_file(path: AnyPath) -> bool:
    """Whether the path leads to an ordinary file."""
    return mark_of(path) is not None


def is_folder(path: AnyPath) -> bool:
    """Whether the path leads to a folder."""
    status = status_of(path)
    return status is not None and stat.S_ISDIR(status.st_mode)


def is_private_folder(path: AnyPath) -> bool:
    """Whether this is a folder, no link, of this user that nobody else may enter.

    Where the system knows neither users nor modes nobody can tell: False.
    """
    try:
        status = os.lstat(path)
        own = os.getuid()
    except (OSError, ValueError, AttributeError):
        return False
    is_closed = not stat.S_IMODE(status.st_mode) & 0o077
    return stat.S_ISDIR(status.st_mode) and status.st_uid == own and is_closed


def names_in(folder: AnyPath) -> list[str]:
    """Names in a folder, in no order.

    Raises
    ------
    ReadError
        If it cannot be listed.
    """
    try:
        return os.listdir(folder)  # noqa: PTH208 - names are all we need
    except (OSError, ValueError) as error:
        raise cannot_list(folder, error) from error


def cannot_list(folder: AnyPath, error: OSError | ValueError) -> ReadError:
    """The one line for a folder that cannot be listed."""
    if isinstance(error, ValueError):
        return ReadError(os.fsdecode(folder), "no folder can have this name", "check the name")
    reason, advice = why_not_read(error)
    return ReadError(os.fsdecode(folder), f"the folder cannot be listed: {reason}", advice)


def open_file(path: AnyPath, *, follows_links: bool = True) -> int:
    """Descriptor of an ordinary file, open for reading; the caller closes it.

    Parameters
    ----------
    path : path-like
    follows_links : bool
        False: a path whose last part is a link is refused.

    Raises
    ------
    OSError
        If there is none, or it is not an ordinary file (without an error number then).
    """
    # Looked at before it is opened, since opening a device may do something, and again after: it
    # may have been another one.
    look = os.stat(path) if follows_links else os.lstat(path)  # noqa: PTH116
    if not stat.S_ISREG(look.st_mode):
        raise NoOrdinaryFileError
    descriptor = os.open(path, _FLAGS | (0 if follows_links else _NO_FOLLOW))
    if stat.S_ISREG(os.fstat(descriptor).st_mode):
        return descriptor
    os.close(descriptor)
    raise NoOrdinaryFileError


class NoOrdinaryFileError(OSError):
    """A folder, a pipe, a device, or a link where none is followed."""

    def __init__(self) -> None:
        super().__init__(None, "it is not an ordinary file")


def head_of(path: AnyPath, size_bytes: int) -> bytes | None:
    """The first bytes of an ordinary file; None if it cannot be read."""
    try:
        descriptor = open_file(path)
    except (OSError, ValueError):
        return None
    try:
        return os.read(descriptor, size_bytes)
    except OSError:
        return None
    finally:
        os.close(descriptor)


def same_file(path: AnyPath, others: Iterable[str]) -> str | None:
    """The first of several paths that leads to the same file as one path, whatever the names.

    By device and inode, links followed: another name, a link, a linked folder, another case on a
    drive that does not tell case apart. A path that leads to nothing is no file at all.
    """
    status = status_of(path)
    if status is None:
        return None
    for other in others:
        found = status_of(other)
        if found is not None and os.path.samestat(found, status):
            return other
    return None


class Written:
    """Files that this program has written, as it left them; any thread may ask.

    Who watches a folder asks, so that what the program writes into it does not come back as new.
    Filled where files are written, so that no writer can forget it; the oldest are forgotten.
    """

    def __init__(self, most: int = _MOST_REMEMBERED) -> None:
        self._most = most
        self._marks: OrderedDict[tuple[int, int], FileMark] = OrderedDict()
        self._lock = Lock()

    def note(self, mark: FileMark) -> None:
        """A file was written."""
        with self._lock:
            self._marks[mark.identity] = mark
            self._marks.move_to_end(mark.identity)
            while len(self._marks) > self._most:
                self._marks.popitem(last=False)

    def holds(self, mark: FileMark) -> bool:
        """Whether a file is one of them, and still as it was left, wherever it was moved."""
        with self._lock:
            known = self._marks.get(mark.identity)
        return known is not None and mark.has_content_of(known)


WRITTEN = Written()
