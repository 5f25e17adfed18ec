"""The figures of one sweep in one band.

Terms (never mixed): *best match* is where the SWR is least, *resonance* where the reactance
crosses zero. Both, and the ends of every usable segment, are interpolated between points.

The best match belongs to the band: the search begins with the least SWR inside it. Where that lies
on a band edge because the dip has moved out (rain, ice, a wrong length), it goes on down the slope
to the bottom of the dip, or to the end of the sweep, which is then reported
(``best_match_at_end``). Otherwise an edge of the band would pass for a match. It goes no further
than a band's width beyond the edges and not over a hump: that would be another band's dip.

A figure that does not exist is None, and ``why_not`` says why: |G| changes by less than the noise
or the analyzer's error, the points are too far apart, |G| is above 1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from fairlead.core.analysis.analysis import (
    ANALYZER_ERROR,
    MOST_NOISE,
    Analysis,
    Resonance,
    Segment,
    analyse,
)
from fairlead.core.analysis.q_factor import q_at
from fairlead.core.reflection import UNITY_TOLERANCE, swr_of_one
from fairlead.core.uncertainty.noise import NOT_TO_SPEAK_OF, Noise
from fairlead.core.uncertainty.sampling import MOST_LINE_TURNS, points_wanted
from fairlead.core.verdict import verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.arrays import FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.sweep import AnySweep
    from fairlead.core.verdict import Verdict

DEFAULT_LIMIT_SWR = 2.0
# Following a dip ends when |G| has risen this far above the least value met, plus the noise.
_RISE = 0.02
# Differences of |G| below this many standard deviations of the noise say nothing.
_UNSURE_SIGMAS = 5.0
# |G| below this all over the sweep (30 dB) is a termination, as far as most analyzers can tell
# (common practice, no source).
_MATCHED = 0.03
# 1 - |G| under so many standard deviations is a bound and no value.
_BOUND_SIGMAS = 2.0
_NOTHING = "the sweep has nothing in the band"
_NOT_COVERED = "the sweep does not cover the band"
_OUTSIDE = "outside the sweep"
_ABOVE_ONE = "|reflection| is above 1 there: more comes back than was sent"
_NO_PHASE = "the phase was not measured"
_NO_POWERS: Mapping[float, float] = {}
_NO_DIP = "the SWR keeps falling outside the band, with no dip within a band width of the edge"
_OPEN_END = "an end of the segment is not known"
# Frequencies that differ by less than this share are the same: files carry rounded decimals.
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures of a sweep in a band; None stands for a figure that does not exist.

    Attributes
    ----------
    points : int
    low_hz, high_hz : float
        First and last frequency of the sweep.
    step_hz : float
        Median distance of the points, for a fitting number of decimals.
    z0_ohm : float
        Reference impedance of all figures here.
    has_phase : bool
    covers_band : bool
        The sweep reaches from edge to edge of the band.
    best_match_hz, best_match_swr : float or None
        None if the sweep has nothing in the band.
    best_match_at_end : bool
        The SWR still falls where the sweep stops: the true best match lies outside it.
    best_match_in_band : bool
        False where the best match was found beyond an edge of the band, or not at all.
    resonances : tuple of Resonance
        In the band, and in the dip that serves it.
    usable : tuple of Segment
        Segments below the limit that touch the band, or hold the best match; not cut by the band.
    swr_low_edge, swr_high_edge : float or None
        At the band's edges; infinite for total reflection.
    worst_swr, worst_hz, worst_mismatch_loss_db : float or None
        In the band; None unless the sweep covers it. With |reflection| > 1 there is a frequency
        but no SWR.
    q : float or None
        At the resonance nearest to the best match within its usable segment, else at the best
        match.
    q_hz : float or None
        Where ``q`` was taken.
    above_one : int
        Points with |reflection| > 1 in the whole sweep.
    why_not : mapping of str to str
        The reason of every figure that does not exist, by its JSON key ("best_match_hz").
    at_least : frozenset of str
        JSON keys of SWR figures that are lower bounds: 1 - |G| there is lost in the noise.
    highest_swr, highest_hz : float or None
        As ``worst_swr``, but also of a part of the band and beside gaps: the worst that was seen.
    noise : Noise
    outliers : int
        Points of the whole sweep that no figure uses.
    gaps : tuple of (low_hz, high_hz)
        Spans that touch the band whose points are too far apart.
    points_wanted : int or None
        How many points over the same span would leave no gap.
    verdict : Verdict or None
        Whether it keeps to the limit in the whole band.
    """

    points: int
    low_hz: float
    high_hz: float
    step_hz: float
    z0_ohm: float
    has_phase: bool
    covers_band: bool
    best_match_hz: float | None
    best_match_swr: float | None
    best_match_at_end: bool
    resonances: tuple[Resonance, ...]
    usable: tuple[Segment, ...]
    swr_low_edge: float | None
    swr_high_edge: float | None
    worst_swr: float | None
    worst_hz: float | None
    worst_mismatch_loss_db: float | None
    q: float | None
    q_hz: float | None
    above_one: int
    best_match_in_band: bool = False
    why_not: Mapping[str, str] = field(default_factory=dict)
    at_least: frozenset[str] = frozenset()
    highest_swr: float | None = None
    highest_hz: float | None = None
    noise: Noise = field(default_factory=lambda: Noise(None))
    outliers: int = 0
    gaps: tuple[tuple[float, float], ...] = ()
    points_wanted: int | None = None
    verdict: Verdict | None = None

    @property
    def main_segment(self) -> Segment | None:
        """The usable segment that holds the best match."""
        if self.best_match_hz is None:
            return None
        for segment in self.usable:
            if segment.low_hz <= self.best_match_hz <= segment.high_hz:
                return segment
        return None

    @property
    def usable_width_hz(self) -> float | None:
        """Width of the segment with the best match; 0 if it is not under the limit.

        None if an end is open, or nothing was measured in the band.
        """
        if self.best_match_hz is None:
            return None
        segment = self.main_segment
        if segment is not None:
            return segment.width_hz
        return None if self.best_match_at_end else 0.0

    @property
    def main_resonance(self) -> Resonance | None:
        """The resonance nearest to the best match."""
        if self.best_match_hz is None or not self.resonances:
            return None
        best_hz = self.best_match_hz
        return min(self.resonances, key=lambda found: abs(found.frequency_hz - best_hz))


