"""The bench and its file: new, open, save; unsaved work is never lost without a question."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.app.files.bench_store import ChangedMeanwhileError, GoneMeanwhileError, write_bench
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.panels.message_bar import Message, Offer
from fairlead.app.panels.unsaved_question import UnsavedQuestion
from fairlead.core.document.bench import Bench

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.bench_store import OpenedBench
    from fairlead.app.files.jobs import Jobs
    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.core.errors import FairleadError
    from fairlead.core.paths import FileMark

UNNAMED = "Unnamed bench"
_SUGGESTION = "bench.fairlead"
# What a message is about: a newer one about the same thing replaces it.
_FILE = "the bench's file"


class BenchHandler:
    """Replaces the document's bench, and saves it in the background."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        worker: Jobs,
        messages: MessageBar,
        settings: Settings,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._worker = worker
        self._messages = messages
        self._settings = settings
        self._window = window
        self._saves = 0
        self._mark: FileMark | None = None
        self._then_after_saves: Callable[[], None] | None = None

    @property
    def name(self) -> str:
        """The name of the bench's file, or a fixed one if it has none."""
        path = self._document.path
        return UNNAMED if path is None else Path(path).name

    # New and opened

    def new(self) -> None:
        """Start with an empty bench."""
        self.when_nothing_is_lost("starting a new bench", lambda: self._replace(Bench(), None))

    def open(self, opened: OpenedBench, then: Callable[[], None]) -> None:
        """Replace the current bench with one from a file.

        Parameters
        ----------
        opened : OpenedBench
        then : callable
            Called once it is open; not if the user decides against it.
        """
        if self._is_present(opened.path):
            if opened.bench == self._document.saved:
                self._messages.say("note", [f"{self.name} is already open"])
                then()
                return
            offer = Offer(
                "Open the changed file",
                "Replace what you see with what is in the file now",
                partial(self._ask_and_open, opened, then),
            )
            line = f"{self.name} is already open, but its file was changed by another program"
            self._messages.say_all([Message("warning", line, (offer,), _FILE)])
            return
        self._ask_and_open(opened, then)

    def open_unnamed(self, bench: Bench, purpose: str, then: Callable[[], None]) -> None:
        """Replace the current bench with one that has no file; ``then`` as in `open`."""

        def do() -> None:
            self._replace(bench, None)
            then()

        self.when_nothing_is_lost(purpose, do)

    def restore(self, bench: Bench, path: str | None) -> None:
        """Open work that was never saved; it counts as modified."""
        self._replace(bench, path, is_saved=False)

    def clear_recent(self) -> None:
        """Clear the list of recent benches; the files stay."""
        self._settings.recent = []

    # Saved

    def save(self) -> None:
        """Save to the bench's file, or ask for one."""
        self._save_and(None)

    def save_as(self) -> None:
        """Ask for a file and save to it."""
        self._ask_and_save(None)

    def when_nothing_is_lost(self, purpose: str, action: Callable[[], None]) -> None:
        """Run an action that closes the current bench, once nothing can be lost by it.

        Parameters
        ----------
        purpose : str
            For the question, such as ``closing``.
        action : callable
            Called at once, after saving, or never.
        """
        self._edits.end_gesture()
        if self._saves:
            # The running save may leave nothing more to save.
            self._then_after_saves = partial(self.when_nothing_is_lost, purpose, action)
            return
        if not self._document.is_modified:
            action()
            return
        answer = UnsavedQuestion.ask(self._window, self.name, purpose)
        if answer == "discard":
            action()
        elif answer == "save":
            self._save_and(partial(self.when_nothing_is_lost, purpose, action))

    def _ask_and_open(self, opened: OpenedBench, then: Callable[[], None]) -> None:
        def do() -> None:
            self._replace(opened.bench, opened.path)
            self._mark = opened.mark
            self._settings.add_recent(opened.path)
            then()

        self.when_nothing_is_lost(f'opening "{Path(opened.path).name}"', do)

    def _replace(self, bench: Bench, path: str | None, *, is_saved: bool = True) -> None:
        # The hovered point is gone; a key of the new bench may be the same by chance.
        self._view_state.set_hover(None)
        self._view_state.set_selection(frozenset())
        self._mark = None
        self._messages.withdraw(_FILE)
        self._document.open(bench, path, is_saved=is_saved)

    def _is_present(self, path: str) -> bool:
        present = self._document.path
        return present is not None and os.path.realpath(path) == os.path.realpath(present)

    def _save_and(self, then: Callable[[], None] | None) -> None:
        path = self._document.path
        if path is None:
            self._ask_and_save(then)
        else:
            self._start_save(path, self._mark, then)

    def _ask_and_save(self, then: Callable[[], None] | None) -> None:
        suggestion = self._document.path or str(
            Path(self._settings.folder or Path.home()) / _SUGGESTION
        )
        path = FileChooser.bench_to_write(self._window, suggestion)
        if path:
            path = os.path.abspath(path)  # noqa: PTH100 - resolve() would follow links
            known = self._mark if self._is_present(path) else None
            self._start_save(path, known, then)

    def _start_save(
        self, path: str, known: FileMark | None, then: Callable[[], None] | None
    ) -> None:
        self._edits.end_gesture()
        bench = self._document.bench
        self._saves += 1
        self._worker.run(
            f"Saving {Path(path).name}",
            lambda _: write_bench(bench, path, known),
            lambda mark: self._on_saved(bench, path, mark, then),
            lambda error: self._on_failed(path, error),
        )

    def _on_saved(
        self, bench: Bench, path: str, mark: FileMark | None, then: Callable[[], None] | None
    ) -> None:
        self._saves -= 1
        self._mark = mark
        self._document.mark_saved(bench, path)
        self._settings.folder = str(Path(path).parent)
        self._settings.add_recent(path)
        # The title and the button show that it worked; a message would shift the plots.
        self._messages.withdraw(_FILE)
        self._go_on(then)

    def _on_failed(self, path: str, error: FairleadError) -> None:
        self._saves -= 1
        self._then_after_saves = None
        again = partial(self._start_save, path, None, None)
        offers = [Offer("Save elsewhere ...", "Choose another name or folder", self.save_as)]
        if isinstance(error, ChangedMeanwhileError):
            offers.append(Offer("Replace it", "Overwrite what the other program saved", again))
        if isinstance(error, GoneMeanwhileError):
            offers.append(Offer("Save it there", "Write a new file with that name", again))
        self._messages.say_all([Message("error", str(error), tuple(offers), _FILE)])

    def _go_on(self, then: Callable[[], None] | None) -> None:
        waiting, self._then_after_saves = self._then_after_saves, None
        for action in (then, waiting):
            if action is not None:
                action()
                return
