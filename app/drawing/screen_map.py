"""Where a value of a plot stands on the screen, and what stands under a pixel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

from fairlead.core.arrays import FloatArray

Value = TypeVar("Value", float, FloatArray)


@dataclass(frozen=True, slots=True)
class ScreenMap:
    """Straight map from the values of a plot to its pixels; pixels count downwards.

    Attributes
    ----------
    left, bottom : float
        Values at the left and lower border.
    x_scale, y_scale : float
        Pixels per unit of the value, > 0.
    width, height : float
        Size of the plot in pixels.
    """

    left: float
    bottom: float
    x_scale: float
    y_scale: float
    width: float
    height: float

    @classmethod
    def between(
        cls,
        x_range: tuple[float, float],
        y_range: tuple[float, float],
        size: tuple[float, float],
    ) -> ScreenMap:
        """The map that shows these ranges in that many pixels."""
        width, height = max(size[0], 1.0), max(size[1], 1.0)
        return cls(
            left=x_range[0],
            bottom=y_range[0],
            x_scale=width / (x_range[1] - x_range[0]),
            y_scale=height / (y_range[1] - y_range[0]),
            width=width,
            height=height,
        )

    @property
    def right(self) -> float:
        """Value at the right border."""
        return self.left + self.width / self.x_scale

    @property
    def top(self) -> float:
        """Value at the upper border."""
        return self.bottom + self.height / self.y_scale

    def x(self, value: Value) -> Value:
        """Pixels from the left border."""
        return (value - self.left) * self.x_scale

    def y(self, value: Value) -> Value:
        """Pixels from the upper border."""
        return self.height - (value - self.bottom) * self.y_scale

    def x_value(self, pixel: float) -> float:
        """Value at that many pixels from the left border."""
        return self.left + pixel / self.x_scale

    def y_value(self, pixel: float) -> float:
        """Value at that many pixels from the upper border."""
        return self.bottom + (self.height - pixel) / self.y_scale


def round_step(size: float) -> float:
    """The largest of 1, 2, 5, 10, 20 ... (and their tenths) that is not above ``size`` > 0."""
    # Slightly above, so that 0.002 stays 0.002 although its logarithm is not exact.
    decade = 10.0 ** math.floor(math.log10(size) + 1e-9)
    mantissa = size / decade * (1 + 1e-9)
    factor = 5.0 if mantissa >= 5 else 2.0 if mantissa >= 2 else 1.0
    return factor * decade
