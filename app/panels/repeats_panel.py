"""Before, during, after: three choices, and in words what came and went and what drifted."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.drawn_plot import DrawnPlot
from fairlead.core.comparison.repeats.answer import Question, answer, caution
from fairlead.core.comparison.repeats.drying import Drying
from fairlead.core.comparison.repeats.times import parse_minutes
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtCore import QSize
    from PySide6.QtGui import QImage

    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.repeats.words import Kind
    from fairlead.core.comparison.rows import Row

_KINDS: tuple[tuple[str, Kind, tuple[str, str, str]], ...] = (
    ("Weather: water, ice or snow", "weather", ("&Before (dry)", "&During (wet)", "&After (dry)")),
    (
        "Feed cable: choked, or held by hand",
        "cable",
        ("&Before (choked)", "&During (held)", "&After (choked)"),
    ),
    (
        "Feed cable: another length",
        "cable-length",
        ("&Before (one length)", "&During (another)", "&After (first again)"),
    ),
)
_NONE = "– none –"
_DATES = "by the dates of the sweeps"
if TYPE_CHECKING:
    Draw = Callable[[Drying, QSize, float], QImage]

_WIDTH_PX, _TEXT_PX = 580, 230


class RepeatsPanel(QDialog):
    """Changes nothing on the bench.

    Parameters
    ----------
    rows : sequence of Row
        Of the bench, at least two, with their intervals.
    first : Question
        What is chosen at the start.
    draw : callable
        Makes the drying curve's plot from the curve, a size in pixels and the screen's ratio.
    """

    copy_wanted = Signal(object, bool)
    """The `Answer`, and whether as Markdown."""
    save_wanted = Signal(object)
    """The `Answer`, to stand in a picture."""

    def __init__(
        self, rows: Sequence[Row], first: Question, draw: Draw, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Before, during, after")
        self.setModal(True)
        self._rows = tuple(rows)
        self._answer: Answer | None = None
        self._draw = draw
        self.plot = DrawnPlot("Drying curve")
        self.kind_box = QComboBox()
        self.kind_box.addItems([words for words, _, _ in _KINDS])
        self.boxes = tuple(QComboBox() for _ in range(3))
        self.labels = tuple(QLabel() for _ in range(3))
        self.minutes_field = QLineEdit()
        self.minutes_field.setPlaceholderText(_DATES)
        self.minutes_field.setToolTip(tool_tip('Minutes of the three sweeps, such as "0, 25, 70"'))
        self.caution = QLabel()
        self.caution.setTextFormat(Qt.TextFormat.PlainText)
        self.caution.setWordWrap(True)
        self.result_text = QPlainTextEdit()
        self.result_text.setReadOnly(True)
        self.result_text.setTabChangesFocus(True)
        self.result_text.setMinimumSize(_WIDTH_PX, _TEXT_PX)
        self.copy_button = QPushButton("&Copy")
        self.markdown_button = QPushButton("Copy as Mar&kdown")
        self.save_button = QPushButton("&Export picture ...")
        self.save_button.setToolTip(tool_tip("The picture of the sweeps shown, with these words"))
        self._fill(first)
        self._lay_out()
        for box in (self.kind_box, *self.boxes):
            box.currentIndexChanged.connect(self._tell)
        self.minutes_field.textChanged.connect(self._tell)
        self.copy_button.clicked.connect(lambda: self._copy(as_markdown=False))
        self.markdown_button.clicked.connect(lambda: self._copy(as_markdown=True))
        self.save_button.clicked.connect(lambda: self.save_wanted.emit(self._answer))
        self._tell()

    @property
    def question(self) -> Question:
        """What is asked now.

        Raises
        ------
        FairleadError
            If the text is not a list of minutes.
        """
        keys = [row.entry.key for row in self._rows]
        before, during, after = (box.currentIndex() for box in self.boxes)
        text = self.minutes_field.text().strip()
        return Question(
            keys[before],
            keys[during],
            keys[after - 1] if after > 0 else None,
            _KINDS[self.kind_box.currentIndex()][1],
            parse_minutes(text) if text else (),
        )

    def _fill(self, first: Question) -> None:
        names = [row.entry.measured_caption for row in self._rows]
        keys = [row.entry.key for row in self._rows]
        for box, added in zip(self.boxes, ([], [], [_NONE]), strict=True):
            box.addItems([*added, *names])
        self.boxes[0].setCurrentIndex(keys.index(first.before))
        self.boxes[1].setCurrentIndex(keys.index(first.during))
        if first.after is not None:
            self.boxes[2].setCurrentIndex(1 + keys.index(first.after))

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("&What differed", self.kind_box)
        for label, box in zip(self.labels, self.boxes, strict=True):
            label.setBuddy(box)
            form.addRow(label, box)
        form.addRow("&Minutes", self.minutes_field)
        close = QPushButton("Close")
        close.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addWidget(self.copy_button)
        row.addWidget(self.markdown_button)
        row.addWidget(self.save_button)
        row.addStretch(1)
        row.addWidget(close)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(self.caution)
        column.addWidget(self.result_text, 1)
        column.addWidget(self.plot, 1)
        column.addLayout(row)
        for words, widget in (
            ("What differed", self.kind_box),
            ("Sweep before", self.boxes[0]),
            ("Sweep during", self.boxes[1]),
            ("Sweep after", self.boxes[2]),
            ("Minutes of the three sweeps", self.minutes_field),
            ("What came and went", self.result_text),
        ):
            widget.setAccessibleName(words)

    def _tell(self) -> None:
        """Say what the choices lead to, or why they lead to nothing."""
        for label, text in zip(self.labels, _KINDS[self.kind_box.currentIndex()][2], strict=True):
            label.setText(text)
        self._answer = None
        try:
            question = self.question
            self._answer = answer(self._rows, question)
            said = "\n\n".join(self._answer.sentences)
            self.caution.setText(caution(question))
            self._show_minutes(self._answer)
        except FairleadError as error:
            said = str(error)
        is_warned, was_warned = bool(self.caution.text()), self.caution.isVisibleTo(self)
        self.caution.setVisible(is_warned)
        if is_warned and not was_warned and self.isVisible():
            self.adjustSize()
        self.result_text.setPlainText(said)
        self._show_drying()
        for button in (self.copy_button, self.markdown_button, self.save_button):
            button.setEnabled(self._answer is not None)

    def _show_drying(self) -> None:
        """The curve, where there is one."""
        drying = None if self._answer is None else self._answer.drying
        is_curve = isinstance(drying, Drying)
        if isinstance(drying, Drying):
            words = f"{drying.points} sweeps, half time {drying.half_time_minutes:.0f} minutes"
            curve = drying
            self.plot.show_drawn(lambda size, ratio: self._draw(curve, size, ratio), words)
        was_shown = self.plot.isVisibleTo(self)
        self.plot.setVisible(is_curve)
        if is_curve and not was_shown and self.isVisible():
            self.adjustSize()

    def _show_minutes(self, found: Answer) -> None:
        """Show the times that the dates gave, or why there are none, where nothing was typed."""
        self.minutes_field.setEnabled(self.boxes[2].currentIndex() > 0)
        with QSignalBlocker(self.minutes_field):
            compared = found.compared
            minutes = None if isinstance(compared, str) else compared.minutes
            text = found.why_no_minutes or _DATES
            if minutes is not None:
                text = f"{_DATES}: {', '.join(f'{one:.4g}' for one in minutes)}"
            self.minutes_field.setPlaceholderText(text)

    def _copy(self, *, as_markdown: bool) -> None:
        self.copy_wanted.emit(cast("Answer", self._answer), as_markdown)
