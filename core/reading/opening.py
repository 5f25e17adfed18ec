"""Opens a file by content and hands over the sweeps in it."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

from core.errors import ReadError
from core.reading import touchstone

if TYPE_CHECKING:
    from core.reading.reading import Reading

# About two million one-port points; more is no sweep but a mistake that would fill the memory.
LARGEST_BYTES = 128 * 1024 * 1024


def open_sweeps(path: str | os.PathLike[str]) -> tuple[Reading, ...]:
    """Read all sweeps of one file; its content decides how, never its name.

    Parameters
    ----------
    path : str or path-like
        A file.

    Returns
    -------
    tuple of Reading
        At least one.

    Raises
    ------
    ReadError
        Where the file cannot be opened or holds no sweep that can be read.
    """
    file = os.fsdecode(path)
    return (touchstone.parse(_content(file), file),)


def _content(file: str) -> bytes:
    try:
        status = os.stat(file)  # noqa: PTH116 - before opening: a named pipe would block
        if stat.S_ISDIR(status.st_mode):
            raise ReadError(file, "this is a folder", "open the files in it")
        if not stat.S_ISREG(status.st_mode):
            raise ReadError(file, "this is no ordinary file", "copy the sweep into a file")
        if status.st_size > LARGEST_BYTES:
            raise ReadError(
                file,
                f"larger than {LARGEST_BYTES // 1024 // 1024} MiB",
                "export fewer points, or only the first port",
            )
        with open(file, "rb", buffering=0) as stream:  # noqa: PTH123 - odd names stay as given
            return stream.read(status.st_size)
    except FileNotFoundError:
        raise ReadError(file, "no such file", "check the name and the folder") from None
    except PermissionError:
        raise ReadError(file, "no permission to read the file", "change its permissions") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise ReadError(file, f"cannot be opened: {reason}", "check the name") from None
