"""A bench on disk: saved whole or not at all, opened with bounds."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from fairlead.core.atomic_file import write_atomic
from fairlead.core.bench_file.decode import bench_from_bytes
from fairlead.core.bench_file.encode import encode
from fairlead.core.bench_file.format import LARGEST_BYTES
from fairlead.core.bench_file.parse import too_large
from fairlead.core.file_bytes import file_bytes

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench


def save_bench(bench: Bench, path: str | os.PathLike[str]) -> None:
    """Write a bench; whatever fails, an old file of that name stays whole.

    Raises
    ------
    FairleadError
        One line with the reason and what to do. The bench can be saved to another place.
    """
    write_atomic(path, encode(bench), never_over=bench.source_files)


def load_bench(path: str | os.PathLike[str]) -> Bench:
    """Read a bench; the original sweep files are not needed.

    Raises
    ------
    ReadError
        Where the file cannot be opened, is no bench, is damaged or comes from a newer version.
    """
    file = os.fsdecode(path)
    data = file_bytes(file, "choose a .fairlead file", too_large(file), LARGEST_BYTES)
    return bench_from_bytes(data, file)
