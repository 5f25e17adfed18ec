"""Opening and saving a bench's file, for the window's worker threads.

No Qt here; everything runs on a worker thread.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError
from fairlead.core.paths import FileMark, head_of, mark_of, status_of

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench

SUFFIX = ".fairlead"
_HEAD_BYTES = 4096
_BEFORE_CONTENT = b"\xef\xbb\xbf \t\r\n"


@dataclass(frozen=True, slots=True)
class OpenedBench:
    """A bench read from its file.

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
    """The file is not the one that was opened: another program has saved it since."""


class GoneMeanwhileError(FairleadError):
    """The file that was opened no longer exists, perhaps because its drive is disconnected."""


def is_bench(path: str | os.PathLike[str]) -> bool:
    """Whether a file is a bench, by its content, or by its name if it cannot be read."""
    if os.fspath(path).lower().endswith(SUFFIX):
        return True
    head = head_of(path, _HEAD_BYTES)
    if head is None or not head.lstrip(_BEFORE_CONTENT).startswith(b"{"):
        return False
    # Imported here and below, not at the top: sweeps do not need it, and the window starts sooner.
    from fairlead.core.bench_file import looks_like_bench  # noqa: PLC0415

    return looks_like_bench(head)


def open_bench(path: str | os.PathLike[str]) -> OpenedBench:
    """Read a bench.

    Raises
    ------
    ReadError
        One line stating what is wrong.
    """
    from fairlead.core.bench_file import load_bench  # noqa: PLC0415 - see is_bench

    file = os.path.abspath(path)  # noqa: PTH100 - resolve() would follow links
    # Before reading, so that a change during reading is noticed when saving.
    mark = mark_of(file)
    # By the path as given, so that errors name that one.
    return OpenedBench(file, load_bench(path), mark)


def write_bench(bench: Bench, path: str, known: FileMark | None) -> FileMark | None:
    """Write a bench.

    Parameters
    ----------
    bench : Bench
    path : str
    known : FileMark or None
        The file as last seen; None if any bench of that name may be replaced.

    Returns
    -------
    FileMark or None
        Of the new file.

    Raises
    ------
    ChangedMeanwhileError
        If the file differs from the one known.
    GoneMeanwhileError
        If there was one that no longer exists.
    FairleadError
        If a file of this name is not a bench, or cannot be written.
    """
    from fairlead.core.bench_file import save_bench  # noqa: PLC0415 - see is_bench

    now = mark_of(path)
    if now is not None and now.size_bytes > 0 and not _holds_bench(path):
        raise FairleadError(
            f"{path} was not saved: the file of this name is not a bench, and only benches are "
            "replaced",
            "choose another name",
        )
    if known is not None and status_of(path) is None:
        _refuse_what_is_gone(path, known)
    if known is not None and now not in (None, known):
        raise ChangedMeanwhileError(
            f"{path} was not saved: it was changed by another program since it was opened here",
            "save elsewhere, or replace it",
        )
    save_bench(bench, path)
    return mark_of(path)


def _refuse_what_is_gone(path: str, known: FileMark) -> None:
    """Refuse to write where the file has gone: under a lost mount it would be hidden later.

    Raises
    ------
    GoneMeanwhileError
        Unless the folder has gone as well; then writing reports it.
    """
    folder = status_of(os.path.dirname(path))  # noqa: PTH120 - odd names stay as given
    if folder is None:
        return
    if folder.st_dev != known.device:
        raise GoneMeanwhileError(
            f"{path} was not saved: its drive is not connected, and the folder of "
            "that name is on another drive",
            "connect it again, or save it there anyway",
        )
    raise GoneMeanwhileError(
        f"{path} was not saved: it has been removed or renamed since it was opened here",
        "save elsewhere, or write a new file",
    )


def _holds_bench(path: str) -> bool:
    from fairlead.core.bench_file import looks_like_bench  # noqa: PLC0415 - see is_bench

    head = head_of(path, _HEAD_BYTES)
    # A file that cannot be read is refused with a better reason when it is written.
    return head is None or looks_like_bench(head)
