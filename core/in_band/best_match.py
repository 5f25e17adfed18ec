"""The search for the best match of a sweep in a band.

It starts at the lowest SWR inside the band. If that is at a band edge because the dip has moved out
(rain, ice, a wrong length), it continues down the slope to the bottom of the dip, or to the end of
the sweep; otherwise a band edge would be taken for a match. It goes no further than one band width
beyond the edges and does not cross a hump: the dip behind it would belong to another band.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.analysis import MOST_NOISE
from fairlead.core.analysis.resonances import ANALYZER_ERROR
from fairlead.core.in_band.part import has_support, too_far_apart
from fairlead.core.in_band.swr import ABOVE_ONE
from fairlead.core.reflection import UNITY_TOLERANCE

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.in_band.part import BandPart

# A dip is followed until |G| has risen this far above the lowest value so far, plus the noise.
_RISE = 0.02
# Differences of |G| below this many standard deviations of the noise mean nothing.
_UNSURE_SIGMAS = 5.0
# What bends between noisy points hides in the noise, so the dip must have as many points as the
# rule of 4 points for each 2:1 width gives half of its absorbed power (11), from this noise on
# and in proportion below (common practice, no source).
_DIP_POINTS = 11
_BLIND_NOISE = 0.03
# With |G| below this (30 dB) over the whole sweep, most analyzers cannot tell it from a termination
# (common practice, no source).
MATCHED = 0.03
_FEW_FOR_NOISE = (
    "too few points in the dip for noise of {:.1f} % of full scale: average, or narrow the span"
)
_NO_DIP = "the SWR keeps falling outside the band, with no dip within a band width of the edge"


def best_match(
    analysis: Analysis, band: Band, part: BandPart
) -> tuple[tuple[float, float] | None, str]:
    """Frequency and |reflection|^2 of the best match, or None and the reason."""
    typed, reach_hz = analysis.typed_dip, band.high_hz - band.low_hz
    if typed is not None and band.low_hz - reach_hz <= typed[0] <= band.high_hz + reach_hz:
        return typed, ""
    reason = analysis.reason_of_no_match(_why_no_match)
    if reason:
        return None, reason
    best = _least(analysis, band, part)
    reason = _NO_DIP if best is None else _why_not(analysis, part, best)
    return (None, reason) if reason else (best, "")


def _why_not(analysis: Analysis, part: BandPart, best: tuple[float, float]) -> str:
    """Why a dip is no figure; empty if it is one."""
    if not has_support(analysis, best[0]) or _may_hide(analysis, part, best[1]):
        return too_far_apart(analysis)
    if best[1] > (1 + UNITY_TOLERANCE) ** 2:
        return ABOVE_ONE
    if _is_lost_in_noise(analysis, best):
        return _FEW_FOR_NOISE.format(100 * analysis.sigma)
    return ""


def _is_lost_in_noise(analysis: Analysis, best: tuple[float, float]) -> bool:
    """Whether so few noisy points lie in a dip that nobody can tell its bottom."""
    wanted = _DIP_POINTS * min(1.0, analysis.sigma / _BLIND_NOISE)
    if wanted < 1:
        return False
    absorbed = 1 - analysis.power
    outside = np.flatnonzero(absorbed < (1 - best[1]) / 2)
    place = int(outside.searchsorted(analysis.frequency_hz.searchsorted(best[0])))
    before = int(outside[place - 1]) if place > 0 else -1
    after = int(outside[place]) if place < outside.size else absorbed.size
    is_open = before < 0 or after == absorbed.size
    return not is_open and after - before - 1 < wanted


def _why_no_match(analysis: Analysis) -> str:
    """Why a sweep has no best match in any band; empty if it may have one."""
    if analysis.sigma > MOST_NOISE:
        return f"too noisy: {100 * analysis.sigma:.0f} % of full scale"
    highest, lowest = (math.sqrt(power) for power in analysis.power_range)
    if lowest > 1 + UNITY_TOLERANCE:
        return ABOVE_ONE
    # The largest and smallest of n noisy values are 2 sqrt(2 ln n) standard deviations apart.
    spread = 2 * (1 + math.sqrt(2 * math.log(analysis.frequency_hz.size))) * analysis.sigma
    if highest - lowest <= max(spread, ANALYZER_ERROR):
        return "flat: the reflection changes by no more than the noise or an analyzer's error"
    if highest <= MATCHED:
        return "flat: matched as well as most analyzers can measure, over the whole sweep"
    if not analysis.sampling.is_supported.any():
        return too_far_apart(analysis)
    return ""


def _may_hide(analysis: Analysis, part: BandPart, power: float) -> bool:
    """Whether a gap in the band may hide a deeper dip than the one found."""
    if not analysis.gaps:
        return False
    grid_hz = analysis.track.frequency_hz
    first = max(int(grid_hz.searchsorted(part.hz[0], side="right")) - 1, 0)
    last = int(grid_hz.searchsorted(part.hz[-1]))
    floor = analysis.gap_floor[first:last]
    return bool(floor.size and float(floor.min()) < math.sqrt(power))


def _least(analysis: Analysis, band: Band, part: BandPart) -> tuple[float, float] | None:
    """The dip that serves the band; None if the SWR keeps falling outside it with no dip nearby."""
    unsure = _UNSURE_SIGMAS * analysis.sigma
    index = int(part.power.argmin())
    least = best = (float(part.hz[index]), float(part.power[index]))
    turn_hz, turn_power = analysis.track.turn_hz, analysis.track.turn_power
    reach_hz = band.high_hz - band.low_hz
    farthest = (
        int(turn_hz.searchsorted(band.low_hz - reach_hz)),
        int(turn_hz.searchsorted(band.high_hz + reach_hz, side="right")),
    )
    down = slice(min(farthest[0], part.turns.start), part.turns.start)
    up = slice(part.turns.stop, max(farthest[1], part.turns.stop))
    for inside, hz, power in (
        (part.power[: index + 1], turn_hz[down][::-1], turn_power[down][::-1]),
        (part.power[index:], turn_hz[up], turn_power[up]),
    ):
        # A dip outside can only be followed from a point that differs by no more than noise from
        # the band edge.
        if math.sqrt(inside.max()) - math.sqrt(inside.min()) <= unsure:
            bottom = _bottom(power, math.sqrt(inside.min()), unsure)
            if bottom is not None and power[bottom] < best[1]:
                best = (float(hz[bottom]), float(power[bottom]))
    if best is not least or index not in (0, part.hz.size - 1):
        return best
    if part.hz.size > 2:
        # A band edge that is better than a turn inside by less than the noise does not win.
        turn = 1 + int(part.power[1:-1].argmin())
        if math.sqrt(part.power[turn]) - math.sqrt(least[1]) <= unsure:
            return float(part.hz[turn]), float(part.power[turn])
    if _rises(
        turn_power[turn_hz < least[0]][::-1] if index == 0 else turn_power[turn_hz > least[0]],
        math.sqrt(least[1]),
        unsure,
    ):
        return least
    # The sweep may end at the band edge with the SWR still falling towards that end.
    falls = (
        least[0] == turn_hz[0] and turn_power[0] <= turn_power[1],
        least[0] == turn_hz[-1] and turn_power[-1] <= turn_power[-2],
    )
    return least if any(falls) else None


def _rises(power: FloatArray, least: float, unsure: float) -> bool:
    """Whether the curve outside an edge rises before it falls: the edge is the dip's bottom.

    ``power`` holds |reflection|^2 at the turns from the edge outwards, ``least`` is |reflection| at
    the edge; what differs by no more than the noise is level.
    """
    apart: FloatArray = np.sqrt(power) - least
    uneven = apart[np.abs(apart) > unsure]
    return bool(uneven.size and uneven[0] > 0)


def _bottom(power: FloatArray, least: float, unsure: float) -> int | None:
    """Index of the bottom of the dip beyond a band edge; None if the curve rises at once.

    ``power`` holds |reflection|^2 at the turns beyond a band edge, from the edge outwards, and
    ``least`` is the lowest |reflection| in the band.
    """
    rho: FloatArray = np.sqrt(power)
    lowest = np.minimum(np.minimum.accumulate(rho), least)
    risen = np.flatnonzero(rho > lowest + _RISE + unsure)
    before = rho[: risen[0]] if risen.size else rho
    if before.size == 0 or before.min() >= least - unsure:
        return None
    return int(before.argmin())


def without_noise(analysis: Analysis, band: Band, best: tuple[float, float]) -> tuple[float, float]:
    """The best match without noise, unless that would move it across an edge of the band.

    A plateau of rounded readings may extend across an edge; its bottom may move across.
    """
    fitted = analysis.fitted_bottom(best)
    if analysis.rounding is not None:
        return fitted
    sides = [(hz >= band.low_hz, hz > band.high_hz) for hz, _ in (best, fitted)]
    return fitted if sides[0] == sides[1] else best


def is_cut_off(analysis: Analysis, best: tuple[float, float]) -> bool:
    """Whether the sweep stops while the SWR is still falling; never true for a flat sweep."""
    track = analysis.track
    if best[0] not in (track.turn_hz[0], track.turn_hz[-1]):
        return False
    rise = math.sqrt(track.turn_power.max()) - math.sqrt(best[1])
    return bool(rise > _UNSURE_SIGMAS * analysis.sigma + UNITY_TOLERANCE)
