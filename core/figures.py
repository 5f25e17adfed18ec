"""The figures of one sweep in one band.

Terms (never mixed): *best match* is where the SWR is least, *resonance* where the reactance
crosses zero. Both, and the ends of every usable stretch, are interpolated between points.

The best match belongs to the band: the search begins with the least SWR inside it. Where that
lies on a band edge because the dip has moved out (rain, ice, a wrong length), it goes on down the
slope to the bottom of the dip, or to the end of the sweep, which is then said
(``best_match_at_end``). Otherwise an edge of the band would pass for a match.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.analysis import Analysis, Resonance, Stretch, analyse
from fairlead.core.analysis.q_factor import q_at
from fairlead.core.reflection import UNITY_TOLERANCE, mismatch_loss_db, swr_of_one

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
    resonances : tuple of Resonance
        In the band, and in the dip that serves it.
    usable : tuple of Stretch
        Stretches below the limit that touch the band, or hold the best match; not cut by the band.
    swr_low_edge, swr_high_edge : float or None
        At the band's edges; infinite for total reflection.
    worst_swr, worst_hz, worst_mismatch_loss_db : float or None
        In the band; None unless the sweep covers it. With |reflection| > 1 there is a frequency
        but no SWR.
    q : float or None
        At the resonance nearest to the best match within its usable stretch, else at the best
        match.
    q_hz : float or None
        Where ``q`` was taken.
    above_one : int
        Points with |reflection| > 1 in the whole sweep.
    why_not : mapping of str to str
        The reason of every figure that does not exist, by its JSON key ("best_match_hz").
    verdict : Verdict or None
        Whether it keeps to the limit in the whole band; None until it is worked out.
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
    usable: tuple[Stretch, ...]
    swr_low_edge: float | None
    swr_high_edge: float | None
    worst_swr: float | None
    worst_hz: float | None
    worst_mismatch_loss_db: float | None
    q: float | None
    q_hz: float | None
    above_one: int
    why_not: Mapping[str, str] = field(default_factory=dict)
    verdict: Verdict | None = None

    @property
    def main_stretch(self) -> Stretch | None:
        """The usable stretch that holds the best match."""
        if self.best_match_hz is None:
            return None
        for stretch in self.usable:
            if stretch.low_hz <= self.best_match_hz <= stretch.high_hz:
                return stretch
        return None

    @property
    def usable_width_hz(self) -> float | None:
        """Width of the stretch with the best match; 0 if it is not under the limit.

        None if an end is open, or nothing was measured in the band.
        """
        if self.best_match_hz is None:
            return None
        stretch = self.main_stretch
        if stretch is not None:
            return stretch.width_hz
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
        Limit of the usable stretches, > 1.

    Returns
    -------
    Figures
    """
    return figures_of(analyse(sweep, z0_ohm), band, limit_swr)


def figures_of(analysis: Analysis, band: Band, limit_swr: float = DEFAULT_LIMIT_SWR) -> Figures:
    """The same of a sweep that was analysed already: what is slow is known then."""
    low_power, high_power = (_power_at(analysis, hz) for hz in (band.low_hz, band.high_hz))
    covers = low_power is not None and high_power is not None
    part = _part_in(analysis, band, low_power, high_power)
    best = None if part is None else _best_match(analysis, part)
    at_end = best is not None and _is_cut_off(analysis, best)
    if best is not None and not at_end:
        best = _settled(analysis, band, best)
    usable = _usable(analysis, band, limit_swr, best)
    resonances = _resonances(analysis, band, usable, best)
    worst = _worst(part) if part is not None and covers else None
    q_hz = None if best is None or at_end else _q_frequency(best[0], usable, resonances)
    q = None if q_hz is None else q_at(analysis, q_hz)
    return Figures(
        points=analysis.frequency_hz.size,
        low_hz=float(analysis.frequency_hz[0]),
        high_hz=float(analysis.frequency_hz[-1]),
        step_hz=analysis.step_hz,
        z0_ohm=analysis.z0_ohm,
        has_phase=analysis.reflection is not None,
        covers_band=covers,
        best_match_hz=None if best is None else best[0],
        best_match_swr=None if best is None else _swr_of_power(best[1]),
        best_match_at_end=at_end,
        resonances=resonances,
        usable=usable,
        swr_low_edge=_swr_of_power(low_power),
        swr_high_edge=_swr_of_power(high_power),
        worst_swr=None if worst is None else _swr_of_power(worst[1]),
        worst_hz=None if worst is None else worst[0],
        worst_mismatch_loss_db=None if worst is None else _mismatch_of_power(worst[1]),
        q=q,
        q_hz=None if q is None else q_hz,
        above_one=analysis.above_one,
    )


def swr_at(analysis: Analysis, frequency_hz: float) -> float | None:
    """SWR interpolated at a frequency; None outside the sweep or where |reflection| > 1."""
    return _swr_of_power(_power_at(analysis, frequency_hz))


def _swr_of_power(power: float | None) -> float | None:
    if power is None:
        return None
    ratio = swr_of_one(math.sqrt(power))
    return None if math.isnan(ratio) else ratio


