"""The steps of a sweep: one row each, with its switch and its number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.typed_field import TypedField
from fairlead.core.errors import FairleadError
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise
from fairlead.core.transform.transformer import TransformerRemoved
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.core.document.entry import Entry
    from fairlead.core.transform.step import Step


@dataclass(frozen=True, slots=True)
class StepRow:
    """How a kind of step is shown and edited.

    Attributes
    ----------
    name, unit : str
        Before and after the field.
    tip : str
        One sentence.
    shown : callable
        The step's number as text.
    typed : callable, optional
        The step with a typed number; FairleadError if it is invalid.
    """

    name: str
    unit: str
    tip: str
    shown: Callable[[Step], str]
    typed: Callable[[str], Step] | None = None


def _transformer_text(ratio: float | str, loss_db: float | str) -> str:
    loss = f", {loss_db:.6g} dB" if isinstance(loss_db, float) and loss_db else ""
    return f"{ratio:.6g}{loss}" if isinstance(ratio, float) else str(ratio)


def _transformer(text: str) -> Step:
    ratio, _, loss = text.replace(";", ",").partition(", ")
    loss = loss.strip().removesuffix("dB").strip()
    return TransformerRemoved(
        parse_number(ratio.removesuffix(":1"), "the ratio"),
        parse_number(loss, "the loss") if loss else 0.0,
    )


STEP_ROWS: dict[str, StepRow] = {
    Renormalise.kind: StepRow(
        "Renormalise",
        "Ω",
        "Convert to another reference impedance; the antenna's impedance stays the same",
        lambda step: f"{step.parameters['z0_ohm']:.12g}",
        lambda text: Renormalise(parse_number(text, "the impedance")),
    ),
    TransformerRemoved.kind: StepRow(
        "Transformer removed",
        ": 1",
        "See the antenna's side of a transformer with this impedance ratio; with a loss: "
        '"49, 0.5 dB"',
        lambda step: _transformer_text(step.parameters["ratio"], step.parameters["loss_db"]),
        _transformer,
    ),
    FrequencyScale.kind: StepRow(
        "What-if shift",
        "%",
        "Move the curve along the frequency axis, as if the antenna were a little shorter (+) or "
        "longer (-): a what-if, not a measurement",
        lambda step: f"{step.parameters['change_percent']:+.12g}",
        lambda text: FrequencyScale(parse_number(text, "the change of frequency")),
    ),
}


_PLAIN = StepRow("", "", "Switch this step off or on", lambda _: "")
"""For a kind whose numbers are set elsewhere: a caption, the switch and the button."""


class StepsForm(QWidget):
    """Shows the steps of one sweep and emits the changes."""

    steps_wanted = Signal(int, object)
    """Key, tuple of `Step`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entry: Entry | None = None
        self._kinds: tuple[str, ...] = ()
        self.rows: list[StepLine] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(3)

    def show_entry(self, entry: Entry) -> None:
        """Show the steps of a sweep; rows of the same kinds stay, with unfinished typing."""
        is_other = self._entry is None or self._entry.key != entry.key
        self._entry = entry
        kinds = tuple(step.kind for step in entry.steps)
        if is_other or kinds != self._kinds:
            self._kinds = kinds
            self._build(len(kinds))
        for row, step in zip(self.rows, entry.steps, strict=True):
            row.show_step(step)
        self.setVisible(bool(kinds))

    def forget(self) -> None:
        """Show nothing."""
        self._entry = None
        self._kinds = ()
        self._build(0)
        self.hide()

    def focus_last(self, kind: str) -> None:
        """Move the cursor to the field of the last step of a kind."""
        for row, found in zip(reversed(self.rows), reversed(self._kinds), strict=True):
            if found == kind:
                row.field.setFocus()
                row.field.selectAll()
                break

    def _build(self, count: int) -> None:
        for row in self.rows:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows = []
        for place in range(count):
            row = StepLine(STEP_ROWS.get(self._kinds[place], _PLAIN))
            row.changed.connect(partial(self._on_changed, place))
            self._column.addWidget(row)
            self.rows.append(row)

    def _on_changed(self, place: int, changed: Step | None) -> None:
        entry = self._entry
        if entry is not None:
            others: Sequence[Step] = () if changed is None else (changed,)
            steps = (*entry.steps[:place], *others, *entry.steps[place + 1 :])
            self.steps_wanted.emit(entry.key, steps)


class StepLine(QWidget):
    """Switch, number and a button that removes the step."""

    changed = Signal(object)
    """The `Step` as it should be, or None to remove it."""

    def __init__(self, spec: StepRow, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec = spec
        self._step: Step | None = None
        self.switch = QCheckBox(spec.name)
        self.switch.setToolTip(tool_tip(spec.tip))
        self.switch.setAccessibleDescription(spec.tip)
        self.field = TypedField(f"{spec.name}, in {spec.unit}", spec.tip, "-00.00")
        self.remove_button = QToolButton()
        self.remove_button.setText("×")
        self.remove_button.setAccessibleName(f"Remove the step: {spec.name}")
        self.remove_button.setToolTip(tool_tip("Remove this step; undo brings it back"))
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        line.addWidget(self.switch)
        line.addStretch(1)
        line.addWidget(self.field)
        self.field.setVisible(spec.typed is not None)
        line.addWidget(QLabel(spec.unit))
        line.addWidget(self.remove_button)
        self.switch.toggled.connect(self._on_switched)
        self.field.typed.connect(self._on_typed)
        self.remove_button.clicked.connect(lambda: self.changed.emit(None))

    def show_step(self, step: Step) -> None:
        """Show the document's step."""
        self._step = step
        with QSignalBlocker(self.switch):
            self.switch.setChecked(step.is_on)
        if not self._spec.name:
            # An ampersand in a caption does not mark a shortcut.
            self.switch.setText(step.remark.replace("&", "&&"))
            self.remove_button.setAccessibleName(f"Remove the step: {step.caption}")
        self.field.show_value(self._spec.shown(step))

    def _on_switched(self, is_on: bool) -> None:
        if self._step is not None:
            self.changed.emit(replace(self._step, is_on=is_on))

    def _on_typed(self, text: str) -> None:
        if self._step is None or self._spec.typed is None:
            return
        try:
            typed = self._spec.typed(text)
        except FairleadError as error:
            self.field.refuse(f"{error.reason}; {error.advice}")
            return
        self.changed.emit(replace(typed, is_on=self._step.is_on))
