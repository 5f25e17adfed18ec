"""Where sweeps were taken, their feed lines, and the end of the line at which all are shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.handlers.desk import PanelHandler
from fairlead.core.document.planes import seen_at
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.app.panels.feed_line_panel import FeedLinePanel
    from fairlead.core.feed_line import FeedLine
    from fairlead.core.transform.feed_line import LineAdded, LineRemoved
    from fairlead.core.transform.step import Plane

_WORDS = {"feed": "the feed point", "radio": "the radio"}


class FeedLineHandler(PanelHandler):
    """Opens the panel, previews its choices, and leaves one undo step."""

    def choose(self) -> None:
        """State where the selected sweeps were measured, and through which line."""
        chosen = [
            entry
            for entry in self._document.bench.entries
            if entry.key in self._view_state.selection
        ]
        if not chosen:
            return
        from fairlead.app.panels.feed_line_panel import FeedLinePanel  # noqa: PLC0415 - only here

        keys = [entry.key for entry in chosen]
        panel = FeedLinePanel(
            self._document.bench.entries, chosen, self._settings.own_lines, self._window
        )
        self._edits.begin_gesture()
        panel.wanted.connect(lambda plane, step: self._show(panel, keys, plane, step))
        panel.keep_wanted.connect(self._keep)
        self._open(panel)

    def see_all_at(self, plane: Plane) -> None:
        """Show every sweep at one end of its line, where the line is known."""
        try:
            bench, left = seen_at(self._document.bench, plane)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        self._edits.set_planes(bench)
        if left:
            names = ", ".join(left[:3]) + (f" and {len(left) - 3} more" if len(left) > 3 else "")
            line = f"No line is known that leads to {_WORDS[plane]}: {names}; Edit > Feed line"
            self._messages.say("note", [line])

    def _show(
        self,
        panel: FeedLinePanel,
        keys: list[int],
        plane: Plane | None,
        step: LineRemoved | LineAdded | None,
    ) -> None:
        if panel.problem:
            return
        try:
            self._edits.drag_feed_line(keys, plane, step)
        except FairleadError as error:
            panel.refuse(str(error))
            return
        above = sum(
            int(np.count_nonzero(self._document.bench.entry(key).sweep.magnitude > 1 + 1e-9))
            for key in keys
        )
        if step is not None and step.leads_to == "feed" and above:
            panel.say(
                f"{panel.result_text.text()} |G| > 1 at {above} points: more loss is removed than "
                "there is, or this is not the line that was used."
            )

    def _keep(self, line: FeedLine) -> None:
        self._settings.keep_line(line)
        self._messages.say("note", [f'Saved the line "{line.name}" for other sweeps'])

    def _on_finished(self, result: int) -> None:
        super()._on_finished(result)
        if result:
            self._edits.end_gesture()
        else:
            self._edits.cancel_gesture()
