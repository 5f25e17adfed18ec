"""Files made to be dragged to the desktop or into another program: in a private folder of ours.

Whoever takes a file copies it, so all of them go when the window closes.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTemporaryDir

from fairlead.app.files.safe_names import distinct_names
from fairlead.core import export
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.document.entry import Entry

# Dragging more rows than this moves them in the list and offers no files.
_MOST_FILES = 50


class HandedOut:
    """Writes sweeps as measured; each drag has a folder, so that a file is named as its sweep."""

    def __init__(self) -> None:
        self._folder: QTemporaryDir | None = None
        self._drags = 0

    def sweeps(self, entries: Iterable[Entry]) -> list[str]:
        """Paths of new files: Touchstone 1.1, CSV for a sweep without phase.

        Fewer than asked for where one cannot be written in this form; none where there are too many
        or no folder can be made.
        """
        chosen = list(entries)
        folder = self.new_folder() if 0 < len(chosen) <= _MOST_FILES else None
        if folder is None:
            return []
        paths = []
        for ending, own in ((".s1p", True), (".csv", False)):
            some = [entry for entry in chosen if entry.sweep.has_phase == own]
            names = distinct_names([entry.label for entry in some], ending, ())
            paths += [
                path
                for entry, name in zip(some, names, strict=True)
                if (path := _written(folder / name, entry))
            ]
        return paths

    def new_folder(self) -> Path | None:
        """An empty folder of this user alone; None where there is no room for one."""
        if self._folder is None:
            self._folder = QTemporaryDir()
        if not self._folder.isValid():
            return None
        self._drags += 1
        path = Path(self._folder.filePath(str(self._drags)))
        path.mkdir(mode=0o700)
        return path

    def clear(self) -> None:
        """Remove all of them."""
        if self._folder is not None:
            self._folder.remove()
            self._folder = None


def _written(path: Path, entry: Entry) -> str:
    try:
        if entry.sweep.has_phase:
            text = export.as_touchstone(entry, "1.1", "measured")
        else:
            text = export.as_csv(entry, "measured")
        write_atomic(path, [text.encode("utf-8", "backslashreplace")], never_over=())
    except FairleadError:
        return ""
    return str(path)
