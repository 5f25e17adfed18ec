"""The figures of one sweep in one band.

Terms (never mixed): *best match* is where the SWR is lowest, *resonance* where the reactance
crosses zero. Both, and the ends of every usable segment, are interpolated between points. The best
match belongs to the band; `fairlead.core.in_band.best_match` says how it is found.

A figure that does not exist is None, and ``why_not`` says why: |G| changes by less than the noise
or the analyzer's error, the points are too far apart, |G| is above 1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np

from fairlead.core.analysis.analysis import Analysis, analyse
from fairlead.core.in_band.best_match import best_match, is_cut_off, without_noise
from fairlead.core.in_band.part import NOTHING, part_in, within
from fairlead.core.in_band.resonance import no_resonance, q_and_reason, q_frequency, resonances_near
from fairlead.core.in_band.swr import (
    NO_POWERS,
    as_bound,
    edge_swr,
    mismatch_loss_db,
    no_worst,
    swr_of_power,
    worst_match,
)
from fairlead.core.reflection import swr_of_one
from fairlead.core.uncertainty.noise import Noise
from fairlead.core.verdict import verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.resonances import Resonance
    from fairlead.core.analysis.segments import Segment
    from fairlead.core.bands import Band
    from fairlead.core.sweep import AnySweep
    from fairlead.core.verdict import Grounds, Verdict

_One = TypeVar("_One", "Segment", "Resonance")

DEFAULT_LIMIT_SWR = 2.0
_OFF_SCALE = "the SWR is beyond the meter's scale in a part of the band"
_OPEN_END = "an end of the segment is not known"


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures of a sweep in a band; None stands for a figure that does not exist.

    Attributes
    ----------
    points : int
    low_hz, high_hz : float
        First and last frequency of the sweep.
    step_hz : float
        Median spacing of the points, to choose the number of decimals.
    z0_ohm : float
        Reference impedance of all figures here.
    has_phase : bool
    covers_band : bool
        The sweep reaches from edge to edge of the band.
    best_match_hz, best_match_swr : float or None
        None if the sweep has nothing in the band.
    best_match_at_end : bool
        The SWR is still falling where the sweep stops: the true best match lies outside it.
    best_match_in_band : bool
        False where the best match was found beyond an edge of the band, or not at all.
    resonances : tuple of Resonance
        In the band, and in the dip that serves it.
    usable : tuple of Segment
        Segments below the limit that touch the band or hold the best match, not clipped to it.
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
        JSON keys of SWR figures that are lower bounds, because 1 - |G| is lost in the noise.
    highest_swr, highest_hz : float or None
        As ``worst_swr``, but also for part of the band and with gaps: the highest value seen.
    noise : Noise
    outliers : int
        Points of the whole sweep that no figure uses.
    gaps : tuple of (low_hz, high_hz)
        Spans that touch the band whose points are too far apart.
    points_wanted : int or None
        How many points over the same span would leave no gap.
    is_off_scale : bool
        In part of the band the SWR is only known to be beyond the meter's scale; ``highest_swr``
        is then a lower bound, and the frequency of the worst SWR is unknown.
    verdict : Verdict or None
        Whether it stays within the limit over the whole band.
    grounds : Grounds or None
        What that verdict is based on, once intervals and checks are known; the same at any limit.
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
    is_off_scale: bool = False
    verdict: Verdict | None = None
    grounds: Grounds | None = None

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
    def named_segments(self) -> tuple[tuple[str, Segment], ...]:
        """The segments with their prefixes: "usable_" for the one with the best match comes first.

        The others follow by frequency: "usable_2_" and so on.
        """
        return _named("usable", self.main_segment, self.usable)

    @property
    def named_resonances(self) -> tuple[tuple[str, Resonance], ...]:
        """Likewise: "resonance_" is the one nearest to the best match, then "resonance_2_"."""
        return _named("resonance", self.main_resonance, self.resonances)

    @property
    def usable_width_hz(self) -> float | None:
        """Width of the segment with the best match; 0 if the best match is above the limit.

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


def _named(name: str, main: _One | None, every: tuple[_One, ...]) -> tuple[tuple[str, _One], ...]:
    found = [] if main is None else [(f"{name}_", main)]
    found += [(f"{name}_{n}_", one) for n, one in enumerate((x for x in every if x is not main), 2)]
    return tuple(found)