def figures(
    sweep: AnySweep, band: Band, z0_ohm: float, limit_swr: float = DEFAULT_LIMIT_SWR
) -> Figures:
    """Figures of a sweep in a band.

    Parameters
    ----------
    sweep : Sweep or ScalarSweep
    band : Band
    z0_ohm : float
        Reference impedance to state everything at; a scalar sweep keeps its own.
    limit_swr : float
        Limit of the usable segments, > 1.

    Returns
    -------
    Figures
    """
    return figures_of(analyse(sweep, z0_ohm), band, limit_swr)


def figures_of(analysis: Analysis, band: Band, limit_swr: float = DEFAULT_LIMIT_SWR) -> Figures:
    """The same of a sweep that was analysed already: what is slow is known then."""
    # As in `analyse`: frequencies that overflow compare false.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        return _figures_of(analysis, band, limit_swr)


def _figures_of(analysis: Analysis, band: Band, limit_swr: float) -> Figures:
    edges_hz = tuple(_within(analysis, hz) for hz in (band.low_hz, band.high_hz))
    gaps = tuple(gap for gap in analysis.gaps if gap[0] < band.high_hz and gap[1] > band.low_hz)
    part = _part_in(analysis, band)
    best, no_best = (None, _NOTHING) if part is None else _best_match(analysis, band, part)
    at_end = best is not None and _is_cut_off(analysis, best)
    if best is not None and not at_end:
        best = _settled(analysis, band, best)
    usable = _usable(analysis, band, limit_swr, best)
    resonances = _resonances(analysis, band, usable, best)
    q_hz = None if best is None or at_end else _q_frequency(best[0], usable, resonances)
    q, no_q = _q(analysis, q_hz, no_best)
    calm = _NO_POWERS if part is None else part.ends
    highest = None if part is None else _worst(analysis, part, calm)
    seen = None if highest is None else _ratio(analysis, highest[1])
    edges = [_edge(analysis, hz, calm) for hz in edges_hz]
    covers = None not in edges_hz
    has_worst = covers and not gaps
    worst = seen if has_worst and seen is not None else _no_worst(analysis, part, covers)
    figures_by_key = {
        "swr_low_edge": edges[0],
        "swr_high_edge": edges[1],
        "worst_swr": worst,
        "worst_mismatch_loss_db": worst,
    }
    why_not = {key: found.why_not for key, found in figures_by_key.items() if found.value is None}
    if best is None:
        why_not |= dict.fromkeys(("best_match_hz", "best_match_swr", "usable_width_hz"), no_best)
    if not has_worst:
        why_not["worst_hz"] = worst.why_not
    if not resonances:
        why_not["resonances"] = _no_resonance(analysis, no_best)
    if q is None:
        why_not["q"] = no_q
    judged = _Judged(
        step_hz=analysis.step_hz,
        covers_band=covers,
        highest_swr=None if seen is None else seen.value,
        highest_hz=None if highest is None else highest[0],
        gaps=gaps,
        points_wanted=analysis.points_wanted if gaps else None,
        noise=analysis.noise,
    )
    own = Figures(
        points=analysis.frequency_hz.size,
        low_hz=float(analysis.frequency_hz[0]),
        high_hz=float(analysis.frequency_hz[-1]),
        step_hz=analysis.step_hz,
        z0_ohm=analysis.z0_ohm,
        has_phase=analysis.reflection is not None,
        covers_band=covers,
        best_match_hz=None if best is None else best[0],
        best_match_swr=None if best is None else swr_of_one(math.sqrt(best[1])),
        best_match_at_end=at_end,
        best_match_in_band=best is not None and band.low_hz <= best[0] <= band.high_hz,
        resonances=resonances,
        usable=usable,
        swr_low_edge=edges[0].value,
        swr_high_edge=edges[1].value,
        worst_swr=worst.value,
        worst_hz=highest[0] if has_worst and highest is not None else None,
        worst_mismatch_loss_db=None if worst.value is None else _mismatch_loss_db(worst.value),
        q=q,
        q_hz=None if q is None else q_hz,
        above_one=analysis.above_one,
        why_not=why_not,
        at_least=frozenset(key for key, found in figures_by_key.items() if found.is_bound),
        highest_swr=judged.highest_swr,
        highest_hz=judged.highest_hz,
        noise=analysis.noise,
        outliers=int(analysis.outliers.size),
        gaps=gaps,
        points_wanted=judged.points_wanted,
        verdict=verdict(judged, band, limit_swr),
    )
    if own.usable_width_hz is None and best is not None:
        why_not["usable_width_hz"] = _OPEN_END
    return own


