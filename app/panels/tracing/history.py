"""The states of a tracing, to go back and forth in: its own undo, apart from the bench's."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.app.panels.tracing.draft import Draft

_MOST_STEPS = 1000


class History:
    """Drafts are frozen and share what did not change, so each step is the draft before it."""

    def __init__(self, draft: Draft) -> None:
        self._steps: list[tuple[Draft, str]] = [(draft, "")]
        self._at = 0
        self._joins = ""

    @property
    def draft(self) -> Draft:
        """The draft as it is now."""
        return self._steps[self._at][0]

    @property
    def steps(self) -> int:
        """How many steps can be undone."""
        return self._at

    @property
    def undo_text(self) -> str:
        """What would be undone; empty if nothing."""
        return self._steps[self._at][1]

    @property
    def redo_text(self) -> str:
        """What would be done again; empty if nothing."""
        return "" if self._at + 1 == len(self._steps) else self._steps[self._at + 1][1]

    def push(self, draft: Draft, text: str, joins: str = "") -> None:
        """Add a step; none if nothing changed.

        Parameters
        ----------
        draft : Draft
        text : str
            What was done.
        joins : str
            Steps in a row with the same word here, if any, are one: the moves of a drag, or of a
            held key.
        """
        if draft == self.draft:
            return
        if joins and joins == self._joins:
            self._steps[self._at] = (draft, text)
        else:
            del self._steps[self._at + 1 :]
            self._steps.append((draft, text))
            del self._steps[: -_MOST_STEPS - 1]
            self._at = len(self._steps) - 1
        self._joins = joins

    def replace(self, draft: Draft) -> None:
        """Another draft in place of this one, without a step."""
        self._steps[self._at] = (draft, self._steps[self._at][1])
        self._joins = ""

    def end_joining(self) -> None:
        """The next step is one of its own."""
        self._joins = ""

    def undo(self) -> None:
        """Go one step back."""
        self._at = max(0, self._at - 1)
        self._joins = ""

    def redo(self) -> None:
        """Go one step forth."""
        self._at = min(len(self._steps) - 1, self._at + 1)
        self._joins = ""