def figures(
    sweep: AnySweep, band: Band, z0_ohm: float, limit_swr: float = DEFAULT_LIMIT_SWR
) -> Figures:
    """Figures of a sweep in a band.

    Parameters
    ----------
    sweep : Sweep or ScalarSweep
    band : Band
    z0_ohm : float
        Reference impedance of all figures; a scalar sweep keeps its own.
    limit_swr : float
        Limit of the usable segments, > 1.

    Returns
    -------
    Figures
    """
    return figures_of(analyse(sweep, z0_ohm), band, limit_swr)


def figures_of(analysis: Analysis, band: Band, limit_swr: float = DEFAULT_LIMIT_SWR) -> Figures:
    """The same for an analysed sweep, whose slow part is already done."""
    # As in `analyse`: frequencies that overflow compare false.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        return _figures_of(analysis, band, limit_swr)


def _figures_of(analysis: Analysis, band: Band, limit_swr: float) -> Figures:
    edges_hz = tuple(within(analysis, hz) for hz in (band.low_hz, band.high_hz))
    gaps = tuple(gap for gap in analysis.gaps if gap[0] < band.high_hz and gap[1] > band.low_hz)
    part = part_in(analysis, band)
    best, no_best = (None, NOTHING) if part is None else best_match(analysis, band, part)
    at_end = best is not None and is_cut_off(analysis, best)
    if best is not None and not at_end:
        best = without_noise(analysis, band, best)
    usable = _usable(analysis, band, limit_swr, best)
    resonances = resonances_near(analysis, band, usable, best)
    q_hz = None if best is None or at_end else q_frequency(best[0], usable, resonances)
    q, no_q = q_and_reason(analysis, q_hz, no_best)
    calm = NO_POWERS if part is None else part.ends
    highest = None if part is None else worst_match(analysis, part, calm)
    seen = None if highest is None else swr_of_power(analysis, highest[1])
    is_off_scale = part is not None and analysis.track.has_bound_in(
        float(part.hz[0]), float(part.hz[-1])
    )
    if seen is not None and is_off_scale:
        seen = as_bound(seen)
    edges = [edge_swr(analysis, hz, calm) for hz in edges_hz]
    covers = None not in edges_hz
    # A lower bound for part of the band is one for the whole.
    has_worst = (covers and not gaps) or is_off_scale
    worst = seen if has_worst and seen is not None else no_worst(analysis, part, covers)
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
    elif is_off_scale:
        why_not["worst_hz"] = _OFF_SCALE
    if not resonances:
        why_not["resonances"] = no_resonance(analysis, no_best)
    if q is None:
        why_not["q"] = no_q
    judged = _Judged(
        step_hz=analysis.step_hz,
        low_hz=float(analysis.frequency_hz[0]),
        high_hz=float(analysis.frequency_hz[-1]),
        covers_band=covers,
        highest_swr=None if seen is None else seen.value,
        highest_hz=None if highest is None else highest[0],
        gaps=gaps,
        points_wanted=analysis.points_wanted if gaps else None,
        noise=analysis.noise,
        is_off_scale=is_off_scale,
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
        worst_hz=highest[0] if has_worst and highest is not None and not is_off_scale else None,
        worst_mismatch_loss_db=None if worst.value is None else mismatch_loss_db(worst.value),
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
        is_off_scale=is_off_scale,
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
    return edge_swr(analysis, within(analysis, frequency_hz)).value


class _Judged(NamedTuple):
    """What a verdict rests on; see `fairlead.core.verdict.Judged`."""

    step_hz: float
    low_hz: float
    high_hz: float
    covers_band: bool
    highest_swr: float | None
    highest_hz: float | None
    gaps: tuple[tuple[float, float], ...]
    points_wanted: int | None
    noise: Noise
    is_off_scale: bool


def _usable(
    analysis: Analysis, band: Band, limit_swr: float, best: tuple[float, float] | None
) -> tuple[Segment, ...]:
    return tuple(
        segment
        for segment in analysis.usable(limit_swr)
        if (segment.low_hz <= band.high_hz and segment.high_hz >= band.low_hz)
        or (best is not None and segment.low_hz <= best[0] <= segment.high_hz)
    )
