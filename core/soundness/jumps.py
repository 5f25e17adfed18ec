"""Jumps and combs where a sweep was stitched together from segments."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import counted, shown_mhz, shown_span

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="jump-between-segments",
    title="A jump between segments",
    reason=(
        "Analyzers with few points, or several ranges, stitch a sweep together from segments. "
        "Where one was taken later, with another range or a cable that had moved, the curve "
        "jumps: an antenna cannot do that. Dips, crossings and Q next to the jump are not the "
        "antenna's."
    ),
    threshold=(
        "the curves through six points on either side differ by 0.02 in G, by twelve times "
        "the noise and by four times the differences nearby; four or more at even "
        "distances are called a comb; the twelve points at each end are not checked"
    ),
    source="common practice, no source",
    advice="Sweep again in one piece, or with the joins outside the band; tighten the cable.",
    doubt="the curve jumps in the band, as no antenna does",
    doubted=("yes", "no"),
)
_SIDE = 6
_DEGREE = 2
_LEAST = 0.02
_SIGMAS = 12.0
_TIMES = 4.0
_BESIDE = (8, 14)
_LASTING = 0.6
_FROM_END = 2 * _SIDE
_FEWEST_POINTS = 2 * (_SIDE + _BESIDE[1])
_MOST_LOOKED_AT = 60
_TEETH = 4
_UNEVEN = 2


def _weights(at: float) -> FloatArray:
    """Weights of six equally spaced points (the last at 0) for a parabola's value beyond them."""
    places = np.arange(1 - _SIDE, 1, dtype=np.float64)
    powers = np.vander(places, _DEGREE + 1, increasing=True)
    solved: FloatArray = np.linalg.pinv(powers).T @ np.array([at**k for k in range(_DEGREE + 1)])
    return solved


_BEYOND = _weights(0.5)
_GAIN = math.sqrt(2 * float((_BEYOND**2).sum()))


def find(facts: Facts) -> list[Finding]:
    """Jumps, or a comb of them or of single points."""
    track = facts.analysis.track
    # |G| itself has an edge where the match is perfect.
    values = track.power if track.smooth is None else track.smooth
    if values.size < _FEWEST_POINTS:
        return []
    missed = _missed(values)
    least = max(_LEAST, _SIGMAS * _GAIN * facts.noise)
    events = _events(missed, least)
    hz = track.frequency_hz
    if _is_comb(events):
        low_hz, high_hz = float(hz[events[0]]), float(hz[events[-1]])
        every = min(after - before for before, after in pairwise(events))
        text = (
            f"{len(events)} jumps or single points off the curve at even distances, one every "
            f"{counted(every, 'point')} from {shown_span(low_hz, high_hz)}: a comb from segments"
        )
        return [ABOUT.found(text, low_hz, high_hz)]
    places = [left for left in events if _is_jump(hz, values, left, least)]
    if not places:
        return []
    low_hz, high_hz = float(hz[places[0]]), float(hz[places[-1] + 1])
    more = f", the first of {len(places)}" if len(places) > 1 else ""
    size = float(missed[places[0] - _SIDE + 1])
    text = (
        f"the curve jumps by {size:.2g} in the reflection between {shown_mhz(low_hz)} and the next "
        f"point{more}"
    )
    return [ABOUT.found(text, low_hz, high_hz)]


def _missed(values: ComplexArray | FloatArray) -> FloatArray:
    """Difference between the curves of both sides, at steps with six points on either side."""
    from_left = np.convolve(values, _BEYOND[::-1], mode="valid")[:-_SIDE]
    from_right = np.convolve(values, _BEYOND, mode="valid")[_SIDE:]
    missed: FloatArray = np.abs(from_left - from_right)
    return missed


def _events(missed: FloatArray, least: float) -> list[int]:
    """The point to the left of each step that stands out from its surroundings, one per spot."""
    candidates = np.flatnonzero(missed > least)
    if candidates.size > _MOST_LOOKED_AT * _SIDE:
        return []
    found: list[int] = []
    while candidates.size and len(found) < _MOST_LOOKED_AT:
        best = int(candidates[int(missed[candidates].argmax())])
        candidates = candidates[np.abs(candidates - best) > _BESIDE[0]]
        sides = [
            missed[max(0, best + first) : max(0, best + last)]
            for first, last in ((-_BESIDE[1], -_BESIDE[0] + 1), (_BESIDE[0], _BESIDE[1] + 1))
        ]
        beside = max((float(side.max()) for side in sides if side.size), default=math.inf)
        if missed[best] > _TIMES * beside:
            found.append(best + _SIDE - 1)
    # Near an end a single stray point can look like a jump beside it.
    last = missed.size + 2 * _SIDE - 1 - _FROM_END
    return sorted(left for left in found if _FROM_END <= left < last)


def _is_jump(
    frequency_hz: FloatArray, values: ComplexArray | FloatArray, left: int, least: float
) -> bool:
    """Whether it remains when either neighbour is left out, and is not due to the grid."""

    def gap(last: int, first: int) -> float:
        middle_hz = (float(frequency_hz[left]) + float(frequency_hz[left + 1])) / 2
        scale_hz = float(frequency_hz[left + 1] - frequency_hz[left])
        ends = []
        for part in (slice(last - _SIDE + 1, last + 1), slice(first, first + _SIDE)):
            place = (frequency_hz[part] - middle_hz) / scale_hz
            ends.append(complex(np.polyfit(place, values[part], _DEGREE)[-1]))
        return abs(ends[1] - ends[0])

    whole = gap(left, left + 1)
    return whole > least and min(gap(left - 1, left + 1), gap(left, left + 2)) > _LASTING * whole


def _is_comb(events: list[int]) -> bool:
    """Whether all distances are multiples of the smallest: near a match a tooth may not show."""
    if len(events) < _TEETH:
        return False
    apart = [after - before for before, after in pairwise(events)]
    least = min(apart)
    return all(abs(one - least * round(one / least)) <= _UNEVEN for one in apart)
