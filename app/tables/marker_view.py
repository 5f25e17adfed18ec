"""The table of markers as shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QItemSelection, QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.tables.marker_model import MarkerModel

_CELL_MARGIN = 14
_NAME_NARROWEST, _NAME_WIDEST = 90, 170
_NARROW, _SAMPLE = 240, 28
_WIDEST_SWR, _WIDEST_OTHER = "00.00", "−000.0"


class MarkerView(QTableView):
    """Selects whole rows, in step with the other lists through the view state."""

    edit_wanted = Signal()
    """A heading was clicked twice: the markers are to be typed."""

    def __init__(
        self, model: MarkerModel, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._model = model
        self._view_state = view_state
        self._is_following = False
        self.setModel(model)
        self.setObjectName("markers")
        self.setAccessibleName("Values at the markers")
        self.setAccessibleDescription(
            "One row per sweep, and for each marker its values; a double click on a heading opens "
            "the list of markers"
        )
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        rows, columns = self.verticalHeader(), self.horizontalHeader()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        rows.setMinimumWidth(_NAME_NARROWEST)
        rows.setMaximumWidth(_NAME_WIDEST)
        rows.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        rows.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        rows.setHighlightSections(False)
        rows.setAccessibleName("Sweeps")
        columns.setHighlightSections(False)
        columns.sectionDoubleClicked.connect(lambda _: self.edit_wanted.emit())
        model.modelReset.connect(self._fit_text)
        model.headerDataChanged.connect(self._fit_text)
        view_state.selection_changed.connect(self._follow)
        self.selectionModel().selectionChanged.connect(self._on_selected)
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

    def _on_selected(self) -> None:
        if not self._is_following:
            rows = self.selectionModel().selectedRows()
            keys = frozenset(self._model.key_at(index.row()) for index in rows)
            self._view_state.set_selection(keys)

    def _follow(self, keys: frozenset[int]) -> None:
        if not self._model.columnCount():
            return
        selection = QItemSelection()
        for row in filter(lambda row: row is not None, map(self._model.row_of, keys)):
            selection.select(self._model.index(row or 0, 0), self._model.index(row or 0, 0))
        flags = (
            QItemSelectionModel.SelectionFlag.ClearAndSelect
            | QItemSelectionModel.SelectionFlag.Rows
        )
        self._is_following = True
        try:
            self.selectionModel().select(selection, flags)
        finally:
            self._is_following = False
