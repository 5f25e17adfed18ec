"""The on-air log: reports typed or pasted, and what they say of two antennas."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.log_grid import LogGrid
from fairlead.core.advice.cautions import EXPOSURE, FIRST
from fairlead.core.onair.lines import first_two, heard_among, names_of
from fairlead.core.onair.predicted import predicted_db
from fairlead.core.onair.table import ANTENNA, REPORT
from fairlead.core.onair.typed import log_of, rows_of
from fairlead.core.onair.words import log_sentences
from fairlead.core.onair.written import LogForm, log_as

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import LogEntry
    from fairlead.core.onair.typed import BadCell

_HINT = (
    'Reports are "57" or "599", "S7" or "S9+20", or "-12 dB"; only one kind can be compared. '
    "Take them in quick succession, in the order A B B A, several times over. "
    "A list can be pasted as it is, with or without headings."
)
_CAUTION = (
    "Transmit only where your licence allows it, and never into an antenna that is being "
    f"measured. {EXPOSURE} {FIRST}"
)
# Without the bad rows, others would follow each other as they did not on the air.
_NOT_YET = ("Correct or remove these rows to see the comparison.",)
_FORMS: tuple[tuple[LogForm, str], ...] = (
    ("text", "&Copy"),
    ("markdown", "Copy as Mar&kdown"),
    ("csv", "Copy as C&SV"),
)
_FIRST_SIZE = QSize(900, 640)
_TEXT_PX = 110
_NAME_LETTERS = 16


class LogPanel(QDialog):
    """Changes nothing itself: it emits the log when it is accepted.

    Parameters
    ----------
    bench : Bench
        Gives the log so far, and the sweeps and groups that it can name.
    rows : sequence of Row
        Of the bench, with their intervals, for what the power budget predicts.
    view_state : ViewState
    """

    wanted = Signal(object)
    """A tuple of `LogEntry`."""
    copy_wanted = Signal(str)
    """The text."""

    def __init__(
        self,
        bench: Bench,
        rows: Sequence[Row],
        view_state: ViewState,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("On-air log")
        self.setModal(True)
        self._bench, self._rows, self._view_state = bench, tuple(rows), view_state
        self._names = names_of(bench)
        self._log: tuple[LogEntry, ...] = ()
        self._bad: tuple[BadCell, ...] = ()
        self._said: tuple[str, ...] = ()
        self._has_chosen = False
        self.grid = LogGrid(list(self._names.values()))
        self.grid.put(0, 0, rows_of(bench))
        self.insert_button = QPushButton("&Insert row")
        self.remove_button = QPushButton("&Remove rows")
        self.block_button = QPushButton("Add &four rows, A B B A")
        self.boxes = (QComboBox(), QComboBox())
        self.result_text = QPlainTextEdit()
        self.result_text.setReadOnly(True)
        self.result_text.setTabChangesFocus(True)
        self.result_text.setFixedHeight(_TEXT_PX)
        self.result_text.setAccessibleName("What the reports say")
        self.copy_buttons = {form: QPushButton(words) for form, words in _FORMS}
        self._lay_out()
        for place, box in enumerate(self.boxes):
            box.addItems(list(self._names.values()))
            box.setCurrentIndex(min(place, box.count() - 1))
            box.activated.connect(self._choose)
        self.grid.itemChanged.connect(self._tell)
        self.insert_button.clicked.connect(self._insert)
        self.remove_button.clicked.connect(self._remove)
        self.block_button.clicked.connect(self._add_block)
        self.block_button.setEnabled(len(self._names) > 1)
        for form, button in self.copy_buttons.items():
            button.clicked.connect(partial(self._copy, form))
        view_state.theme_changed.connect(self._tell)
        self.resize(_FIRST_SIZE.boundedTo(self.screen().availableSize()))
        self._tell()
        self.grid.setFocus()
        self.grid.setCurrentCell(self.grid.first_free, 0)

    def accept(self) -> None:
        """Emit the log, if all of it can be read."""
        # Closes a cell that is still being edited.
        self.ok_button.setFocus()
        if self._bad:
            self.grid.setCurrentCell(self._bad[0].row, self._bad[0].column)
            self.grid.setFocus()
            return
        self.wanted.emit(self._log)
        super().accept()

    def _lay_out(self) -> None:
        hint, caution = QLabel(_HINT), QLabel(_CAUTION)
        for label in (hint, caution):
            label.setWordWrap(True)
            label.setProperty("muted", "true")
        edit_row = QHBoxLayout()
        for button in (self.insert_button, self.remove_button, self.block_button):
            edit_row.addWidget(button)
        edit_row.addStretch(1)
        for words, name, box in zip(("&A", "&B"), ("A", "B"), self.boxes, strict=True):
            label = QLabel(words)
            label.setBuddy(box)
            box.setAccessibleName(f"Antenna {name} of the comparison")
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(_NAME_LETTERS)
            edit_row.addWidget(label)
            edit_row.addWidget(box)
        self.block_button.setToolTip(tool_tip("One block of the comparison of A with B, below"))
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        for button in self.copy_buttons.values():
            buttons.addButton(button, QDialogButtonBox.ButtonRole.ActionRole)
        self.ok_button = buttons.button(QDialogButtonBox.StandardButton.Ok)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(hint)
        column.addWidget(self.grid, 1)
        column.addLayout(edit_row)
        column.addWidget(self.result_text)
        column.addWidget(caution)
        column.addWidget(buttons)

    def _choose(self) -> None:
        self._has_chosen = True
        self._tell()

    def _tell(self) -> None:
        """Mark what cannot be read, and say what the rest shows."""
        rows = self.grid.rows()
        self._log, bad_cells = log_of(rows, self._names)
        self._bad = tuple(bad for bad in bad_cells if not bad.is_kept)
        colour = self._view_state.theme.error
        self.grid.mark(None, 0, "", colour)
        for bad in bad_cells:
            self.grid.mark(bad.row, bad.column, bad.reason, colour)
        if not self._has_chosen:
            self._show_first_two()
        not_read = [self.grid.not_read] if self.grid.not_read else []
        self._said = _NOT_YET if self._bad else self._compared()
        self.result_text.setPlainText("\n".join([*not_read, *map(str, bad_cells), *self._said]))
        for button in self.copy_buttons.values():
            button.setEnabled(any(map(any, rows)))

    def _compared(self) -> tuple[str, ...]:
        first, second = (box.currentText() for box in self.boxes)
        predicted = predicted_db(self._rows, self._bench, first, second)
        return log_sentences(self._log, self._names, first, second, predicted)

    def _show_first_two(self) -> None:
        """Compare those that come first in the log, as long as nobody chose others."""
        found = first_two(heard_among(self._log, self._names))
        if len(found) == len(self.boxes):
            for box, name in zip(self.boxes, found, strict=True):
                with QSignalBlocker(box):
                    box.setCurrentText(name)

    def _insert(self) -> None:
        self.grid.insert_row()
        self._tell()
        self.grid.setFocus()

    def _remove(self) -> None:
        self.grid.remove_rows()
        self._tell()

    def _add_block(self) -> None:
        """Four rows to type the reports into."""
        a, b = (box.currentText() for box in self.boxes)
        row = self.grid.first_free
        self._has_chosen = True
        self.grid.put(row, ANTENNA, [(name,) for name in (a, b, b, a)])
        self.grid.setFocus()
        self.grid.setCurrentCell(row, REPORT)

    def _copy(self, form: LogForm) -> None:
        self.copy_wanted.emit(log_as(form, self.grid.rows(), self._said))
