"""The table of figures as shown: names stay visible at the side."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zlib import crc32

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QFontMetrics

from fairlead.app.tables.column_menu import ColumnMenu
from fairlead.app.tables.row_table import RowTable
from fairlead.core.comparison.rows import COMPARED

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from PySide6.QtCore import QByteArray
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.tables.figures_model import FiguresModel
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec

_CELL_MARGIN = 16
_SIGN = 12
_NAME_WIDEST = 230
_NAME_NARROWEST = 110


class FiguresView(RowTable):
    """The figures, and the columns that the user chose."""

    def __init__(
        self, model: FiguresModel, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(model, view_state, (_NAME_NARROWEST, _NAME_WIDEST), parent)
        self._model = model
        self.setObjectName("figures")
        self.setAccessibleName("Table of figures")
        self.setAccessibleDescription(
            "One row per sweep or group: its figures in the band, and their change against the "
            "reference; a double click folds a group"
        )
        self.setIconSize(QSize(_SIGN, _SIGN))
        self.column_menu = ColumnMenu(self.horizontalHeader(), self._titles, self._can_show)
        self.column_menu.changed.connect(self._show_columns)
        self.column_menu.order_wanted.connect(self._order_columns)
        self._set_up_headers()
        self._show_columns()
        model.follow_sight(self._rows_in_sight)
        model.document.changed.connect(self._on_changed)
        model.intervals_shown.connect(self._make_room)
        self.doubleClicked.connect(lambda index: self._turn_fold(index.row()))
        self.verticalHeader().sectionDoubleClicked.connect(self._turn_fold)
        view_state.folded_changed.connect(lambda: self._follow(view_state.selection))

    @property
    def state_name(self) -> str:
        """A name that changes with the columns: a layout saved for others would mix them up."""
        ids = " ".join(spec.id for spec in self._model.specs)
        return f"figures-{crc32(ids.encode()):08x}"

    @property
    def columns_state(self) -> QByteArray:
        """Order and widths of the columns, for the settings."""
        return self.horizontalHeader().saveState()

    def restore_columns(self, state: QByteArray) -> None:
        """Restore order and widths; a damaged state changes nothing."""
        columns = self.horizontalHeader()
        usual = columns.saveState()
        if state.isEmpty():
            return
        is_whole = columns.restoreState(state) and columns.count() == len(self._model.specs)
        if not is_whole or not any(columns.sectionSize(i) for i in range(columns.count())):
            columns.restoreState(usual)
        # The state has them too, but not by name.
        self._show_columns()

    def _titles(self) -> dict[str, str]:
        bench = self._model.document.bench
        return {spec.id: spec.title(bench) for spec in self._model.specs}

    def _set_up_headers(self) -> None:
        self.horizontalHeader().setSectionsMovable(True)
        self._fit_text()

    def _fit_text(self) -> None:
        """Rows as high and columns as wide as the text needs."""
        metrics = QFontMetrics(self.font())
        self.verticalHeader().setDefaultSectionSize(metrics.height() + 8)
        limit = self._model.document.bench.with_limit(1.05)
        for i, spec in enumerate(self._model.specs):
            heading = max(metrics.horizontalAdvance(line) for line in spec.two_lines(limit))
            number = metrics.horizontalAdvance(spec.widest) + _margin(spec)
            self.setColumnWidth(i, max(heading + _CELL_MARGIN, number))

    def changeEvent(self, event: QEvent) -> None:
        """Fit another size of text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and self.model() is not None:
            self._fit_text()
            self._make_room()

    def _rows_in_sight(self) -> range:
        if not self.isVisible():
            return range(0)
        last = self.rowAt(self.viewport().height() - 1)
        return range(max(self.rowAt(0), 0), (last if last >= 0 else self._model.rowCount() - 1) + 1)

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if new.entries is not old.entries:
            self._show_columns()

    def _make_room(self) -> None:
        """Widen columns where a number with its interval would be cut; never narrow them."""
        metrics, model = QFontMetrics(self.font()), self._model
        for i in range(model.columnCount()):
            texts = (model.index(row, i).data() for row in range(model.rowCount()))
            widest = max((metrics.horizontalAdvance(text) for text in texts), default=0)
            is_number = not model.specs[i].is_words
            wanted = widest + _margin(model.specs[i])
            if is_number and wanted > self.columnWidth(i) > 0:
                self.setColumnWidth(i, wanted)

    def _can_show(self, column: int) -> bool:
        """Whether a column has anything to show.

        The name stands at the side, where it stays while the columns scroll; conditions leave their
        room to figures while no sweep has one.
        """
        name = self._model.specs[column].id
        if name == "condition":
            return any(entry.condition for entry in self._model.document.bench.entries)
        return name != "label"

    def _show_columns(self) -> None:
        for i, spec in enumerate(self._model.specs):
            is_hidden = spec.id in self.column_menu.hidden or not self._can_show(i)
            if self.isColumnHidden(i) != is_hidden:
                self.setColumnHidden(i, is_hidden)
                if not is_hidden and not self.columnWidth(i):
                    self._fit_text()

    def _order_columns(self, is_beside: bool) -> None:
        """Each change beside the figure that it compares, or the order of the answers."""
        specs = self._model.specs
        places = {spec.key: i for i, spec in enumerate(specs)}

        def place(i: int) -> tuple[int, int]:
            return places.get(COMPARED.get(specs[i].key, ""), i), i

        columns, wanted = self.horizontalHeader(), range(len(specs))
        order = sorted(wanted, key=place) if is_beside else list(wanted)
        for to, i in enumerate(order):
            columns.moveSection(columns.visualIndex(i), to)

    def _turn_fold(self, row: int) -> None:
        group = self._model.group_at(row)
        if group is not None:
            self._view_state.turn_fold(group.key)

    def _keys_at(self, rows: Iterable[int]) -> Iterable[int]:
        return self._model.sweeps_at(list(rows))

    def _rows_of(self, keys: frozenset[int]) -> Collection[int]:
        return self._model.rows_of(keys)

    def _on_selected(self) -> None:
        if not self._model.is_folding:
            super()._on_selected()

    def _follow(self, keys: frozenset[int]) -> None:
        super()._follow(keys)
        rows = self._rows_of(keys)
        if rows:
            self._scroll_to(min(rows))

    def _scroll_to(self, row: int) -> None:
        """Bring a row into sight; columns stay where they are."""
        left = self.horizontalScrollBar().value()
        # Qt does not scroll to a cell of a hidden column.
        self.scrollTo(self._model.index(row, max(self.columnAt(0), 0)))
        self.horizontalScrollBar().setValue(left)


def _margin(spec: FigureSpec) -> int:
    """Around the text of a cell, with room for the sign of a value over the limit."""
    return _CELL_MARGIN + (_SIGN + 4 if spec.has_limit else 0)
