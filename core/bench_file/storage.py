"""A bench on disk: saved whole or not at all, opened with bounds."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.atomic_file import write_atomic
from fairlead.core.bench_file.decode import bench_from_bytes
from fairlead.core.bench_file.encode import encode
from fairlead.core.bench_file.format import LARGEST_BYTES
from fairlead.core.bench_file.parse import too_large
from fairlead.core.file_bytes import file_bytes
from fairlead.core.paths import is_file

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.document.bench import Bench


def save_bench(bench: Bench, path: str | os.PathLike[str]) -> None:
    """Write a bench; whatever fails, an old file of that name stays whole.

    Raises
    ------
    FairleadError
        One line with the reason and what to do. The bench can be saved to another place.
    """
    folder = os.path.dirname(os.path.abspath(os.fsdecode(path)))  # noqa: PTH100, PTH120 - odd names
    portable = _with_files(bench, lambda file: _seen_from(folder, file))
    write_atomic(path, encode(portable), never_over=bench.source_files)


def load_bench(path: str | os.PathLike[str]) -> Bench:
    """Read a bench; the original sweep files are not needed.

    Raises
    ------
    ReadError
        Where the file cannot be opened, is no bench, is damaged or comes from a newer version.
    """
    file = os.fsdecode(path)
    data = file_bytes(file, "choose a .fairlead file", too_large(file), LARGEST_BYTES)
    folder = os.path.dirname(file)  # noqa: PTH120 - odd names stay as given
    return _with_files(bench_from_bytes(data, file), lambda name: _beside(folder, name))


def _with_files(bench: Bench, renamed: Callable[[str], str]) -> Bench:
    """The bench with the files of its sweeps named in another way."""
    if all(renamed(entry.file) == entry.file for entry in bench.entries):
        return bench
    entries = tuple(replace(entry, file=renamed(entry.file)) for entry in bench.entries)
    return replace(bench, entries=entries)


def _seen_from(folder: str, file: str) -> str:
    """A relative name as it reads from the folder of the bench; others as they are.

    Otherwise it would lead somewhere else, or nowhere, when the bench is opened from another
    folder, and the original would no longer be known as one.
    """
    if not is_file(file) or os.path.isabs(file):  # noqa: PTH117 - odd names stay
        return file
    try:
        return os.path.relpath(file, folder)
    except ValueError:  # another drive
        return file


def _beside(folder: str, file: str) -> str:
    """A name as it reads from the working folder, if it leads to a file from the bench's."""
    if not file or not folder or os.path.isabs(file):  # noqa: PTH117 - odd names stay
        return file
    seen = os.path.join(folder, file)  # noqa: PTH118 - odd names stay
    return seen if is_file(seen) else file
