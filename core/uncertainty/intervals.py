"""The intervals of a sweep's figures: from its noise, and from the analyzer's errors.

*Repeatability* holds the figure of the same sweep without noise in 95 of 100 cases (measured:
tests/bench/coverage.py). *Accuracy* adds the analyzer's errors. Each of them is a known shape
along the sweep with one unknown phase, and the influence of the points says how far it moves a
figure: the best match by about D f/Q, |G| at an edge by D, the end of a segment by D over the
slope of |G|. The noise joins by the root of squares where the errors are guaranteed bounds,
which covers 92 to 95 % when an error is as large as its bound, and is added where they are the
actual errors.

Where no fit agrees with the noise there is no interval; the figure stays. An interval always
holds the figure that is shown, which comes from fewer points than the fit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import magnitude_from_swr, mismatch_loss_db, swr_of_one
from fairlead.core.uncertainty.estimates import (
    crossing,
    magnitude_at,
    q_estimate,
    turning_point,
)
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.uncertainty.local_fit import LocalFit, fit_local
from fairlead.core.uncertainty.placed import fit_place, nearest
from fairlead.core.uncertainty.scalar_fit import fit_scalar

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.error_model import PointErrors
    from fairlead.core.uncertainty.estimates import Estimate
    from fairlead.core.uncertainty.placed import Placed

# -100 dB: what is below is rounding of a computed sweep, whose intervals are tiny.
_LEAST_NOISE = 1e-5
# Half width of the first window where there is no segment to go by.
_GUESS = 40
# The fit of the best match serves Q too if that is no farther from its centre.
_SHARED = 0.3
# A bound of |G| above this share of the way from the best match to the limit is no longer small:
# the ends are then looked for on the curve itself.
_SMALL = 0.2
# The least |e| that a two-dimensional Gaussian of 1 exceeds in 5 % of cases is 2.448: with this
# much taken from |G|^2 the interval of |G| = 0 begins at 0 as often as it should.
_CHANCE = 2.448**2 - 1.96**2
# What two components of noise of 1 add to |G|^2 in the mean.
_SCALAR = 2.0
# Frequencies that differ by less than this share are the same.
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Assessment:
    """Figures as all points around show them, and how well they are known.

    Attributes
    ----------
    figures : Figures
        With the fit's values where there is a fit: less noise than a few points have.
    intervals : mapping of str to Intervals
        By JSON key: best_match_hz, best_match_swr, swr_low_edge, swr_high_edge, usable_low_hz,
        usable_high_hz (ends of the segment with the best match), usable_width_hz, worst_swr,
        worst_mismatch_loss_db, q.
        A figure of which nothing is known has no key. SWR intervals may end at infinity.
    """

    figures: Figures
    intervals: Mapping[str, Intervals]


def assess(
    analysis: Analysis,
    figures: Figures,
    band: Band,
    limit_swr: float,
    errors: PointErrors | None = None,
) -> Assessment:
    """The figures of a sweep in a band, refined, with their intervals.

    Parameters
    ----------
    analysis : Analysis
    figures : Figures
        Of that analysis in that band and at that limit.
    band : Band
    limit_swr : float
    errors : PointErrors, optional
        Of the analyzer, along ``analysis.frequency_hz``; without them nothing is said about
        accuracy.
    """
    known = _known(analysis, figures, band, limit_swr, errors)
    refined = figures if analysis.sigma < _LEAST_NOISE else _refined(figures, band, known)
    return Assessment(refined, _of_figures(refined, known))


def intervals_of(
    analysis: Analysis,
    figures: Figures,
    band: Band,
    limit_swr: float,
    errors: PointErrors | None = None,
) -> Mapping[str, Intervals]:
    """The intervals alone, for the figures as they are (`assess`)."""
    return _of_figures(figures, _known(analysis, figures, band, limit_swr, errors))


@dataclass(frozen=True, slots=True)
class _Known:
    value: float
    intervals: Intervals


def _known(
    analysis: Analysis,
    figures: Figures,
    band: Band,
    limit_swr: float,
    errors: PointErrors | None,
) -> dict[str, _Known]:
    if analysis.noise.sigma is None:
        # Too few points, or too far apart, to tell noise from curve: no fit could be judged.
        return {}
    is_known = errors is not None and errors.model.is_known
    work = _Work(analysis, max(analysis.sigma, _LEAST_NOISE), errors if is_known else None)
    work.guess_from(figures)
    found: dict[str, _Known] = {}
    _add_match(found, work, figures)
    _add_edges(found, work, figures, band)
    _add_segment(found, work, figures, float(magnitude_from_swr(limit_swr)))
    return found


def _refined(figures: Figures, band: Band, known: Mapping[str, _Known]) -> Figures:
    values = {key: one.value for key, one in known.items() if math.isfinite(one.value)}
    best_hz = values.get("best_match_hz")
    if best_hz is not None and figures.best_match_hz is not None:
        # The dip that serves the band must stay on its side of the band's edges.
        sides = [(hz >= band.low_hz, hz > band.high_hz) for hz in (best_hz, figures.best_match_hz)]
        if sides[0] != sides[1]:
            values.pop("best_match_hz")
    main = figures.main_segment
    low_hz, high_hz = (values.get(key) for key in ("usable_low_hz", "usable_high_hz"))
    usable = tuple(
        replace(
            one,
            low_hz=one.low_hz if low_hz is None else low_hz,
            high_hz=one.high_hz if high_hz is None else high_hz,
        )
        if one is main
        else one
        for one in figures.usable
    )
    return replace(
        figures,
        usable=usable,
        highest_swr=values.get("worst_swr", figures.highest_swr),
        best_match_hz=values.get("best_match_hz", figures.best_match_hz),
        best_match_swr=values.get("best_match_swr", figures.best_match_swr),
        swr_low_edge=values.get("swr_low_edge", figures.swr_low_edge),
        swr_high_edge=values.get("swr_high_edge", figures.swr_high_edge),
        worst_swr=values.get("worst_swr", figures.worst_swr),
        worst_mismatch_loss_db=values.get("worst_mismatch_loss_db", figures.worst_mismatch_loss_db),
        q=values.get("q", figures.q),
    )


def _of_figures(figures: Figures, known: Mapping[str, _Known]) -> dict[str, Intervals]:
    shown = {key: _figure(figures, key) for key in known}
    return {
        key: _holding(value, known[key].intervals)
        for key, value in shown.items()
        if value is not None
    }


@dataclass(slots=True)
class _Work:
    analysis: Analysis
    noise: float
    errors: PointErrors | None
    guess: int = _GUESS
    known: dict[float, Placed | None] = field(default_factory=dict)

    def guess_from(self, figures: Figures) -> None:
        """A window is about as wide as the segment."""
        segment = figures.main_segment
        if segment is not None:
            self.guess = max(3, int((segment.high_hz - segment.low_hz) / self.analysis.step_hz))

    def around(self, at_hz: float) -> Placed | None:
        if at_hz not in self.known:
            fit = self.known[at_hz] = self._fit(at_hz)
            if fit is not None:
                # The window was the widest good one, less two steps of a root of two.
                self.guess = 2 * fit.half_width
        return self.known[at_hz]

    def _fit(self, at_hz: float) -> Placed | None:
        track, noise = self.analysis.track, self.noise
        frequency_hz, curve = track.frequency_hz, track.smooth
        index = nearest(frequency_hz, at_hz)
        farthest = max(index, frequency_hz.size - 1 - index)
        if curve is None:
            rho: FloatArray = np.sqrt(track.power)
            return fit_place(
                lambda half: fit_scalar(frequency_hz, rho, noise, at_hz, half),
                noise,
                farthest,
                self.guess,
            )
        return fit_place(
            lambda half: fit_local(frequency_hz, curve, at_hz, half), noise, farthest, self.guess
        )

    def bound(self, estimate: Estimate) -> float | None:
        """Most that the analyzer moves a figure; None if its errors are not known."""
        if self.errors is None:
            return None
        influence, analysis = estimate.influence, self.analysis
        at = analysis.frequency_hz.searchsorted(
            analysis.track.frequency_hz[influence.start : influence.stop]
        )
        if analysis.reflection is None:
            return float(np.abs(influence.c) @ self.errors.bound[at])
        return sum(abs(complex(np.vdot(influence.c, term[at]))) for term in self.errors.terms)

    def around_value(self, estimate: Estimate, pushed: float = 0.0) -> _Known:
        """A figure with intervals; ``pushed`` is what noise may have added to it in the mean."""
        value, half, bound = estimate.value, estimate.half_width, self.bound(estimate)
        wider = half if bound is None or self.errors is None else self.combined(half, bound)
        return _Known(
            value,
            Intervals(
                Interval(value - pushed - half, value + half),
                None if bound is None else Interval(value - pushed - wider, value + wider),
            ),
        )

    def combined(self, half: float, bound: float) -> float:
        """Half width of an interval from the noise's and the analyzer's bound."""
        return half if self.errors is None else self.errors.model.combined(half, bound)

    def swr_at(self, at_hz: float) -> _Known | None:
        """The SWR at a frequency."""
        fit = self.around(at_hz)
        if fit is None:
            return None
        estimate = magnitude_at(fit, self.noise, at_hz)
        added = _CHANCE * estimate.uncertainty**2
        return _as_swr(self.around_value(estimate, self.pushed(estimate, added)))

    def pushed(self, estimate: Estimate, added: float) -> float:
        """How far a |G| may lie too high where noise adds so much to |G|^2."""
        if self.analysis.reflection is None:
            # Every single |G| of a scalar sweep is too high in the mean, and a fit cannot help.
            added = _SCALAR * estimate.noise**2
        return estimate.value - math.sqrt(max(estimate.value**2 - added, 0.0))


def _figure(figures: Figures, key: str) -> float | None:
    segment = figures.main_segment
    if segment is not None and key in ("usable_low_hz", "usable_high_hz"):
        return segment.low_hz if key == "usable_low_hz" else segment.high_hz
    value: float | None = getattr(figures, key)
    return value


def _holding(value: float, own: Intervals) -> Intervals:
    """The intervals, made to hold the figure that is shown."""
    one, other = (
        None if part is None else Interval(min(part.low, value), max(part.high, value))
        for part in (own.repeatability, own.accuracy)
    )
    return Intervals(one, other)


def _mapped(own: _Known, of: Callable[[float], float]) -> _Known:
    one, other = (
        None if part is None else Interval(of(part.low), of(part.high))
        for part in (own.intervals.repeatability, own.intervals.accuracy)
    )
    return _Known(of(own.value), Intervals(one, other))


def _as_swr(own: _Known) -> _Known:
    return _mapped(own, _swr)


def _not_negative(value: float) -> float:
    return max(value, 0.0)


def _swr(rho: float) -> float:
    return math.inf if rho >= 1 else swr_of_one(max(rho, 0.0))


def _loss_db(ratio: float) -> float:
    return float(mismatch_loss_db(magnitude_from_swr(ratio)))


def _add_match(found: dict[str, _Known], work: _Work, figures: Figures) -> None:
    best_hz = figures.best_match_hz
    if best_hz is None or figures.best_match_at_end:
        return
    fit = work.around(best_hz)
    best = None if fit is None else turning_point(fit, work.noise)
    if best is not None:
        found["best_match_hz"] = work.around_value(best[0])
        found["best_match_swr"] = _as_swr(work.around_value(best[1], work.pushed(best[1], 0.0)))
    if figures.q_hz is None:
        return
    if fit is None or abs(fit.t(figures.q_hz)) > _SHARED:
        fit = work.around(figures.q_hz)
    if isinstance(fit, LocalFit):
        analysis = work.analysis
        q = q_estimate(fit, work.noise, figures.q_hz, analysis.z0_ohm, analysis.track.delay_s)
        if q is not None:
            found["q"] = _mapped(work.around_value(q), _not_negative)


def _add_edges(found: dict[str, _Known], work: _Work, figures: Figures, band: Band) -> None:
    """SWR at both edges, and the worst: the largest of them and of a turning point between."""
    places = []
    for key, at_hz in (("swr_low_edge", band.low_hz), ("swr_high_edge", band.high_hz)):
        if getattr(figures, key) is not None:
            own = work.swr_at(at_hz)
            places.append(own)
            if own is not None:
                found[key] = own
    worst_hz = figures.worst_hz
    if figures.worst_swr is None or worst_hz is None:
        return
    if all(abs(worst_hz - edge_hz) > _SAME * worst_hz for edge_hz in (band.low_hz, band.high_hz)):
        fit = work.around(worst_hz)
        top = None if fit is None else turning_point(fit, work.noise, least=False)
        places.append(work.swr_at(worst_hz) if top is None else _as_swr(work.around_value(top[1])))
    known = [one for one in places if one is not None]
    if len(known) == len(places):
        worst = found["worst_swr"] = _Known(
            max(one.value for one in known),
            Intervals(
                _largest([one.intervals.repeatability for one in known]),
                _largest([one.intervals.accuracy for one in known]),
            ),
        )
        found["worst_mismatch_loss_db"] = _mapped(worst, _loss_db)


def _largest(intervals: Sequence[Interval | None]) -> Interval | None:
    known = [one for one in intervals if one is not None]
    if not known:
        return None
    return Interval(max(one.low for one in known), max(one.high for one in known))


def _add_segment(found: dict[str, _Known], work: _Work, figures: Figures, limit: float) -> None:
    segment, best_hz = figures.main_segment, figures.best_match_hz
    if segment is None or best_hz is None:
        return
    ends: list[tuple[Estimate, Interval | None]] = []
    for key, at_hz, is_open in (
        ("usable_low_hz", segment.low_hz, segment.low_is_open),
        ("usable_high_hz", segment.high_hz, segment.high_is_open),
    ):
        fit = None if is_open else work.around(at_hz)
        end = None if fit is None else crossing(fit, work.noise, limit)
        if end is not None:
            found[key] = _end(work, end, limit, best_hz)
            ends.append((end[0], found[key].intervals.accuracy))
    if len(ends) == 2:
        (low, at_low), (high, at_high) = ends
        found["usable_width_hz"] = _width(work, high.minus(low), at_low, at_high)


def _end(work: _Work, end: tuple[Estimate, float], limit: float, best_hz: float) -> _Known:
    """An end of the segment with the best match.

    A bound that is small moves it by the bound over the slope of |G|; a larger one, to where the
    curve crosses the limit less and plus the bound.
    """
    estimate, slope = end
    own = work.around_value(estimate)
    bound = work.bound(estimate)
    if bound is None:
        return own
    depth = limit - math.sqrt(work.analysis.track.power_at_one(best_hz))
    rho_bound = bound * abs(slope)
    if rho_bound <= _SMALL * depth:
        return own
    nearer, farther = (
        work.combined(
            estimate.half_width,
            abs(
                estimate.value
                - _outwards(work.analysis, best_hz, limit + side * rho_bound, rises=slope > 0)
            ),
        )
        for side in (-1, 1)
    )
    below, above = (nearer, farther) if slope > 0 else (farther, nearer)
    accuracy = Interval(estimate.value - below, estimate.value + above)
    return _Known(own.value, Intervals(own.intervals.repeatability, accuracy))


def _outwards(analysis: Analysis, from_hz: float, level: float, *, rises: bool) -> float:
    """Where the points first exceed a level on the way from a frequency up (or down).

    That frequency itself if they exceed it there; infinity if they never do.
    """
    track = analysis.track
    part = track.frequency_hz > from_hz if rises else track.frequency_hz < from_hz
    hz, power = track.frequency_hz[part], track.power[part]
    if not rises:
        hz, power = hz[::-1], power[::-1]
    hz = np.concatenate(([from_hz], hz))
    rho: FloatArray = np.sqrt(np.concatenate(([track.power_at_one(from_hz)], power)))
    over = np.flatnonzero(rho >= level)
    if over.size == 0:
        return math.inf if rises else -math.inf
    first = int(over[0])
    if first == 0:
        return from_hz
    share = (level - rho[first - 1]) / (rho[first] - rho[first - 1])
    return float(hz[first - 1] + share * (hz[first] - hz[first - 1]))


def _width(work: _Work, width: Estimate, low: Interval | None, high: Interval | None) -> _Known:
    own = _mapped(work.around_value(width), _not_negative)
    accuracy = own.intervals.accuracy
    if accuracy is None or low is None or high is None:
        return own
    # The ends may not move evenly; then the sum of what each does is the bound.
    narrowest, widest = _not_negative(high.low - low.high), high.high - low.low
    either = Interval(min(accuracy.low, narrowest), max(accuracy.high, widest))
    return _Known(own.value, Intervals(own.intervals.repeatability, either))
