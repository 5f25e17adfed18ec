"""The stretches of the curves in the band, on the Smith chart.

While an edge is dragged only the few pixels between its old and new positions are painted again;
twenty thick curves at once would take longer than a frame.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from fairlead.app.plots.curve_layer import WIDTH, CurveLayer, colour_of, solid_parts
from fairlead.app.plots.markers import RADIUS, draw_markers
from fairlead.app.plots.pens import curve_pen
from fairlead.app.plots.screen_line import lots_hit, reach_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.plots.curve_layer import Stretch
    from fairlead.app.plots.curves import Curve, CurveSet
    from fairlead.app.plots.projection import SmithProjection
    from fairlead.app.plots.screen_line import ScreenLine
    from fairlead.core.arrays import FloatArray, IntArray
    from fairlead.core.bands import Band

_EXTRA = 1.0
# Half the widest pen, a marker with its outline, and a pixel for smoothing.
_MARGIN = RADIUS + 3.0


class InBandLayer(CurveLayer):
    """The part of each curve between the band's edges, thick and at full strength."""

    def __init__(
        self, curves: CurveSet, projection: SmithProjection, parent: QGraphicsItem
    ) -> None:
        super().__init__(curves, parent)
        self._projection = projection
        self._screen: ScreenMap | None = None
        self._band: Band | None = None
        self._stretches: dict[int, Stretch] = {}
        self._strokes: list[_Stroke] = []
        self._marks: _Marks | None = None

    def set_screen(self, screen: ScreenMap) -> None:
        """Follow the ranges of the plot."""
        self._screen = screen
        self.renew()

    def set_band(self, band: Band) -> None:
        """Show another band; what stays inside is not painted again."""
        old, self._band = self._band, band
        self._follow(
            moves_low=old is None or band.low_hz != old.low_hz,
            moves_high=old is None or band.high_hz != old.high_hz,
        )

    def follow(self) -> None:
        """Follow curves that moved along the frequency axis and are else as they were."""
        if self._marks is not None:
            hz = [
                curve.analysis.frequency_hz[self._marks.index[self._marks.owner == number]]
                for number, curve in enumerate(self._curves)
            ]
            self._marks = replace(self._marks, frequency_hz=np.concatenate(hz))
        self._follow(moves_low=True, moves_high=True)

    def _follow(self, *, moves_low: bool, moves_high: bool) -> None:
        band = self._band
        if self._screen is None or band is None or len(self._stretches) < len(self._curves):
            self.renew()
            return
        areas: list[QRectF] = []
        for curve in self._curves:
            line = self._curves.line(curve)
            before = self._stretches[curve.key]
            low, high = before
            if moves_low:
                low = self._position(curve, line, band.low_hz)
            if moves_high:
                high = self._position(curve, line, band.high_hz)
            self._stretches[curve.key] = (low, high)
            for was, now in zip(before, (low, high), strict=True):
                if was != now:
                    areas.append(_box(line, min(was, now), max(was, now)))
        self.renew(areas)

    def renew(self, areas: list[QRectF] | None = None) -> None:
        """Paint again before the next showing."""
        if areas is None:
            self._stretches.clear()
            self._strokes.clear()
            self._marks = None
        super().renew(areas)

    def pieces(self, canvas: Callable[[], QPainter], areas: FloatArray) -> Iterator[None]:
        """Paint the stretches, then their markers."""
        if self._screen is None or self._band is None:
            return
        if not self._strokes:
            strokes = []
            for curve in self._curves:
                strokes.append(self._make_stroke(curve, self._band))
                yield
            self._strokes = strokes
        is_smooth = not self._curves.is_hasty
        if self._strokes:
            # All curves at once: twenty small calls take longer than one large one.
            lots = np.concatenate([stroke.line.lots for stroke in self._strokes], axis=1)
            reach = max(reach_of(stroke.pen) for stroke in self._strokes)
            hit = lots_hit(lots, areas, reach)
            start = 0
            for stroke in self._strokes:
                painter = canvas()
                painter.setRenderHint(QPainter.RenderHint.Antialiasing, is_smooth)
                end = start + stroke.line.lots.shape[1]
                low, high = self._stretches[stroke.key]
                for part in solid_parts((low, high), stroke.gaps):
                    stroke.line.stroke_lots(painter, stroke.pen, hit[start:end], part)
                start = end
                yield
        yield from self._mark_pieces(canvas, areas, self._band)

    def _mark_pieces(
        self, canvas: Callable[[], QPainter], areas: FloatArray, band: Band
    ) -> Iterator[None]:
        """Paint the markers that lie in the band and in the areas."""
        if self._marks is None:
            found = []
            for number, curve in enumerate(self._curves):
                found.append(_marks_of(self._curves, curve, number))
                yield
            self._marks = _joined(found)
        marks = self._marks
        left, right, top, bottom = areas[:, :, np.newaxis]
        near = (
            (marks.x >= left - _MARGIN)
            & (marks.x <= right + _MARGIN)
            & (marks.y >= top - _MARGIN)
            & (marks.y <= bottom + _MARGIN)
        ).any(axis=0)
        near &= (marks.frequency_hz >= band.low_hz) & (marks.frequency_hz <= band.high_hz)
        shown = np.flatnonzero(near)
        if not shown.size:
            return
        paper = QColor(self._theme.base)
        for number, curve in enumerate(self._curves):
            own = shown[marks.owner[shown] == number]
            if own.size:
                painter = canvas()
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                draw_markers(
                    painter,
                    curve.style,
                    colour_of(curve, self._theme),
                    paper,
                    (marks.x[own], marks.y[own]),
                )
                yield

    def _make_stroke(self, curve: Curve, band: Band) -> _Stroke:
        line = self._curves.line(curve)
        self._stretches[curve.key] = (
            self._position(curve, line, band.low_hz),
            self._position(curve, line, band.high_hz),
        )
        width = self._width(WIDTH + _EXTRA + curve.extra_width)
        pen = curve_pen(colour_of(curve, self._theme), width, curve.style)
        return _Stroke(curve.key, line, pen, self._curves.gaps(curve))

    def _position(self, curve: Curve, line: ScreenLine, frequency_hz: float) -> float:
        if self._screen is None:
            raise RuntimeError("the layer has no screen yet")
        return self._projection.position(curve.analysis, line, self._screen, frequency_hz)


