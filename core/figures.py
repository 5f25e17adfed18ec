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
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from core.analysis import Analysis, Resonance, Stretch, analyse
from core.q_factor import q_at
from core.reflection import mismatch_loss_db, swr

if TYPE_CHECKING:
    from core.arrays import FloatArray
    from core.bands import Band
    from core.sweep import AnySweep

DEFAULT_LIMIT_SWR = 2.0
# Following a dip ends when |G| has risen this far above the least value met, plus the noise.
_RISE = 0.02
_RISE_SIGMAS = 5.0


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
    analysis = analyse(sweep, z0_ohm)
    frequency_hz = analysis.frequency_hz
    sweep_low_hz, sweep_high_hz = float(frequency_hz[0]), float(frequency_hz[-1])
    covers = sweep_low_hz <= band.low_hz and band.high_hz <= sweep_high_hz
    best = _best_match(analysis, band)
    at_end = best is not None and best[0] in (sweep_low_hz, sweep_high_hz)
    usable = _usable(analysis, band, limit_swr, best)
    resonances = _resonances(analysis, band, usable, best)
    low_edge, high_edge = (_power_at_edge(analysis, hz) for hz in (band.low_hz, band.high_hz))
    worst = _worst(analysis, band, (low_edge, high_edge)) if covers else None
    q_hz = None if best is None or at_end else _q_frequency(best[0], usable, resonances)
    q = None if q_hz is None else q_at(analysis, q_hz)
    return Figures(
        points=len(sweep),
        low_hz=sweep_low_hz,
        high_hz=sweep_high_hz,
        step_hz=analysis.step_hz,
        z0_ohm=analysis.z0_ohm,
        has_phase=sweep.has_phase,
        covers_band=covers,
        best_match_hz=None if best is None else best[0],
        best_match_swr=None if best is None else _swr_of_power(best[1]),
        best_match_at_end=at_end,
        resonances=resonances,
        usable=usable,
        swr_low_edge=_swr_of_power(low_edge),
        swr_high_edge=_swr_of_power(high_edge),
        worst_swr=None if worst is None else _swr_of_power(worst[1]),
        worst_hz=None if worst is None else worst[0],
        worst_mismatch_loss_db=None if worst is None else _mismatch_of_power(worst[1]),
        q=q,
        q_hz=None if q is None else q_hz,
        above_one=analysis.above_one,
    )


def swr_at(analysis: Analysis, frequency_hz: float) -> float | None:
    """SWR interpolated at a frequency; None outside the sweep or where |reflection| > 1."""
    return _swr_of_power(_power_at_edge(analysis, frequency_hz))


def _swr_of_power(power: float | None) -> float | None:
    if power is None:
        return None
    ratio = float(swr(math.sqrt(power)))
    return None if math.isnan(ratio) else ratio


def _mismatch_of_power(power: float) -> float | None:
    loss_db = float(mismatch_loss_db(math.sqrt(power)))
    return None if math.isnan(loss_db) else loss_db


def _power_at_edge(analysis: Analysis, frequency_hz: float) -> float | None:
    if not analysis.frequency_hz[0] <= frequency_hz <= analysis.frequency_hz[-1]:
        return None
    return float(analysis.power_at(np.array([frequency_hz]))[0])


def _points_in(analysis: Analysis, band: Band) -> tuple[int, int]:
    """Index range of the points in the band; of its neighbours if it falls between two points."""
    low = int(np.searchsorted(analysis.frequency_hz, band.low_hz, side="left"))
    high = int(np.searchsorted(analysis.frequency_hz, band.high_hz, side="right"))
    if low < high or high == 0 or low == analysis.frequency_hz.size:
        return low, high
    return low - 1, high + 1


def _best_match(analysis: Analysis, band: Band) -> tuple[float, float] | None:
    low, high = _points_in(analysis, band)
    if low >= high:
        return None
    index = low + int(np.argmin(analysis.power[low:high]))
    if index == low:
        index = _follow(analysis, index, -1)
    if index == high - 1:
        index = _follow(analysis, index, 1)
    return analysis.extreme(index)


def _follow(analysis: Analysis, index: int, direction: int) -> int:
    """Index of the bottom of the dip down the slope from a point; the point itself if it rises."""
    part = analysis.power[index:] if direction > 0 else analysis.power[index::-1]
    rho: FloatArray = np.sqrt(part)
    least = np.minimum.accumulate(rho)
    risen = rho > least + _RISE + _RISE_SIGMAS * analysis.noise
    stop = int(np.argmax(risen)) if risen.any() else rho.size
    return index + direction * int(np.argmin(rho[:stop]))


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


def _worst(
    analysis: Analysis, band: Band, edges: tuple[float | None, float | None]
) -> tuple[float, float]:
    candidates = [
        (hz, power)
        for hz, power in zip((band.low_hz, band.high_hz), edges, strict=True)
        if power is not None
    ]
    low = int(np.searchsorted(analysis.frequency_hz, band.low_hz, side="left"))
    high = int(np.searchsorted(analysis.frequency_hz, band.high_hz, side="right"))
    if low < high:
        index = low + int(np.argmax(analysis.power[low:high]))
        candidates.append((float(analysis.frequency_hz[index]), float(analysis.power[index])))
        if low < index < high - 1:
            candidates.append(analysis.extreme(index, largest=True))
    return max(candidates, key=lambda row: row[1])
