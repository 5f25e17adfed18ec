"""Scales on paper: from frequencies and values to millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.drawing import frequency_axis

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.arrays import FloatArray
    from fairlead.core.views.scale import Scale, Span


_GAP_MM, _NARROW_GAP_MM, _NARROW_MM = 7.0, 3.0, 36.0


@dataclass(frozen=True, slots=True)
class Tick:
    """A number on an axis: its value (a frequency in MHz), its position in mm, and its text."""

    value: float
    at_mm: float
    text: str


@dataclass(frozen=True, slots=True)
class FrequencyScale:
    """Frequency in Hz to x in mm, linear or logarithmic."""

    low_hz: float
    high_hz: float
    left: float
    right: float
    is_log: bool = False

    def x(self, frequency_hz: float) -> float:
        """Position of one frequency."""
        if self.is_log:
            share = math.log(frequency_hz / self.low_hz) / math.log(self.high_hz / self.low_hz)
        else:
            share = (frequency_hz - self.low_hz) / (self.high_hz - self.low_hz)
        return self.left + share * (self.right - self.left)

    def xs(self, frequency_hz: FloatArray) -> FloatArray:
        """Positions of many."""
        result: FloatArray
        if self.is_log:
            decades = np.log(self.high_hz / self.low_hz)
            shares = np.log(frequency_hz / self.low_hz) / decades
            result = self.left + shares * (self.right - self.left)
            return result
        result = self.left + (frequency_hz - self.low_hz) * (
            (self.right - self.left) / (self.high_hz - self.low_hz)
        )
        return result

    def frequency_hz(self, x: float) -> float:
        """The frequency at a position."""
        share = (x - self.left) / (self.right - self.left)
        if self.is_log:
            return float(self.low_hz * (self.high_hz / self.low_hz) ** share)
        return self.low_hz + share * (self.high_hz - self.low_hz)

    def holds(self, frequency_hz: float) -> bool:
        """Whether a frequency is on the axis."""
        return self.low_hz <= frequency_hz <= self.high_hz


@dataclass(frozen=True, slots=True)
class ValueAxis:
    """A quantity's vertical scale on paper.

    Attributes
    ----------
    scale : Scale
    span : Span
        Places of the scale at its lower and upper end.
    top, bottom : float
        In mm.
    """

    scale: Scale
    span: Span
    top: float
    bottom: float

    def y(self, value: float) -> float:
        """Height of a value."""
        return self.y_of_position(float(self.scale.positions(np.array([value]))[0]))

    def y_of_position(self, place: float) -> float:
        """Height of a place of the scale."""
        share = (place - self.span[0]) / (self.span[1] - self.span[0])
        return self.bottom - (self.bottom - self.top) * share

    def ys(self, places: FloatArray) -> FloatArray:
        """Heights of many places; NaN stays."""
        result: FloatArray = self.bottom - (places - self.span[0]) * (
            (self.bottom - self.top) / (self.span[1] - self.span[0])
        )
        return result

    def ticks(self, least_gap_mm: float) -> list[Tick]:
        """The numbers beside the axis, from the bottom, at least a gap apart."""
        gap = least_gap_mm * (self.span[1] - self.span[0]) / (self.bottom - self.top)
        return [
            Tick(self.scale.value_at(tick.position), self.y_of_position(tick.position), tick.text)
            for tick in self.scale.ticks(self.span, gap)
        ]


def frequency_ticks(
    scale: FrequencyScale, width_of: Callable[[str], float]
) -> tuple[list[Tick], list[float]]:
    """Numbers in MHz below the axis, and the positions of the small ticks between them.

    Parameters
    ----------
    scale : FrequencyScale
    width_of : callable
        Width of a text in mm.
    """
    width_mm = scale.right - scale.left
    # A narrow axis needs at least a few numbers; a wide one is calmer with air between them.
    gap_mm = _GAP_MM if width_mm >= _NARROW_MM else _NARROW_GAP_MM
    find = frequency_axis.log_frequency_ticks if scale.is_log else frequency_axis.frequency_ticks
    ticks, small = find(
        scale.low_hz,
        scale.high_hz,
        width_mm,
        width_of,
        _GAP_MM / 2 if scale.is_log else gap_mm,
    )
    return [
        Tick(tick.frequency_hz / 1e6, scale.x(tick.frequency_hz), tick.text) for tick in ticks
    ], [scale.x(frequency_hz) for frequency_hz in small]
