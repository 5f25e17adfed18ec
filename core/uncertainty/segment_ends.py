"""Intervals of the ends and the width of usable segments."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.estimates import crossing
from fairlead.core.uncertainty.figure_fits import FittedFigure, mapped, not_negative
from fairlead.core.uncertainty.interval import Interval, Intervals

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.analysis.segments import Segment
    from fairlead.core.arrays import FloatArray
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.estimates import Estimate
    from fairlead.core.uncertainty.figure_fits import FigureFits

# A bound of |G| above this share of the distance from the best match to the limit is not small;
# the ends are then found on the curve itself.
_SMALL = 0.2


def add_segments(
    found: dict[str, FittedFigure],
    fits: FigureFits,
    figures: Figures,
    limit: float,
    most_further: int,
) -> None:
    """The ends of the segment with the best match, its width, and the ends of some further ones.

    Parameters
    ----------
    found : dict of str to FittedFigure
        Receives ``usable_low_hz``, ``usable_high_hz``, ``usable_width_hz``, and from n = 2 on
        ``usable_{n}_low_hz`` and ``usable_{n}_high_hz``.
    fits : FigureFits
    figures : Figures
    limit : float
        As |G|.
    most_further : int
        Each costs two fits.
    """
    main = figures.main_segment
    for name, segment in figures.named_segments[: most_further + (main is not None)]:
        best_hz = figures.best_match_hz if segment is main else None
        if best_hz is None:
            best_hz = _bottom_hz(fits.analysis, segment)
        ends = _add_ends(found, fits, segment, best_hz, limit, name)
        if segment is main and len(ends) == 2:
            (low, at_low), (high, at_high) = ends
            found["usable_width_hz"] = _width(fits, high.minus(low), at_low, at_high)


def _add_ends(
    found: dict[str, FittedFigure],
    fits: FigureFits,
    segment: Segment,
    best_hz: float,
    limit: float,
    prefix: str,
) -> list[tuple[Estimate, Interval | None]]:
    ends: list[tuple[Estimate, Interval | None]] = []
    for name, at_hz, is_open in (
        ("low_hz", segment.low_hz, segment.low_is_open),
        ("high_hz", segment.high_hz, segment.high_is_open),
    ):
        fit = None if is_open else fits.around(at_hz)
        end = None if fit is None else crossing(fit, fits.noise, limit)
        if end is not None:
            own = found[prefix + name] = _end(fits, end, limit, best_hz)
            ends.append((end[0], own.intervals.accuracy))
    return ends


def _bottom_hz(analysis: Analysis, segment: Segment) -> float:
    """The point of a segment with the least |G|; its middle if it has none."""
    track = analysis.track
    ends = track.frequency_hz.searchsorted([segment.low_hz, segment.high_hz])
    part = slice(*ends.tolist())
    if part.start == part.stop:
        return (segment.low_hz + segment.high_hz) / 2
    return float(track.frequency_hz[part][track.power[part].argmin()])


def _end(
    fits: FigureFits, end: tuple[Estimate, float], limit: float, best_hz: float
) -> FittedFigure:
    """An end of the segment with the best match.

    A small bound moves the end by the bound over the slope of |G|; a larger one moves it to where
    the curve crosses the limit minus and plus the bound.
    """
    estimate, slope = end
    own = fits.around_value(estimate)
    bound = fits.bound(estimate)
    if bound is None:
        return own
    depth = limit - math.sqrt(fits.analysis.track.power_at_one(best_hz))
    rho_bound = bound * abs(slope)
    if rho_bound <= _SMALL * depth:
        return own
    nearer, farther = (
        fits.combined(
            estimate.half_width,
            abs(
                estimate.value
                - _outwards(fits.analysis, best_hz, limit + side * rho_bound, rises=slope > 0)
            ),
        )
        for side in (-1, 1)
    )
    below, above = (nearer, farther) if slope > 0 else (farther, nearer)
    accuracy = Interval(estimate.value - below, estimate.value + above)
    return FittedFigure(own.value, Intervals(own.intervals.repeatability, accuracy))


def _outwards(analysis: Analysis, from_hz: float, level: float, *, rises: bool) -> float:
    """Where the points first exceed a level, going up (or down) from a frequency.

    The frequency itself if the level is exceeded at it; infinity if it never is.
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


def _width(
    fits: FigureFits, width: Estimate, low: Interval | None, high: Interval | None
) -> FittedFigure:
    own = mapped(fits.around_value(width), not_negative)
    accuracy = own.intervals.accuracy
    if accuracy is None or low is None or high is None:
        return own
    # The ends may move unequally; the bound is then the sum of both movements.
    narrowest, widest = not_negative(high.low - low.high), high.high - low.low
    either = Interval(min(accuracy.low, narrowest), max(accuracy.high, widest))
    return FittedFigure(own.value, Intervals(own.intervals.repeatability, either))
