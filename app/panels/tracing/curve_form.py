"""The axes and the curves of a picture in a column: what they are, and how well they fit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.tracing.overlay import known_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.panels.tracing.draft import Draft
    from fairlead.core.picture_trace.axes import ValueKind

_FREQUENCY_SCALES = (("Linear", "linear"), ("Logarithmic", "log"))
_VALUE_SCALES = (("Linear", "linear"), ("Logarithmic", "log"), ("By its points", "free"))
_KINDS = (
    ("SWR", "swr"),
    ("Return loss, dB", "return_loss_db"),
    ("|G|", "magnitude"),
    ("Phase of G, °", "phase_deg"),
    ("Resistance, Ω", "resistance_ohm"),
    ("Reactance, Ω", "reactance_ohm"),
)
_SLIDER_STEPS = 10
_LIST_ROWS = 4


class CurveForm(QWidget):
    """Shows a draft; changes nothing itself."""

    frequency_scale_wanted = Signal(str)
    kind_wanted = Signal(str)
    scale_wanted = Signal(str)
    known_chosen = Signal(int)
    """Index of a known point."""
    curve_chosen = Signal(int)
    curve_renamed = Signal(int, str)
    curve_added = Signal()
    curve_removed = Signal()
    tolerance_wanted = Signal(float)
    tolerance_ended = Signal()
    """The slider was let go."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.frequency_scale = _box("Scale of the frequency axis", _FREQUENCY_SCALES)
        self.kind = _box("What the curve shows", _KINDS)
        self.scale = _box("Scale of the value axis", _VALUE_SCALES)
        self.known = _list("Known points")
        self.curves = _list("Curves")
        self.curves.setEditTriggers(
            QListWidget.EditTrigger.DoubleClicked | QListWidget.EditTrigger.EditKeyPressed
        )
        self.add_button = QPushButton("Ne&w curve")
        self.remove_button = QPushButton("Re&move curve")
        self.tolerance = QSlider(Qt.Orientation.Horizontal)
        self.tolerance.setRange(3, 3 * _SLIDER_STEPS)
        self.tolerance.setAccessibleName("Tolerance of colours")
        self.tolerance.setToolTip(
            tool_tip("How far the line's colour may differ from where it was clicked")
        )
        self._lay_out()
        self._connect()

    def show_draft(
        self, draft: Draft, curve: int, kind: ValueKind, residuals: Sequence[str]
    ) -> None:
        """Show another state.

        Parameters
        ----------
        draft : Draft
        curve : int
            The one that is worked on.
        kind : ValueKind
            Of that curve and its axis.
        residuals : sequence of str
            How far each known point is off; empty where that is not known.
        """
        for box, value in (
            (self.frequency_scale, draft.frequency_scale),
            (self.kind, kind),
            (self.scale, draft.scale(kind)),
        ):
            with QSignalBlocker(box):
                box.setCurrentIndex(box.findData(value))
        texts = [
            f"{known_words(one)}{off}" for one, off in zip(draft.known, residuals, strict=True)
        ]
        _fill(self.known, texts, self.known.currentRow(), is_editable=False)
        names = [one.name or f"Curve {place}" for place, one in enumerate(draft.curves, 1)]
        _fill(self.curves, names, curve, is_editable=True)
        self.remove_button.setEnabled(bool(draft.curves))
        is_there = 0 <= curve < len(draft.curves)
        self.tolerance.setEnabled(is_there)
        if is_there:
            with QSignalBlocker(self.tolerance):
                self.tolerance.setValue(round(draft.curves[curve].tolerance * _SLIDER_STEPS))

    def show_known(self, index: int) -> None:
        """Show which known point is worked on; -1 for none."""
        with QSignalBlocker(self.known):
            self.known.setCurrentRow(index)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow("&Frequency axis", self.frequency_scale)
        form.addRow("Curve &shows", self.kind)
        form.addRow("Its a&xis", self.scale)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add_button)
        buttons.addWidget(self.remove_button)
        tolerance = QLabel("Colour &tolerance")
        tolerance.setBuddy(self.tolerance)
        known, curves = QLabel("&Known points"), QLabel("Cur&ves")
        known.setBuddy(self.known)
        curves.setBuddy(self.curves)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 4, 0)
        column.addLayout(form)
        column.addWidget(known)
        column.addWidget(self.known)
        column.addWidget(curves)
        column.addWidget(self.curves)
        column.addLayout(buttons)
        column.addWidget(tolerance)
        column.addWidget(self.tolerance)
        column.addStretch(1)

    def _connect(self) -> None:
        self.frequency_scale.activated.connect(
            lambda _: self.frequency_scale_wanted.emit(self.frequency_scale.currentData())
        )
        self.kind.activated.connect(lambda _: self.kind_wanted.emit(self.kind.currentData()))
        self.scale.activated.connect(lambda _: self.scale_wanted.emit(self.scale.currentData()))
        self.known.itemActivated.connect(lambda _: self.known_chosen.emit(self.known.currentRow()))
        self.known.itemClicked.connect(lambda _: self.known_chosen.emit(self.known.currentRow()))
        self.curves.currentRowChanged.connect(self.curve_chosen)
        self.curves.itemChanged.connect(
            lambda item: self.curve_renamed.emit(self.curves.row(item), item.text().strip())
        )
        self.add_button.clicked.connect(self.curve_added)
        self.remove_button.clicked.connect(self.curve_removed)
        self.tolerance.valueChanged.connect(
            lambda value: self.tolerance_wanted.emit(value / _SLIDER_STEPS)
        )
        self.tolerance.sliderReleased.connect(self.tolerance_ended)
        for button in (self.add_button, self.remove_button):
            button.setAutoDefault(False)


def _box(name: str, choices: Sequence[tuple[str, str]]) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName(name)
    for words, value in choices:
        box.addItem(words, value)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(7)
    return box


def _list(name: str) -> QListWidget:
    rows = QListWidget()
    rows.setAccessibleName(name)
    rows.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    rows.setFixedHeight(_LIST_ROWS * rows.fontMetrics().height() + 16)
    return rows


def _fill(rows: QListWidget, texts: Sequence[str], current: int, *, is_editable: bool) -> None:
    with QSignalBlocker(rows):
        if rows.count() != len(texts):
            rows.clear()
            for text in texts:
                item = QListWidgetItem(text)
                if is_editable:
                    item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
                rows.addItem(item)
        else:
            for place, text in enumerate(texts):
                rows.item(place).setText(text)
        for place, text in enumerate(texts):
            rows.item(place).setToolTip(tool_tip(text))
        if 0 <= current < len(texts):
            rows.setCurrentRow(current)
