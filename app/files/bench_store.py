"""A bench and its file, as the window's workers use it: opened, and saved with care.

No Qt here; all of it runs on a worker's thread.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench

SUFFIX = ".fairlead"
_HEAD_BYTES = 4096


@dataclass(frozen=True, slots=True)
class FileMark:
    """What tells whether a file is still the one that we have seen."""

    inode: int
    size: int
    modified_ns: int


@dataclass(frozen=True, slots=True)
class OpenedBench:
    """A bench as it came from its file.

    Attributes
    ----------
    path : str
        Absolute.
    bench : Bench
    mark : FileMark or None
        Of the file when it was read.
    """

    path: str
    bench: Bench
    mark: FileMark | None


class ChangedMeanwhileError(FairleadError):
    """The file is not the one that was opened: somebody else has saved it since."""


def is_bench(path: str | os.PathLike[str]) -> bool:
    """Whether a file is a bench, by its content; one that cannot be read goes by its name."""
    # Here and below, not at the top: the window is shown before the readers are loaded.
    from fairlead.core.bench_file import looks_like_bench  # noqa: PLC0415

    by_name = os.fspath(path).lower().endswith(SUFFIX)
    with suppress(OSError, ValueError):
        # A named pipe would block.
        if stat.S_ISREG(os.stat(path).st_mode):  # noqa: PTH116 - odd names stay as given
            with open(path, "rb") as stream:  # noqa: PTH123 - as above
                return by_name or looks_like_bench(stream.read(_HEAD_BYTES))
    return by_name


def open_bench(path: str | os.PathLike[str]) -> OpenedBench:
    """Read a bench.

    Raises
    ------
    ReadError
        One line with what is wrong.
    """
    from fairlead.core.bench_file import load_bench  # noqa: PLC0415 - see is_bench

    file = os.path.abspath(path)  # noqa: PTH100 - resolve() would follow links
    # Before reading: a change while we read is then noticed when saving.
    mark = mark_of(file)
    return OpenedBench(file, load_bench(file), mark)


def write_bench(bench: Bench, path: str, known: FileMark | None) -> FileMark | None:
    """Write a bench.

    Parameters
    ----------
    bench : Bench
    path : str
    known : FileMark or None
        The file as it was seen last; None if whatever is there may be replaced, if it is a bench.

    Returns
    -------
    FileMark or None
        Of the new file.

    Raises
    ------
    ChangedMeanwhileError
        If the file differs from the one known.
    FairleadError
        If a file of this name is something else than a bench, or cannot be written.
    """
    from fairlead.core.bench_file import save_bench  # noqa: PLC0415 - see is_bench

    now = mark_of(path)
    if now is not None and now.size > 0 and not _holds_bench(path):
        raise FairleadError(
            f"{path} was not saved: the file of this name is no bench, and only benches are "
            "replaced",
            "choose another name",
        )
    if known is not None and now not in (None, known):
        raise ChangedMeanwhileError(
            f"{path} was not saved: it was changed by another program since it was opened here",
            "save elsewhere, or replace it",
        )
    save_bench(bench, path)
    return mark_of(path)


def mark_of(path: str) -> FileMark | None:
    """What the file is now; None if there is none, or nothing that could be a bench."""
    try:
        status = os.stat(path)  # noqa: PTH116 - odd names stay as given
    except (OSError, ValueError):
        return None
    if not stat.S_ISREG(status.st_mode):
        return None
    return FileMark(status.st_ino, status.st_size, status.st_mtime_ns)


def _holds_bench(path: str) -> bool:
    from fairlead.core.bench_file import looks_like_bench  # noqa: PLC0415 - see is_bench

    try:
        with open(path, "rb") as stream:  # noqa: PTH123 - odd names stay as given
            return looks_like_bench(stream.read(_HEAD_BYTES))
    except OSError:
        return True  # refused with a better reason where it is written
