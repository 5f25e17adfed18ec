"""Opens the advice beside the window, has it worked out, and moves sweeps by its slider."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtGui import QGuiApplication

from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.handlers.desk import Handler
from fairlead.core.advice.advice_report import as_markdown, as_text, sections
from fairlead.core.advice.answers import advise
from fairlead.core.advice.requested import question_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.what_if import shift_of
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.app.handlers.desk import Desk
    from fairlead.app.panels.advice_panel import AdvicePanel
    from fairlead.core.advice.answers import Advice
    from fairlead.core.document.bench import Bench

# After the last change of bench or question.
_PAUSE_MS = 250
_UNIT = re.compile(r"(?<=\d) (?=(?:dB|W|kHz|MHz|mm|m|Ω|pF|nH|µH)\b|%)")


class AdviceHandler(Handler):
    """Answers are worked out off the GUI thread, in pauses; never while something is dragged."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._panel: AdvicePanel | None = None
        self._jobs = Jobs(self._window)
        self._pause = QTimer(self._window)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self._work)

    @property
    def panel(self) -> AdvicePanel | None:
        """The panel, once it was opened."""
        return self._panel

    @property
    def is_busy(self) -> bool:
        """Whether answers are awaited."""
        return self._pause.isActive() or self._jobs.is_busy

    def show(self) -> None:
        """Open it, or bring it to the front."""
        if self._panel is None:
            self._panel = self._made()
        self._panel.show()
        self._panel.raise_()
        self._follow(self._document.bench)
        self._ask()

    def close(self) -> None:
        """Stop; nothing is answered any more."""
        self._pause.stop()
        self._jobs.cancel()
        self._jobs.close()

    def _made(self) -> AdvicePanel:
        from fairlead.app.panels.advice_panel import AdvicePanel  # noqa: PLC0415 - only here

        panel = AdvicePanel(self._view_state, self._window)
        panel.asked.connect(self._ask)
        panel.kept.connect(self._edits.set_advice)
        panel.copy_wanted.connect(self._copy)
        panel.shift.began.connect(self._edits.begin_gesture)
        panel.shift.moved.connect(self._move)
        panel.shift.ended.connect(self._edits.end_gesture)
        self._document.changed.connect(self._on_changed)
        self._view_state.selection_changed.connect(self._ask)
        return panel

    @property
    def _keys(self) -> list[int]:
        """The selected sweeps, or all."""
        keys = [entry.key for entry in self._document.bench.entries]
        chosen = [key for key in keys if key in self._view_state.selection]
        return chosen or keys

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if self._panel is None or not self._panel.isVisible():
            return
        if old.advice is not new.advice or old.entries is not new.entries:
            self._follow(new)
        self._ask()

    def _follow(self, bench: Bench) -> None:
        """Show the question that is kept with the bench, as after undo."""
        if self._panel is not None:
            self._panel.form.show_sweeps(bench.entries, bench.reference_key)
            if self._panel.request() != bench.advice:
                self._panel.show_request(bench.advice)

    def _ask(self) -> None:
        if self._panel is None or not self._panel.isVisible():
            return
        entries = {entry.key: entry for entry in self._document.bench.entries}
        shifts = [shift_of(entries[key]) for key in self._keys]
        self._panel.follow_shift(shifts[0] if shifts else 0.0)
        self._panel.show_waiting()
        self._pause.start()

    def _move(self, change_percent: float) -> None:
        try:
            self._edits.drag_shift(self._keys, change_percent)
        except FairleadError as error:
            self._messages.say("error", [str(error)])

    def _work(self) -> None:
        if self._panel is None:
            return
        if self._edits.is_in_gesture:
            self._pause.start()
            return
        bench, analyses = self._document.bench, self._document.analyses
        known = self._document.knowledge
        try:
            asked = question_of(bench, self._panel.request(), self._keys)
        except FairleadError as error:
            self._panel.show_problem(str(error))
            return
        self._panel.show_problem("")

        def task(_job: Job) -> Advice:
            return advise(bench, compare_known(bench, analyses, known), analyses, asked)

        def done(advice: Advice) -> None:
            if self._panel is not None and advice.bench is self._document.bench:
                colours = {one.key: one.style.colour for one in advice.bench.entries}
                self._panel.show_answers(_html(advice), advice, colours)

        self._jobs.cancel()
        self._jobs.run("", task, done, self._fail)

    def _copy(self, advice: Advice, is_markdown: bool) -> None:
        text = as_markdown(advice) if is_markdown else as_text(advice)
        QGuiApplication.clipboard().setText(text)
        form = "Markdown" if is_markdown else "text"
        self._messages.say("note", [f"Copied the advice as {form}"])

    def _fail(self, error: FairleadError) -> None:
        self._messages.say("error", [str(error)])


def _html(advice: Advice) -> str:
    parts = []
    for heading, said in sections(advice):
        # A number stays on the line of its unit.
        lines = "".join(f"<li>{_UNIT.sub('&nbsp;', escape(one))}</li>" for one in said)
        parts.append(f"<h3>{escape(heading)}</h3><ul>{lines}</ul>")
    return "".join(parts)
