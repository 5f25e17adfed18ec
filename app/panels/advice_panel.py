"""What the match costs and what to do about it, beside the window: asked above, answered below.

The slider moves the sweeps as a what-if; plots and table of the window follow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSlider,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.answer_plot import AnswerPlot, Curve, Mark
from fairlead.core.advice.answers import Question, TrimQuestion
from fairlead.core.advice.asked import parse_length_mm, parse_station
from fairlead.core.advice.matching import Wish
from fairlead.core.errors import FairleadError
from fairlead.core.reflection import swr

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PySide6.QtGui import QKeyEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.advice.answers import Advice

# Steps of the slider in per cent; it reaches ten to both sides.
STEP_PERCENT = 0.02
MOST_PERCENT = 10.0
_RADIOS = (
    ("50 Ω, without a tuner", "fixed"),
    ("With a tuner at the radio", "tuner"),
    ("Lowers its power (rule of thumb)", "fold-back"),
)
_CUTS = (("The whole antenna", "whole"), ("Only a part of it", "part"))


class AdvicePanel(QDialog):
    """Changes nothing itself: it asks, shows answers, and says how the slider moves."""

    asked = Signal()
    """Something typed or chosen is another one."""
    shift_began = Signal()
    shift_moved = Signal(float)
    """Per cent."""
    shift_ended = Signal()

    def __init__(self, view_state: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Advice")
        self.setModal(False)
        self.resize(1000, 680)
        self.power_field = QLineEdit("100 W")
        self.radio_box, self.cut_box = QComboBox(), QComboBox()
        for box, choices in ((self.radio_box, _RADIOS), (self.cut_box, _CUTS)):
            for words, value in choices:
                box.addItem(words, value)
        self.line_field, self.length_field = QLineEdit(), QLineEdit()
        self.line_field.setPlaceholderText("none; or RG-58, 12 m")
        self.length_field.setPlaceholderText("in per cent; or 985 mm")
        self.problem = QLabel()
        self.problem.setTextFormat(Qt.TextFormat.PlainText)
        self.problem.setWordWrap(True)
        self.answers = QTextBrowser()
        self.answers.setAccessibleName("Answers")
        self.answers.setOpenLinks(False)
        self.shift_plot = AnswerPlot(view_state, "Worst SWR over the tuning shift", "%")
        self.match_plot = AnswerPlot(view_state, "SWR with and without a network", "MHz")
        self.match_box = QComboBox()
        self.slider = QSlider(Qt.Orientation.Horizontal)
        steps = round(MOST_PERCENT / STEP_PERCENT)
        self.slider.setRange(-steps, steps)
        self.slider.setPageStep(25)
        self.shift_label = QLabel()
        self.best_button = QPushButton("To the &best shift")
        self.back_button = QPushButton("As &measured")
        self._advice: Advice | None = None
        self._colours: Mapping[str, int] = {}
        self._lay_out()
        self._connect()
        self._show_shift()

    # What is asked

    def question(self) -> Question | None:
        """As typed; None where it cannot be understood, which is then said."""
        try:
            station = parse_station(
                self.power_field.text(), self.radio_box.currentData(), self.line_field.text()
            )
            length = self.length_field.text().strip()
            trim = TrimQuestion(
                length_mm=parse_length_mm(length) if length else None,
                what=self.cut_box.currentData(),
            )
        except FairleadError as error:
            self.problem.setText(str(error))
            return None
        self.problem.setText("")
        return Question(station, wants_shift=True, trim=trim, match=Wish())

    @property
    def shift_percent(self) -> float:
        """Where the slider stands."""
        return round(self.slider.value() * STEP_PERCENT, 4)

    # What is answered

    def show_waiting(self) -> None:
        """The answers are those of an earlier state until the next ones are there."""
        self.answers.setEnabled(False)

    def show_answers(self, html: str, advice: Advice | None, colours: Mapping[str, int]) -> None:
        """Show other answers; ``colours`` are those of the sweeps by their label."""
        self._advice, self._colours = advice, colours
        self.answers.setEnabled(True)
        place = self.answers.verticalScrollBar().value()
        self.answers.setHtml(html)
        self.answers.document().setDocumentMargin(10)
        self.answers.verticalScrollBar().setValue(place)
        found = None if advice is None else advice.shift
        is_there = found is not None and found.percent.size > 0
        curves = [Curve(found.percent, found.ratio)] if found is not None and is_there else []
        why = "" if found is None else found.why_not
        self.shift_plot.show_curves(curves, empty=why or "no sweep yet")
        self.best_button.setEnabled(found is not None and found.shift_percent is not None)
        self._show_marks()
        kept = self.match_box.currentText()
        with QSignalBlocker(self.match_box):
            self.match_box.clear()
            for one in () if advice is None else advice.matches:
                self.match_box.addItem(one.kind[0].upper() + one.kind[1:])
            self.match_box.setCurrentText(kept)
        self._show_match()

    def follow_shift(self, change_percent: float) -> None:
        """Put the slider where the document is, as after undo."""
        if not self.slider.isSliderDown():
            with QSignalBlocker(self.slider):
                self.slider.setValue(round(change_percent / STEP_PERCENT))
            self._show_shift()

    def _show_match(self) -> None:
        advice, place = self._advice, self.match_box.currentIndex()
        curves = []
        if advice is not None and 0 <= place < len(advice.matches):
            for outcomes, is_dashed in (
                (advice.unmatched, True),
                (advice.matches[place].outcomes, False),
            ):
                curves += [
                    Curve(
                        one.sweep.frequency_hz / 1e6,
                        swr(one.sweep.magnitude),
                        self._colours.get(one.label, -1),
                        f"{one.label}, {'without' if is_dashed else 'with'} the network",
                        is_dashed=is_dashed,
                    )
                    for one in outcomes
                ]
        band = None if advice is None else advice.bench.band
        shade = None if band is None else (band.low_hz / 1e6, band.high_hz / 1e6)
        self.match_plot.show_curves(curves, shade=shade, empty="no network")

    def _show_marks(self) -> None:
        marks = []
        found = None if self._advice is None else self._advice.shift
        if found is not None and found.shift_percent is not None:
            words = f"best {found.shift_percent:+.2f} %".replace("-", "−")
            marks.append(Mark(found.shift_percent, words))
        if self.shift_percent:
            marks.append(Mark(self.shift_percent, "what-if", is_dashed=True))
        self.shift_plot.show_marks(marks)

    def _show_shift(self) -> None:
        shift = self.shift_percent
        text = f"{shift:+.2f} %".replace("-", "−")
        self.shift_label.setText(f"What-if: {text}" if shift else "As measured")
        self.back_button.setEnabled(bool(shift))
        self._show_marks()

    # Making

    def _lay_out(self) -> None:
        left, right = QFormLayout(), QFormLayout()
        left.addRow("&Power", self.power_field)
        left.addRow("&Radio", self.radio_box)
        left.addRow("Feed &line", self.line_field)
        right.addRow("&Cut", self.cut_box)
        right.addRow("Its len&gth", self.length_field)
        right.addRow(self.problem)
        form = QHBoxLayout()
        form.addLayout(left, 1)
        form.addSpacing(16)
        form.addLayout(right, 1)
        plots = QGridLayout()
        shift_title = QLabel("Worst SWR over the band, by tuning shift")
        plots.addWidget(shift_title, 0, 0, 1, 2)
        plots.addWidget(self.shift_plot, 1, 0, 1, 2)
        network_title = QLabel("&Network")
        network_title.setBuddy(self.match_box)
        plots.addWidget(network_title, 2, 0)
        plots.addWidget(self.match_box, 2, 1)
        plots.addWidget(self.match_plot, 3, 0, 1, 2)
        legend = QLabel("Solid: with the network. Dashed: without. Shade: the band.")
        plots.addWidget(legend, 4, 0, 1, 2)
        plots.setColumnStretch(1, 1)
        plots.setRowStretch(1, 1)
        plots.setRowStretch(3, 1)
        middle = QHBoxLayout()
        middle.addWidget(self.answers, 3)
        middle.addLayout(plots, 2)
        slide = QHBoxLayout()
        slide_title = QLabel("&What if the antenna were tuned lower or higher")
        slide_title.setBuddy(self.slider)
        slide.addWidget(slide_title)
        slide.addWidget(self.slider, 1)
        self.shift_label.setMinimumWidth(self.fontMetrics().horizontalAdvance("What-if: −10.00 %"))
        slide.addWidget(self.shift_label)
        slide.addWidget(self.best_button)
        slide.addWidget(self.back_button)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addLayout(middle, 1)
        column.addLayout(slide)
        for widget, words in (
            (self.power_field, "Power of the transmitter"),
            (self.radio_box, "What the radio does with a mismatch"),
            (self.line_field, "Feed line: a type and its length"),
            (self.cut_box, "What is cut"),
            (self.length_field, "Length of what is cut, with its unit"),
            (self.match_box, "Network to show"),
            (self.slider, "What-if: shift of the frequency in per cent"),
        ):
            widget.setAccessibleName(words)
        self.slider.setToolTip(
            tool_tip(
                "Moves the selected sweeps, or all, along the frequency axis as if the whole "
                "antenna were scaled; what was measured stays"
            )
        )
        for button in (self.best_button, self.back_button):
            button.setAutoDefault(False)

    def _connect(self) -> None:
        for field in (self.power_field, self.line_field, self.length_field):
            field.textChanged.connect(lambda _text: self.asked.emit())
        for box in (self.radio_box, self.cut_box):
            box.currentIndexChanged.connect(lambda _index: self.asked.emit())
        self.match_box.currentIndexChanged.connect(self._show_match)
        self.slider.sliderPressed.connect(self.shift_began)
        self.slider.valueChanged.connect(self._on_slid)
        self.slider.sliderReleased.connect(self.shift_ended)
        self.best_button.clicked.connect(self._to_best)
        self.back_button.clicked.connect(lambda: self.slider.setValue(0))

    def _on_slid(self) -> None:
        self._show_shift()
        is_dragged = self.slider.isSliderDown()
        if not is_dragged:
            self.shift_began.emit()
        self.shift_moved.emit(self.shift_percent)
        if not is_dragged:
            self.shift_ended.emit()

    def _to_best(self) -> None:
        found = None if self._advice is None else self._advice.shift
        if found is not None and found.shift_percent is not None:
            self.slider.setValue(round(found.shift_percent / STEP_PERCENT))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in a field asks nothing new; Escape closes."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
