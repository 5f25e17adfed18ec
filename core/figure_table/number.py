"""How the number of a figure is written: its unit, its digits and its interval."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.units import (
    format_number,
    format_signed,
    format_swr,
    mhz_decimals,
    swr_decimals,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.comparison.rows import Row
    from fairlead.core.uncertainty.interval import Interval

# 0.01 after the rounding of binary fractions still counts as 0.01.
_NEARLY = 1 + 1e-9
# An interval is given by its two ends if one side is this much longer than the other.
_LOPSIDED = 1.5


@dataclass(frozen=True, slots=True)
class Number:
    """How the number of a figure is written.

    Attributes
    ----------
    write : callable
        Text of a value in the unit of the figure, with a number of decimals.
    decimals : callable
        The most decimals that the points of the sweep support, for a row and a value.
    scale : float
        The value divided by this is in the unit of the figure: 1e6 for MHz.
    """

    write: Callable[[float, int], str]
    decimals: Callable[[Row, float], int]
    scale: float = 1.0

    def text(self, row: Row, value: float) -> str:
        """The value without an interval."""
        value /= self.scale
        return self.write(value, self.decimals(row, value))

    def text_within(self, row: Row, value: float, interval: Interval) -> str:
        """The value to its last known digit, with its uncertainty.

        Both end at the first digit of the half width, which is one to ten of the last digit: with
        one digit less the rounding would exceed the interval. Where the points support no more
        digits and the interval is narrower than the last digit, the sign is left out.
        """
        value, low, high = (one / self.scale for one in (value, interval.low, interval.high))
        most = self.decimals(row, low if math.isinf(value) else value)
        return written_within(self.write, most, value, low, high)

    def text_as_known(self, row: Row, value: float, interval: Interval | None) -> str:
        """The value to the last digit that is known, where there is no room for a sign.

        That digit is the first of the half width; without an interval, what the points support.
        """
        if interval is None:
            return self.text(row, value)
        half = (interval.high - interval.low) / 2 / self.scale
        most = self.decimals(row, value / self.scale)
        if half <= 0 or math.isinf(half):
            return self.write(value / self.scale, most)
        decimals = min(most, -math.floor(math.log10(half * _NEARLY)))
        return _rounded(self.write, value / self.scale, decimals)


def written_within(
    write: Callable[[float, int], str], most: int, value: float, low: float, high: float
) -> str:
    """A value between two ends with at most so many decimals; see `Number.text_within`."""
    if math.isinf(high):
        return f"> {_rounded(write, low, most)}"
    half = (high - low) / 2
    if half <= 0 or math.isinf(half) or math.isinf(value):
        return write(value, most)
    decimals = min(most, -math.floor(math.log10(half * _NEARLY)))
    ends = " to ".join(dict.fromkeys(_rounded(write, one, decimals) for one in (low, high)))
    if not low <= value <= high:
        return ends
    text = _rounded(write, value, decimals)
    unit = 10.0**-decimals
    if decimals == most and half <= unit / 2:
        return text
    up, down = high - value, value - low
    if max(up, down) > max(_LOPSIDED * min(up, down), unit):
        return f"{text} ({ends})"
    # Rounded up: never less than the uncertainty.
    shown = math.ceil(half / unit / _NEARLY) * unit
    return f"{text} ± {shown:.{max(0, decimals)}f}"


def _rounded(write: Callable[[float, int], str], value: float, decimals: int) -> str:
    return write(round(value, decimals), max(0, decimals))


def _step_mhz(row: Row, _value: float) -> int:
    return mhz_decimals(row.figures.step_hz)


def _step_khz(row: Row, _value: float) -> int:
    step_hz = row.figures.step_hz
    return max(0, mhz_decimals(step_hz) - 3) if step_hz > 0 else 0


def _always(decimals: int) -> Callable[[Row, float], int]:
    return lambda _row, _value: decimals


MHZ = Number(format_number, _step_mhz, 1e6)
KHZ = Number(format_number, _always(0), 1e3)
KHZ_CHANGE = Number(format_signed, _step_khz, 1e3)
SWR = Number(format_swr, lambda _row, value: swr_decimals(value))
TENTHS = Number(format_number, _always(1))
HUNDREDTHS = Number(format_number, _always(2))
CHANGE = Number(format_signed, _always(2))
