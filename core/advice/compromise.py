"""One length for dry and wet: the tuning with the lowest worst SWR over a band and several sweeps.

A tuning shift p moves every curve along the frequency axis: G(f) becomes G(f / (1 + p)), as in the
step `FrequencyScale`. Like that step it assumes that the whole antenna is scaled, at the feed
point, and that its surroundings matter little. Each shift has a worst SWR, the largest of any sweep
at any frequency of the band, and the search finds the shift for which that is least (minimax). If
each sweep has one dip, the worst SWR is at an edge of the band, and at the best shift two of these
are equal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.interpolation import interpolate
from fairlead.core.reflection import swr, swr_of_one
from fairlead.core.uncertainty.interval import Interval

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.bands import Band

MOST_SHIFT = 0.25
"""No single trim can move an antenna further and leave it essentially the same."""
_STEPS = 2001
_SHARP = 1e-10
# Half width of a 95 % interval in standard deviations.
_SIGMAS = 1.96
_NO_SWEEPS = "none of the chosen sweeps can be moved"
_NOT_COVERED = "at no shift do the sweeps together cover the band"
_AT_END = "the worst SWR is still falling where the sweeps end"


@dataclass(frozen=True, slots=True)
class Moved:
    """A sweep that can be shifted.

    Attributes
    ----------
    analysis : Analysis
        At the feed point, before any what-if.
    best_match_hz : float or None
        None if it lies outside the sweep or does not exist.
    bound : FloatArray or None
        Largest error of |G| by the analyzer, along ``analysis.frequency_hz``.
    """

    analysis: Analysis
    best_match_hz: float | None = None
    bound: FloatArray | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Compromise:
    """The best shift, or the range to sweep to find it.

    Attributes
    ----------
    shift_percent : float or None
        Positive: upwards.
    worst_swr : float or None
        At that shift.
    worst : Interval or None
        Its interval from noise, and from the analyzer's errors if they are stated. It does not
        include the effect of surroundings that are not scaled.
    is_bound : bool
        Whether the interval includes the analyzer's errors, for all sweeps.
    as_good : Interval or None
        Shifts in per cent whose worst SWR is within that interval too.
    now_swr : float or None
        Without any shift; None if the sweeps do not cover the band.
    percent, ratio : FloatArray, shape (n,)
        Shifts and their worst SWR; NaN where a sweep has a gap. Empty if no shift can be found.
    low_hz, high_hz : float
        Range that the sweeps must cover to be sure of the best shift.
    why_not : str
        Why there is no best shift.
    """

    shift_percent: float | None
    worst_swr: float | None
    worst: Interval | None
    is_bound: bool
    as_good: Interval | None
    now_swr: float | None
    percent: FloatArray
    ratio: FloatArray
    low_hz: float
    high_hz: float
    why_not: str = ""


def compromise(sweeps: Sequence[Moved], band: Band) -> Compromise:
    """Find the shift with the lowest worst SWR over a band and all sweeps.

    Parameters
    ----------
    sweeps : sequence of Moved
        All at one reference impedance.
    band : Band
    """
    low_hz, high_hz = _wanted_span(sweeps, band)
    curves = [_Curve(one, band) for one in sweeps]
    least = max([-MOST_SHIFT, *(one.least for one in curves)])
    most = min([MOST_SHIFT, *(one.most for one in curves)])
    empty = np.empty(0)

    def none(reason: str, percent: FloatArray, ratio: FloatArray) -> Compromise:
        now = _now(curves) if least <= 0 <= most else None
        return Compromise(
            None, None, None, False, None, now, percent, ratio, low_hz, high_hz, reason
        )

    if not curves:
        return none(_NO_SWEEPS, empty, empty)
    if least >= most:
        return none(_NOT_COVERED, empty, empty)
    shift = np.linspace(least, most, _STEPS)
    power = _worst(curves, shift)
    percent, ratio = 100 * shift, swr(np.sqrt(np.minimum(power, 1.0)))
    if np.isnan(power).all():
        return none(_NOT_COVERED, percent, ratio)
    i = int(np.nanargmin(power))
    if i in (0, _STEPS - 1) or np.isnan(power[i - 1 : i + 2]).any():
        return none(_AT_END, percent, ratio)
    found = _refined(curves, float(shift[i - 1]), float(shift[i + 1]))
    worst_swr = swr_of_one(min(1.0, math.sqrt(float(_worst(curves, np.array([found]))[0]))))
    known, is_bound = _known(curves, found)
    as_good = None if known is None else _as_good(percent, ratio, known.high, i)
    return Compromise(
        100 * found,
        worst_swr,
        known,
        is_bound,
        as_good,
        _now(curves) if least <= 0 <= most else None,
        percent,
        ratio,
        low_hz,
        high_hz,
    )


class _Curve:
    """|G|^2 of a sweep, with reduced noise, and its maximum over any window."""

    def __init__(self, moved: Moved, band: Band) -> None:
        analysis = moved.analysis
        track = analysis.track
        self._track = track
        self.moved = moved
        self.band = band
        first_hz, last_hz = float(track.frequency_hz[0]), float(track.frequency_hz[-1])
        self.least = band.high_hz / last_hz - 1
        self.most = band.low_hz / first_hz - 1
        hz, power = track.turn_hz, track.turn_power
        if track.calm is not None:
            hz = track.frequency_hz
            power = np.abs(track.calm) ** 2
        self._hz = hz
        # The largest of 1, 2, 4, ... points from each index on; any window is covered by two.
        self._largest = [power]
        while 2 ** len(self._largest) <= power.size:
            before, width = self._largest[-1], 2 ** (len(self._largest) - 1)
            self._largest.append(np.maximum(before[:-width], before[width:]))

    def power_at(self, at_hz: FloatArray) -> FloatArray:
        """|G|^2 at frequencies of the sweep, shape (m,)."""
        track = self._track
        at_hz = np.clip(at_hz, track.frequency_hz[0], track.frequency_hz[-1])
        if track.calm is None:
            return track.power_at(at_hz)
        power: FloatArray = np.abs(interpolate(track.frequency_hz, track.calm, at_hz)) ** 2
        return power

    def worst(self, shift: FloatArray) -> FloatArray:
        """The largest |G|^2 in the band at each shift, shape (m,); NaN over a gap."""
        low_hz, high_hz = self.band.low_hz / (1 + shift), self.band.high_hz / (1 + shift)
        worst = np.maximum(self.power_at(low_hz), self.power_at(high_hz))
        start = self._hz.searchsorted(low_hz)
        stop = self._hz.searchsorted(high_hz, side="right")
        count = stop - start
        for level, largest in enumerate(self._largest):
            here = np.flatnonzero((count >= 2**level) & (count < 2 ** (level + 1)))
            last = stop[here] - 2**level
            inside = np.maximum(largest[start[here]], largest[last])
            worst[here] = np.maximum(worst[here], inside)
        for gap_low_hz, gap_high_hz in self.moved.analysis.gaps:
            worst[(low_hz < gap_high_hz) & (high_hz > gap_low_hz)] = np.nan
        return worst

    def half_width_at(self, at_hz: float) -> float | None:
        """Half width of the interval of |G| at a frequency; None if the noise is unknown."""
        analysis, bound = self.moved.analysis, self.moved.bound
        if analysis.noise.sigma is None:
            return None
        error = 0.0 if bound is None else float(np.interp(at_hz, analysis.frequency_hz, bound))
        return _SIGMAS * analysis.sigma + error


def _worst(curves: Sequence[_Curve], shift: FloatArray) -> FloatArray:
    # NaN in one sweep makes the result NaN: `np.maximum` propagates it.
    result: FloatArray = np.maximum.reduce([one.worst(shift) for one in curves])
    return result


def _now(curves: Sequence[_Curve]) -> float | None:
    if not curves:
        return None
    power = float(_worst(curves, np.zeros(1))[0])
    return None if math.isnan(power) else swr_of_one(min(1.0, math.sqrt(power)))


def _refined(curves: Sequence[_Curve], low: float, high: float) -> float:
    """The shift with the lowest worst SWR between two shifts, by golden-section search.

    Between grid points each band edge changes at most once from falling to rising.
    """
    ratio = (math.sqrt(5) - 1) / 2
    while high - low > _SHARP:
        inner = high - ratio * (high - low), low + ratio * (high - low)
        first, second = _worst(curves, np.array(inner)).tolist()
        low, high = (low, inner[1]) if first <= second else (inner[0], high)
    return (low + high) / 2


def _known(curves: Sequence[_Curve], shift: float) -> tuple[Interval | None, bool]:
    """The interval of the largest of all |G| at both edges, as an SWR."""
    lows, highs = [], []
    for one in curves:
        for edge_hz in (one.band.low_hz, one.band.high_hz):
            at_hz = edge_hz / (1 + shift)
            half = one.half_width_at(at_hz)
            if half is None:
                return None, False
            rho = math.sqrt(float(one.power_at(np.array([at_hz]))[0]))
            lows.append(rho - half)
            highs.append(rho + half)
    low, high = (swr_of_one(min(1.0, max([0.0, *ends]))) for ends in (lows, highs))
    return Interval(low, high), all(one.moved.bound is not None for one in curves)


def _as_good(percent: FloatArray, ratio: FloatArray, most: float, at: int) -> Interval:
    """The shifts around the best one with a worst SWR of at most ``most``."""
    with np.errstate(invalid="ignore"):
        beyond = np.flatnonzero(~(ratio <= most))
    before, after = beyond[beyond < at], beyond[beyond > at]
    start = 0 if before.size == 0 else min(at, int(before[-1]) + 1)
    stop = percent.size - 1 if after.size == 0 else max(at, int(after[0]) - 1)
    return Interval(float(percent[start]), float(percent[stop]))


def _wanted_span(sweeps: Sequence[Moved], band: Band) -> tuple[float, float]:
    """The range that every sweep should cover.

    Once all best matches have left the band on one side, moving them further makes it worse: the
    best shift lies between "the lowest at the high edge" and "the highest at the low edge".
    """
    best_hz = [one.best_match_hz for one in sweeps if one.best_match_hz is not None]
    for one in sweeps:
        if one.best_match_hz is None:
            ends_hz = one.analysis.frequency_hz
            best_hz += [float(ends_hz[0]) - band.width_hz, float(ends_hz[-1]) + band.width_hz]
    lowest_hz = max(min(best_hz, default=band.low_hz), band.low_hz / 2)
    highest_hz = max(best_hz, default=band.high_hz)
    return (
        min(band.low_hz, band.low_hz / band.high_hz * lowest_hz),
        max(band.high_hz, band.high_hz / band.low_hz * highest_hz),
    )
