"""The undo command: a bench before and a bench after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QUndoCommand

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.core.document.bench import Bench


class ChangeBench(QUndoCommand):
    """One step of the undo history.

    Benches share all parts that did not change, so keeping two of them costs next to nothing, and
    undo restores the exact document.
    """

    def __init__(self, document: Document, before: Bench, after: Bench, text: str) -> None:
        super().__init__(text)
        self._document = document
        self._before = before
        self._after = after

    def redo(self) -> None:
        """Apply the bench after the change."""
        self._document.apply(self._after)

    def undo(self) -> None:
        """Apply the bench before the change."""
        self._document.apply(self._before)
