"""How well the figures are known, worked out in the background when nothing has moved lately."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from fairlead.app.files.jobs import Job, Jobs
from fairlead.core.comparison.knowledge import knowledge_of

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench

# A hand that drags moves more often than that; who has let go does not wait.
AFTER_MS = 150


class Knowing(QObject):
    """Follows the document; never in the way of a gesture.

    Each change stops what is running, between two sweeps at the latest, and starts the wait again.
    What comes too late for its bench is kept for the next time and shown to nobody.
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
        """Stop; nothing is told any more."""
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

        self._jobs.run("", task, done, lambda error: self._messages.say("error", [str(error)]))
