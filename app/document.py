"""The document: the one place that holds the bench, and tells everyone when it changes."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from core.bench import Bench

_UNDO_STEPS = 500


class Document(QObject):
    """Holds the current `Bench` and the undo stack.

    Only undo commands and running gestures (`app.edits`) call `apply`; views connect to
    ``changed`` and compare the parts they show by identity.
    """

    changed = Signal(object, object)
    """Old bench, new bench."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench = Bench()
        self._is_announcing = False
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(_UNDO_STEPS)

    @property
    def bench(self) -> Bench:
        """The current bench."""
        return self._bench

    def apply(self, bench: Bench) -> None:
        """Make another bench the current one and announce it.

        Raises
        ------
        RuntimeError
            If a view tries to change the document while it is being told of a change: that would
            run in circles, and the views would disagree.
        """
        if self._is_announcing:
            raise RuntimeError("the document was changed while it announced a change")
        if bench is self._bench:
            return
        old, self._bench = self._bench, bench
        self._is_announcing = True
        try:
            self.changed.emit(old, bench)
        finally:
            self._is_announcing = False