def swr_at(analysis: Analysis, frequency_hz: float) -> float | None:
    """SWR interpolated at a frequency.

    None outside the sweep, between points that are too far apart, or where |reflection| > 1 by
    more than the noise.
    """
    return _edge(analysis, _within(analysis, frequency_hz)).value


class _Judged(NamedTuple):
    """What a verdict rests on; see `fairlead.core.verdict.Judged`."""

    step_hz: float
    covers_band: bool
    highest_swr: float | None
    highest_hz: float | None
    gaps: tuple[tuple[float, float], ...]
    points_wanted: int | None
    noise: Noise


@dataclass(frozen=True, slots=True)
class _Ratio:
    """An SWR or the reason why there is none; ``is_bound``: it is at least so large."""

    value: float | None
    why_not: str = ""
    is_bound: bool = False


def _ratio(analysis: Analysis, power: float) -> _Ratio:
    """SWR of |reflection|^2, as far as the noise lets it be told."""
    rho, sigma = math.sqrt(power), analysis.sigma
    margin = _BOUND_SIGMAS * sigma if sigma > NOT_TO_SPEAK_OF else 0.0
    if rho > 1 + margin + UNITY_TOLERANCE:
        return _Ratio(None, _ABOVE_ONE)
    if rho > 1:
        # Infinite within the noise.
        return _Ratio(math.inf)
    if 1 - rho < margin:
        return _Ratio(swr_of_one(max(0.0, rho - margin)), is_bound=True)
    return _Ratio(swr_of_one(rho))


