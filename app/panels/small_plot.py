"""A small plot of SWR over frequency, beside a form that makes sweeps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fairlead.core.reflection import swr
from fairlead.core.units import format_mhz, mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.view_state import ViewState
    from fairlead.core.arrays import FloatArray
    from fairlead.core.sweep import AnySweep

# Top of the scale and a round number in the middle.
_TOPS = {1.5: 1.2, 2.0: 1.5, 3.0: 2.0, 5.0: 3.0, 10.0: 5.0, 20.0: 10.0, 100.0: 50.0, 1000.0: 500.0}
_SHOWN = 200
"""The most sweeps that are drawn."""
_FEW = 30
_MOST_POINTS = 2000


class SmallPlot(QWidget):
    """Draws sweeps; says so while there are none."""

    def __init__(self, view_state: ViewState, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._lines: list[tuple[FloatArray, FloatArray]] = []
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        view_state.theme_changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Room for a curve to be judged."""
        return QSize(420, 210)

    def minimumSizeHint(self) -> QSize:
        """Still legible."""
        return QSize(240, 140)

    @property
    def line_count(self) -> int:
        """How many sweeps are drawn."""
        return len(self._lines)

    def show_sweeps(self, sweeps: Sequence[AnySweep]) -> None:
        """Draw other sweeps."""
        self._lines = [_line(sweep) for sweep in sweeps[:_SHOWN]]
        self.setAccessibleDescription(f"SWR of {len(sweeps)} sweeps" if sweeps else "Nothing yet")
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Frame, scale and curves."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = self._view_state.theme
        metrics = self.fontMetrics()
        left = metrics.horizontalAdvance(f"SWR {max(_TOPS):g}") + 8
        area = QRectF(left, 8, self.width() - left - 12, self.height() - 16 - metrics.height())
        painter.fillRect(area, QColor(theme.base))
        painter.setPen(QPen(QColor(theme.border), 1))
        painter.drawRect(area)
        if not self._lines:
            painter.setPen(QColor(theme.muted))
            painter.drawText(area, Qt.AlignmentFlag.AlignCenter, "no sweep yet")
            return
        self._draw(painter, area)

    def _draw(self, painter: QPainter, area: QRectF) -> None:
        theme = self._view_state.theme
        metrics = self.fontMetrics()
        low_hz = min(float(hz[0]) for hz, _ in self._lines)
        high_hz = max(float(hz[-1]) for hz, _ in self._lines)
        width_hz = max(high_hz - low_hz, 1.0)
        highest = max((float(ratio.max(initial=1)) for _, ratio in self._lines), default=2.0)
        top = next((value for value in _TOPS if highest <= value), max(_TOPS))
        middle = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for value in (1.0, _TOPS[top], top):
            y = area.bottom() - (value - 1) / (top - 1) * area.height()
            painter.setPen(QPen(QColor(theme.grid_minor), 1))
            painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))
            painter.setPen(QColor(theme.muted))
            label = f"SWR {value:g}" if value == top else f"{value:g}"
            box = QRectF(0, y - metrics.height() / 2, area.left() - 5, metrics.height())
            painter.drawText(box, middle, label)
        decimals = mhz_decimals((high_hz - low_hz) / 20)
        below = QRectF(area.left(), area.bottom() + 3, area.width(), metrics.height())
        painter.drawText(below, Qt.AlignmentFlag.AlignLeft, format_mhz(low_hz, decimals))
        painter.drawText(below, Qt.AlignmentFlag.AlignRight, f"{format_mhz(high_hz, decimals)} MHz")
        painter.setClipRect(area)
        for number, (frequency_hz, ratio) in enumerate(self._lines):
            x = area.left() + (frequency_hz - low_hz) / width_hz * area.width()
            height = area.bottom() - (np.minimum(ratio, 1e3) - 1) / (top - 1) * area.height()
            points = [QPointF(*point) for point in zip(x.tolist(), height.tolist(), strict=True)]
            colour = QColor(theme.curves[number % len(theme.curves)])
            painter.setPen(QPen(colour, 1.6))
            painter.drawPolyline(QPolygonF(points))
            if len(points) < _FEW:
                painter.setBrush(QColor(theme.base))
                for point in points:
                    painter.drawEllipse(point, 3, 3)


def _line(sweep: AnySweep) -> tuple[FloatArray, FloatArray]:
    """Frequency and SWR where it exists; only some of very many points."""
    step = max(1, len(sweep) // _MOST_POINTS)
    frequency_hz = sweep.frequency_hz[::step]
    ratio = np.asarray(swr(sweep.magnitude[::step]))
    has_swr = np.isfinite(ratio)
    if not has_swr.any():
        return sweep.frequency_hz[[0, -1]], np.array([1e3, 1e3])
    return frequency_hz[has_swr], ratio[has_swr]
