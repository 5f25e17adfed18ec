"""Uncertainty of the figures, and what changed: worked out in the background after each change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from fairlead.app.files.jobs import Job, Jobs
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import knowledge_of
from fairlead.core.comparison.rows import compare

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.app.document.document import Document
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import FairleadError

# Longer than the pauses within a drag; short enough not to be noticed after it.
AFTER_MS = 150


class BackgroundResults(QObject):
    """Follows the document without slowing down a gesture.

    Each change stops what is running, between two sweeps at the latest, and starts the wait again.
    A result that comes too late for its bench is kept for the next run but not shown. What changed
    is worked out after the intervals, because it needs them and takes longer.
    """

    def __init__(self, document: Document, messages: MessageBar, parent: QObject) -> None:
        super().__init__(parent)
        self._document = document
        self._messages = messages
        self._jobs = Jobs(self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(AFTER_MS)
        self._timer.timeout.connect(self._begin)
        document.changed.connect(self._on_changed)

    @property
    def is_busy(self) -> bool:
        """Whether something is waiting to be worked out, or being worked out."""
        return self._timer.isActive() or self._jobs.is_busy

    def close(self) -> None:
        """Stop; no more results are announced."""
        self._timer.stop()
        self._document.changed.disconnect(self._on_changed)
        self._jobs.cancel()
        self._jobs.close()

    def _on_changed(self, _old: Bench, new: Bench) -> None:
        self._jobs.cancel()
        if new.entries:
            self._timer.start()
        else:
            self._timer.stop()

    def _begin(self) -> None:
        document = self._document
        bench, analyses, before = document.bench, document.analyses, document.knowledge

        def task(job: Job) -> Knowledge | None:
            return knowledge_of(bench, analyses, before, lambda: not job.is_cancelled)

        def done(found: Knowledge | None) -> None:
            if found is not None:
                document.learn(bench, found)
                if bench is document.bench:
                    self._begin_changes(bench, found)

        self._jobs.run("", task, done, self._fail)

    def _begin_changes(self, bench: Bench, known: Knowledge) -> None:
        document = self._document
        analyses, before = document.analyses, document.changes

        def task(job: Job) -> Mapping[int, ChangeSummary] | None:
            rows = compare(bench, analyses, known.intervals, known.figures)
            return changes_of(bench, rows, before, lambda: not job.is_cancelled)

        def done(found: Mapping[int, ChangeSummary] | None) -> None:
            if found is not None:
                document.learn_changes(bench, found)

        self._jobs.run("", task, done, self._fail)

    def _fail(self, error: FairleadError) -> None:
        self._messages.say("error", [str(error)])
