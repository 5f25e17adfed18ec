"""What changed in each sweep, taken apart: a small table, and what only the user can say of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableWidget, QTableWidgetItem

from fairlead.app.panels.tick import TickDelegate
from fairlead.core.comparison.changes import chosen
from fairlead.core.comparison.part_lines import HEADINGS, part_lines
from fairlead.core.document.radiation import radiates_alike

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.document.bench import Bench

_SAME_RADIATION = "radiation unchanged"
_SAME_RADIATION_HINT = (
    "Tick it only if you know that height, surroundings and shape are the reference's. Then a "
    "lower Q is reported as added loss, if the line is removed and both have one calibration."
)
_KEY = int(Qt.ItemDataRole.UserRole)
_LINES = 3


class PartsTable(QTableWidget):
    """Follows the document and the selection; empty until the parts are worked out."""

    radiation_said = Signal(int, bool)
    """Key of a sweep, and whether it is said to radiate as the reference does."""

    def __init__(
        self, document: Document, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(0, len(HEADINGS), parent)
        self._document = document
        self._view_state = view_state
        self._changes: Mapping[int, ChangeSummary] = {}
        self.setObjectName("parts")
        self.setAccessibleName("Parts of what changed")
        self.setHorizontalHeaderLabels(HEADINGS)
        self.verticalHeader().hide()
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.horizontalHeader().setStretchLastSection(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.verticalHeader().setMinimumSectionSize(1)
        self._fit_rows()
        self.horizontalHeader().setHighlightSections(False)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setItemDelegate(TickDelegate(self))
        document.changed.connect(self._on_changed)
        document.changes_learned.connect(self._on_learned)
        view_state.selection_changed.connect(self._refresh)
        self.itemChanged.connect(self._on_item_changed)

    def sizeHint(self) -> QSize:
        """Room for the headings and a few lines."""
        return QSize(360, self._height(_LINES))

    def minimumSizeHint(self) -> QSize:
        """One line, of any width."""
        return QSize(0, self._height(1))

    def changeEvent(self, event: QEvent) -> None:
        """Rows as high as another font needs."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit_rows()
            self.updateGeometry()

    def _fit_rows(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self._height(1) - 6)

    def _height(self, lines: int) -> int:
        return lines * QFontMetrics(self.font()).lineSpacing() + 10

    def _on_changed(self, _old: Bench, _new: Bench) -> None:
        self._changes = {}
        self._refresh()

    def _on_learned(self, changes: Mapping[int, ChangeSummary]) -> None:
        self._changes = changes
        self._refresh()

    def _refresh(self) -> None:
        bench = self._document.bench
        # The selection may follow a removal before the changes do.
        labels = {entry.key: entry.label for entry in bench.entries}
        known = {key: one for key, one in self._changes.items() if key in labels}
        self.blockSignals(True)
        self.clearSpans()
        self.setRowCount(0)
        for key, summary in chosen(known, self._view_state.selection).items():
            tick = self._add_spanning(f"{labels[key]}: {_SAME_RADIATION}")
            tick.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsUserCheckable)
            is_said = radiates_alike(bench, key)
            tick.setCheckState(Qt.CheckState.Checked if is_said else Qt.CheckState.Unchecked)
            tick.setData(_KEY, key)
            tick.setToolTip(_SAME_RADIATION_HINT)
            for line in part_lines(summary):
                self._add(line.texts, line.hint)
        self.blockSignals(False)
        self.viewport().update()

    def _add(self, texts: tuple[str, ...], hint: str) -> None:
        row = self.rowCount()
        self.insertRow(row)
        if not any(texts[1:]):
            self.setSpan(row, 0, 1, len(texts))
        for column, text in enumerate(texts):
            item = QTableWidgetItem(text)
            item.setToolTip(hint)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
            if column:
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, column, item)

    def _add_spanning(self, text: str) -> QTableWidgetItem:
        row = self.rowCount()
        self.insertRow(row)
        item = QTableWidgetItem(text)
        self.setItem(row, 0, item)
        self.setSpan(row, 0, 1, len(HEADINGS))
        return item

    def _on_item_changed(self, item: QTableWidgetItem) -> None:
        key = item.data(_KEY)
        if key is not None:
            self.radiation_said.emit(key, item.checkState() == Qt.CheckState.Checked)
