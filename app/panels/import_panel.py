"""The panel to choose the columns of a table, with a small plot of the resulting sweep."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
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
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.panels.column_roles import Choices, Role, choices_of, choices_said
from fairlead.app.panels.elided_label import ElidedLabel
from fairlead.app.panels.small_plot import SmallPlot
from fairlead.app.panels.tick import TickBox
from fairlead.core.errors import FairleadError
from fairlead.core.reading import ColumnPlan, Kind, preview_sweeps
from fairlead.core.reading.tables.vocabulary import UNITS_HZ
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.table_columns import Unclear

_MOST_COLUMNS = 80
_READ_AFTER_MS = 120
_AS_IN_TABLE = "as the table says"
_FIRST_SIZE = QSize(860, 620)


class ImportPanel(QDialog):
    """Changes nothing: it emits the chosen columns.

    Parameters
    ----------
    unclear : Unclear
        The table in question.
    first : ColumnPlan or None
        Choices to start with; None: what the headings say, and nothing for other columns.
    view_state : ViewState
    """

    import_wanted = Signal(object, bool)
    """A `ColumnPlan`, and whether to store it for similar tables."""

    def __init__(
        self,
        unclear: Unclear,
        first: ColumnPlan | None,
        view_state: ViewState,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._unclear = unclear
        self._preview = unclear.preview
        self._plan: ColumnPlan | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_READ_AFTER_MS)
        self._timer.timeout.connect(self._read)
        self.setWindowTitle("Choose columns")
        self.setModal(True)
        self.resize(_FIRST_SIZE)
        used = 0 if first is None else max(first.columns) + 1
        shown = min(self._preview.columns, max(_MOST_COLUMNS, used))
        # No guess passes for a choice: where no heading says what a column is, none is made.
        choices = (
            choices_said(self._preview.guess, self._preview.headings, shown)
            if first is None
            else choices_of(first, shown)
        )
        self._make_table(shown, choices, view_state)
        self._make_fields(choices)
        self.plot = SmallPlot(view_state, "SWR as it would be read")
        self._found = QLabel()
        self._problem = QLabel()
        for label in (self._found, self._problem):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        self._lay_out()
        self._read()
        self.role_boxes[0].setFocus()
        view_state.theme_changed.connect(self._read)

    @property
    def problem(self) -> str:
        """Why nothing can be read with these choices; empty if it can."""
        return self._problem.text()

    @property
    def found(self) -> str:
        """The sweeps that would be read."""
        return self._found.text()

    # Making

    def _make_table(self, columns: int, choices: Choices, view_state: ViewState) -> None:
        preview = self._preview
        table = QTableWidget(1 + len(preview.rows), columns)
        table.setAccessibleName("First rows of the table, with a choice above each column")
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        table.setHorizontalHeaderLabels(
            [
                preview.headings[column].strip()
                if column < len(preview.headings) and preview.headings[column].strip()
                else f"column {column + 1}"
                for column in range(columns)
            ]
        )
        table.setVerticalHeaderLabels(["is", *map(str, range(1, len(preview.rows) + 1))])
        self.role_boxes: list[QComboBox] = []
        for column in range(columns):
            box = _combo(f"Column {column + 1} is", [role.value for role in Role])
            box.setCurrentText(choices.roles[column].value)
            box.currentIndexChanged.connect(self._read_soon)
            table.setCellWidget(0, column, box)
            self.role_boxes.append(box)
        for row, cells in enumerate(preview.rows, 1):
            for column, cell in enumerate(cells[:columns]):
                item = QTableWidgetItem(cell)
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                table.setItem(row, column, item)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        table.horizontalHeader().setMinimumSectionSize(110)
        table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table = table
        self._view_state = view_state

    def _make_fields(self, choices: Choices) -> None:
        self.frequency_unit = self._unit_box("Unit of frequency", tuple(UNITS_HZ))
        self.frequency_unit.setCurrentText(choices.frequency_unit or _AS_IN_TABLE)
        self.angle_unit = self._unit_box("Unit of angles", Kind.MAGNITUDE_ANGLE.units)
        self.angle_unit.setCurrentText(choices.angle_unit or _AS_IN_TABLE)
        self.share_unit = self._unit_box("Reflected share in", Kind.SHARE.units)
        self.share_unit.setCurrentText(choices.share_unit or _AS_IN_TABLE)
        self.power_unit = self._unit_box("Unit of powers", Kind.POWER.units)
        if self.power_unit.findText(choices.power_unit) < 0 and choices.power_unit:
            self.power_unit.addItem(choices.power_unit)
        self.power_unit.setCurrentText(choices.power_unit or _AS_IN_TABLE)
        self.z0_field = QLineEdit("" if choices.z0_ohm is None else f"{choices.z0_ohm:g}")
        self.z0_field.setAccessibleName("Reference impedance in ohms")
        self.z0_field.setPlaceholderText(f"{_AS_IN_TABLE}, else 50")
        self.z0_field.textChanged.connect(self._read_soon)
        self.remembers = TickBox("&Read similar tables the same way from now on")
        # Without headings, similarity means little.
        self.remembers.setChecked(self._preview.has_headings)

    def _unit_box(self, name: str, units: Sequence[str]) -> QComboBox:
        box = _combo(name, [_AS_IN_TABLE, *units])
        box.currentIndexChanged.connect(self._read_soon)
        return box

    def _lay_out(self) -> None:
        files = self._unclear.files
        name = ElidedLabel(_file_line(files))
        name.setObjectName("title")
        reason = QLabel(self._unclear.reason)
        reason.setTextFormat(Qt.TextFormat.PlainText)
        reason.setWordWrap(True)
        self._form = QFormLayout()
        self._form.addRow("&Frequency in", self.frequency_unit)
        self._form.addRow("&Angles in", self.angle_unit)
        self._form.addRow("&Share in", self.share_unit)
        self._form.addRow("&Powers in", self.power_unit)
        self._form.addRow("Reference &impedance, Ω", self.z0_field)
        left = QVBoxLayout()
        left.addLayout(self._form)
        left.addWidget(self._found)
        left.addWidget(self._problem)
        left.addStretch(1)
        below = QHBoxLayout()
        below.addLayout(left, 2)
        below.addWidget(self.plot, 3)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.import_button = QPushButton("&Import" if len(files) == 1 else "&Import all")
        self.import_button.setDefault(True)
        buttons.addButton(self.import_button, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(name)
        column.addWidget(reason)
        column.addWidget(self.table, 3)
        column.addLayout(below, 2)
        column.addWidget(self.remembers)
        column.addWidget(buttons)

    # Reading

    @property
    def roles(self) -> tuple[Role, ...]:
        """The choice for each column."""
        every = list(Role)
        return tuple(every[box.currentIndex()] for box in self.role_boxes)

    def accept(self) -> None:
        """Emit the choices, if the table can be read with them."""
        self._timer.stop()
        self._read()
        if self._plan is not None:
            self.import_wanted.emit(self._plan, self.remembers.isChecked())
            super().accept()

    def _read_soon(self) -> None:
        self._timer.start()

    def _read(self) -> None:
        roles = self.roles
        self._show_used(roles)
        self._plan = None
        try:
            plan = self._choices(roles).plan()
            readings = preview_sweeps(self._preview, plan)
        except FairleadError as error:
            # Its file is named above.
            self._problem.setText(
                f"{error.reason}; {error.advice}" if error.advice else error.reason
            )
            self._found.clear()
            self.plot.show_sweeps([])
        else:
            self._plan = plan
            self._problem.clear()
            points = sum(len(reading.sweep) for reading in readings)
            what = "1 sweep" if len(readings) == 1 else f"{len(readings)} sweeps"
            notices = dict.fromkeys(one.text for reading in readings for one in reading.notices)
            self._found.setText("\n".join([f"{what}, {points} points", *list(notices)[:3]]))
            self.plot.show_sweeps([reading.sweep for reading in readings])
        self._found.setVisible(bool(self.found))
        self._problem.setVisible(bool(self.problem))
        self.import_button.setEnabled(self._plan is not None)

    def _choices(self, roles: tuple[Role, ...]) -> Choices:
        z0 = self.z0_field.text().strip()
        return Choices(
            roles,
            frequency_unit=_unit(self.frequency_unit),
            angle_unit=_unit(self.angle_unit),
            share_unit=_unit(self.share_unit),
            power_unit=_unit(self.power_unit),
            z0_ohm=parse_number(z0, "the reference impedance") if z0 else None,
        )

    def _show_used(self, roles: tuple[Role, ...]) -> None:
        """Enable units only where they apply; grey out unused columns."""
        for box, wanted in (
            (self.angle_unit, {Role.ANGLE}),
            (self.share_unit, {Role.SHARE}),
            (self.power_unit, {Role.FORWARD, Role.REFLECTED}),
        ):
            self._form.setRowVisible(box, not wanted.isdisjoint(roles))
        theme = self._view_state.theme
        tones = {True: QColor(theme.muted), False: QColor(theme.text)}
        for column, role in enumerate(roles):
            for row in range(1, self.table.rowCount()):
                item = self.table.item(row, column)
                if item is not None:
                    item.setForeground(tones[role is Role.UNUSED])


def _file_line(files: Sequence[str]) -> str:
    name = PurePath(files[0]).name
    more = len(files) - 1
    if not more:
        return name
    return f"{name} and {more} more like it"


def _combo(name: str, texts: Sequence[str]) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName(name)
    box.addItems(list(texts))
    box.setMaxVisibleItems(len(texts))
    return box


def _unit(box: QComboBox) -> str:
    return "" if box.currentIndex() == 0 else box.currentText()