def _edge(
    analysis: Analysis, inside_hz: float | None, calm: Mapping[float, float] = _NO_POWERS
) -> _Ratio:
    """SWR at a frequency of the sweep; None for one outside it. ``calm`` is known already."""
    if inside_hz is None:
        return _Ratio(None, _OUTSIDE)
    if not _is_supported(analysis, inside_hz):
        return _Ratio(None, _too_far_apart(analysis))
    power = calm.get(inside_hz)
    return _ratio(analysis, analysis.track.calm_power_at_one(inside_hz) if power is None else power)


def _no_worst(analysis: Analysis, part: _Part | None, covers: bool) -> _Ratio:
    if part is None:
        return _Ratio(None, _NOTHING)
    return _Ratio(None, _too_far_apart(analysis) if covers else _NOT_COVERED)


def _too_far_apart(analysis: Analysis) -> str:
    return f"points too far apart: narrow the span or take {analysis.points_wanted} points"


def _mismatch_loss_db(ratio: float) -> float:
    """Mismatch loss of an SWR: 1 - |G|^2 = 4 s / (s + 1)^2."""
    return math.inf if math.isinf(ratio) else 10 * math.log10((ratio + 1) ** 2 / (4 * ratio))


def _within(analysis: Analysis, frequency_hz: float) -> float | None:
    """The frequency itself if the sweep has it, moved by rounding at most; else None."""
    low_hz, high_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    inside_hz = min(max(frequency_hz, low_hz), high_hz)
    return inside_hz if abs(inside_hz - frequency_hz) <= _SAME * frequency_hz else None


def _is_supported(analysis: Analysis, inside_hz: float) -> bool:
    """Whether |reflection| is known at a frequency: at a point, or between points near enough."""
    if not analysis.gaps:
        return True
    grid_hz, is_straight = analysis.track.frequency_hz, analysis.track.is_straight
    after = int(grid_hz.searchsorted(inside_hz))
    if after < grid_hz.size and grid_hz[after] == inside_hz:
        return True
    return not is_straight[min(max(after - 1, 0), is_straight.size - 1)]


def _has_support(analysis: Analysis, place_hz: float) -> bool:
    """Whether the curve is known on both sides of a place, as far as the sweep goes."""
    if not analysis.gaps:
        return True
    grid_hz, is_straight = analysis.track.frequency_hz, analysis.track.is_straight
    first = max(int(grid_hz.searchsorted(place_hz)) - 1, 0)
    last = int(grid_hz.searchsorted(place_hz, side="right"))
    return not is_straight[first:last].any()


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """What a sweep has of a band.

    Attributes
    ----------
    hz, power : FloatArray, shape (k,), k >= 2
        |reflection|^2 at the part's ends and at every turn between them.
    turns : slice
        Those turns among the track's.
    ends : mapping of float to float
        |reflection|^2 by frequency, at the part's ends alone.
    """

    hz: FloatArray
    power: FloatArray
    turns: slice
    ends: Mapping[float, float]


def _part_in(analysis: Analysis, band: Band) -> _Part | None:
    track = analysis.track
    first_hz, last_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    if band.high_hz < first_hz or band.low_hz > last_hz:
        return None
    low_hz, high_hz = max(band.low_hz, first_hz), min(band.high_hz, last_hz)
    start = int(track.turn_hz.searchsorted(low_hz, side="right"))
    turns = slice(start, max(start, int(track.turn_hz.searchsorted(high_hz, side="left"))))
    ends = track.calm_power_at_one(low_hz), track.calm_power_at_one(high_hz)
    return _Part(
        np.concatenate(([low_hz], track.turn_hz[turns], [high_hz])),
        np.concatenate((ends[:1], track.turn_power[turns], ends[1:])),
        turns,
        {low_hz: ends[0], high_hz: ends[1]},
    )


