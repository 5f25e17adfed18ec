"""The analyzer's own error: chosen by how it was calibrated, or typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.errors import FairleadError
from fairlead.core.uncertainty.error_model import PRESETS, UNKNOWN, ErrorModel
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.entry import Entry

_OWN = "Your own numbers, from a data sheet or a certificate"
_FIELDS = (
    (
        "directivity_db",
        "&Directivity (dB)",
        "the directivity",
        "Effective directivity after calibration; about the return loss of the load used for it",
    ),
    (
        "source_match_db",
        "&Source match (dB)",
        "the source match",
        "Effective source match, as a return loss; matters where the reflection is large",
    ),
    (
        "tracking_db",
        "&Tracking (± dB)",
        "the tracking",
        "Largest error at full reflection, without a sign",
    ),
)
_UNKNOWN_TEXT = (
    "The analyzer's own error is not known: ± then covers noise only. It shows where the same "
    "antenna would be found again with the same calibration, not how accurate the figures are."
)
_NO_DIRECTIVITY = (
    "Without the directivity no bound can be given: enter it, or leave all fields empty."
)
_BOUND = "± is then a bound on the error, from the analyzer and from noise."


class AccuracyPanel(QDialog):
    """Changes nothing itself: it emits what to set when it is accepted.

    Parameters
    ----------
    entries : sequence of Entry
        All sweeps of the bench.
    chosen : sequence of Entry
        The selected ones.
    model : ErrorModel
        Of the first of them.
    """

    wanted = Signal(object, object, str)
    """Keys of sweeps, their `ErrorModel`, and how the analyzer was calibrated."""

    def __init__(
        self,
        entries: Sequence[Entry],
        chosen: Sequence[Entry],
        model: ErrorModel,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Analyzer accuracy")
        self.setModal(True)
        self._all, self._chosen = tuple(entries), tuple(chosen)
        self.calibration_box = QComboBox()
        self.calibration_box.addItems([*(preset.label for preset in PRESETS), _OWN])
        self.fields = {name: QLineEdit() for name, *_ in _FIELDS}
        for name, _, words, tip in _FIELDS:
            self.fields[name].setPlaceholderText("not known")
            self.fields[name].setToolTip(tool_tip(tip))
            self.fields[name].setAccessibleName(words)
        self.chosen_box = QCheckBox("&Only the selected sweeps")
        self.chosen_box.setEnabled(0 < len(self._chosen) < len(self._all))
        self.result_text = QLabel()
        self.result_text.setTextFormat(Qt.TextFormat.PlainText)
        self.result_text.setWordWrap(True)
        self.result_text.setMinimumWidth(420)
        self._lay_out()
        self._show(model)
        self.calibration_box.currentIndexChanged.connect(self._on_calibration)
        for field in self.fields.values():
            field.textEdited.connect(self._on_typed)
        self._tell()

    def model(self) -> ErrorModel:
        """As chosen and typed.

        Raises
        ------
        FairleadError
            If a number cannot be read, or is impossible.
        """
        values = {
            name: parse_number(text, words) if (text := self.fields[name].text().strip()) else None
            for name, _, words, _ in _FIELDS
        }
        return ErrorModel(
            values["directivity_db"], values["source_match_db"], values["tracking_db"]
        )

    def accept(self) -> None:
        """Emit the choice, if it is a valid one."""
        try:
            model = self.model()
        except FairleadError as error:
            self.result_text.setText(str(error))
            return
        of = self._chosen if self.chosen_box.isChecked() else self._all
        index = self.calibration_box.currentIndex()
        calibration = PRESETS[index].label if 0 < index < len(PRESETS) else ""
        self.wanted.emit([entry.key for entry in of], model, calibration)
        super().accept()

    def _lay_out(self) -> None:
        self.form = QFormLayout()
        self.form.addRow("&Calibration", self.calibration_box)
        for name, title, *_ in _FIELDS:
            self.form.addRow(title, self.fields[name])
        self.form.addRow(self.chosen_box)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.ok_button = buttons.button(QDialogButtonBox.StandardButton.Ok)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addLayout(self.form)
        column.addWidget(self.result_text)
        column.addWidget(buttons)

    def _show(self, model: ErrorModel) -> None:
        known = [preset.model for preset in PRESETS]
        self.calibration_box.setCurrentIndex(known.index(model) if model in known else len(PRESETS))
        self._fill(model)

    def _fill(self, model: ErrorModel) -> None:
        for name, field in self.fields.items():
            value = getattr(model, name)
            field.setText("" if value is None else f"{value:g}")

    def _on_calibration(self, index: int) -> None:
        if index < len(PRESETS):
            self._fill(PRESETS[index].model)
        self._tell()

    def _on_typed(self) -> None:
        self.calibration_box.setCurrentIndex(len(PRESETS))
        self._tell()

    def _tell(self) -> None:
        try:
            model = self.model()
        except FairleadError as error:
            self.result_text.setText(str(error))
            return
        if model.left_out == UNKNOWN.left_out:
            self.result_text.setText(_UNKNOWN_TEXT)
        elif not model.is_known:
            self.result_text.setText(_NO_DIRECTIVITY)
        else:
            index = self.calibration_box.currentIndex()
            parts = [_BOUND]
            if model.left_out:
                parts.append(f"Not included, because not known: {', '.join(model.left_out)}.")
            if index < len(PRESETS):
                parts.append(
                    f"Numbers: {PRESETS[index].source}; figures for your own analyzer are better."
                )
            self.result_text.setText(" ".join(parts))
