"""What changed, in words, for the clipboard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.handlers.desk import Handler
from fairlead.core.comparison.changes import changes_of, chosen
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.report import sentences, sentences_as_markdown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fairlead.app.handlers.desk import Desk
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.errors import FairleadError

    Form = Callable[[Mapping[int, ChangeSummary]], list[str]]


class ChangeHandler(Handler):
    """Acts on the selected sweeps; without a selection, or with only the reference, on all.

    A bench that has just changed is compared first, off the GUI thread, so that the copy always
    belongs to the bench as it was when the command was given.
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._jobs = Jobs(desk.window)

    @property
    def is_busy(self) -> bool:
        """Whether something to be copied is still being worked out."""
        return self._jobs.is_busy

    def copy(self) -> None:
        """Copy one sentence per line."""
        self._copy(sentences)

    def copy_markdown(self) -> None:
        """Copy as a Markdown list."""
        self._copy(sentences_as_markdown)

    def close(self) -> None:
        """Stop; nothing more is copied."""
        self._jobs.cancel()
        self._jobs.close()

    def _copy(self, form: Form) -> None:
        document, keys = self._document, self._view_state.selection
        bench, analyses = document.bench, document.analyses
        known, before = document.knowledge, document.changes

        def task(job: Job) -> Mapping[int, ChangeSummary]:
            rows = compare_known(bench, analyses, known)
            return changes_of(bench, rows, before, lambda: not job.is_cancelled) or {}

        def done(found: Mapping[int, ChangeSummary]) -> None:
            wanted = chosen(found, keys)
            if not wanted:
                self._messages.say("note", ["Nothing to compare yet; nothing was copied"])
                return
            QGuiApplication.clipboard().setText("\n".join(form(wanted)) + "\n")
            what = "one sweep" if len(wanted) == 1 else f"{len(wanted)} sweeps"
            self._messages.say("note", [f"Copied what changed in {what}"])

        self._jobs.run("", task, done, self._fail)

    def _fail(self, error: FairleadError) -> None:
        self._messages.say("error", [str(error)])
