"""A bench on the drive: saved whole or not at all, opened with bounds."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

from core.atomic_file import write_atomic
from core.bench_file.decode import bench_from_bytes
from core.bench_file.encode import encode
from core.bench_file.format import LARGEST_BYTES
from core.bench_file.parse import too_large
from core.errors import ReadError

if TYPE_CHECKING:
    from core.bench import Bench


def save_bench(bench: Bench, path: str | os.PathLike[str]) -> None:
    """Write a bench; whatever fails, an old file of that name stays whole.

    Raises
    ------
    FairleadError
        One line with the reason and what to do. The bench can be saved to another place.
    """
    write_atomic(path, encode(bench))


def load_bench(path: str | os.PathLike[str]) -> Bench:
    """Read a bench; the original sweep files are not needed.

    Raises
    ------
    ReadError
        Where the file cannot be opened, is no bench, is damaged or comes from a newer version.
    """
    file = os.fsdecode(path)
    return bench_from_bytes(_content(file), file)


def _content(file: str) -> bytes:
    try:
        status = os.stat(file)  # noqa: PTH116 - before opening: a named pipe would block
        if not stat.S_ISREG(status.st_mode):
            raise ReadError(file, "this is no file", "choose a .fairlead file")
        if status.st_size > LARGEST_BYTES:
            raise too_large(file)
        with open(file, "rb", buffering=0) as stream:  # noqa: PTH123 - odd names stay as given
            return stream.read(status.st_size)
    except FileNotFoundError:
        raise ReadError(file, "no such file", "check the name and the folder") from None
    except PermissionError:
        raise ReadError(file, "no permission to read the file", "change its permissions") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise ReadError(file, f"cannot be opened: {reason}", "check the name") from None
