"""The worked example: opens the demo bench, and shows the sweeps of each step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.look.resources import demo_bench
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.handlers.bench import BenchHandler
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.story_window import StoryWindow
    from fairlead.core.document.bench import Bench


class StoryHandler:
    """The bench is opened as one without a file, so that saving never writes over the demo."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        benches: BenchHandler,
        messages: MessageBar,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._benches = benches
        self._messages = messages
        self._window = window
        self._shown: StoryWindow | None = None

    @property
    def shown(self) -> StoryWindow | None:
        """The window that tells it; None before it is first opened."""
        return self._shown

    def open(self) -> None:
        """Open the demo bench and tell its first step."""
        from fairlead.core.bench_file.storage import load_bench  # noqa: PLC0415 - seldom needed

        try:
            bench = load_bench(demo_bench())
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        self._benches.open_unnamed(bench, "opening the worked example", self._tell)

    def _tell(self) -> None:
        if self._shown is None:
            from fairlead.app.panels.story_window import StoryWindow  # noqa: PLC0415 - seldom

            self._shown = StoryWindow(self._window)
            self._shown.step_wanted.connect(self._show_step)
        self._shown.show_step(0)

    def _show_step(self, step: int) -> None:
        from fairlead.app.panels.story_text import STORY  # noqa: PLC0415 - seldom needed

        told = STORY[step]
        keys = _named(self._document.bench, told.labels, told.group)
        # Nothing is hidden if another bench has been opened meanwhile.
        if keys:
            self._edits.show_only(keys, f"Show step {step + 1}, {told.title.lower()}")


def _named(bench: Bench, labels: tuple[str, ...], group: str) -> set[int]:
    keys = {entry.key for entry in bench.entries if entry.label in labels}
    return keys | {one.key for one in bench.groups if group and one.label == group}
