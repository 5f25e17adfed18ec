"""A table whose whole rows are selected in step with the other lists; names stay at the side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelection, QItemSelectionModel, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from PySide6.QtCore import QAbstractItemModel

    from fairlead.app.document.view_state import ViewState

_FLAGS = QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows


class RowTable(QTableView):
    """Says which sweeps are selected, and follows when others are.

    Parameters
    ----------
    model : QAbstractItemModel
    view_state : ViewState
    name_px : (least, most)
        Widths of the names at the side.
    """

    def __init__(
        self,
        model: QAbstractItemModel,
        view_state: ViewState,
        name_px: tuple[int, int],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._is_following = False
        self.setModel(model)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setWordWrap(False)
        # Tab leaves the table; the arrows move within it.
        self.setTabKeyNavigation(False)
        rows = self.verticalHeader()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        rows.setMinimumWidth(name_px[0])
        rows.setMaximumWidth(name_px[1])
        rows.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        rows.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        rows.setHighlightSections(False)
        rows.setAccessibleName("Sweeps")
        self.horizontalHeader().setHighlightSections(False)
        self.selectionModel().selectionChanged.connect(self._on_selected)
        view_state.selection_changed.connect(self._follow)

    def _keys_at(self, rows: Iterable[int]) -> Iterable[int]:
        """Keys of the sweeps in some rows, which rise."""
        raise NotImplementedError

    def _rows_of(self, keys: frozenset[int]) -> Collection[int]:
        """Rows of the sweeps with these keys, as far as they are there."""
        raise NotImplementedError

    def _on_selected(self) -> None:
        if not self._is_following:
            rows = sorted(index.row() for index in self.selectionModel().selectedRows())
            self._view_state.set_selection(frozenset(self._keys_at(rows)))

    def _follow(self, keys: frozenset[int]) -> None:
        selection = QItemSelection()
        for row in self._rows_of(keys):
            place = self.model().index(row, 0)
            selection.select(place, place)
        self._is_following = True
        try:
            self.selectionModel().select(selection, _FLAGS)
        finally:
            self._is_following = False
