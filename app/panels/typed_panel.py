"""A small grid to type readings from a meter into: frequency and SWR, or two powers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QStyledItemDelegate,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.small_plot import SmallPlot
from fairlead.core.document.entry import Typed
from fairlead.core.errors import FairleadError
from fairlead.core.reading.tables.plan import Kind
from fairlead.core.reading.typed import HEADINGS, TypedError, pasted_rows, typed_sweep
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.sweep import ScalarSweep

_KINDS = {Kind.SWR: "SWR", Kind.POWER: "Forward and reflected power"}
_EXAMPLES = {Kind.SWR: ("50.1", "1.6"), Kind.POWER: ("50.1", "10 W", "0.5 W")}
_FIRST_ROWS = 8
_MOST_ROWS = 5000
_READ_AFTER_MS = 80
_FIRST_SIZE = QSize(760, 480)


class TypedPanel(QDialog):
    """Changes nothing: it emits what was typed.

    Parameters
    ----------
    typed : Typed
        What to begin with.
    label : str
        Name of the sweep.
    z0_ohm : float
        Reference impedance of the meter.
    view_state : ViewState
    is_new : bool
        Whether readings are typed for the first time.
    """

    typed_wanted = Signal(object, object, str)
    """A `ScalarSweep`, its `Typed`, and the name."""

    def __init__(
        self,
        typed: Typed,
        label: str,
        z0_ohm: float,
        view_state: ViewState,
        parent: QWidget | None = None,
        *,
        is_new: bool = True,
    ) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._sweep: ScalarSweep | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_READ_AFTER_MS)
        self._timer.timeout.connect(self._read)
        self.setWindowTitle("Type readings" if is_new else "Edit readings")
        self.setModal(True)
        self.resize(_FIRST_SIZE)
        self.kind_box = QComboBox()
        self.kind_box.setAccessibleName("What the meter shows")
        self.kind_box.addItems(list(_KINDS.values()))
        kinds = [kind.value for kind in _KINDS]
        self.kind_box.setCurrentIndex(kinds.index(typed.quantity))
        self.name_field = QLineEdit(label)
        self.name_field.setAccessibleName("Name of the sweep")
        self.z0_field = QLineEdit(f"{z0_ohm:g}")
        self.z0_field.setAccessibleName("Reference impedance of the meter in ohms")
        self.grid = ReadingsGrid()
        self.grid.set_columns(HEADINGS[self.kind])
        self.grid.put(0, 0, typed.rows)
        self.plot = SmallPlot(view_state, "SWR as typed")
        self._problem = QLabel()
        self._problem.setTextFormat(Qt.TextFormat.PlainText)
        self._problem.setWordWrap(True)
        self.accept_button = QPushButton("&Add to the bench" if is_new else "&Change")
        self._lay_out()
        self.kind_box.currentIndexChanged.connect(self._change_kind)
        self.grid.itemChanged.connect(self._timer.start)
        self.z0_field.textChanged.connect(self._timer.start)
        self._read()
        view_state.theme_changed.connect(self._read)
        self.grid.setFocus()
        self.grid.setCurrentCell(0, 0)

    @property
    def kind(self) -> Kind:
        """What kind of readings is typed."""
        return list(_KINDS)[self.kind_box.currentIndex()]

    @property
    def problem(self) -> str:
        """Why it is not a sweep yet; empty if it is."""
        return self._problem.text()

    def accept(self) -> None:
        """Emit what was typed, if it is a sweep."""
        # Closes a cell that is still being edited.
        self.accept_button.setFocus()
        self._timer.stop()
        self._read()
        if self._sweep is not None:
            rows = tuple(row for row in self.grid.rows() if any(row))
            label = " ".join(self.name_field.text().split()) or "typed readings"
            self.typed_wanted.emit(self._sweep, Typed(self.kind.value, rows), label)
            super().accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in the grid moves to the next cell; only the button closes the panel."""
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if is_enter and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.accept()
        elif is_enter:
            self.accept()
        else:
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("&Name", self.name_field)
        form.addRow("The &meter shows", self.kind_box)
        form.addRow("At &impedance, Ω", self.z0_field)
        hint = QLabel(
            "Frequencies are in MHz unless you add another unit. A list can be pasted as it is. "
            "A meter shows no phase, so there will be no impedance."
        )
        hint.setWordWrap(True)
        hint.setProperty("muted", "true")
        right = QVBoxLayout()
        right.addLayout(form)
        right.addWidget(self.plot, 1)
        right.addWidget(self._problem)
        right.addWidget(hint)
        top = QHBoxLayout()
        top.addWidget(self.grid, 2)
        top.addLayout(right, 3)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        cancel = buttons.button(QDialogButtonBox.StandardButton.Cancel)
        for button in (cancel, self.accept_button):
            button.setAutoDefault(False)
        buttons.addButton(self.accept_button, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.accept_button.setToolTip(tool_tip("Ctrl+Enter"))
        column = QVBoxLayout(self)
        column.addLayout(top, 1)
        column.addWidget(buttons)

    def _change_kind(self) -> None:
        self.grid.set_columns(HEADINGS[self.kind])
        self._read()

    def _read(self) -> None:
        self._sweep = None
        self.grid.mark(None, 0, "", self._view_state.theme.error)
        try:
            z0_ohm = parse_number(self.z0_field.text(), "the impedance")
            self._sweep = typed_sweep(self.grid.rows(), self.kind, z0_ohm)
        except TypedError as error:
            self._problem.setText(str(error))
            self.grid.mark(error.row, error.column, str(error), self._view_state.theme.error)
        except FairleadError as error:
            self._problem.setText(str(error))
        else:
            self._problem.clear()
        if not any(map(any, self.grid.rows())):
            example = ", ".join(_EXAMPLES[self.kind])
            self._problem.setText(f"Type at least 2 rows, for example {example}")
        self.plot.show_sweeps([] if self._sweep is None else [self._sweep])
        self._problem.setVisible(bool(self.problem))
        self.accept_button.setEnabled(self._sweep is not None)


class ReadingsGrid(QTableWidget):
    """A grid of text cells that grows by a row as it is filled, and accepts pasted lists."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(_FIRST_ROWS, 2, parent)
        self.setAccessibleName("Readings")
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        trigger = QAbstractItemView.EditTrigger
        self.setEditTriggers(trigger.DoubleClicked | trigger.AnyKeyPressed | trigger.EditKeyPressed)
        self.setItemDelegate(_CellDelegate(self))
        self.setTabKeyNavigation(True)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.itemChanged.connect(self._grow)

    def set_columns(self, names: Sequence[str]) -> None:
        """Change the columns; the contents of the first ones stay."""
        self.setColumnCount(len(names))
        self.setHorizontalHeaderLabels(list(names))

    def rows(self) -> list[tuple[str, ...]]:
        """All cells as text."""
        return [
            tuple(self._text(row, column) for column in range(self.columnCount()))
            for row in range(self.rowCount())
        ]

    def put(self, row: int, column: int, rows: Sequence[Sequence[str]]) -> None:
        """Fill cells, starting at one."""
        rows = rows[:_MOST_ROWS]
        self.blockSignals(True)  # one notice for all of them
        self.setRowCount(max(self.rowCount(), row + len(rows) + 1))
        for down, cells in enumerate(rows):
            for right, text in enumerate(cells[: self.columnCount() - column]):
                self.setItem(row + down, column + right, QTableWidgetItem(text.strip()))
        self.blockSignals(False)
        if rows:
            self.itemChanged.emit(self.item(row, column))

    def mark(self, row: int | None, column: int, reason: str, colour: str) -> None:
        """Mark a cell that cannot be read; without a row, none."""
        self.blockSignals(True)
        if row is None:
            for item in self._items():
                item.setData(Qt.ItemDataRole.BackgroundRole, None)
                item.setToolTip("")
        else:
            column = min(column, self.columnCount() - 1)
            faulty = self.item(row, column)
            if faulty is None:
                faulty = QTableWidgetItem("")
                self.setItem(row, column, faulty)
            faulty.setBackground(QColor(colour))
            faulty.setToolTip(tool_tip(reason))
        self.blockSignals(False)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste, copy, clear cells; Enter goes down, and at the end of a row to the next one."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self._copy()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._clear()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            # A cell being edited signals by itself when it is closed.
            if self.state() != QAbstractItemView.State.EditingState:
                self._go_on()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Enter in a cell moves to the next one."""
        is_enter = hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache
        super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint if is_enter else hint)
        if is_enter:
            self._go_on()

    def paste(self) -> None:
        """Paste the clipboard into the cells, starting at the current one."""
        rows = pasted_rows(QGuiApplication.clipboard().text())
        if rows:
            self.put(max(self.currentRow(), 0), max(self.currentColumn(), 0), rows)

    def _copy(self) -> None:
        found = self.selectedRanges()
        if found:
            area = found[0]
            lines = (
                "\t".join(
                    self._text(row, column)
                    for column in range(area.leftColumn(), area.rightColumn() + 1)
                )
                for row in range(area.topRow(), area.bottomRow() + 1)
            )
            QGuiApplication.clipboard().setText("\n".join(lines))

    def _clear(self) -> None:
        for index in self.selectedIndexes():
            item = self.item(index.row(), index.column())
            if item is not None:
                item.setText("")

    def _go_on(self) -> None:
        row, column = self.currentRow(), self.currentColumn()
        if column + 1 < self.columnCount():
            self.setCurrentCell(row, column + 1)
        else:
            self.setCurrentCell(min(row + 1, self.rowCount() - 1), 0)

    def _grow(self, item: QTableWidgetItem) -> None:
        if item.row() == self.rowCount() - 1 and item.text() and self.rowCount() < _MOST_ROWS:
            self.setRowCount(self.rowCount() + 1)

    def _text(self, row: int, column: int) -> str:
        item = self.item(row, column)
        return item.text().strip() if item is not None else ""

    def _items(self) -> list[QTableWidgetItem]:
        found = (
            self.item(row, column)
            for row in range(self.rowCount())
            for column in range(self.columnCount())
        )
        return [item for item in found if item is not None]


class _CellDelegate(QStyledItemDelegate):
    """Puts a list pasted into a cell being edited into the grid, not onto one line."""

    def __init__(self, grid: ReadingsGrid) -> None:
        super().__init__(grid)
        self._grid = grid

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Intercept a pasted list."""
        is_paste = (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.matches(QKeySequence.StandardKey.Paste)
        )
        text = QGuiApplication.clipboard().text().strip() if is_paste else ""
        if is_paste and isinstance(editor, QWidget) and any(mark in text for mark in "\n\t"):
            self.closeEditor.emit(editor, QAbstractItemDelegate.EndEditHint.RevertModelCache)
            self._grid.paste()
            return True
        return super().eventFilter(editor, event)
