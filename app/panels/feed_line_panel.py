"""Where sweeps were taken, and the feed line to the other end; the effect is shown at once."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt, Signal
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
from fairlead.app.panels.number_field import NumberField
from fairlead.core.document.planes import line_step
from fairlead.core.errors import FairleadError
from fairlead.core.line_measured import measure_line
from fairlead.core.line_text import parse_length_m
from fairlead.core.line_types import LINE_TYPES
from fairlead.core.sweep import Sweep

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.entry import Entry
    from fairlead.core.feed_line import FeedLine
    from fairlead.core.transform.feed_line import LineAdded, LineRemoved
    from fairlead.core.transform.step import Plane

_TAKEN: tuple[tuple[str, Plane | None], ...] = (
    ("Not stated", None),
    ("At the radio's end of a feed line", "radio"),
    ("At the feed point of the antenna", "feed"),
)
_NONE = "No line is known"
_MEASURED = "Measured: swept open and shorted"
_FIELDS = (
    ("z0_ohm", "Impedance", "Ω", (1.0, 5000.0), 1.0, 2),
    ("velocity_factor", "Velocity factor", "", (0.1, 1.0), 0.01, 4),
    ("k1_db", "Loss, part k1", "dB", (0.0, 1000.0), 0.1, 4),
    ("k2_db", "Loss, part k2", "dB", (0.0, 1000.0), 0.01, 4),
    ("z0_tolerance_ohm", "Impedance uncertainty", "Ω", (0.0, 500.0), 0.5, 2),
    ("loss_tolerance_percent", "Loss uncertainty", "%", (0.0, 100.0), 1.0, 1),
)
_TIPS = {
    "k1_db": "dB per 100 m at 1 MHz, growing with the square root of the frequency: conductor loss",
    "k2_db": "dB per 100 m at 1 MHz, growing with the frequency: dielectric loss",
}
_SHEET = "Old or wet cable can be far worse than its data sheet: measure your own where you can."


class FeedLinePanel(QDialog):
    """Changes nothing itself: it emits what to set, again after each change.

    Parameters
    ----------
    entries : sequence of Entry
        All sweeps of the bench; those of a line can be among them.
    chosen : sequence of Entry
        The sweeps to set it for.
    own_lines : sequence of FeedLine
        Lines that the user has saved.
    """

    wanted = Signal(object, object)
    """Plane or None, and the step to the other end or None: for a preview."""
    keep_wanted = Signal(object)
    """A `FeedLine` to save for other sweeps."""

    def __init__(
        self,
        entries: Sequence[Entry],
        chosen: Sequence[Entry],
        own_lines: Sequence[FeedLine],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Feed line")
        self.setModal(True)
        self._chosen = tuple(chosen)
        self._sweeps = [one for one in entries if isinstance(one.sweep, Sweep)]
        self._lines: list[FeedLine] = [*own_lines, *LINE_TYPES]
        # A fit takes a third of a second, and no letter typed as length or name changes it.
        self._measure = cache(measure_line)
        self.taken_box = QComboBox()
        self.taken_box.addItems([words for words, _ in _TAKEN])
        self.line_box = QComboBox()
        self.line_box.addItems([_NONE, _MEASURED, *(line.name for line in self._lines)])
        self.length_field = QLineEdit()
        self.length_field.setPlaceholderText("12 m or 40 ft")
        self.open_box, self.short_box = QComboBox(), QComboBox()
        for box in (self.open_box, self.short_box):
            box.addItems(["–", *(one.label for one in self._sweeps)])
        self.fields = {
            name: NumberField(words, unit, bounds, step, decimals, getattr(LINE_TYPES[0], name))
            for name, words, unit, bounds, step, decimals in _FIELDS
        }
        for name, tip in _TIPS.items():
            self.fields[name].set_tip(tip)
        self.length_tolerance = NumberField("Length uncertainty", "%", (0.0, 50.0), 0.5, 1, 1.0)
        self.result_text = QLabel()
        self.result_text.setTextFormat(Qt.TextFormat.PlainText)
        self.result_text.setWordWrap(True)
        self.result_text.setMinimumWidth(420)
        self.keep_button = QPushButton("Sa&ve this line")
        self.keep_button.setToolTip(tool_tip("Offer it for other sweeps under its name"))
        self.name_field = QLineEdit()
        self._problem = ""
        self._lay_out()
        self._show_chosen()
        self._connect()
        self._tell()

    @property
    def taken_at(self) -> Plane | None:
        """Where the sweeps were taken."""
        return _TAKEN[self.taken_box.currentIndex()][1]

    @property
    def problem(self) -> str:
        """Why there is no usable line yet; empty if there is one, or none is wanted."""
        return self._problem

    def step(self) -> LineRemoved | LineAdded | None:
        """The step to the other end of the line; None without a line or a plane.

        Raises
        ------
        FairleadError
            If what was chosen or typed is not a valid line.
        """
        if self.taken_at is None or self.line_box.currentIndex() == 0:
            return None
        line, length_m = self._line()
        return line_step(self.taken_at, line, length_m, self.length_tolerance.value())

    def _line(self) -> tuple[FeedLine, float]:
        if self.is_measured:
            far_open, far_short = (self._sweep_of(box) for box in (self.open_box, self.short_box))
            length = self.length_field.text().strip()
            length_m = parse_length_m(length) if length else None
            found = self._measure(far_open, far_short)
            return found.as_line(self.name_field.text().strip() or "measured line", length_m)
        for field in (*self.fields.values(), self.length_tolerance):
            if field.problem:
                raise FairleadError(field.problem)
        numbers = {name: field.value() for name, field in self.fields.items()}
        known = self._lines[self.line_box.currentIndex() - 2]
        name = self.name_field.text().strip() or known.name
        line = replace(known, **numbers)  # type: ignore[arg-type]  # all of them are floats
        return replace(line, name=name), parse_length_m(self.length_field.text())

    @property
    def is_measured(self) -> bool:
        """Whether the line comes from its own sweeps."""
        return self.line_box.currentText() == _MEASURED

    def _sweep_of(self, box: QComboBox) -> Sweep | None:
        place = box.currentIndex() - 1
        sweep = self._sweeps[place].sweep if place >= 0 else None
        return sweep if isinstance(sweep, Sweep) else None

    # Making

    def _lay_out(self) -> None:
        names = ", ".join(one.label for one in self._chosen[:3])
        more = f" and {len(self._chosen) - 3} more" if len(self._chosen) > 3 else ""
        about = QLabel(f"Sweeps: {names}{more}")
        about.setTextFormat(Qt.TextFormat.PlainText)
        about.setWordWrap(True)
        self.form = QFormLayout()
        self.form.addRow("&Taken", self.taken_box)
        self.form.addRow("Feed &line", self.line_box)
        self.form.addRow("Swept with the far end &open", self.open_box)
        self.form.addRow("Swept with the far end &shorted", self.short_box)
        self.form.addRow("Len&gth", self.length_field)
        self.form.addRow("&Name", self.name_field)
        for name, words, *_ in _FIELDS:
            self.form.addRow(words, self.fields[name])
        self.form.addRow("Length uncertainty", self.length_tolerance)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.ok_button = buttons.button(QDialogButtonBox.StandardButton.Ok)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        row = QHBoxLayout()
        row.addWidget(self.keep_button)
        row.addStretch(1)
        row.addWidget(buttons)
        column = QVBoxLayout(self)
        column.addWidget(about)
        column.addLayout(self.form)
        column.addWidget(self.result_text, 1)
        column.addLayout(row)
        for words, widget in (
            ("Where the sweeps were taken", self.taken_box),
            ("Feed line", self.line_box),
            ("Length of the line, with its unit", self.length_field),
            ("Name of the line", self.name_field),
            ("Sweep of the line with its far end open", self.open_box),
            ("Sweep of the line with its far end shorted", self.short_box),
        ):
            widget.setAccessibleName(words)

    def _connect(self) -> None:
        for box in (self.taken_box, self.open_box, self.short_box):
            box.currentIndexChanged.connect(self._tell)
        self.line_box.currentIndexChanged.connect(self._choose_line)
        self.length_field.textChanged.connect(self._tell)
        self.name_field.textChanged.connect(self._tell)
        for field in (*self.fields.values(), self.length_tolerance):
            field.changed.connect(self._tell)
        self.keep_button.clicked.connect(self._keep)

    def _show_chosen(self) -> None:
        """Start with what is known about the first of the sweeps."""
        from fairlead.core.document.planes import line_of  # noqa: PLC0415 - only here

        first = self._chosen[0]
        planes = [plane for _, plane in _TAKEN]
        self.taken_box.setCurrentIndex(planes.index(first.plane))
        step = line_of(first.steps)
        if step is None:
            self.length_field.setText("")
            self._show_numbers(LINE_TYPES[0])
            self._show_rows()
            return
        line = step.line
        names = [one.name for one in self._lines]
        if line.name not in names:
            self._lines.insert(0, line)
            self.line_box.insertItem(2, line.name)
            names.insert(0, line.name)
        self.line_box.setCurrentIndex(2 + names.index(line.name))
        self.length_field.setText(f"{step.length_m:.6g} m")
        self._show_numbers(line)
        spread = 100 * line.velocity_tolerance / line.velocity_factor
        known = self._lines[self.line_box.currentIndex() - 2]
        own = 100 * known.velocity_tolerance / known.velocity_factor
        self.length_tolerance.setValue(max(0.0, spread - own))
        self._show_rows()

    def _show_numbers(self, line: FeedLine) -> None:
        for name, field in self.fields.items():
            with QSignalBlocker(field):
                field.setValue(getattr(line, name))

    def _show_rows(self) -> None:
        has_line = self.taken_at is not None and self.line_box.currentIndex() > 0
        for box in (self.open_box, self.short_box):
            self.form.setRowVisible(box, has_line and self.is_measured)
        self.line_box.setEnabled(self.taken_at is not None)
        for field in (self.length_field, self.name_field, self.length_tolerance):
            self.form.setRowVisible(field, has_line)
        for field in self.fields.values():
            self.form.setRowVisible(field, has_line and not self.is_measured)
        self.length_field.setPlaceholderText(
            "optional; gives the velocity factor" if self.is_measured else "12 m or 40 ft"
        )
        self.keep_button.setEnabled(has_line)

    # Changing

    def _choose_line(self) -> None:
        place = self.line_box.currentIndex() - 2
        if place >= 0:
            self._show_numbers(self._lines[place])
        with QSignalBlocker(self.name_field):
            self.name_field.setText("")
        self.name_field.setPlaceholderText("" if place < 0 else self._lines[place].name)
        self._tell()

    def _tell(self) -> None:
        """Show what would be set, or why it cannot be, and preview it."""
        self._show_rows()
        self._problem = ""
        step = None
        try:
            step = self.step()
        except FairleadError as error:
            self._problem = str(error)
        self.ok_button.setEnabled(not self._problem)
        self.result_text.setText(self._problem or self._words(step))
        self.wanted.emit(self.taken_at, step)

    def _words(self, step: LineRemoved | LineAdded | None) -> str:
        if step is None:
            return (
                "Without a line the sweeps are shown where they were taken."
                if self.taken_at
                else "Sweeps with no stated place of measurement are compared with all others."
            )
        sweep = self._chosen[0].measured_span_hz
        line, middle_hz = step.line, (sweep[0] * sweep[1]) ** 0.5
        loss_db = float(line.loss_db(middle_hz, step.length_m))
        length = f"{step.length_m / step.velocity_factor:.4g} m electrical length"
        words = [
            f"{loss_db:.3g} dB of loss one way at {middle_hz / 1e6:.4g} MHz, {length}.",
        ]
        if step.leads_to == "feed":
            words.append(
                "At the feed point, the analyzer's errors are "
                f"{10 ** (loss_db / 10):.3g} times as large."
            )
        if not self.is_measured:
            known = self._lines[self.line_box.currentIndex() - 2]
            words += [f"Source: {known.source}." if known.source else "", _SHEET]
            if not known.holds_at(*sweep):
                words.append(
                    f"The loss is known from {known.low_hz / 1e6:.4g} to "
                    f"{known.high_hz / 1e6:.4g} MHz only."
                )
        return " ".join(filter(None, words))

    def say(self, text: str) -> None:
        """Show the result: an error, or what is odd about it."""
        self.result_text.setText(text)

    def refuse(self, text: str) -> None:
        """Show why it cannot be set, and prevent accepting it."""
        self._problem = text
        self.result_text.setText(text)
        self.ok_button.setEnabled(False)

    def _keep(self) -> None:
        try:
            line, _ = self._line()
        except FairleadError as error:
            self.refuse(str(error))
            return
        self.keep_wanted.emit(line)
