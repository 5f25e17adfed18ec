"""Segments of usable bandwidth: where the SWR of a sweep stays below a limit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.interpolation.roots import (
    RELATIVE_TOLERANCE,
    grouped_changes,
    root_between,
)
from fairlead.core.reflection import magnitude_from_swr
from fairlead.core.uncertainty.noise import NOISE_SIGMAS

if TYPE_CHECKING:
    from fairlead.core.analysis.interpolation.track import Track
    from fairlead.core.arrays import BoolArray, FloatArray, IntArray

# Noise alone puts so many points in a row on one side of the limit once in a million times.
_LONG_RUN = 20


@dataclass(frozen=True, slots=True)
class Segment:
    """A range of frequencies in which the SWR stays below a limit.

    Attributes
    ----------
    low_hz, high_hz : float
        Ends, interpolated between points.
    low_is_open, high_is_open : bool
        True where the end is unknown: the sweep stops before the SWR reaches the limit, or the SWR
        reaches it between two points that are too far apart. The segment extends at least this far.
    """

    low_hz: float
    high_hz: float
    low_is_open: bool
    high_is_open: bool

    @property
    def width_hz(self) -> float | None:
        """Width in Hz, or None if an end is open."""
        return None if self.low_is_open or self.high_is_open else self.high_hz - self.low_hz


def find_segments(track: Track, sigma: float, limit_swr: float) -> tuple[Segment, ...]:
    """Every segment with an SWR below the limit, over the whole sweep, in rising order.

    Noise neither splits a segment nor cuts off its ends, but a dip that goes below the limit by
    less than the noise still counts: its SWR was measured.

    Parameters
    ----------
    track : Track
    sigma : float
        Noise of each component of the reflection.
    limit_swr : float
    """
    limit = float(magnitude_from_swr(limit_swr))
    turn_hz, turn_power = track.turn_hz, track.turn_power
    is_below = turn_power < limit**2
    is_certain = np.abs(np.sqrt(turn_power) - limit) > NOISE_SIGMAS * sigma
    if track.smooth is not None and not is_certain.all():
        is_certain |= _in_long_runs(track, limit**2)
    change = _real_edges(is_below, grouped_changes(is_below, is_certain))
    edges = [_crossing(track, turn, limit**2) for turn in change]
    if is_below[0]:
        edges.insert(0, (float(turn_hz[0]), True))
    if is_below[-1]:
        edges.append((float(turn_hz[-1]), True))
    found = [
        Segment(low_hz, high_hz, low_is_open=low_is_open, high_is_open=high_is_open)
        for (low_hz, low_is_open), (high_hz, high_is_open) in zip(
            edges[::2], edges[1::2], strict=True
        )
    ]
    cut = _may_exceed(track, limit)
    return tuple(part for segment in found for part in _parts(segment, track.frequency_hz, cut))


def _in_long_runs(track: Track, limit_power: float) -> BoolArray:
    """Turns in the middle of so many points on one side of the limit that noise cannot be why.

    Each may be within the noise of the limit, and all together are not: with the curve on the other
    side, a point is on this one in less than half of the cases.
    """
    is_below = track.power < limit_power
    bounds = np.flatnonzero(is_below[1:] != is_below[:-1]) + 1
    starts, stops = np.append(0, bounds), np.append(bounds, is_below.size)
    run = np.searchsorted(bounds, track.frequency_hz.searchsorted(track.turn_hz), side="right")
    is_long = (stops - starts)[run] >= _LONG_RUN
    found: BoolArray = is_long & (is_below[starts[run]] == (track.turn_power < limit_power))
    return found


def _may_exceed(track: Track, limit: float) -> IntArray:
    """Intervals between points too far apart in which the curve may exceed the limit.

    As a curve may deviate from the chord between two points by as much as their distance. Without
    phase there is no such bound, so it may exceed it in all of them.
    """
    if track.smooth is None:
        everywhere: IntArray = np.flatnonzero(track.is_gap & track.is_unsupported)
        return everywhere
    gap = np.flatnonzero(track.is_straight)
    first, last = track.smooth[gap], track.smooth[gap + 1]
    found: IntArray = gap[np.abs(first + last) / 2 + np.abs(last - first) >= limit]
    return found


def _parts(segment: Segment, frequency_hz: FloatArray, cut: IntArray) -> list[Segment]:
    """The segment without the intervals ``cut`` that lie in it; each part ends in a point, open."""
    inside = cut[(frequency_hz[cut] >= segment.low_hz) & (frequency_hz[cut + 1] <= segment.high_hz)]
    parts, rest = [], segment
    for interval in inside.tolist():
        before_hz, after_hz = frequency_hz[interval : interval + 2].tolist()
        parts.append(replace(rest, high_hz=before_hz, high_is_open=True))
        rest = replace(rest, low_hz=after_hz, low_is_open=True)
    return [*parts, rest]


def _crossing(track: Track, turn: int, limit_power: float) -> tuple[float, bool]:
    """Where the track crosses the limit between a turn and the next, and whether that is open.

    Between points that are too far apart the crossing is unknown; the last point below the limit
    is returned as an open end.
    """
    left_hz, right_hz = (float(hz) for hz in track.turn_hz[turn : turn + 2])
    first = int(track.frequency_hz.searchsorted(left_hz, side="right"))
    stop = int(track.frequency_hz.searchsorted(right_hz, side="left"))
    starts_below = bool(track.turn_power[turn] < limit_power)
    is_over = (track.power[first:stop] < limit_power) != starts_below
    over = first + int(is_over.argmax()) if is_over.any() else stop
    low_hz = float(track.frequency_hz[over - 1]) if over > first else left_hz
    high_hz = float(track.frequency_hz[over]) if over < stop else right_hz
    if track.is_straight[over - 1]:
        return (low_hz if starts_below else high_hz), True
    found_hz = root_between(
        lambda at_hz: track.power_at_one(at_hz) - limit_power,
        low_hz,
        high_hz,
        RELATIVE_TOLERANCE * right_hz,
    )
    return found_hz, False


def _real_edges(is_below: BoolArray, groups: list[IntArray]) -> list[int]:
    """From each group of limit crossings, those that bound a segment."""
    kept: list[int] = []
    for group in groups:
        if group.size % 2 == 1:
            kept.append(int(group[group.size // 2]))
        elif not is_below[group[0]]:
            kept += [int(group[0]), int(group[-1])]
    return kept
