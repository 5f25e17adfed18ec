"""A plot of SWR for an answer: curves with names, places marked, the band shaded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fairlead.app.drawing.frequency_axis import frequency_ticks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.arrays import FloatArray

_TOPS = (1.5, 2.0, 3.0, 5.0, 10.0)
_MOST_POINTS = 800


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """One curve.

    Attributes
    ----------
    x, ratio : FloatArray, shape (n,)
    colour : int
        Index into the theme's colours of curves; -1 for that of text.
    name : str
        Told beside the plot; empty for none.
    is_dashed : bool
    """

    x: FloatArray
    ratio: FloatArray
    colour: int = -1
    name: str = ""
    is_dashed: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the x axis with a word."""

    x: float
    words: str
    is_dashed: bool = False


class AnswerPlot(QWidget):
    """Draws what it is given; says why there is nothing where there is not."""

    def __init__(
        self, view_state: ViewState, name: str, unit: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._unit = unit
        self._curves: tuple[Curve, ...] = ()
        self._marks: tuple[Mark, ...] = ()
        self._shade: tuple[float, float] | None = None
        self._empty = ""
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        view_state.theme_changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Room for a curve that can be judged."""
        return QSize(360, 190)

    def minimumSizeHint(self) -> QSize:
        """Still legible."""
        return QSize(240, 130)

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Places that are marked."""
        return self._marks

    @property
    def curves(self) -> tuple[Curve, ...]:
        """What is drawn."""
        return self._curves

    def show_curves(
        self,
        curves: Sequence[Curve],
        *,
        shade: tuple[float, float] | None = None,
        empty: str = "",
    ) -> None:
        """Draw other curves; ``empty`` says why there are none."""
        self._curves = tuple(_thinned(one) for one in curves)
        self._shade, self._empty = shade, empty
        names = ", ".join(one.name for one in curves if one.name)
        self.setAccessibleDescription(names if curves else empty)
        self.update()

    def show_marks(self, marks: Sequence[Mark]) -> None:
        """Mark other places."""
        self._marks = tuple(marks)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Frame, scale, curves and marks."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme, metrics = self._view_state.theme, self.fontMetrics()
        left = metrics.horizontalAdvance("SWR 10") + 8
        area = QRectF(left, 8, self.width() - left - 10, self.height() - 14 - metrics.height())
        painter.fillRect(area, QColor(theme.base))
        painter.setPen(QPen(QColor(theme.border), 1))
        painter.drawRect(area)
        if not self._curves:
            painter.setPen(QColor(theme.muted))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(area.adjusted(8, 4, -8, -4), flags, self._empty)
            return
        low = min(float(one.x[0]) for one in self._curves)
        high = max(float(one.x[-1]) for one in self._curves)
        top = self._top()
        self._draw_scale(painter, area, (low, high), top)
        painter.setClipRect(area)
        self._draw_curves(painter, area, (low, high), top)
        self._draw_marks(painter, area, (low, high))

    def _top(self) -> float:
        """The least round SWR over what matters, the shade above all; the rest may leave."""
        wanted = [1.5 * float(np.nanmin(one.ratio)) for one in self._curves]
        if self._shade is not None:
            low, high = self._shade
            for one in self._curves:
                inside = one.ratio[(one.x >= low) & (one.x <= high)]
                wanted.append(float(np.nanmax(inside, initial=1.0)))
        return next((top for top in _TOPS if max(wanted) <= top), _TOPS[-1])

    def _draw_scale(
        self, painter: QPainter, area: QRectF, span: tuple[float, float], top: float
    ) -> None:
        theme, metrics = self._view_state.theme, self.fontMetrics()
        if self._shade is not None:
            ends = [self._x(area, span, x) for x in self._shade]
            shade = QColor(theme.grid_minor)
            shade.setAlpha(90)
            painter.fillRect(QRectF(ends[0], area.top(), ends[1] - ends[0], area.height()), shade)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for value in (1.0, (1 + top) / 2, top):
            y = area.bottom() - (value - 1) / (top - 1) * area.height()
            painter.setPen(QPen(QColor(theme.grid_minor), 1))
            painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))
            painter.setPen(QColor(theme.muted))
            label = f"SWR {value:g}" if value == top else f"{value:g}"
            height = metrics.height()
            painter.drawText(QRectF(0, y - height / 2, area.left() - 5, height), right, label)
        below = QRectF(area.left(), area.bottom() + 2, area.width(), metrics.height())
        painter.drawText(below, Qt.AlignmentFlag.AlignRight, self._unit)
        width_px, gap_px = metrics.horizontalAdvance, float(metrics.averageCharWidth())
        last_px = area.right() - width_px(self._unit) - gap_px
        # The ticks of a frequency in MHz are those of any axis in a millionth of its unit.
        low, high = span[0] * 1e6, span[1] * 1e6
        ticks, _ = frequency_ticks(low, high, area.width(), width_px, 4 * gap_px)
        for tick in ticks:
            words = tick.text.replace("-", "−")
            x, half = self._x(area, span, tick.frequency_hz / 1e6), width_px(words) / 2
            painter.setPen(QPen(QColor(theme.grid_minor), 1))
            painter.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom()))
            painter.setPen(QColor(theme.muted))
            if x + half < last_px:
                at = QPointF(max(x - half, area.left()), below.top() + metrics.ascent())
                painter.drawText(at, words)

    def _draw_curves(
        self, painter: QPainter, area: QRectF, span: tuple[float, float], top: float
    ) -> None:
        theme = self._view_state.theme
        for one in self._curves:
            has_swr = np.isfinite(one.ratio)
            x = area.left() + (one.x[has_swr] - span[0]) / (span[1] - span[0]) * area.width()
            ratio = np.minimum(one.ratio[has_swr], 1e3)
            y = area.bottom() - (ratio - 1) / (top - 1) * area.height()
            points = [QPointF(*point) for point in zip(x.tolist(), y.tolist(), strict=True)]
            colour = theme.text if one.colour < 0 else theme.curves[one.colour % len(theme.curves)]
            style = Qt.PenStyle.DashLine if one.is_dashed else Qt.PenStyle.SolidLine
            painter.setPen(QPen(QColor(colour), 1.6, style))
            painter.drawPolyline(QPolygonF(points))

    def _draw_marks(self, painter: QPainter, area: QRectF, span: tuple[float, float]) -> None:
        theme, metrics = self._view_state.theme, self.fontMetrics()
        for row, mark in enumerate(self._marks):
            x = self._x(area, span, mark.x)
            style = Qt.PenStyle.DashLine if mark.is_dashed else Qt.PenStyle.SolidLine
            painter.setPen(QPen(QColor(theme.accent), 1.2, style))
            painter.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom()))
            painter.setPen(QColor(theme.text))
            width = metrics.horizontalAdvance(mark.words)
            at = x + 4 if x + 4 + width < area.right() else x - 4 - width
            box = QRectF(at, area.top() + 2 + row * metrics.height(), width, metrics.height())
            painter.fillRect(box, QColor(theme.base))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, mark.words)

    @staticmethod
    def _x(area: QRectF, span: tuple[float, float], value: float) -> float:
        share = (value - span[0]) / (span[1] - span[0])
        return area.left() + min(max(share, 0.0), 1.0) * area.width()


def _thinned(curve: Curve) -> Curve:
    step = max(1, curve.x.size // _MOST_POINTS)
    return Curve(
        curve.x[::step], curve.ratio[::step], curve.colour, curve.name, is_dashed=curve.is_dashed
    )
