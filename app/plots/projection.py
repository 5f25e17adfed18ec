"""The two projections of a sweep: a quantity over frequency, and the reflection plane."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from fairlead.app.plots.screen_line import ScreenLine
from fairlead.app.plots.simplify import function_weights, plane_weights, thin_by_pixel
from fairlead.core.arrays import distinct
from fairlead.core.views import smith
from fairlead.core.views.points import Sample, joined_points

if TYPE_CHECKING:
    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.plots.simplify import WeightArray
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray
    from fairlead.core.views.quantity import Quantity

# Pixels between two markers of one curve, and the most markers of a curve.
_MARK_SPACING = 130.0
_MOST_MARKS = 100
# With more points than this a pixel column, a column keeps its extremes only.
_POINTS_A_COLUMN = 4


class Projection(Protocol):
    """How points of a sweep are mapped to a plot."""

    def shows(self, analysis: Analysis) -> bool:
        """Whether the sweep can be drawn at all."""

    def weights(self, analysis: Analysis) -> WeightArray:
        """How much each point matters, in units of the vertical axis, shape (n,)."""

    def line(
        self, analysis: Analysis, weights: WeightArray, screen: ScreenMap, tolerance: float
    ) -> ScreenLine:
        """The curve in pixels, no further than ``tolerance`` pixels from any point."""

    def moved(self, line: ScreenLine, by: float, screen: ScreenMap) -> ScreenLine:
        """The line of the same sweep with all its frequencies multiplied by a factor."""

    def points(
        self, analysis: Analysis, index: IntArray, screen: ScreenMap
    ) -> tuple[FloatArray, FloatArray]:
        """Points in pixels, x and y of shape (k,); y is NaN where one does not exist."""

    def marks(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, order: int
    ) -> IntArray:
        """Points that get a marker, spread along a curve with many points."""

    def position(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, frequency_hz: float
    ) -> float:
        """Position of a frequency on the line: kept point plus fraction of the next piece."""


@dataclass(frozen=True, slots=True)
class QuantityProjection:
    """Frequency to the right, a quantity upwards, with gaps where it does not exist."""

    quantity: Quantity
    is_log: bool = False
    """Whether the frequency axis is logarithmic."""

    def shows(self, analysis: Analysis) -> bool:
        """Whether the sweep has any of the quantity."""
        return analysis.power.size > 1 and self.quantity.occurs_in(analysis)

    def weights(self, analysis: Analysis) -> WeightArray:
        """Distances along the axis; both points at the border of a gap always matter."""
        joined = joined_points(analysis)
        points = analysis if joined is None else Sample.picked(analysis, joined)
        values = self.quantity.values(points)
        places = _filled(self.quantity.scale.positions(values))
        across = np.log10(points.frequency_hz) if self.is_log else points.frequency_hz
        weights = function_weights(across, places)
        border = np.flatnonzero(self.quantity.breaks(values))
        weights[border] = weights[border + 1] = np.inf
        return _spread(weights, joined, analysis)

    def line(
        self, analysis: Analysis, weights: WeightArray, screen: ScreenMap, tolerance: float
    ) -> ScreenLine:
        """The curve in pixels."""
        index = np.flatnonzero(weights > tolerance / screen.y_scale)
        x, y = self.points(analysis, index, screen)
        if _points_in_view(x, screen) > _POINTS_A_COLUMN * screen.width:
            keep = thin_by_pixel(np.floor(x).astype(np.intp), y) | (weights[index] == np.inf)
            index, x, y = index[keep], x[keep], y[keep]
        exists = np.isfinite(y)
        joined = exists[1:] & exists[:-1]
        if self.quantity.period is not None:
            # Both ends of a jump are always kept, so a jump lies between two neighbours; points
            # left out between two others may have gone all the way round.
            own = self.quantity.values(Sample.picked(analysis, index))
            are_neighbours = np.diff(np.cumsum(weights >= 0)[index]) == 1
            joined &= ~(self.quantity.breaks(own) & are_neighbours)
        return ScreenLine.through(index, x, y, joined)

    def moved(self, line: ScreenLine, by: float, screen: ScreenMap) -> ScreenLine:
        """Stretched from 0 Hz, wherever that is; the values stay."""
        if self.is_log:
            return line.stretched(1.0, math.log10(by) * screen.x_scale)
        return line.stretched(by, (1 - by) * screen.x(0.0))

    def points(
        self, analysis: Analysis, index: IntArray, screen: ScreenMap
    ) -> tuple[FloatArray, FloatArray]:
        """Points in pixels."""
        sample = Sample.picked(analysis, index)
        return screen.x(sample.frequency_hz), screen.y(self.quantity.positions(sample))

    def marks(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, order: int
    ) -> IntArray:
        """Nearest to evenly spaced frequencies that do not move when the plot is panned."""
        del line
        left, right = screen.left, screen.right
        if self.is_log:
            left, right = math.log10(left), math.log10(right)
        places_hz = _evenly(left, right, spacing=_MARK_SPACING / screen.x_scale, order=order)
        if self.is_log:
            places_hz = 10.0**places_hz
        return _unique_inside(np.searchsorted(analysis.frequency_hz, places_hz), analysis)

    def position(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, frequency_hz: float
    ) -> float:
        """Position of a frequency on the line: kept point plus fraction of the next piece."""
        del analysis
        return float(np.interp(screen.x(frequency_hz), line.x, np.arange(line.x.size)))


@dataclass(frozen=True, slots=True)
class SmithProjection:
    """The reflection plane; only sweeps with phase can be shown in it."""

    def shows(self, analysis: Analysis) -> bool:
        """Whether the phase was measured."""
        return smith.has_position(analysis)

    def weights(self, analysis: Analysis) -> WeightArray:
        """Distances in the reflection plane."""
        joined = joined_points(analysis)
        reflection = _reflection(analysis)
        weights = plane_weights(reflection if joined is None else reflection[joined])
        return _spread(weights, joined, analysis)

    def line(
        self, analysis: Analysis, weights: WeightArray, screen: ScreenMap, tolerance: float
    ) -> ScreenLine:
        """The curve in pixels."""
        index = np.flatnonzero(weights > tolerance / screen.y_scale)
        x, y = self.points(analysis, index, screen)
        joined: BoolArray = np.ones(index.size - 1, dtype=np.bool_)
        return ScreenLine.through(index, x, y, joined)

    def moved(self, line: ScreenLine, by: float, screen: ScreenMap) -> ScreenLine:
        """The same: the chart does not show frequencies."""
        del by, screen
        return line

    def points(
        self, analysis: Analysis, index: IntArray, screen: ScreenMap
    ) -> tuple[FloatArray, FloatArray]:
        """Points in pixels."""
        gamma = _reflection(analysis)[index]
        return screen.x(gamma.real), screen.y(gamma.imag)

    def marks(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, order: int
    ) -> IntArray:
        """Nearest kept points to even steps along the curve."""
        del screen
        length = float(line.length[-1])
        spacing = max(_MARK_SPACING, length / _MOST_MARKS)
        places = _evenly(0.0, length, spacing=spacing, order=order)
        nearest = np.searchsorted(line.length, places)
        return _unique_inside(line.index[np.minimum(nearest, line.index.size - 1)], analysis)

    def position(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, frequency_hz: float
    ) -> float:
        """Position of a frequency on the line: kept point plus fraction of the next piece.

        Frequencies outside the sweep give its ends.
        """
        reflection, grid_hz = _reflection(analysis), analysis.frequency_hz
        last = grid_hz.size - 1
        if frequency_hz <= grid_hz[0]:
            return 0.0
        if frequency_hz >= grid_hz[-1]:
            return float(line.index.size - 1)
        i = min(int(np.searchsorted(grid_hz, frequency_hz, side="right")) - 1, last - 1)
        share = (frequency_hz - grid_hz[i]) / (grid_hz[i + 1] - grid_hz[i])
        gamma = complex(reflection[i] + share * (reflection[i + 1] - reflection[i]))
        piece = int(np.searchsorted(line.index, i, side="right")) - 1
        # Projected onto the straight piece drawn there, so that the end lies on the line.
        x, y = float(line.x[piece]), float(line.y[piece])
        dx, dy = float(line.x[piece + 1]) - x, float(line.y[piece + 1]) - y
        size = dx * dx + dy * dy
        if size == 0:
            return float(piece)
        along = ((screen.x(gamma.real) - x) * dx + (screen.y(gamma.imag) - y) * dy) / size
        return piece + min(max(along, 0.0), 1.0)


def _reflection(analysis: Analysis) -> ComplexArray:
    if analysis.reflection is None:
        raise ValueError("a scalar sweep cannot be shown in the reflection plane")
    return analysis.reflection


def _spread(weights: WeightArray, joined: IntArray | None, analysis: Analysis) -> WeightArray:
    """Weights of the joined points at their indices; the others are never kept."""
    if joined is None:
        return weights
    spread = np.full(analysis.power.size, -1, dtype=weights.dtype)
    spread[joined] = weights
    return spread


def _filled(places: FloatArray) -> FloatArray:
    """Positions, with straight lines where there are none, so that these have no weight."""
    exists = np.isfinite(places)
    if exists.all():
        return places
    if not exists.any():
        return np.zeros(places.size)
    number = np.arange(places.size)
    return np.interp(number, number[exists], places[exists])


def _points_in_view(x: FloatArray, screen: ScreenMap) -> int:
    return int(np.searchsorted(x, screen.width) - np.searchsorted(x, 0.0))


def _evenly(low: float, high: float, *, spacing: float, order: int) -> FloatArray:
    """Multiples of a spacing, shifted so that neighbouring curves are marked elsewhere."""
    shift = (0.5 + 0.38 * order) % 1.0
    first, last = np.floor(low / spacing - shift), np.ceil(high / spacing - shift)
    places: FloatArray = (np.arange(first, last + 1) + shift) * spacing
    return places


def _unique_inside(index: IntArray, analysis: Analysis) -> IntArray:
    return distinct(index[(index > 0) & (index < analysis.power.size)])