def _mismatch_of_power(power: float) -> float | None:
    loss_db = float(mismatch_loss_db(math.sqrt(power)))
    return None if math.isnan(loss_db) else loss_db


def _within(analysis: Analysis, frequency_hz: float) -> float | None:
    """The frequency itself if the sweep has it, moved by rounding at most; else None."""
    low_hz, high_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    inside_hz = min(max(frequency_hz, low_hz), high_hz)
    return inside_hz if abs(inside_hz - frequency_hz) <= _SAME * frequency_hz else None


def _power_at(analysis: Analysis, frequency_hz: float) -> float | None:
    inside_hz = _within(analysis, frequency_hz)
    return None if inside_hz is None else analysis.track.power_at_one(inside_hz)


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """What a sweep has of a band.

    Attributes
    ----------
    hz, power : FloatArray, shape (k,), k >= 2
        |reflection|^2 at the part's ends and at every turn between them.
    turns : slice
        Those turns among the track's.
    """

    hz: FloatArray
    power: FloatArray
    turns: slice


def _part_in(
    analysis: Analysis, band: Band, low_power: float | None, high_power: float | None
) -> _Part | None:
    track, power = analysis.track, analysis.power
    first_hz, last_hz = analysis.frequency_hz[0], analysis.frequency_hz[-1]
    if band.high_hz < first_hz or band.low_hz > last_hz:
        return None
    low_hz, high_hz = max(band.low_hz, first_hz), min(band.high_hz, last_hz)
    start = int(track.turn_hz.searchsorted(low_hz, side="right"))
    turns = slice(start, max(start, int(track.turn_hz.searchsorted(high_hz, side="left"))))
    ends = (
        power[0] if low_power is None else low_power,
        power[-1] if high_power is None else high_power,
    )
    return _Part(
        np.concatenate(([low_hz], track.turn_hz[turns], [high_hz])),
        np.concatenate((ends[:1], track.turn_power[turns], ends[1:])),
        turns,
    )


def _best_match(analysis: Analysis, part: _Part) -> tuple[float, float]:
    unsure = _UNSURE_SIGMAS * analysis.noise
    index = int(part.power.argmin())
    least = best = (float(part.hz[index]), float(part.power[index]))
    turn_hz, turn_power = analysis.track.turn_hz, analysis.track.turn_power
    down, up = slice(0, part.turns.start), slice(part.turns.stop, None)
    for inside, hz, power in (
        (part.power[: index + 1], turn_hz[down][::-1], turn_power[down][::-1]),
        (part.power[index:], turn_hz[up], turn_power[up]),
    ):
        # Only what noise alone separates from the band's edge can be the rim of a dip outside.
        if math.sqrt(inside.max()) - math.sqrt(inside.min()) <= unsure:
            bottom = _bottom(power, math.sqrt(inside.min()), unsure)
            if bottom is not None and power[bottom] < best[1]:
                best = (float(hz[bottom]), float(power[bottom]))
    if best is least and index in (0, part.hz.size - 1) and part.hz.size > 2:
        # A band edge is no better than a turn inside by less than the noise.
        turn = 1 + int(part.power[1:-1].argmin())
        if math.sqrt(part.power[turn]) - math.sqrt(least[1]) <= unsure:
            best = (float(part.hz[turn]), float(part.power[turn]))
    return best


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
    return bool(rise > _UNSURE_SIGMAS * analysis.noise + UNITY_TOLERANCE)


def _worst(part: _Part) -> tuple[float, float]:
    index = int(part.power.argmax())
    return float(part.hz[index]), float(part.power[index])


def _usable(
    analysis: Analysis, band: Band, limit_swr: float, best: tuple[float, float] | None
) -> tuple[Stretch, ...]:
    if best is None:
        return ()
    return tuple(
        stretch
        for stretch in analysis.usable(limit_swr)
        if (stretch.low_hz < band.high_hz and stretch.high_hz > band.low_hz)
        or stretch.low_hz <= best[0] <= stretch.high_hz
    )


def _resonances(
    analysis: Analysis, band: Band, usable: tuple[Stretch, ...], best: tuple[float, float] | None
) -> tuple[Resonance, ...]:
    if best is None:
        return ()
    ends_hz = [band.low_hz, band.high_hz, best[0]]
    ends_hz += [end for stretch in usable for end in (stretch.low_hz, stretch.high_hz)]
    low_hz, high_hz = min(ends_hz), max(ends_hz)
    return tuple(row for row in analysis.resonances() if low_hz <= row.frequency_hz <= high_hz)


def _q_frequency(
    best_hz: float, usable: tuple[Stretch, ...], resonances: tuple[Resonance, ...]
) -> float:
    near = [
        row.frequency_hz
        for row in resonances
        for stretch in usable
        if stretch.low_hz <= best_hz <= stretch.high_hz
        and stretch.low_hz <= row.frequency_hz <= stretch.high_hz
    ]
    return min(near, key=lambda hz: abs(hz - best_hz), default=best_hz)
