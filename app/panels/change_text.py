"""What changed against the reference, in words: of the selected sweeps, or of all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QFrame, QPlainTextEdit

from fairlead.core.comparison.changes import chosen
from fairlead.core.report import sentences

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.document.bench import Bench

_NOTHING = "With two or more sweeps on the bench, this shows what changed from the reference."
_WAIT = "Working out what changed ..."
_LINES = 3
_MARGIN_PX = 10
_NARROWEST_PX = 320


class ChangeText(QPlainTextEdit):
    """Follows the document and the selection; text can be selected with the mouse.

    Nothing that belongs to an earlier state of the bench is shown: after a change the text is empty
    until the sentences for the new state are ready.
    """

    def __init__(
        self, document: Document, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._changes: Mapping[int, ChangeSummary] = {}
        self.setReadOnly(True)
        self.setObjectName("changes")
        self.setAccessibleName("What changed from the reference")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        document.changed.connect(self._on_changed)
        document.changes_learned.connect(self._on_learned)
        view_state.selection_changed.connect(self._refresh)
        self._on_changed(document.bench, document.bench)

    def sizeHint(self) -> QSize:
        """Room for a few lines."""
        return QSize(super().sizeHint().width(), self._height(_LINES))

    def minimumSizeHint(self) -> QSize:
        """One line, wide enough to be read."""
        return QSize(_NARROWEST_PX, self._height(1))

    def _height(self, lines: int) -> int:
        return lines * QFontMetrics(self.font()).lineSpacing() + _MARGIN_PX

    def _on_changed(self, _old: Bench, new: Bench) -> None:
        self._changes = {}
        can_compare = new.reference is not None and len(new.entries) > 1
        self.setPlaceholderText(_WAIT if can_compare else _NOTHING)
        self._refresh()

    def _on_learned(self, changes: Mapping[int, ChangeSummary]) -> None:
        self._changes = changes
        self._refresh()

    def _refresh(self) -> None:
        text = "\n".join(sentences(chosen(self._changes, self._view_state.selection)))
        if text != self.toPlainText():
            self.setPlainText(text)
