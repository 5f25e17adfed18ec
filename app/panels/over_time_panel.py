"""Over time: one figure against the dates of the sweeps, with its trend and what is said of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.panels.drawn_plot import DrawnPlot
from fairlead.core.over_time.trends import choices_beside, over_time, trend_specs
from fairlead.core.over_time.words import notes, trend_sentences

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QImage

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.beside import Beside
    from fairlead.core.over_time.trends import OverTime

    Draw = Callable[[FigureSpec, OverTime, QSize, float], QImage]

_ALL = "all"
_NOT_STATED = "not stated"
_NOTHING = "– nothing –"
_FIRST_SIZE = QSize(820, 680)
_TEXT_PX = 120


class OverTimePanel(QDialog):
    """Changes nothing on the bench.

    Parameters
    ----------
    bench : Bench
    rows : sequence of Row
        Of the sweeps to look at, with their intervals.
    draw : callable
        Makes the plot from a figure, the trends, a size in pixels and the screen's ratio.
    """

    copy_wanted = Signal(object, object, bool)
    """The `FigureSpec`, the `OverTime`, and whether as Markdown."""
    save_wanted = Signal(object, object)
    """The `FigureSpec` and the `OverTime`."""

    def __init__(
        self, bench: Bench, rows: Sequence[Row], draw: Draw, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Over time")
        self.setModal(True)
        self._bench = bench
        self._rows = tuple(rows)
        self._draw = draw
        self._specs = trend_specs()
        self._beside: tuple[Beside, ...] = ()
        self._found = over_time(())
        self.figure_box = QComboBox()
        self.figure_box.addItems([spec.title(bench) for spec in self._specs])
        self.condition_box = QComboBox()
        conditions = dict.fromkeys(row.entry.condition for row in rows)
        self._conditions: tuple[str | None, ...] = (None, *conditions)
        self.condition_box.addItems([_ALL, *(one or _NOT_STATED for one in conditions)])
        self.beside_box = QComboBox()
        self.plot = DrawnPlot("Figure over time")
        self.result_text = QPlainTextEdit()
        self.result_text.setReadOnly(True)
        self.result_text.setTabChangesFocus(True)
        self.result_text.setFixedHeight(_TEXT_PX)
        self.copy_button = QPushButton("&Copy table")
        self.markdown_button = QPushButton("Copy as Mar&kdown")
        self.save_button = QPushButton("&Export picture ...")
        self._lay_out()
        self.figure_box.currentIndexChanged.connect(self._show)
        self.condition_box.currentIndexChanged.connect(self._work_out)
        self.beside_box.currentIndexChanged.connect(self._work_out)
        self.copy_button.clicked.connect(lambda: self._copy(as_markdown=False))
        self.markdown_button.clicked.connect(lambda: self._copy(as_markdown=True))
        self.save_button.clicked.connect(lambda: self.save_wanted.emit(self.spec, self._found))
        # The usual size is cut to two thirds of a small screen, where dates have no room.
        self.resize(_FIRST_SIZE.boundedTo(self.screen().availableSize()))
        self._work_out()

    @property
    def spec(self) -> FigureSpec:
        """The figure that is shown."""
        return self._specs[self.figure_box.currentIndex()]

    @property
    def found(self) -> OverTime:
        """The trends that are shown."""
        return self._found

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("&Figure", self.figure_box)
        form.addRow("C&ondition", self.condition_box)
        form.addRow("&Beside the date", self.beside_box)
        close = QPushButton("Close")
        close.clicked.connect(self.reject)
        row = QHBoxLayout()
        for button in (self.copy_button, self.markdown_button, self.save_button):
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(close)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(self.plot, 1)
        column.addWidget(self.result_text)
        column.addLayout(row)
        for words, widget in (
            ("Figure", self.figure_box),
            ("Only sweeps of this condition", self.condition_box),
            ("Noted beside the date", self.beside_box),
            ("What the figure does over time", self.result_text),
        ):
            widget.setAccessibleName(words)

    def _work_out(self) -> None:
        """All trends of the chosen sweeps."""
        wanted = self._conditions[self.condition_box.currentIndex()]
        rows = [row for row in self._rows if wanted is None or row.entry.condition == wanted]
        chosen = self._chosen_beside()
        self._offer(choices_beside(rows), chosen)
        self._found = over_time(rows, self._chosen_beside())
        self._show()

    def _offer(self, choices: tuple[Beside, ...], chosen: Beside | None) -> None:
        """The choices that these sweeps leave; the old one stays where it can."""
        self._beside = choices
        with QSignalBlocker(self.beside_box):
            self.beside_box.clear()
            self.beside_box.addItems([_NOTHING, *(one.title for one in choices)])
            self.beside_box.setCurrentIndex(1 + choices.index(chosen) if chosen in choices else 0)
        self.beside_box.setEnabled(bool(choices))

    def _chosen_beside(self) -> Beside | None:
        index = self.beside_box.currentIndex()
        return self._beside[index - 1] if index > 0 else None

    def _show(self) -> None:
        spec, found = self.spec, self._found
        said = trend_sentences(self._bench, spec, found)
        # Where there is no trend at all, the first note says it again.
        below = notes(found)[1:] if found.why_not else notes(found)
        self.result_text.setPlainText("\n".join([*said, *below]))
        self.plot.show_drawn(lambda size, ratio: self._draw(spec, found, size, ratio), said[0])
        for button in (self.copy_button, self.markdown_button, self.save_button):
            button.setEnabled(not found.why_not)

    def _copy(self, *, as_markdown: bool) -> None:
        self.copy_wanted.emit(self.spec, self._found, as_markdown)
