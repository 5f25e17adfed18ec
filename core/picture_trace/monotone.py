"""A monotone curve through points, for axes that are neither linear nor logarithmic.

Piecewise cubics whose slopes at the points are weighted harmonic means of the neighbouring ones, so
that nothing overshoots (F. N. Fritsch, J. Butland, A method for constructing local monotone
piecewise cubic interpolants, 1984, from memory). It goes on as a line beyond its ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

_LEAST_STEP_PX = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Monotone:
    """Values over places; both rise, or the values fall."""

    places: FloatArray
    values: FloatArray
    slopes: FloatArray

    @classmethod
    def through(cls, places: FloatArray, values: FloatArray) -> Monotone:
        """The curve through points in any order, both of shape (n,), n >= 3.

        Raises
        ------
        FairleadError
            If two points are at one place, or the values neither rise nor fall all along.
        """
        order = np.argsort(places)
        places, values = places[order], values[order]
        steps, rises = np.diff(places), np.diff(values)
        if steps.min() < _LEAST_STEP_PX:
            raise FairleadError(
                "two points of different value are at one place on the axis", "move or remove one"
            )
        if not ((rises > 0).all() or (rises < 0).all()):
            raise FairleadError(
                "the values along the axis rise and fall", "correct the value that is out of order"
            )
        return cls(places, values, slopes_through(places, values))

    def forth(self, places: FloatArray) -> FloatArray:
        """Values at places, any shape."""
        return through_points(places, self.places, self.values, self.slopes)

    def back(self, values: FloatArray) -> FloatArray:
        """Places of values, shape (n,), by halving."""
        reach = float(np.ptp(self.places)) * 2
        low = np.full(values.shape, self.places[0] - reach)
        high = np.full(values.shape, self.places[-1] + reach)
        sign = 1.0 if self.values[-1] > self.values[0] else -1.0
        for _ in range(60):
            middle = (low + high) / 2
            is_below = sign * (self.forth(middle) - values) < 0
            low, high = np.where(is_below, middle, low), np.where(is_below, high, middle)
        result: FloatArray = (low + high) / 2
        return result


def slopes_through(places: FloatArray, values: FloatArray) -> FloatArray:
    """Slopes at rising places, both of shape (n,), n >= 2; zero where the values turn."""
    steps = np.diff(places)
    secants = np.diff(values) / steps
    before, after = steps[:-1], steps[1:]
    weight = (before + 2 * after) / (3 * (before + after))
    product = secants[:-1] * secants[1:]
    mixed = weight * secants[1:] + (1 - weight) * secants[:-1]
    inner = np.where(product > 0, product / np.where(mixed == 0, 1, mixed), 0.0)
    result: FloatArray = np.concatenate([secants[:1], inner, secants[-1:]])
    return result


def through_points(
    at: FloatArray, places: FloatArray, values: FloatArray, slopes: FloatArray
) -> FloatArray:
    """The curve at any places, shape of ``at``; a line beyond the ends."""
    index = np.clip(np.searchsorted(places, at, side="right") - 1, 0, places.size - 2)
    step = places[index + 1] - places[index]
    t = np.clip((at - places[index]) / step, 0, 1)
    low, high = values[index], values[index + 1]
    first, second = slopes[index] * step, slopes[index + 1] * step
    inside = (
        low
        + t * first
        + t**2 * (3 * (high - low) - 2 * first - second)
        + t**3 * (first + second - 2 * (high - low))
    )
    before = np.minimum(at - places[0], 0) * slopes[0]
    after = np.maximum(at - places[-1], 0) * slopes[-1]
    result: FloatArray = inside + before + after
    return result
