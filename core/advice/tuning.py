"""How much to lengthen or shorten an antenna to move its best match to a target.

Frequency is proportional to 1 / length only if the whole antenna is scaled: all conductors, their
thickness and the distances between them. A wire of uniform thickness cut at its ends comes close;
cutting one part of an antenna with several parts moved it by 31 % of that in a solver's model.
Two sweeps of the same antenna, before and after a cut, give the effect of a millimetre and take
precedence over any rule.

A cut cannot be undone. So the advice is to cut half of what is needed, to sweep again, and not to
cut beyond a given length: the longest that the uncertainty allows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from fairlead.core.errors import FairleadError
from fairlead.core.uncertainty.interval import Interval

What = Literal["whole", "part"]
Direction = Literal["shorter", "longer", "leave"]

MM_PER_INCH = 25.4
PART_SHARE = 0.31
"""Effect of cutting one part, relative to 1 / length, in one model; other antennas differ."""


@dataclass(frozen=True, slots=True)
class BestMatch:
    """A best match, and the half width of its interval; None if unknown."""

    frequency_hz: float
    half_hz: float | None = None


@dataclass(frozen=True, slots=True)
class Slope:
    """The effect of one millimetre.

    Attributes
    ----------
    hz_per_mm : float
        Positive: the rise of the best match for one millimetre less.
    interval : Interval or None
        None if the best matches have none.
    """

    hz_per_mm: float
    interval: Interval | None


@dataclass(frozen=True, slots=True)
class Trim:
    """What to do to the length.

    Attributes
    ----------
    direction : {"shorter", "longer", "leave"}
        "leave" if the best match is on target within its uncertainty.
    offset_hz : float
        Best match minus target.
    change_mm : float or None
        Negative: shorter. None if no rule gives an amount.
    change : Interval or None
        Its interval.
    first_mm : float or None
        Amount of the first step: half of the change, and no more than is certain.
    length_mm, stop_mm : float or None
        The present length, and the limit before another sweep; None without a given length.
    """

    direction: Direction
    offset_hz: float
    change_mm: float | None
    change: Interval | None
    first_mm: float | None
    length_mm: float | None = None
    stop_mm: float | None = None

    @property
    def change_percent(self) -> float | None:
        """The change in per cent of the given length."""
        if self.change_mm is None or self.length_mm is None:
            return None
        return 100 * self.change_mm / self.length_mm


def trim(best: BestMatch, target_hz: float, length_mm: float, what: What) -> Trim:
    """The trim to first order, without a measured effect of a millimetre.

    Parameters
    ----------
    best : BestMatch
    target_hz : float
    length_mm : float
        Of the whole antenna, or of the part that is cut.
    what : {"whole", "part"}
        For a part the result is only a careful first step: half of what 1 / length gives.

    Raises
    ------
    FairleadError
        For an impossible length or target.
    """
    _check(target_hz, "target frequency")
    _check(length_mm, "length")

    def change_at(frequency_hz: float) -> float:
        return length_mm * (frequency_hz / target_hz - 1)

    change_mm = change_at(best.frequency_hz)
    change = None
    if best.half_hz is not None:
        ends = (best.frequency_hz - best.half_hz, best.frequency_hz + best.half_hz)
        change = Interval(*(change_at(hz) for hz in ends))
    found = _advice(best.frequency_hz - target_hz, change_mm, change, length_mm)
    if what == "whole":
        return found
    return Trim(found.direction, found.offset_hz, None, None, found.first_mm, length_mm)


def slope_of(before: BestMatch, after: BestMatch, cut_mm: float, cut_half_mm: float = 0.5) -> Slope:
    """The effect of a millimetre, from two sweeps of one antenna before and after a cut.

    Parameters
    ----------
    before, after : BestMatch
    cut_mm : float
        How much the antenna was shortened; negative for lengthened.
    cut_half_mm : float
        Uncertainty of the cut; half a millimetre with a ruler (common practice, no source).

    Raises
    ------
    FairleadError
        If nothing was cut, or the best match did not move.
    """
    moved_hz = after.frequency_hz - before.frequency_hz
    if cut_mm == 0 or moved_hz == 0:
        raise FairleadError(
            "the two sweeps do not say what a millimetre does",
            "take a sweep before a cut and one after it, and say how much was cut",
        )
    hz_per_mm = moved_hz / cut_mm
    if before.half_hz is None or after.half_hz is None:
        return Slope(hz_per_mm, None)
    share = math.hypot(math.hypot(before.half_hz, after.half_hz) / moved_hz, cut_half_mm / cut_mm)
    half = abs(hz_per_mm) * share
    return Slope(hz_per_mm, Interval(hz_per_mm - half, hz_per_mm + half))


def trim_by_slope(
    best: BestMatch, target_hz: float, slope: Slope, length_mm: float | None = None
) -> Trim:
    """The trim, with a measured effect of a millimetre.

    Parameters
    ----------
    best : BestMatch
        Now, after the cut.
    target_hz : float
    slope : Slope
    length_mm : float or None
        Now; needed only for the limit.

    Raises
    ------
    FairleadError
        For an impossible target.
    """
    _check(target_hz, "target frequency")
    offset_hz = best.frequency_hz - target_hz
    change_mm = offset_hz / slope.hz_per_mm
    change = None
    if slope.interval is not None and best.half_hz is not None:
        if slope.interval.low <= 0 <= slope.interval.high:
            # The cut moved the best match by less than its uncertainty, so nothing follows.
            return Trim(_direction(offset_hz, None), offset_hz, None, None, None, length_mm)
        ends = [
            (offset_hz + side * best.half_hz) / rate
            for side in (-1, 1)
            for rate in (slope.interval.low, slope.interval.high)
        ]
        change = Interval(min(ends), max(ends))
    return _advice(offset_hz, change_mm, change, length_mm)


def _advice(
    offset_hz: float, change_mm: float, change: Interval | None, length_mm: float | None
) -> Trim:
    direction = _direction(change_mm, change)
    if direction == "leave":
        return Trim(direction, offset_hz, change_mm, change, None, length_mm)
    # The part of the change that is certain.
    certain = abs(change_mm)
    if change is not None:
        certain = min(abs(change.low), abs(change.high))
    first = min(abs(change_mm) / 2, certain)
    sign = -1 if direction == "shorter" else 1
    stop = None if length_mm is None else length_mm + sign * certain
    return Trim(direction, offset_hz, change_mm, change, first, length_mm, stop)


def _direction(change: float, interval: Interval | None) -> Direction:
    if change == 0 or (interval is not None and interval.low <= 0 <= interval.high):
        return "leave"
    return "shorter" if change < 0 else "longer"


def _check(value: float, what: str) -> None:
    if not 0 < value < math.inf:
        raise FairleadError(f"a {what} of {value:g} does not exist", "give a positive number")
