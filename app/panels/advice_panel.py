"""What the match costs and what to do about it, beside the window: asked above, answered below.

The slider moves the sweeps as a what-if; plots and table of the window follow. The network that is
looked at is drawn on the window's Smith chart.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.advice_form import AdviceForm
from fairlead.app.panels.answer_plot import AnswerPlot, Curve, Mark
from fairlead.app.panels.scrolled import Scrolled
from fairlead.app.panels.shift_slider import ShiftSlider
from fairlead.core.reflection import swr
from fairlead.core.transform.step import WHAT_IF

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PySide6.QtGui import QHideEvent, QKeyEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.advice.answers import Advice
    from fairlead.core.advice.matching import Match
    from fairlead.core.document.advice_request import AdviceRequest

_SIZE_PX = (1180, 720)
_LEGEND = "Dashed: what-if, with the network. Solid: without it. Shade: the band."


class AdvicePanel(QDialog):
    """Changes nothing itself: it asks, shows answers, and says how the slider moves."""

    asked = Signal()
    """Something typed or chosen is another one."""
    kept = Signal(object)
    """The `AdviceRequest` to keep with the bench."""
    copy_wanted = Signal(object, bool)
    """The `Advice`, and whether as Markdown."""

    def __init__(self, view_state: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Advice")
        self.setModal(False)
        self.resize(QSize(*_SIZE_PX).boundedTo(self.screen().availableSize()))
        self._view_state = view_state
        self.form = AdviceForm()
        self.problem = QLabel()
        self.problem.setTextFormat(Qt.TextFormat.PlainText)
        self.problem.setWordWrap(True)
        self.problem.hide()
        self.answers = QTextBrowser()
        self.answers.setAccessibleName("Answers")
        self.answers.setOpenLinks(False)
        self.answers.setPlaceholderText("Working out the answers ...")
        self.shift_plot = AnswerPlot(view_state, "Worst SWR over the tuning shift", "%")
        self.match_plot = AnswerPlot(view_state, "SWR with and without a network", "MHz")
        self.match_box = QComboBox()
        self.match_box.setAccessibleName("Network to show")
        self.path_box = QCheckBox("On the Smith c&hart")
        self.path_box.setChecked(True)
        self.path_box.setToolTip(
            tool_tip("Draws the network's way from the antenna to the match in the main window")
        )
        self.picture_box = QCheckBox("In the picture, &too")
        self.picture_box.setToolTip(
            tool_tip("The printed picture shows that way on its Smith chart and says what to build")
        )
        self.shift = ShiftSlider()
        self.copy_button = QPushButton("C&opy")
        self.markdown_button = QPushButton("Copy as Mar&kdown")
        self._advice: Advice | None = None
        self._colours: Mapping[int, int] = {}
        self._lay_out()
        self._connect()

    # What is asked

    def request(self) -> AdviceRequest:
        """As typed and chosen."""
        return replace(self.form.request(), in_picture=self.picture_box.isChecked())

    def show_request(self, asked: AdviceRequest) -> None:
        """Show another request, as after undo."""
        self.form.show_request(asked)
        with QSignalBlocker(self.picture_box):
            self.picture_box.setChecked(asked.in_picture)
        self._fill_networks()

    def show_problem(self, text: str) -> None:
        """Say why what is typed cannot be understood; empty where it can."""
        self.problem.setText(text)
        self.problem.setVisible(bool(text))

    # What is answered

    def show_waiting(self) -> None:
        """The answers are those of an earlier state until the next ones are there."""
        self.answers.setEnabled(False)
        self.copy_button.setEnabled(False)
        self.markdown_button.setEnabled(False)

    def show_answers(self, html: str, advice: Advice, colours: Mapping[int, int]) -> None:
        """Show other answers; ``colours`` are those of the sweeps by their key."""
        self._advice, self._colours = advice, colours
        for widget in (self.answers, self.copy_button, self.markdown_button):
            widget.setEnabled(True)
        place = self.answers.verticalScrollBar().value()
        self.answers.setHtml(html)
        self.answers.document().setDocumentMargin(10)
        self.answers.verticalScrollBar().setValue(place)
        found = advice.shift
        is_there = found is not None and found.percent.size > 0
        curves = [Curve(found.percent, found.ratio)] if found is not None and is_there else []
        why = "" if found is None else found.why_not
        self.shift_plot.show_curves(curves, empty=why or "no sweep yet")
        self.shift.set_best(None if found is None else found.shift_percent)
        self._show_marks()
        self._fill_networks()

    def follow_shift(self, change_percent: float) -> None:
        """Put the slider where the document is, as after undo."""
        self.shift.follow(change_percent)
        self._show_marks()

    @property
    def match(self) -> Match | None:
        """The network that is looked at."""
        place = self.match_box.currentIndex()
        matches = () if self._advice is None else self._advice.matches
        return matches[place] if 0 <= place < len(matches) else None

    def _fill_networks(self) -> None:
        wanted = self.form.request().network
        with QSignalBlocker(self.match_box):
            self.match_box.clear()
            for one in () if self._advice is None else self._advice.matches:
                self.match_box.addItem(one.kind[0].upper() + one.kind[1:], one.kind)
            self.match_box.setCurrentIndex(max(0, self.match_box.findData(wanted)))
        self._show_match()

    def _show_match(self) -> None:
        advice, match = self._advice, self.match
        curves = []
        if advice is not None and match is not None:
            for outcomes, is_what_if in ((advice.unmatched, False), (match.outcomes, True)):
                curves += [
                    Curve(
                        one.sweep.frequency_hz / 1e6,
                        swr(one.sweep.magnitude),
                        self._colours.get(one.key, -1),
                        f"{WHAT_IF if is_what_if else ''}{one.label}, "
                        f"{'with' if is_what_if else 'without'} the network",
                        is_dashed=is_what_if,
                    )
                    for one in outcomes
                ]
        band = None if advice is None else advice.bench.band
        shade = None if band is None else (band.low_hz / 1e6, band.high_hz / 1e6)
        self.match_plot.show_curves(curves, shade=shade, empty="no network")
        self._show_path()

    def _show_path(self) -> None:
        match = self.match
        is_shown = match is not None and self.isVisible() and self.path_box.isChecked()
        self._view_state.set_match_path(match.path if match is not None and is_shown else ())

    def _show_marks(self) -> None:
        marks = []
        best, shift = self.shift.best, self.shift.percent
        if best is not None:
            marks.append(Mark(best, f"best {best:+.2f} %".replace("-", "−")))
        if shift:
            marks.append(Mark(shift, "what-if", is_dashed=True))
        self.shift_plot.show_marks(marks)

    # Making

    def _lay_out(self) -> None:
        plots = QGridLayout()
        plots.addWidget(QLabel("Worst SWR over the band, by tuning shift"), 0, 0, 1, 2)
        plots.addWidget(self.shift_plot, 1, 0, 1, 2)
        network_title = QLabel("&Network")
        network_title.setBuddy(self.match_box)
        plots.addWidget(network_title, 2, 0)
        plots.addWidget(self.match_box, 2, 1)
        plots.addWidget(self.match_plot, 3, 0, 1, 2)
        plots.addWidget(QLabel(_LEGEND), 4, 0, 1, 2)
        ticks = QHBoxLayout()
        ticks.addWidget(self.path_box)
        ticks.addWidget(self.picture_box)
        ticks.addStretch(1)
        plots.addLayout(ticks, 5, 0, 1, 2)
        plots.setColumnStretch(1, 1)
        plots.setRowStretch(1, 1)
        plots.setRowStretch(3, 1)
        middle = QHBoxLayout()
        middle.addWidget(self.answers, 3)
        middle.addLayout(plots, 2)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.copy_button)
        below.addWidget(self.markdown_button)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.form)
        column.addWidget(self.problem)
        column.addLayout(middle, 1)
        column.addWidget(self.shift)
        outer = QVBoxLayout(self)
        outer.addWidget(Scrolled(inside, is_wide=True), 1)
        outer.addLayout(below)
        for button in (self.copy_button, self.markdown_button):
            button.setAutoDefault(False)
            button.setEnabled(False)

    def _connect(self) -> None:
        self.form.typed.connect(self.asked)
        self.form.finished.connect(self._keep)
        self.picture_box.toggled.connect(self._keep)
        self.match_box.activated.connect(self._on_chosen)
        self.path_box.toggled.connect(lambda _on: self._show_path())
        self.shift.moved.connect(lambda _percent: self._show_marks())
        self.copy_button.clicked.connect(lambda: self.copy_wanted.emit(self._advice, False))
        self.markdown_button.clicked.connect(lambda: self.copy_wanted.emit(self._advice, True))

    def _keep(self) -> None:
        # A field loses the cursor too when its window is taken apart.
        if isValid(self):
            self.kept.emit(self.request())

    def _on_chosen(self) -> None:
        kind = self.match_box.currentData()
        self._show_match()
        self.kept.emit(replace(self.request(), network=kind or ""))

    def done(self, result: int) -> None:
        """Close; what is typed in a field that still has the cursor is kept."""
        self.kept.emit(self.request())
        super().done(result)

    def hideEvent(self, event: QHideEvent) -> None:
        """Leave nothing on the Smith chart."""
        self._view_state.set_match_path(())
        super().hideEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in a field asks nothing new; Escape closes."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
