"""The part of a band that a sweep covers, and where the curve is known between points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.bands import Band

NOTHING = "the sweep has nothing in the band"
LOST = "the traced curve is lost there: nothing is known across the gap, trace it by hand"
BESIDE_BOUND = "the SWR beside it is only known to be off the meter's scale"
# Frequencies that differ by less than this share are the same: files carry rounded decimals.
_SAME = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class BandPart:
    """The part of a band that a sweep covers.

    Attributes
    ----------
    hz, power : FloatArray, shape (k,), k >= 2
        Frequency and |reflection|^2 at the part's ends and at every extremum between them.
    turns : slice
        Where those extrema are in the track's.
    ends : mapping of float to float
        |reflection|^2 by frequency, at the part's ends only.
    """

    hz: FloatArray
    power: FloatArray
    turns: slice
    ends: Mapping[float, float]


def part_in(analysis: Analysis, band: Band) -> BandPart | None:
    """The part of the band that the sweep covers; None if they do not overlap."""
    track = analysis.track
    first_hz, last_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    if band.high_hz < first_hz or band.low_hz > last_hz:
        return None
    low_hz, high_hz = max(band.low_hz, first_hz), min(band.high_hz, last_hz)
    start = int(track.turn_hz.searchsorted(low_hz, side="right"))
    turns = slice(start, max(start, int(track.turn_hz.searchsorted(high_hz, side="left"))))
    ends = track.calm_power_at_one(low_hz), track.calm_power_at_one(high_hz)
    return BandPart(
        np.concatenate(([low_hz], track.turn_hz[turns], [high_hz])),
        np.concatenate((ends[:1], track.turn_power[turns], ends[1:])),
        turns,
        {low_hz: ends[0], high_hz: ends[1]},
    )


def within(analysis: Analysis, frequency_hz: float) -> float | None:
    """The frequency if the sweep reaches it, corrected for rounding; otherwise None."""
    low_hz, high_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    inside_hz = min(max(frequency_hz, low_hz), high_hz)
    return inside_hz if abs(inside_hz - frequency_hz) <= _SAME * frequency_hz else None


def is_supported(analysis: Analysis, inside_hz: float) -> bool:
    """Whether |reflection| is known there: at a point, or between points that are close enough."""
    if not analysis.gaps:
        return True
    grid_hz, is_gap = analysis.track.frequency_hz, analysis.track.is_gap
    after = int(grid_hz.searchsorted(inside_hz))
    if after < grid_hz.size and grid_hz[after] == inside_hz:
        return True
    return not is_gap[min(max(after - 1, 0), is_gap.size - 1)]


def has_support(analysis: Analysis, at_hz: float) -> bool:
    """Whether the curve is known on both sides of a frequency, as far as the sweep goes."""
    if not analysis.gaps and analysis.is_bound is None:
        return True
    grid_hz, is_straight = analysis.track.frequency_hz, analysis.track.is_straight
    first = max(int(grid_hz.searchsorted(at_hz)) - 1, 0)
    last = int(grid_hz.searchsorted(at_hz, side="right"))
    return not is_straight[first:last].any()


def too_far_apart(analysis: Analysis) -> str:
    """The reason, with the number of points that would be enough."""
    if not analysis.gaps:
        return BESIDE_BOUND
    if analysis.traced is not None:
        return LOST
    return f"points too far apart: narrow the span or take {analysis.points_wanted} points"
