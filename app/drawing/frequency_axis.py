"""The frequencies written below a plot, and the small ticks between them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

_STEPS = (1.0, 2.0, 5.0)
_MINOR_PARTS = {1.0: 5, 2.0: 4, 5.0: 5}
_SLACK = 1e-9
# Below this ratio of its ends a logarithmic axis is nearly straight.
_STRAIGHT_BELOW = 4.0
_DIGITS = ((1, 2, 3, 4, 5, 6, 7, 8, 9), (1, 2, 3, 5, 7), (1, 2, 5), (1, 3), (1,))


@dataclass(frozen=True, slots=True)
class FrequencyTick:
    """A frequency and its text in MHz."""

    frequency_hz: float
    text: str


def log_frequency_ticks(
    low_hz: float, high_hz: float, length: float, width_of: Callable[[str], float], gap: float
) -> tuple[list[FrequencyTick], list[float]]:
    """The same for a logarithmic axis: as many round numbers as have room."""
    scale = length / math.log10(high_hz / low_hz)

    def fits(ticks: list[FrequencyTick]) -> bool:
        ends = [
            (math.log10(tick.frequency_hz / low_hz) * scale, width_of(tick.text) / 2)
            for tick in ticks
        ]
        return all(
            x - half - gap >= before + other for (before, other), (x, half) in pairwise(ends)
        )

    if high_hz / low_hz < _STRAIGHT_BELOW:
        # Too little for round numbers of different size.
        return _even_ticks(low_hz, high_hz, fits)
    decades = range(math.floor(math.log10(low_hz)), math.ceil(math.log10(high_hz)) + 1)
    every = [digit * 10.0**decade for decade in decades for digit in range(1, 10)]
    small = [hz for hz in every if low_hz <= hz <= high_hz]
    for digits in _DIGITS:
        ticks = [
            FrequencyTick(hz, f"{hz / 1e6:.12g}")
            for hz in small
            if round(hz / 10.0 ** math.floor(math.log10(hz) + _SLACK)) in digits
        ]
        if fits(ticks):
            return ticks, small
    return [], small


def frequency_ticks(
    low_hz: float, high_hz: float, length: float, width_of: Callable[[str], float], gap: float
) -> tuple[list[FrequencyTick], list[float]]:
    """Numbers in MHz below an axis, and the frequencies (Hz) of the small ticks between them.

    Parameters
    ----------
    low_hz, high_hz : float
        Ends of the axis.
    length : float
        Its length, in mm or pixels.
    width_of : callable
        Width of a text in the same.
    gap : float
        Smallest gap between two numbers, in the same.
    """

    def fits(ticks: list[FrequencyTick]) -> bool:
        widest = max((width_of(tick.text) for tick in ticks), default=0.0)
        return len(ticks) * (widest + gap) <= length + widest

    return _even_ticks(low_hz, high_hz, fits)


def _even_ticks(
    low_hz: float, high_hz: float, fits: Callable[[list[FrequencyTick]], bool]
) -> tuple[list[FrequencyTick], list[float]]:
    """Multiples of the finest round step whose numbers have room."""
    low, high = low_hz / 1e6, high_hz / 1e6
    exponent = math.floor(math.log10((high - low) / 20))
    for power in range(exponent, exponent + 4):
        for mantissa in _STEPS:
            step = mantissa * 10.0**power
            # A hundred numbers never fit; counting them first avoids formatting them.
            if (high - low) / step > _MOST:
                continue
            ticks = [
                FrequencyTick(number * step * 1e6, f"{number * step:.{max(0, -power)}f}")
                for number in _multiples(low, high, step)
            ]
            if fits(ticks):
                small = step / _MINOR_PARTS[mantissa]
                return ticks, [number * small * 1e6 for number in _multiples(low, high, small)]
    return [], []


_MOST = 60


def _multiples(low: float, high: float, step: float) -> range:
    return range(math.ceil(low / step - _SLACK), math.floor(high / step + _SLACK) + 1)
