"""Opening files: from a dialog, by drag and drop, from the command line, and the samples."""

from __future__ import annotations

import sys
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QProcess

from fairlead.app.files.gathering import repeats
from fairlead.app.handlers.tracing import is_picture
from fairlead.app.look.resources import sample_files
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.panels.message_bar import Message, Offer
from fairlead.core.band_tables import find_band

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtCore import QMimeData
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.files.loading import Loaded, Loader
    from fairlead.app.files.settings import Settings
    from fairlead.app.handlers.bench import BenchHandler
    from fairlead.app.handlers.tracing import TracingHandler
    from fairlead.app.panels.message_bar import MessageBar

_SAMPLES = "samples"


class FileHandler:
    """Asks for files, passes them to the loader, and puts the sweeps on the bench."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        loader: Loader,
        benches: BenchHandler,
        messages: MessageBar,
        settings: Settings,
        tracing: TracingHandler,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._loader = loader
        self._benches = benches
        self._messages = messages
        self._settings = settings
        self._tracing = tracing
        self._window = window
        loader.loaded.connect(self._on_loaded)

    def open_files(self) -> None:
        """Ask for files and read them."""
        names = FileChooser.files_to_open(self._window, self._settings.folder)
        if names:
            self._settings.folder = str(Path(names[0]).parent)
            self.load(names)

    def open_folder(self) -> None:
        """Ask for a folder and read every sweep in it."""
        name = FileChooser.folder_to_open(self._window, self._settings.folder)
        if name:
            self._settings.folder = name
            self.load([name])

    def open_samples(self) -> None:
        """Read the invented samples."""
        names = [str(path) for path in sample_files()]
        if names:
            self._loader.load(names, _SAMPLES)
        else:
            self._messages.say("error", ["the samples are not installed; install Fairlead again"])

    def open_dropped(self, data: QMimeData) -> None:
        """Read files and folders that were dropped; web addresses are reported."""
        if not data.hasUrls():
            self._tracing.take(data)
            return
        names = [url.toLocalFile() for url in data.urls()]
        files = [name for name in names if name]
        if len(files) < len(names):
            lost = len(names) - len(files)
            what = "an item that is not a file" if lost == 1 else f"{lost} items that are not files"
            self._messages.say(
                "warning",
                [f"{what} was left out; save it to this computer, then drop the file"]
                if lost == 1
                else [f"{what} were left out; save them to this computer, then drop the files"],
            )
        self.load(files)

    def load(self, paths: Sequence[str]) -> None:
        """Read files and folders; pictures are opened to be traced."""
        pictures = [path for path in paths if is_picture(path)]
        others = [path for path in paths if not is_picture(path)]
        if pictures:
            self._tracing.open(pictures)
        if others or not pictures:
            self._loader.load(others)

    def offer(self, paths: Sequence[str]) -> None:
        """Say that files are to be opened that were opened elsewhere: here or in another window."""
        first = Path(paths[0]).name
        what = first if len(paths) == 1 else f"{first} and {len(paths) - 1} more"
        offers = (
            Offer("Open here", "Open in this window", partial(self.load, paths)),
            Offer(
                "Own window",
                "Leave this window as it is and open another one",
                partial(_start_window, paths),
            ),
        )
        self._messages.say_all([Message("note", f"{what}: open in this window?", offers)])
        self._window.raise_()
        self._window.activateWindow()

    def quit(self) -> None:
        """Close the window and end the program."""
        self._window.close()

    def _on_loaded(self, loaded: Loaded) -> None:
        if loaded.was_cancelled:
            self._messages.say("note", ["Reading was stopped; nothing was added"])
            return
        if loaded.bench is None:
            self._add(loaded)
        else:
            # Reported even if the user decides against the bench.
            self._messages.say("error", loaded.errors)
            self._benches.open(loaded.bench, lambda: self._add(replace(loaded, errors=())))

    def _add(self, loaded: Loaded) -> None:
        bench = self._document.bench
        self._messages.say("warning", repeats(bench, loaded.readings))
        # Errors last, so that they are shown first.
        self._messages.say("error", loaded.errors)
        if not loaded.readings:
            return
        if loaded.purpose == _SAMPLES and not bench.entries:
            self._add_samples(loaded)
        else:
            self._edits.add(loaded.readings)
        self._document.note_loaded(bench)

    def _add_samples(self, loaded: Loaded) -> None:
        """Add the samples with the band they were made for, as one undo step."""
        stack = self._document.undo_stack
        stack.beginMacro("Add the club samples")
        try:
            self._edits.add(loaded.readings)
            self._edits.set_band(find_band("6 m", self._settings.region))
        finally:
            stack.endMacro()


def _start_window(paths: Sequence[str]) -> None:
    """Start the program once more; it outlives this window."""
    QProcess.startDetached(sys.executable, ["-m", "fairlead.app", "--new-window", *paths])
