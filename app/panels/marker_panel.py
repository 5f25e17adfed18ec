"""The list of markers, to be typed: a frequency and a name in each row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QPushButton, QVBoxLayout, QWidget

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.cell_grid import CellGrid
from fairlead.core.errors import FairleadError
from fairlead.core.table_lines import plain_mhz
from fairlead.core.units import parse_frequency_hz

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.document.session import Marker

_FIRST_SIZE = QSize(420, 380)
_HINT = "One frequency a row, in MHz or with its unit, and a name if you like."


class MarkerPanel(QDialog):
    """Changes nothing itself: it emits the list when it is accepted."""

    wanted = Signal(object)
    """Frequencies in Hz with their names, as a list."""

    def __init__(
        self, markers: Sequence[Marker], view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Markers")
        self.setModal(True)
        self._view_state = view_state
        self.grid = CellGrid("Markers", _pasted)
        self.grid.set_columns(["Frequency (MHz)", "Name"])
        # All digits: a frequency that is not touched must stay what it is.
        self._typed = {_text(one.frequency_hz): one.frequency_hz for one in markers}
        self.grid.put(0, 0, [(_text(one.frequency_hz), one.name) for one in markers])
        self.remove_button = QPushButton("&Remove rows")
        self.fault_label = QLabel()
        self.fault_label.setWordWrap(True)
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        column = QVBoxLayout(self)
        hint = QLabel(_HINT)
        hint.setWordWrap(True)
        column.addWidget(hint)
        column.addWidget(self.grid, 1)
        column.addWidget(self.fault_label)
        column.addWidget(self.remove_button)
        column.addWidget(self.buttons)
        self.remove_button.setToolTip(tool_tip("Remove the rows of the selected cells"))
        self.remove_button.clicked.connect(self._remove)
        self.grid.itemChanged.connect(self._check)
        self.buttons.accepted.connect(self._accept)
        self.buttons.rejected.connect(self.reject)
        self.resize(_FIRST_SIZE.boundedTo(self.screen().availableSize()))
        self.grid.setCurrentCell(0, 0)
        self.grid.setFocus()
        self._check()

    def _remove(self) -> None:
        self.grid.remove_rows()
        self._check()

    def _check(self) -> list[tuple[float, str]] | None:
        """The list as typed; None where a frequency cannot be read, which is marked."""
        colour = self._view_state.theme.error
        self.grid.mark(None, 0, "", colour)
        found, fault = [], ""
        for row, (frequency, name) in enumerate(self.grid.rows()):
            if not frequency and not name:
                continue
            try:
                known_hz = self._typed.get(frequency)
                hz = parse_frequency_hz(frequency, "MHz") if known_hz is None else known_hz
                found.append((hz, name))
            except FairleadError as error:
                self.grid.mark(row, 0, str(error), colour)
                fault = fault or str(error)
        self.fault_label.setText(fault)
        self.buttons.button(QDialogButtonBox.StandardButton.Ok).setEnabled(not fault)
        return None if fault else found

    def _accept(self) -> None:
        found = self._check()
        if found is not None:
            self.wanted.emit(found)
            self.accept()


def _text(frequency_hz: float) -> str:
    return plain_mhz(frequency_hz)


def _pasted(text: str) -> list[list[str]]:
    """Rows of a list: two cells each, with a tab, semicolon or nothing between."""
    lines = [line for line in text.splitlines() if line.strip()]
    return [line.replace(";", "\t").split("\t")[:2] for line in lines]
