"""Where a value of a plot stands on the screen, and what stands under a pixel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np

from fairlead.core.arrays import FloatArray

_SMALLEST = 1e-6

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

    def value_a_pixel(self, pixel: float) -> float:
        """By how much the value rises from one pixel to the next, near that one."""
        del pixel
        return 1 / self.x_scale

    def shifted(self, pixels: float) -> tuple[float, float]:
        """Values at both ends of the horizontal axis, moved by that many pixels."""
        return self.x_value(pixels), self.x_value(self.width + pixels)

    def y_value(self, pixel: float) -> float:
        """Value at that many pixels from the upper border."""
        return self.bottom + (self.height - pixel) / self.y_scale


@dataclass(frozen=True, slots=True)
class LogScreenMap(ScreenMap):
    """The same with a logarithmic horizontal axis.

    Attributes
    ----------
    left : float
        Value at the left border, > 0.
    x_scale : float
        Pixels per decade.
    """

    @classmethod
    def between_logs(
        cls,
        logs: tuple[float, float],
        y_range: tuple[float, float],
        size: tuple[float, float],
    ) -> LogScreenMap:
        """The map that shows values between two powers of ten, given as their exponents."""
        straight = ScreenMap.between(logs, y_range, size)
        return cls(
            left=10.0 ** logs[0],
            bottom=straight.bottom,
            x_scale=straight.x_scale,
            y_scale=straight.y_scale,
            width=straight.width,
            height=straight.height,
        )

    @property
    def right(self) -> float:
        """Value at the right border."""
        return self.x_value(self.width)

    def x(self, value: Value) -> Value:
        """Pixels from the left border; far to the left of it for 0."""
        ratio = np.maximum(value, _SMALLEST) / self.left
        pixels: Any = np.log10(ratio) * self.x_scale
        # Qt takes no numbers of numpy.
        result: Value = pixels.item() if pixels.ndim == 0 else pixels
        return result

    def x_value(self, pixel: float) -> float:
        """Value at that many pixels from the left border."""
        return float(self.left * 10.0 ** (pixel / self.x_scale))

    def value_a_pixel(self, pixel: float) -> float:
        """By how much the value rises from one pixel to the next, near that one."""
        return self.x_value(pixel) * math.log(10) / self.x_scale


def round_step(size: float) -> float:
    """The largest of 1, 2, 5, 10, 20 ... (and their tenths) that is not above ``size`` > 0."""
    # Slightly above, so that 0.002 stays 0.002 although its logarithm is not exact.
    decade = 10.0 ** math.floor(math.log10(size) + 1e-9)
    mantissa = size / decade * (1 + 1e-9)
    factor = 5.0 if mantissa >= 5 else 2.0 if mantissa >= 2 else 1.0
    return factor * decade
