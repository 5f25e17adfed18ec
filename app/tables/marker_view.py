"""The table of markers as shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFontMetrics

from fairlead.app.tables.row_table import RowTable
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.tables.marker_model import MarkerModel

_CELL_MARGIN = 14
_NAME_NARROWEST, _NAME_WIDEST = 90, 170
_NARROW, _SAMPLE = 240, 28
_WIDEST_SWR, _WIDEST_OTHER = "00.00", "−000.0"


class MarkerView(RowTable):
    """One row per sweep, and for each marker its values."""

    edit_wanted = Signal()
    """A heading was clicked twice: the markers are to be typed."""

    def __init__(
        self, model: MarkerModel, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(model, view_state, (_NAME_NARROWEST, _NAME_WIDEST), parent)
        self._model = model
        self.setObjectName("markers")
        self.setAccessibleName("Values at the markers")
        self.setAccessibleDescription(
            "One row per sweep, and for each marker its values; a double click on a heading opens "
            "the list of markers"
        )
        self.horizontalHeader().sectionDoubleClicked.connect(lambda _: self.edit_wanted.emit())
        model.modelReset.connect(self._fit_text)
        model.headerDataChanged.connect(self._fit_text)
        self._fit_text()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window only the samples of the lines stand beside the numbers."""
        names = self.verticalHeader()
        is_narrow = self.width() < _NARROW
        names.setMinimumWidth(_SAMPLE if is_narrow else _NAME_NARROWEST)
        names.setMaximumWidth(_SAMPLE if is_narrow else _NAME_WIDEST)
        super().resizeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Fit another size of text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and self.model() is not None:
            self._fit_text()

    def _fit_text(self) -> None:
        metrics = QFontMetrics(self.font())
        self.verticalHeader().setDefaultSectionSize(metrics.height() + 8)
        columns = self._model.columns
        for i in range(self._model.columnCount()):
            heading = self._model.headerData(i, Qt.Orientation.Horizontal)
            lines = str(heading).split("\n")
            number = _WIDEST_SWR if columns[i % len(columns)] is SWR else _WIDEST_OTHER
            wide = max(metrics.horizontalAdvance(text) for text in (*lines, number))
            self.setColumnWidth(i, wide + _CELL_MARGIN)

    def _keys_at(self, rows: Iterable[int]) -> Iterable[int]:
        return map(self._model.key_at, rows)

    def _rows_of(self, keys: frozenset[int]) -> Collection[int]:
        if not self._model.columnCount():
            return ()
        return [row for row in map(self._model.row_of, keys) if row is not None]
