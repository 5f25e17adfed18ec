"""A curve in the pixels of a plot, reduced to the points that can be seen."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF

from fairlead.core.arrays import runs

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter, QPen

    from fairlead.core.arrays import BoolArray, FloatArray, IntArray


# Pieces are handled in lots: a whole lot is drawn if its box is touched.
_LOT = 12
# A dash pattern along a line far beyond the screen would keep Qt busy for minutes.
FAR_PX = 8000.0


def reach_of(pen: QPen) -> float:
    """How far from its line a stroke can be seen, in pixels."""
    return pen.widthF() / 2 + 1


def lots_hit(lots: FloatArray, areas: FloatArray, reach: float) -> BoolArray:
    """Which lots come within reach of any of the areas.

    Parameters
    ----------
    lots, areas : FloatArray, shape (4, n) and (4, k)
        Left, right, top and bottom of each.

    Returns
    -------
    BoolArray, shape (n,)
    """
    left, right, top, bottom = areas[:, :, np.newaxis]
    hit: BoolArray = (
        (lots[1] >= left - reach)
        & (lots[0] <= right + reach)
        & (lots[3] >= top - reach)
        & (lots[2] <= bottom + reach)
    ).any(axis=0)
    return hit


@dataclass(frozen=True, slots=True, eq=False)
class ScreenLine:
    """A curve as straight pieces in pixels.

    Attributes
    ----------
    index : IntArray, shape (m,), m >= 2
        Points of the sweep that were kept, in rising order.
    x, y : FloatArray, shape (m,)
        Their positions, in pixels from the top left corner of the plot.
    joined : BoolArray, shape (m - 1,)
        False where there is a gap between two points.
    length : FloatArray, shape (m,)
        Distance along the line in pixels, which positions the dashes: they stay in place when only
        part of the curve is drawn.
    lots : FloatArray, shape (4, k)
        Left, right, top and bottom of each lot of pieces; NaN where nothing is joined.
    goes_far : bool
        Whether it extends so far beyond the screen that parts must be clipped before drawing.
    every_run : list of (first, last)
        First and last point of each unbroken row of joined pieces.
    lonely : IntArray, shape (j,)
        Numbers of the points that have a position but are not joined to others.
    """

    index: IntArray
    x: FloatArray
    y: FloatArray
    joined: BoolArray
    length: FloatArray
    lots: FloatArray
    goes_far: bool
    every_run: list[tuple[int, int]]
    lonely: IntArray

    @classmethod
    def through(
        cls, index: IntArray, x: FloatArray, y: FloatArray, joined: BoolArray
    ) -> ScreenLine:
        """The line through these points; a point without a position (NaN) must not be joined."""
        steps = np.where(joined, np.hypot(np.diff(x), np.diff(y)), 0.0)
        starts = np.arange(0, joined.size, _LOT)
        lots = np.stack(
            [
                np.fmin.reduceat(np.fmin(x[1:], x[:-1]), starts),
                np.fmax.reduceat(np.fmax(x[1:], x[:-1]), starts),
                np.fmin.reduceat(np.fmin(y[1:], y[:-1]), starts),
                np.fmax.reduceat(np.fmax(y[1:], y[:-1]), starts),
            ]
        )
        length = np.concatenate(([0.0], np.cumsum(steps)))
        goes_far = bool((np.abs(lots) > FAR_PX).any())
        before, after = np.append(False, joined), np.append(joined, False)
        lonely: IntArray = np.flatnonzero(~before & ~after & np.isfinite(y))
        return cls(index, x, y, joined, length, lots, goes_far, runs(joined), lonely)

    def stretched(self, scale: float, shift_px: float) -> ScreenLine:
        """The line with x multiplied and shifted; its dashes stay where they are on the curve."""
        lots = self.lots.copy()
        lots[:2] = lots[:2] * scale + shift_px
        return replace(
            self,
            x=self.x * scale + shift_px,
            lots=lots,
            goes_far=bool((np.abs(lots) > FAR_PX).any()),
        )

    def box(self, start: float, end: float) -> tuple[float, float, float, float]:
        """Left, right, top and bottom of the stretch between two positions."""
        x, y, _ = self._stretch(start, end)
        return float(x.min()), float(x.max()), float(y.min()), float(y.max())

    def stroke(self, painter: QPainter, pen: QPen, areas: FloatArray) -> None:
        """Draw at least the pieces that touch any of the areas, shape (4, k)."""
        hit = lots_hit(self.lots, areas, reach_of(pen))
        self.stroke_lots(painter, pen, hit, (0.0, float(self.index.size - 1)))

    def stroke_lots(
        self, painter: QPainter, pen: QPen, hit: BoolArray, stretch: tuple[float, float]
    ) -> None:
        """Draw some of the lots, as far as they lie in a stretch.

        Parameters
        ----------
        hit : BoolArray, shape (k,)
            Which lots.
        stretch : tuple of float
            Start and end, both as point number plus fraction of the piece that begins there.
        """
        first, last = stretch
        is_dashed = bool(pen.dashPattern())
        painter.setPen(pen)
        for start, end in self._runs(hit):
            begin, finish = max(first, float(start)), min(last, float(end))
            if begin >= finish:
                continue
            x, y, length = self._stretch(begin, finish)
            if is_dashed:
                pen.setDashOffset(length / pen.widthF())
                painter.setPen(pen)
            if self.goes_far and max(np.abs(x).max(), np.abs(y).max()) > FAR_PX:
                _draw_far(painter, pen, x, y, length)
            else:
                painter.drawPolyline(arrayToQPolygonF(x, y))

    def way_near(self, box: tuple[float, float, float, float]) -> float:
        """Pixels of line in the pieces whose own box touches a box (left, right, top, bottom)."""
        left, right, top, bottom = box
        hit = (
            (np.maximum(self.x[1:], self.x[:-1]) >= left)
            & (np.minimum(self.x[1:], self.x[:-1]) <= right)
            & (np.maximum(self.y[1:], self.y[:-1]) >= top)
            & (np.minimum(self.y[1:], self.y[:-1]) <= bottom)
        )
        return float(np.diff(self.length)[hit & self.joined].sum())

    def _runs(self, hit: BoolArray) -> list[tuple[int, int]]:
        """First and last point of each unbroken row of joined pieces in these lots."""
        if self.every_run == [(0, self.joined.size)]:
            return [(a * _LOT, min(b * _LOT, self.joined.size)) for a, b in runs(hit)]
        if not hit.any():
            return []
        drawn = np.zeros(self.joined.size + 2, dtype=np.bool_)
        drawn[1:-1] = np.repeat(hit, _LOT)[: self.joined.size]
        drawn[1:-1] &= self.joined
        ends = np.flatnonzero(drawn[1:] != drawn[:-1]).tolist()
        return list(zip(ends[::2], ends[1::2], strict=True))

    def _stretch(self, start: float, end: float) -> tuple[FloatArray, FloatArray, float]:
        """X and y from one position to another, and the distance along the line to the first."""
        # Whole points around the stretch; its own ends replace the first and last.
        first, last = math.floor(start), math.ceil(end)
        if start == first and end == last:
            points = slice(first, last + 1)
            return self.x[points], self.y[points], float(self.length[first])
        x, y = self.x[first : last + 1].copy(), self.y[first : last + 1].copy()
        begin, finish = self._at(start), self._at(end)
        x[0], y[0], x[-1], y[-1] = begin[0], begin[1], finish[0], finish[1]
        return x, y, begin[2]

    def _at(self, place: float) -> tuple[float, float, float]:
        """x, y and distance along the line at a position."""
        piece = min(int(place), self.index.size - 2)
        share = place - piece
        x, y, way = self.x, self.y, self.length
        return (
            float(x[piece] + share * (x[piece + 1] - x[piece])),
            float(y[piece] + share * (y[piece + 1] - y[piece])),
            float(way[piece] + share * (way[piece + 1] - way[piece])),
        )

    def distance(self, x: float, y: float) -> tuple[float, int]:
        """Distance of a pixel from the line, and the number of the nearest piece.

        Infinite where no two points are joined.
        """
        x_start, y_start = self.x[:-1], self.y[:-1]
        x_along, y_along = self.x[1:] - x_start, self.y[1:] - y_start
        size = np.maximum(x_along**2 + y_along**2, 1e-12)
        share = np.clip(((x - x_start) * x_along + (y - y_start) * y_along) / size, 0.0, 1.0)
        squared = (x - x_start - share * x_along) ** 2 + (y - y_start - share * y_along) ** 2
        squared = np.where(self.joined, squared, np.inf)
        nearest = int(np.argmin(squared))
        return float(np.sqrt(squared[nearest])), nearest


def _draw_far(painter: QPainter, pen: QPen, x: FloatArray, y: FloatArray, length: float) -> None:
    """Draw straight pieces, each clipped to the screen (Liang and Barsky's method)."""
    start, along = np.stack([x[:-1], y[:-1]]), np.stack([np.diff(x), np.diff(y)])
    steps = np.hypot(*along)
    ways = length + np.concatenate(([0.0], np.cumsum(steps)[:-1]))
    with np.errstate(divide="ignore", invalid="ignore"):
        to_borders = np.sort(np.stack([(-FAR_PX - start) / along, (FAR_PX - start) / along]), 0)
    # A piece along an axis is either between the borders all the way or never.
    never = ((along == 0) & (np.abs(start) > FAR_PX)).any(axis=0)
    enter = np.maximum(np.where(along == 0, 0.0, to_borders[0]).max(axis=0), 0.0)
    leave = np.minimum(np.where(along == 0, 1.0, to_borders[1]).min(axis=0), 1.0)
    is_dashed = bool(pen.dashPattern())
    for number in np.flatnonzero((enter < leave) & ~never).tolist():
        ends = start[:, number, np.newaxis] + along[:, number, np.newaxis] * np.array(
            [enter[number], leave[number]]
        )
        if is_dashed:
            pen.setDashOffset((ways[number] + enter[number] * steps[number]) / pen.widthF())
            painter.setPen(pen)
        painter.drawLine(QPointF(*ends[:, 0].tolist()), QPointF(*ends[:, 1].tolist()))
