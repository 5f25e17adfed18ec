"""The frequencies written below a plot, and the small ticks between them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

_STEPS = (1.0, 2.0, 5.0)
_MINOR_PARTS = {1.0: 5, 2.0: 4, 5.0: 5}
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class FrequencyTick:
    """A frequency and its text in MHz."""

    frequency_hz: float
    text: str


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
            widest = max((width_of(tick.text) for tick in ticks), default=0.0)
            if len(ticks) * (widest + gap) <= length + widest:
                small = step / _MINOR_PARTS[mantissa]
                return ticks, [number * small * 1e6 for number in _multiples(low, high, small)]
    return [], []


_MOST = 60


def _multiples(low: float, high: float, step: float) -> range:
    return range(math.ceil(low / step - _SLACK), math.floor(high / step + _SLACK) + 1)
