"""Turns the files and folders a user picks or drops into the list of files to read."""

from __future__ import annotations

import os
import re
from glob import iglob
from itertools import chain, islice
from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.core.causes import why_not_read
from fairlead.core.errors import ReadError
from fairlead.core.paths import cannot_list, head_of, is_folder, link_mode_of
from fairlead.core.reading.kind import looks_like_sweep

if TYPE_CHECKING:
    from collections.abc import Iterable

# Bounds against a home directory dropped by mistake; a user who hits one is told.
DEEPEST = 8
MOST_FILES = 2_000
MOST_ENTRIES = 50_000

_USUAL_ENDING = re.compile(r"\.(?:[szyhg]\d{1,3}p|ts|txt|csv|tsv|dat|prn|asc)$", re.IGNORECASE)
_NAMELESS = re.compile(r"\.[szyhg]\d{1,3}p$", re.IGNORECASE)
_DIGITS = re.compile(r"(\d+)")
_IS_PATTERN = re.compile(r"[*?\[]")
_HEAD_BYTES = 4096


def expand_paths(
    paths: Iterable[str | os.PathLike[str]],
) -> tuple[list[Path], list[ReadError]]:
    """Files as they are; for each folder the sweep files in it and below.

    Parameters
    ----------
    paths : iterable of path-like
        Order is kept. Patterns that a shell has not expanded ("dipole-*.s1p") are taken for the
        files that they fit.

    Returns
    -------
    files : list of Path
        A file given by name is taken even if it does not exist: opening it says so. In a folder,
        files with a usual ending or with numbers in rows at their beginning are taken, sorted as
        people count ("unit 2" before "unit 10"); hidden files and folders are not.
    errors : list of ReadError
        Folders that hold no sweep, cannot be listed, or hold more than is taken.
    """
    files: list[Path] = []
    errors: list[ReadError] = []
    for path in chain.from_iterable(map(_fitting, map(Path, paths))):
        if is_folder(path):
            found = _Folder(path)
            files += found.files
            errors += found.errors
        else:
            files.append(path)
    return files, errors


def _fitting(path: Path) -> list[Path]:
    """The files that a pattern fits, sorted; the path itself where it is none or fits none."""
    name = os.fspath(path)
    # A file may have such a name: what exists is meant as it is.
    if not _IS_PATTERN.search(name) or link_mode_of(path) is not None:
        return [path]
    found = islice(iglob(name), MOST_FILES)  # noqa: PTH207 - Path.glob has no absolute patterns
    return sorted(map(Path, found), key=lambda one: natural_key(os.fspath(one))) or [path]


def natural_key(name: str) -> list[tuple[int, int, str]]:
    """Sort key by which "unit 2" comes before "unit 10", whatever the case."""
    parts = _DIGITS.split(name.casefold())
    # int() also takes digits of other scripts, as the pattern does.
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts if part]


class _Folder:
    """One walk through a folder the user gave."""

    def __init__(self, root: Path) -> None:
        self.files: list[Path] = []
        self.errors: list[ReadError] = []
        self._root = root
        self._entries = 0
        self._full = False
        self._walk(root, 0)
        if self._full:
            self._error(
                root,
                f"more than {MOST_FILES} sweep files or {MOST_ENTRIES} entries in this folder",
                "the first are taken: open smaller folders",
            )
        elif not self.files and not self.errors:
            self._error(root, "no sweep file in this folder", "open a folder with .s1p files")

    def _walk(self, folder: Path, depth: int) -> None:
        try:
            with os.scandir(folder) as listing:
                entries = [entry for entry in listing if not _is_hidden(entry.name)]
        except OSError as error:
            self.errors.append(cannot_list(folder, error))
            return
        entries.sort(key=lambda entry: (natural_key(entry.name), entry.name))
        # Files of a folder before its folders.
        for entry in entries:
            if self._count() and self._is_file(entry) and _is_candidate(entry):
                self._take(Path(entry.path))
        for entry in entries:
            if not self._full and depth < DEEPEST and _is_folder(entry):
                self._walk(Path(entry.path), depth + 1)

    def _is_file(self, entry: os.DirEntry[str]) -> bool:
        """Whether it is an ordinary file; one that cannot be looked at is reported if it matters.

        Links that run in a circle, drives that have gone: one such entry ends no walk.
        """
        try:
            return entry.is_file()
        except OSError as error:
            if _USUAL_ENDING.search(entry.name):
                self._error(Path(entry.path), *why_not_read(error))
            return False

    def _count(self) -> bool:
        self._entries += 1
        self._full = self._full or self._entries > MOST_ENTRIES
        return not self._full

    def _take(self, path: Path) -> None:
        if len(self.files) < MOST_FILES:
            self.files.append(path)
        else:
            self._full = True

    def _error(self, folder: Path, reason: str, advice: str) -> None:
        self.errors.append(ReadError(str(folder), reason, advice))


def _is_hidden(name: str) -> bool:
    return name.startswith(".") and not _NAMELESS.fullmatch(name)


def is_candidate(name: str, head: bytes) -> bool:
    """Whether a file can hold a sweep, by its name or by its first few KiB."""
    return _USUAL_ENDING.search(name) is not None or looks_like_sweep(head)


def _is_candidate(entry: os.DirEntry[str]) -> bool:
    if _USUAL_ENDING.search(entry.name):
        return True
    head = head_of(entry.path, _HEAD_BYTES)
    # One that cannot be read, and whose name does not speak for a sweep, is none.
    return head is not None and looks_like_sweep(head)


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        # Links to folders are not followed: they may run in a circle.
        return entry.is_dir(follow_symlinks=False)
    except OSError:
        return False
