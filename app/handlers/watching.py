"""A watched folder: new sweeps are added automatically, changed ones are offered."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.panels.message_bar import Message, Offer

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.files.loading import Loader
    from fairlead.app.files.settings import Settings
    from fairlead.app.files.watching import Arrived, FolderWatch
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.watch_line import WatchLine
    from fairlead.core.reading.reading import Reading

_THERE = "watch:there"


class WatchHandler:
    """Puts new sweeps on the bench, and offers to reload those that have changed."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        watch: FolderWatch,
        loader: Loader,
        line: WatchLine,
        messages: MessageBar,
        settings: Settings,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._watch = watch
        self._loader = loader
        self._line = line
        self._messages = messages
        self._settings = settings
        self._window = window
        self._changed: dict[str, tuple[Reading, ...]] = {}
        # Files renamed since: the current path, and the one that the bench knows.
        self._moved: dict[str, str] = {}
        watch.began.connect(self._on_began)
        watch.arrived.connect(self._on_arrived)
        watch.trouble_changed.connect(line.set_trouble)
        line.stop_wanted.connect(self.stop)
        loader.loaded.connect(self._refresh_columns)

    @property
    def changed_files(self) -> tuple[str, ...]:
        """Files on the bench that have changed and were not reloaded."""
        return tuple(self._changed)

    def choose(self) -> None:
        """Ask for a folder and watch it."""
        folder = FileChooser.folder_to_watch(self._window, self._settings.folder)
        if folder:
            self._settings.folder = folder
            self.start(folder)

    def start(self, folder: str) -> None:
        """Watch a folder in place of any other."""
        self._forget()
        self._refresh_columns()
        self._watch.start(folder)
        self._line.begin(self._watch.folder)

    def stop(self) -> None:
        """Stop watching."""
        self._watch.stop()
        self._line.end()
        self._forget()

    def close(self) -> None:
        """End the watch with the window."""
        self._watch.close()

    # Signals of the watch

    def _on_began(self, paths: tuple[str, ...]) -> None:
        shown = set(self._keys())
        new = [path for path in paths if _place(path) not in shown]
        if not new:
            return
        one = len(new) == 1
        there = "1 sweep file is" if one else f"{len(new)} sweep files are"
        offer = Offer(
            "Load it" if one else "Load them",
            "Put the files that are already in the folder on the bench",
            lambda: self._loader.load(new),
        )
        folder = PurePath(self._watch.folder).name
        text = f'{there} already in "{folder}"; new ones are added automatically'
        self._messages.say_all([Message("note", text, (offer,), _THERE)])

    def _on_arrived(self, arrived: Arrived) -> None:
        self._follow(arrived.moved)
        keys = self._keys()
        new: list[Reading] = []
        for file, readings in arrived.files:
            if self._own_place(file) not in keys:
                new += readings
            elif self._differs(keys[self._own_place(file)], readings):
                self._changed[file] = readings
            else:
                # The file is again as it is on the bench.
                self._changed.pop(file, None)
                self._messages.withdraw(_about(file))
        if new:
            before = self._document.bench
            self._edits.add(new)
            self._document.note_loaded(before)
        self._offer([file for file, _ in arrived.files if file in self._changed])
        self._messages.say("error", arrived.errors)

    def _offer(self, files: Sequence[str]) -> None:
        everything = Offer("Reload all", "Read all changed files again", self._reload_all)
        several = (everything,) if len(self._changed) > 1 else ()
        self._messages.say_all(
            Message(
                "warning",
                f"{PurePath(file).name} has changed; the bench still shows the old sweep",
                (
                    Offer(
                        "Reload",
                        f"Read {PurePath(file).name} again; name, colour and condition stay",
                        partial(self._reload, (file,)),
                    ),
                    *several,
                ),
                _about(file),
            )
            for file in files
        )

    # Reloading

    def _reload_all(self) -> None:
        self._reload(tuple(self._changed))

    def _reload(self, files: Iterable[str]) -> None:
        """Replace the sweeps on the bench by those in the files now, as one undo step."""
        keys = self._keys()
        changed: dict[int, Reading] = {}
        more: list[Reading] = []
        for file in files:
            readings = self._changed.pop(file, ())
            own = keys.get(self._own_place(file), [])
            if readings and own:
                # A file opened twice has its sweeps on the bench twice.
                changed.update(
                    (key, readings[place % len(readings)])
                    for place, key in enumerate(own)
                    if place < len(readings) or len(own) % len(readings) == 0
                )
                more += readings[len(own) :]
            self._messages.withdraw(_about(file))
        if changed:
            self._edits.reload(changed, more)

    def _keys(self) -> dict[str, list[int]]:
        """Keys of the sweeps of each file, in the order in which they were read."""
        found: dict[str, list[int]] = {}
        for entry in sorted(self._document.bench.entries, key=lambda entry: entry.key):
            if entry.file:
                found.setdefault(_place(entry.file), []).append(entry.key)
        return found

    def _differs(self, keys: Sequence[int], readings: Sequence[Reading]) -> bool:
        bench = self._document.bench
        return set(bench.as_read(keys)) != {one.sweep for one in readings}

    def _own_place(self, file: str) -> str:
        """The file's path when its sweeps came onto the bench; empty if the file is newer."""
        place = _place(file)
        if place in self._moved:
            return self._moved[place]
        return "" if place in self._moved.values() else place

    def _follow(self, moved: Sequence[tuple[str, str]]) -> None:
        """Note that files were renamed; two may have swapped names."""
        places = {_place(now): self._own_place(before) for before, now in moved}
        changed = {now: self._changed.pop(old) for old, now in moved if old in self._changed}
        for before, _ in moved:
            self._moved.pop(_place(before), None)
        self._moved.update(places)
        self._changed.update(changed)

    def _refresh_columns(self) -> None:
        self._watch.columns = self._settings.columns

    def _forget(self) -> None:
        self._messages.withdraw(_THERE, *map(_about, self._changed))
        self._changed.clear()
        self._moved.clear()


def _place(file: str) -> str:
    return os.path.normcase(Path(file).absolute())


def _about(file: str) -> str:
    return f"changed:{file}"
