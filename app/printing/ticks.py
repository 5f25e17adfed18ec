"""Scales and tick positions: which numbers stand on an axis, and where."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.app.printing.shapes import Box
    from fairlead.core.arrays import FloatArray

_STEPS = (1.0, 2.0, 5.0)
_MINOR_PARTS = {1.0: 5, 2.0: 4, 5.0: 5}
# In the order in which they are granted a place.
_SWR_TICKS = (1.0, 2.0, math.inf, 3.0, 1.5, 5.0, 10.0, 1.2, 20.0, 4.0, 1.1, 1.3, 2.5, 7.0)
_SWR_TOPS = (1.5, 2.0, 3.0, 5.0, 10.0, 20.0, math.inf)


@dataclass(frozen=True, slots=True)
class Tick:
    """A number on an axis: its value, its place in mm, and its text."""

    value: float
    at_mm: float
    text: str


@dataclass(frozen=True, slots=True)
class FrequencyScale:
    """Frequency in Hz to x in mm, linear."""

    low_hz: float
    high_hz: float
    left: float
    right: float

    def x(self, frequency_hz: float) -> float:
        """Place of one frequency."""
        share = (frequency_hz - self.low_hz) / (self.high_hz - self.low_hz)
        return self.left + share * (self.right - self.left)

    def xs(self, frequency_hz: FloatArray) -> FloatArray:
        """Places of many."""
        result: FloatArray = self.left + (frequency_hz - self.low_hz) * (
            (self.right - self.left) / (self.high_hz - self.low_hz)
        )
        return result

    def frequency_hz(self, x: float) -> float:
        """The frequency at a place."""
        share = (x - self.left) / (self.right - self.left)
        return self.low_hz + share * (self.high_hz - self.low_hz)

    def holds(self, frequency_hz: float) -> bool:
        """Whether a frequency is on the axis."""
        return self.low_hz <= frequency_hz <= self.high_hz


@dataclass(frozen=True, slots=True)
class SwrScale:
    """SWR to y in mm, linear in |G| = (s - 1) / (s + 1).

    The values that matter, 1 to 3, take half of the whole range up to infinity, and an infinite
    SWR still has a place.
    """

    top_swr: float
    top: float
    bottom: float

    @property
    def top_magnitude(self) -> float:
        """|G| at the top of the axis."""
        return 1 - 2 / (self.top_swr + 1)

    def y(self, swr: float) -> float:
        """Height of an SWR value."""
        return self.y_of_magnitude(1 - 2 / (swr + 1))

    def y_of_magnitude(self, magnitude: float) -> float:
        """Height of |G|."""
        return self.bottom - (self.bottom - self.top) * magnitude / self.top_magnitude

    def ys(self, magnitude: FloatArray) -> FloatArray:
        """Heights of many |G|."""
        result: FloatArray = self.bottom - magnitude * (
            (self.bottom - self.top) / self.top_magnitude
        )
        return result


def swr_scale(highest_swr: float, frame: Box) -> SwrScale:
    """The narrowest scale that shows an SWR value (infinity included)."""
    top_swr = next(top for top in _SWR_TOPS if top >= highest_swr)
    return SwrScale(top_swr, frame.top, frame.bottom)


def swr_ticks(scale: SwrScale, least_gap_mm: float) -> list[Tick]:
    """The SWR values on the axis, from 1 upwards, none nearer to another than a gap."""
    ticks: list[Tick] = []
    for value in (1.0, scale.top_swr, *_SWR_TICKS):
        if value > scale.top_swr:
            continue
        at_mm = scale.y(value)
        if all(abs(at_mm - tick.at_mm) >= least_gap_mm for tick in ticks):
            ticks.append(Tick(value, at_mm, "∞" if math.isinf(value) else f"{value:g}"))
    return sorted(ticks, key=lambda tick: tick.value)


def frequency_ticks(
    scale: FrequencyScale, width_of: Callable[[str], float], gap_mm: float = 7.0
) -> tuple[list[Tick], list[float]]:
    """Numbers in MHz under the axis, and the places of the small ticks between them.

    Parameters
    ----------
    scale : FrequencyScale
    width_of : callable
        Width of a text in mm.
    gap_mm : float
        Least white between two numbers.
    """
    low, high = scale.low_hz / 1e6, scale.high_hz / 1e6
    exponent = math.floor(math.log10((high - low) / 20))
    for power in range(exponent, exponent + 4):
        for mantissa in _STEPS:
            step = mantissa * 10.0**power
            ticks = _ticks_at(scale, step, max(0, -power))
            widest = max((width_of(tick.text) for tick in ticks), default=0.0)
            if len(ticks) * (widest + gap_mm) <= scale.right - scale.left + widest:
                return ticks, _minor(scale, step / _MINOR_PARTS[mantissa])
    return [], []


def _ticks_at(scale: FrequencyScale, step_mhz: float, decimals: int) -> list[Tick]:
    slack = 1e-9
    first = math.ceil(scale.low_hz / 1e6 / step_mhz - slack)
    last = math.floor(scale.high_hz / 1e6 / step_mhz + slack)
    return [
        Tick(i * step_mhz, scale.x(i * step_mhz * 1e6), f"{i * step_mhz:.{decimals}f}")
        for i in range(first, last + 1)
    ]


def _minor(scale: FrequencyScale, step_mhz: float) -> list[float]:
    first = math.ceil(scale.low_hz / 1e6 / step_mhz - 1e-9)
    last = math.floor(scale.high_hz / 1e6 / step_mhz + 1e-9)
    return [
        float(x) for x in scale.xs(np.arange(first, last + 1, dtype=np.float64) * (step_mhz * 1e6))
    ]
