"""A small grid to type readings from a meter into: frequency and SWR, or two powers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.cell_grid import CellGrid
from fairlead.app.panels.small_plot import SmallPlot
from fairlead.core.document.entry import Typed
from fairlead.core.errors import FairleadError
from fairlead.core.reading.tables.plan import Kind
from fairlead.core.reading.typed import HEADINGS, TypedError, pasted_rows, typed_sweep
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.sweep import ScalarSweep

_KINDS = {Kind.SWR: "SWR", Kind.POWER: "Forward and reflected power"}
_EXAMPLES = {Kind.SWR: ("50.1", "1.6"), Kind.POWER: ("50.1", "10 W", "0.5 W")}
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
        self.grid = CellGrid("Readings", pasted_rows)
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
