"""Where each sweep's best match lies: a short tick above the axis, with its interval as a bar.

They come with the intervals, a moment after the last change, and go as soon as something changes
that they depend on: a drag of the band's edges neither waits for them nor shows old ones.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsItem

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.pens import curve_colour

if TYPE_CHECKING:
    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Style

_HEIGHT_PX = 9.0
_WIDTH_PX = 2.0
_BAR_PX = 3.0
# A shorter interval is hidden by the tick.
_LEAST_BAR_PX = 3.0


@dataclass(frozen=True, slots=True)
class Mark:
    """A best match.

    Attributes
    ----------
    key : int
        The entry's.
    style : Style
    frequency_hz : float
    low_hz, high_hz : float
        Where it lies with its interval; both the frequency itself where none is known.
    """

    key: int
    style: Style
    frequency_hz: float
    low_hz: float
    high_hz: float


def marks_of(bench: Bench, known: Knowledge) -> tuple[Mark, ...]:
    """Of the visible sweeps whose best match exists and is not cut off by the sweep's end."""
    marks = []
    for entry in bench.visible:
        figures = known.figures.get(entry.key)
        if figures is None or figures.best_match_hz is None or figures.best_match_at_end:
            continue
        if figures.best_match_swr is None or math.isinf(figures.best_match_swr):
            continue
        hz = figures.best_match_hz
        found = known.intervals.get(entry.key, {}).get("best_match_hz")
        ends = None if found is None else found.accuracy or found.repeatability
        low_hz, high_hz = (hz, hz) if ends is None else (ends.low, ends.high)
        marks.append(Mark(entry.key, entry.drawn_style, hz, low_hz, high_hz))
    return tuple(marks)


class BestMatchMarks(QGraphicsItem):
    """All marks in one item."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._theme = LIGHT
        self._marks: tuple[Mark, ...] = ()
        self._screen: ScreenMap | None = None
        self._area = QRectF()

    @property
    def marks(self) -> tuple[Mark, ...]:
        """What is shown."""
        return self._marks

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        self.update()

    def set_marks(self, marks: tuple[Mark, ...]) -> None:
        """Show other marks."""
        if marks != self._marks:
            self._marks = marks
            self.update()

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the ranges of the plot."""
        self.prepareGeometryChange()
        self._screen = screen
        self._area = QRectF(0, screen.height - _HEIGHT_PX - 1, screen.width, _HEIGHT_PX + 1)
        self.update()

    def boundingRect(self) -> QRectF:
        """A strip above the axis."""
        return self._area

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw a tick and a bar for each."""
        del option, widget
        screen = self._screen
        if screen is None:
            return
        painter.setClipRect(self._area)
        for mark in self._marks:
            colour = curve_colour(self._theme, mark.style)
            x = screen.x(mark.frequency_hz)
            left, right = screen.x(mark.low_hz), screen.x(mark.high_hz)
            bottom = screen.height
            if right - left >= _LEAST_BAR_PX:
                pale = QColor(colour)
                pale.setAlpha(110)
                painter.fillRect(QRectF(left, bottom - _BAR_PX, right - left, _BAR_PX), pale)
            top = bottom - _HEIGHT_PX
            painter.fillRect(QRectF(x - _WIDTH_PX / 2, top, _WIDTH_PX, _HEIGHT_PX), colour)