def _best_match(
    analysis: Analysis, band: Band, part: _Part
) -> tuple[tuple[float, float] | None, str]:
    """Place and |reflection|^2 of the best match, or None and the reason."""
    typed, reach_hz = analysis.typed_dip, band.high_hz - band.low_hz
    if typed is not None and band.low_hz - reach_hz <= typed[0] <= band.high_hz + reach_hz:
        return typed, ""
    reason = analysis.reason_of_no_match(_why_no_match)
    if reason:
        return None, reason
    best = _least(analysis, band, part)
    if best is None:
        return None, _NO_DIP
    if not _has_support(analysis, best[0]) or _may_hide(analysis, part, best[1]):
        return None, _too_far_apart(analysis)
    if best[1] > (1 + UNITY_TOLERANCE) ** 2:
        return None, _ABOVE_ONE
    return best, ""


def _why_no_match(analysis: Analysis) -> str:
    """Why a sweep has no best match in any band; empty if it may have one."""
    if analysis.sigma > MOST_NOISE:
        return f"too noisy: {100 * analysis.sigma:.0f} % of full scale"
    highest, lowest = (math.sqrt(power) for power in analysis.power_range)
    # Of n noisy values the largest and the least lie 2 sqrt(2 ln n) standard deviations apart.
    spread = 2 * (1 + math.sqrt(2 * math.log(analysis.frequency_hz.size))) * analysis.sigma
    if highest - lowest <= max(spread, ANALYZER_ERROR):
        return "flat: the reflection changes by no more than the noise or an analyzer's error"
    if highest <= _MATCHED:
        return "flat: matched as well as most analyzers can measure, over the whole sweep"
    if not analysis.sampling.is_supported.any():
        return _too_far_apart(analysis)
    return ""


def _may_hide(analysis: Analysis, part: _Part, power: float) -> bool:
    """Whether a gap in the band may hold a deeper dip than the one that was found."""
    if not analysis.gaps:
        return False
    grid_hz = analysis.track.frequency_hz
    first = max(int(grid_hz.searchsorted(part.hz[0], side="right")) - 1, 0)
    last = int(grid_hz.searchsorted(part.hz[-1]))
    floor = analysis.gap_floor[first:last]
    return bool(floor.size and float(floor.min()) < math.sqrt(power))


def _least(analysis: Analysis, band: Band, part: _Part) -> tuple[float, float] | None:
    """The dip that serves the band; None if the SWR falls out of it to no dip nearby."""
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
        # Only what noise alone separates from the band's edge can be the rim of a dip outside.
        if math.sqrt(inside.max()) - math.sqrt(inside.min()) <= unsure:
            bottom = _bottom(power, math.sqrt(inside.min()), unsure)
            if bottom is not None and power[bottom] < best[1]:
                best = (float(hz[bottom]), float(power[bottom]))
    if best is not least or index not in (0, part.hz.size - 1):
        return best
    if part.hz.size > 2:
        # A band edge is no better than a turn inside by less than the noise.
        turn = 1 + int(part.power[1:-1].argmin())
        if math.sqrt(part.power[turn]) - math.sqrt(least[1]) <= unsure:
            return float(part.hz[turn]), float(part.power[turn])
    # The sweep may end in the band's edge, and the SWR still fall towards that end.
    falls = (
        least[0] == turn_hz[0] and turn_power[0] <= turn_power[1],
        least[0] == turn_hz[-1] and turn_power[-1] <= turn_power[-2],
    )
    return least if any(falls) else None


def _bottom(power: FloatArray, least: float, unsure: float) -> int | None:
    """Index of the bottom of the dip that the turns go down into; None if they rise at once.

    ``power`` holds |reflection|^2 at the turns beyond a band edge, from the edge outwards, and
    ``least`` the least |reflection| in the band.
    """
    rho: FloatArray = np.sqrt(power)
    lowest = np.minimum(np.minimum.accumulate(rho), least)
    risen = np.flatnonzero(rho > lowest + _RISE + unsure)
    before = rho[: risen[0]] if risen.size else rho
    if before.size == 0 or before.min() >= least - unsure:
        return None
    return int(before.argmin())


