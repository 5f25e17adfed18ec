"""The two ways to look at a sweep: SWR over frequency, and the reflection plane."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from fairlead.app.plots.screen_line import ScreenLine
from fairlead.app.plots.simplify import function_weights, plane_weights, thin_columns
from fairlead.core.arrays import distinct
from fairlead.core.reflection import above_one

if TYPE_CHECKING:
    from fairlead.app.plots.screen_map import ScreenMap
    from fairlead.app.plots.simplify import WeightArray
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

# Pixels between two markers of one curve, and the most markers of a curve.
_MARK_SPACING = 130.0
_MOST_MARKS = 100
# With more points than this a pixel column of the SWR plot, a column keeps its extremes only.
_POINTS_A_COLUMN = 4


class Projection(Protocol):
    """How points of a sweep come onto a plot."""

    def shows(self, analysis: Analysis) -> bool:
        """Whether the sweep can be drawn at all."""

    def weights(self, analysis: Analysis) -> WeightArray:
        """How much each point matters, in units of the vertical axis, shape (n,)."""

    def line(
        self, analysis: Analysis, weights: WeightArray, screen: ScreenMap, tolerance: float
    ) -> ScreenLine:
        """The curve in pixels, no further than ``tolerance`` pixels from any point."""

    def points(
        self, analysis: Analysis, index: IntArray, screen: ScreenMap
    ) -> tuple[FloatArray, FloatArray]:
        """Points in pixels, x and y of shape (k,); y is NaN where one does not exist."""

    def marks(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, order: int
    ) -> IntArray:
        """Points that get a marker, spread along a curve with many points."""


@dataclass(frozen=True, slots=True)
class SwrProjection:
    """Frequency to the right, |reflection| upwards; above 1 there is no SWR, hence a gap."""

    def shows(self, analysis: Analysis) -> bool:
        """Any sweep has an SWR."""
        return analysis.power.size > 1

    def weights(self, analysis: Analysis) -> WeightArray:
        """Distances in |G|; both points at the border of a gap always matter."""
        magnitude = np.sqrt(analysis.power)
        weights = function_weights(analysis.frequency_hz, magnitude)
        gap = above_one(magnitude)
        border = np.flatnonzero(gap[1:] != gap[:-1])
        weights[border] = weights[border + 1] = np.inf
        return weights

    def line(
        self, analysis: Analysis, weights: WeightArray, screen: ScreenMap, tolerance: float
    ) -> ScreenLine:
        """The curve in pixels."""
        index = np.flatnonzero(weights > tolerance / screen.y_scale)
        x, y = self.points(analysis, index, screen)
        if _points_in_view(x, screen) > _POINTS_A_COLUMN * screen.width:
            keep = thin_columns(np.floor(x).astype(np.intp), y) | (weights[index] == np.inf)
            index, x, y = index[keep], x[keep], y[keep]
        exists = np.isfinite(y)
        return ScreenLine.through(index, x, y, exists[1:] & exists[:-1])

    def points(
        self, analysis: Analysis, index: IntArray, screen: ScreenMap
    ) -> tuple[FloatArray, FloatArray]:
        """Points in pixels."""
        magnitude = np.sqrt(analysis.power[index])
        y = np.where(above_one(magnitude), np.nan, screen.y(magnitude))
        return screen.x(analysis.frequency_hz[index]), y

    def marks(
        self, analysis: Analysis, line: ScreenLine, screen: ScreenMap, order: int
    ) -> IntArray:
        """Nearest to evenly spaced frequencies that do not move when the plot is panned."""
        del line
        places_hz = _evenly(
            screen.left, screen.right, spacing=_MARK_SPACING / screen.x_scale, order=order
        )
        return _unique_inside(np.searchsorted(analysis.frequency_hz, places_hz), analysis)


@dataclass(frozen=True, slots=True)
class SmithProjection:
    """The reflection plane; only sweeps with phase have a place in it."""

    def shows(self, analysis: Analysis) -> bool:
        """Whether the phase was measured."""
        return analysis.reflection is not None

    def weights(self, analysis: Analysis) -> WeightArray:
        """Distances in the reflection plane."""
        return plane_weights(_reflection(analysis))

    def line(
        self, analysis: Analysis, weights: WeightArray, screen: ScreenMap, tolerance: float
    ) -> ScreenLine:
        """The curve in pixels."""
        index = np.flatnonzero(weights > tolerance / screen.y_scale)
        x, y = self.points(analysis, index, screen)
        joined: BoolArray = np.ones(index.size - 1, dtype=np.bool_)
        return ScreenLine.through(index, x, y, joined)

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
        """Where a frequency stands on the line: number of a kept point plus share of the piece.

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
        # Onto the straight piece that is drawn there, so that the end lies on the line.
        x, y = float(line.x[piece]), float(line.y[piece])
        dx, dy = float(line.x[piece + 1]) - x, float(line.y[piece + 1]) - y
        size = dx * dx + dy * dy
        if size == 0:
            return float(piece)
        along = ((screen.x(gamma.real) - x) * dx + (screen.y(gamma.imag) - y) * dy) / size
        return piece + min(max(along, 0.0), 1.0)


def _reflection(analysis: Analysis) -> ComplexArray:
    if analysis.reflection is None:
        raise ValueError("a scalar sweep has no place in the reflection plane")
    return analysis.reflection


def _points_in_view(x: FloatArray, screen: ScreenMap) -> int:
    return int(np.searchsorted(x, screen.width) - np.searchsorted(x, 0.0))


def _evenly(low: float, high: float, *, spacing: float, order: int) -> FloatArray:
    """Multiples of a spacing, shifted so that neighbouring curves do not mark the same place."""
    shift = (0.5 + 0.38 * order) % 1.0
    first, last = np.floor(low / spacing - shift), np.ceil(high / spacing - shift)
    places: FloatArray = (np.arange(first, last + 1) + shift) * spacing
    return places


def _unique_inside(index: IntArray, analysis: Analysis) -> IntArray:
    return distinct(index[(index > 0) & (index < analysis.power.size)])