@dataclass(frozen=True, slots=True, eq=False)
class _Stroke:
    """What draws one curve."""

    key: int
    line: ScreenLine
    pen: QPen
    gaps: list[Stretch]


@dataclass(frozen=True, slots=True, eq=False)
class _Marks:
    """Markers of all curves: number of the curve, point, frequency and position, shape (n,)."""

    owner: IntArray
    index: IntArray
    frequency_hz: FloatArray
    x: FloatArray
    y: FloatArray


def _marks_of(curves: CurveSet, curve: Curve, number: int) -> _Marks:
    index = curves.marks(curve)
    x, y = curves.pixels(curve, index)
    owner = np.full(index.size, number, dtype=np.intp)
    return _Marks(owner, index, curve.analysis.frequency_hz[index], x, y)


def _joined(parts: list[_Marks]) -> _Marks:
    if not parts:
        nothing = np.empty(0)
        none = np.empty(0, dtype=np.intp)
        return _Marks(none, none, nothing, nothing, nothing)
    return _Marks(
        np.concatenate([part.owner for part in parts]),
        np.concatenate([part.index for part in parts]),
        np.concatenate([part.frequency_hz for part in parts]),
        np.concatenate([part.x for part in parts]),
        np.concatenate([part.y for part in parts]),
    )


def _box(line: ScreenLine, start: float, end: float) -> QRectF:
    left, right, top, bottom = line.box(start, end)
    box = QRectF(left, top, right - left, bottom - top)
    return box.adjusted(-_MARGIN, -_MARGIN, _MARGIN, _MARGIN)
