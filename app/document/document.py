"""The document: holds the bench and announces its changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.knowledge import NOTHING_KNOWN, Knowledge, compare_known
from fairlead.core.document.bench import Bench

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.rows import Row

_UNDO_STEPS = 500


class Document(QObject):
    """Holds the current `Bench`, the undo stack, and the state of the bench's file.

    Only undo commands and running gestures (`app/document/edits.py`) call `apply`; views connect to
    ``changed`` and compare the parts they show by identity.

    Attributes
    ----------
    analyses : Analyses
        Cached analyses of the sweeps; threads that read files fill it in advance.
    knowledge : Knowledge
        The uncertainty of the figures, as far as worked out: of this bench or an earlier one.
    changes : mapping of int to ChangeSummary
        What changed in each sweep, by the key of its entry: of this bench or an earlier one.
    """

    changed = Signal(object, object)
    """Old bench, new bench."""
    file_changed = Signal()
    """`path` or `is_modified` has changed."""
    learned = Signal(object)
    """The `Knowledge` of the current bench."""
    changes_learned = Signal(object)
    """The `changes` of the current bench."""
    opened = Signal()
    """Another bench has replaced the last one."""
    saved_or_opened = Signal(object, object)
    """A bench and its path or None: it is saved on disk, or is a new one with nothing to save."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.analyses = Analyses()
        self.knowledge = NOTHING_KNOWN
        self.changes: Mapping[int, ChangeSummary] = {}
        self._bench = Bench()
        self._saved: Bench | None = self._bench
        self._as_loaded: Bench | None = self._bench
        self._path: str | None = None
        self._was_modified = False
        self._is_announcing = self._is_hurried = False
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(_UNDO_STEPS)

    @property
    def bench(self) -> Bench:
        """The current bench."""
        return self._bench

    @property
    def path(self) -> str | None:
        """The bench's file, absolute; None while it has none."""
        return self._path

    @property
    def saved(self) -> Bench | None:
        """The bench as it is in its file; None if the file's contents are not known."""
        return self._saved

    @property
    def is_modified(self) -> bool:
        """Whether the bench differs from what was saved.

        Benches are compared, not undo steps: a bench is saved on another thread while the user
        continues. An unnamed bench without sweeps has nothing to save.
        """
        if self._path is None and not self._bench.entries:
            return False
        return self._bench is not self._saved and self._bench != self._saved

    @property
    def holds_edits(self) -> bool:
        """Whether there is unsaved work other than unedited sweeps from files."""
        return self.is_modified and self._bench != self._as_loaded

    def learn(self, bench: Bench, knowledge: Knowledge) -> None:
        """Store what was worked out for a bench; announced only if it is the current one."""
        self.knowledge = knowledge
        if bench is self._bench:
            self.learned.emit(knowledge)

    def learn_changes(self, bench: Bench, changes: Mapping[int, ChangeSummary]) -> None:
        """Store what changed in the sweeps of a bench; announced only if it is the current one."""
        self.changes = changes
        if bench is self._bench:
            self.changes_learned.emit(changes)

    def rows(self) -> tuple[Row, ...]:
        """The comparison with all that can be known of it; what is not known yet is worked out."""
        return compare_known(self._bench, self.analyses, self.knowledge)

    def note_loaded(self, before: Bench) -> None:
        """Note that the bench has only gained sweeps from files since it was ``before``."""
        if before is self._as_loaded:
            self._as_loaded = self._bench

    def open(self, bench: Bench, path: str | None, *, is_saved: bool = True) -> None:
        """Replace the bench by another one and clear the undo history.

        Parameters
        ----------
        bench : Bench
        path : str or None
            Its file; None for a new bench.
        is_saved : bool
            False if the file, if any, holds something else, as for restored work.
        """
        self.undo_stack.clear()
        self._saved = bench if is_saved else None
        self._as_loaded = self._saved
        self._path = path
        self.apply(bench)
        self.opened.emit()
        if is_saved:
            self.saved_or_opened.emit(bench, path)
        self._tell_of_file(is_sure=True)

    def mark_saved(self, bench: Bench, path: str) -> None:
        """Note that a bench, perhaps an earlier one than the current, was saved to a file."""
        is_new_path, self._path = path != self._path, path
        self._saved = bench
        self.saved_or_opened.emit(bench, path)
        self._tell_of_file(is_sure=is_new_path)

    @property
    def is_hurried(self) -> bool:
        """Whether the change that is being announced will be followed by others within a frame."""
        return self._is_hurried

    def apply(self, bench: Bench, *, is_hurried: bool = False) -> None:
        """Make another bench the current one and announce it.

        Plots follow a hurried change at once, tables a little later and not each time.

        Raises
        ------
        RuntimeError
            If a view tries to change the document during the announcement of a change: that could
            recurse without end, and the views would disagree.
        """
        if self._is_announcing:
            raise RuntimeError("the document was changed while it announced a change")
        if bench is self._bench:
            return
        old, self._bench = self._bench, bench
        self._is_announcing, self._is_hurried = True, is_hurried
        try:
            self.changed.emit(old, bench)
        finally:
            self._is_announcing = self._is_hurried = False
        self._tell_of_file()

    def _tell_of_file(self, *, is_sure: bool = False) -> None:
        is_modified = self.is_modified
        if is_sure or is_modified != self._was_modified:
            self._was_modified = is_modified
            self.file_changed.emit()