def _settled(analysis: Analysis, band: Band, best: tuple[float, float]) -> tuple[float, float]:
    """The best match without the noise, unless that would carry it across an edge of the band."""
    settled = analysis.settled(best)
    sides = [(hz >= band.low_hz, hz > band.high_hz) for hz, _ in (best, settled)]
    return settled if sides[0] == sides[1] else best


def _is_cut_off(analysis: Analysis, best: tuple[float, float]) -> bool:
    """Whether the sweep stops while the SWR still falls, which a flat sweep does not."""
    track = analysis.track
    if best[0] not in (track.turn_hz[0], track.turn_hz[-1]):
        return False
    rise = math.sqrt(track.turn_power.max()) - math.sqrt(best[1])
    return bool(rise > _UNSURE_SIGMAS * analysis.sigma + UNITY_TOLERANCE)


def _worst(analysis: Analysis, part: _Part, calm: Mapping[float, float]) -> tuple[float, float]:
    """Place and |reflection|^2 of the worst match, without what noise adds to a maximum.

    ``calm`` holds |reflection|^2 at both ends of the part.
    """
    place_hz = float(part.hz[int(part.power.argmax())])
    found = dict(calm)
    if place_hz not in found:
        found[place_hz] = analysis.track.calm_power_at_one(place_hz)
    worst_hz = max(sorted(found), key=found.__getitem__)
    return worst_hz, found[worst_hz]


def _usable(
    analysis: Analysis, band: Band, limit_swr: float, best: tuple[float, float] | None
) -> tuple[Segment, ...]:
    return tuple(
        segment
        for segment in analysis.usable(limit_swr)
        if (segment.low_hz <= band.high_hz and segment.high_hz >= band.low_hz)
        or (best is not None and segment.low_hz <= best[0] <= segment.high_hz)
    )


def _resonances(
    analysis: Analysis, band: Band, usable: tuple[Segment, ...], best: tuple[float, float] | None
) -> tuple[Resonance, ...]:
    ends_hz = [band.low_hz, band.high_hz]
    if best is not None:
        ends_hz += [best[0]]
    ends_hz += [end for segment in usable for end in (segment.low_hz, segment.high_hz)]
    low_hz, high_hz = min(ends_hz), max(ends_hz)
    return tuple(row for row in analysis.resonances() if low_hz <= row.frequency_hz <= high_hz)


def _no_resonance(analysis: Analysis, no_best: str) -> str:
    if analysis.reflection is None:
        return _NO_PHASE
    if _line_is_unknown(analysis):
        return _line_reason(analysis)
    if analysis.gaps:
        return _too_far_apart(analysis)
    return no_best or "the reactance does not cross zero here by more than an analyzer's error"


def _line_is_unknown(analysis: Analysis) -> bool:
    return analysis.is_phase_unknown


def _line_reason(analysis: Analysis) -> str:
    turns = analysis.sampling.line_turns
    if turns < 0:
        return (
            "the reflection turns backwards, which no line does: points too far apart, or the "
            "sign of the reactance is lost"
        )
    wanted = points_wanted(analysis.frequency_hz.size, turns / MOST_LINE_TURNS)
    return (
        f"the line turns the reflection by {turns:.2f} turns from point to point: narrow the span "
        f"or take {wanted} points"
    )


def _q_frequency(
    best_hz: float, usable: tuple[Segment, ...], resonances: tuple[Resonance, ...]
) -> float:
    near = [
        row.frequency_hz
        for row in resonances
        for segment in usable
        if segment.low_hz <= best_hz <= segment.high_hz
        and segment.low_hz <= row.frequency_hz <= segment.high_hz
    ]
    return min(near, key=lambda hz: abs(hz - best_hz), default=best_hz)


def _q(analysis: Analysis, q_hz: float | None, no_best: str) -> tuple[float | None, str]:
    """Q at a place, or None and the reason."""
    if analysis.reflection is None:
        return None, _NO_PHASE
    if q_hz is None:
        return None, no_best or "the best match lies outside the sweep"
    if _line_is_unknown(analysis):
        return None, _line_reason(analysis)
    q = q_at(analysis, q_hz)
    return (
        q,
        "" if q is not None else "the slope of the impedance does not stand out from the noise",
    )
