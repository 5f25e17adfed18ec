"""The intervals of a sweep's figures: from its noise, and from the analyzer's errors.

*Repeatability* contains the noise-free figure of the same sweep in 95 of 100 cases (measured:
tests/bench/coverage.py). *Accuracy* adds the analyzer's errors. Each of them has a known shape
along the sweep and one unknown phase, and the influence of the points gives its effect on a
figure: about D f/Q on the best match, D on |G| at an edge, and D over the slope of |G| on the end
of a segment. Noise is combined with them by the root of the sum of squares if the errors are
guaranteed bounds, which covers 92 to 95 % when an error is as large as its bound, and added to them
if they are the actual errors.

If no fit agrees with the noise there is no interval, but the figure remains. An interval always
contains the figure shown, which comes from fewer points than the fit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fairlead.core.reflection import loss_of_swr_db, magnitude_from_swr, swr_of_one
from fairlead.core.uncertainty.at_resonance import add_resonances
from fairlead.core.uncertainty.estimates import q_estimate, turning_point
from fairlead.core.uncertainty.figure_fits import (
    SHARED,
    FigureFits,
    FittedFigure,
    holding,
    mapped,
    not_negative,
)
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.uncertainty.local_fit import LocalFit
from fairlead.core.uncertainty.noise import NOISE_SIGMAS
from fairlead.core.uncertainty.quantiles import NORMAL_95
from fairlead.core.uncertainty.segment_ends import add_segments
from fairlead.core.uncertainty.traced_figures import traced_known
from fairlead.core.uncertainty.typed_readings import typed_known

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.error_model import PointErrors

# -100 dB: anything below is rounding of a computed sweep, whose intervals are tiny.
_LEAST_NOISE = 1e-5
# Further segments and resonances besides that of the best match: each costs a fit or two.
_MOST_FURTHER = 3
# Frequencies that differ by less than this share are the same.
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Assessment:
    """Figures according to all points around them, and how well they are known.

    Attributes
    ----------
    figures : Figures
        With the values of the fit where there is one: less noisy than a few points.
    intervals : mapping of str to Intervals
        By JSON key: best_match_hz, best_match_swr, swr_low_edge, swr_high_edge, usable_low_hz,
        usable_high_hz (ends of the segment with the best match), usable_width_hz, worst_swr,
        worst_mismatch_loss_db, q, resonance_hz, resonance_resistance_ohm; those of a few further
        segments and resonances with their number ("usable_2_low_hz"). A figure without an interval
        has no key. SWR intervals may extend to infinity.
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
    """Refine the figures of a sweep in a band, and find their intervals.

    Parameters
    ----------
    analysis : Analysis
    figures : Figures
        Of that analysis in that band and at that limit.
    band : Band
    limit_swr : float
    errors : PointErrors, optional
        Of the analyzer, along ``analysis.frequency_hz``; without them there is no accuracy.
    """
    known = _known(analysis, figures, band, limit_swr, errors)
    refined = figures if analysis.sigma < _LEAST_NOISE else _refined(figures, band, known)
    return Assessment(refined, _of_figures(refined, known))


def _known(
    analysis: Analysis,
    figures: Figures,
    band: Band,
    limit_swr: float,
    errors: PointErrors | None,
) -> dict[str, FittedFigure]:
    if analysis.typed is not None:
        return typed_known(analysis, figures, band, limit_swr, errors)
    if analysis.noise.sigma is None or analysis.is_bound is not None:
        # Too few points, or too far apart, to separate noise from curve: no fit can be judged. Nor
        # can a fit take lower bounds into account.
        return {}
    traced = analysis.traced
    if traced is not None:
        errors = None
    is_known = errors is not None and errors.model.is_known
    fits = FigureFits(analysis, max(analysis.sigma, _LEAST_NOISE), errors if is_known else None)
    fits.guess_from(figures)
    found: dict[str, FittedFigure] = {}
    _add_match(found, fits, figures)
    _add_edges(found, fits, figures, band)
    if "worst_swr" in found:
        worst = _up_to_the_highest_point(found["worst_swr"], analysis, band)
        found |= {"worst_swr": worst, "worst_mismatch_loss_db": mapped(worst, loss_of_swr_db)}
    add_segments(found, fits, figures, float(magnitude_from_swr(limit_swr)), _MOST_FURTHER)
    add_resonances(found, fits, figures, _MOST_FURTHER)
    return found if traced is None else traced_known(analysis, traced, figures, band, found)


def _refined(figures: Figures, band: Band, known: Mapping[str, FittedFigure]) -> Figures:
    values = {key: one.value for key, one in known.items() if math.isfinite(one.value)}
    best_hz = values.get("best_match_hz")
    if best_hz is not None and figures.best_match_hz is not None:
        # The dip that belongs to the band must stay on its side of the band edges.
        sides = [(hz >= band.low_hz, hz > band.high_hz) for hz in (best_hz, figures.best_match_hz)]
        if sides[0] != sides[1]:
            values.pop("best_match_hz")
    usable = {
        id(one): replace(
            one,
            low_hz=values.get(f"{name}low_hz", one.low_hz),
            high_hz=values.get(f"{name}high_hz", one.high_hz),
        )
        for name, one in figures.named_segments
    }
    resonances = {
        id(one): replace(
            one,
            frequency_hz=values.get(f"{name}hz", one.frequency_hz),
            resistance_ohm=values.get(f"{name}resistance_ohm", one.resistance_ohm),
        )
        for name, one in figures.named_resonances
    }
    return replace(
        figures,
        usable=tuple(usable.get(id(one), one) for one in figures.usable),
        resonances=tuple(resonances.get(id(one), one) for one in figures.resonances),
        highest_swr=values.get("worst_swr", figures.highest_swr),
        best_match_hz=values.get("best_match_hz", figures.best_match_hz),
        best_match_swr=values.get("best_match_swr", figures.best_match_swr),
        swr_low_edge=values.get("swr_low_edge", figures.swr_low_edge),
        swr_high_edge=values.get("swr_high_edge", figures.swr_high_edge),
        worst_swr=values.get("worst_swr", figures.worst_swr),
        worst_mismatch_loss_db=values.get("worst_mismatch_loss_db", figures.worst_mismatch_loss_db),
        q=values.get("q", figures.q),
    )


def _of_figures(figures: Figures, known: Mapping[str, FittedFigure]) -> dict[str, Intervals]:
    placed: dict[str, float | None] = {}
    for name, segment in figures.named_segments:
        placed |= {f"{name}low_hz": segment.low_hz, f"{name}high_hz": segment.high_hz}
    for name, one in figures.named_resonances:
        placed |= {f"{name}hz": one.frequency_hz, f"{name}resistance_ohm": one.resistance_ohm}
    shown = {key: placed[key] if key in placed else getattr(figures, key, None) for key in known}
    return {
        key: holding(value, known[key].intervals)
        for key, value in shown.items()
        if value is not None
    }


def _add_match(found: dict[str, FittedFigure], fits: FigureFits, figures: Figures) -> None:
    best_hz = figures.best_match_hz
    if best_hz is None or figures.best_match_at_end:
        return
    fit = fits.around(best_hz)
    best = None if fit is None else turning_point(fit, fits.noise)
    if best is not None:
        found["best_match_hz"] = fits.around_value(best[0])
        found["best_match_swr"] = fits.swr_of(best[1], fits.pushed(best[1], 0.0))
    if figures.q_hz is None:
        return
    if fit is None or abs(fit.t(figures.q_hz)) > SHARED:
        fit = fits.around(figures.q_hz)
    if isinstance(fit, LocalFit):
        analysis = fits.analysis
        q = q_estimate(fit, fits.noise, figures.q_hz, analysis.z0_ohm, analysis.track.delay_s)
        if q is not None:
            found["q"] = mapped(fits.around_value(q), not_negative)


def _add_edges(
    found: dict[str, FittedFigure], fits: FigureFits, figures: Figures, band: Band
) -> None:
    """SWR at both edges, and the worst SWR: the larger of them or that at a maximum in between."""
    places = []
    for key, at_hz in (("swr_low_edge", band.low_hz), ("swr_high_edge", band.high_hz)):
        if getattr(figures, key) is not None:
            own = fits.swr_at(at_hz)
            places.append(own)
            if own is not None:
                found[key] = own
    worst_hz = figures.worst_hz
    if figures.worst_swr is None or worst_hz is None:
        return
    if all(abs(worst_hz - edge_hz) > _SAME * worst_hz for edge_hz in (band.low_hz, band.high_hz)):
        fit = fits.around(worst_hz)
        top = None if fit is None else turning_point(fit, fits.noise, least=False)
        places.append(fits.swr_at(worst_hz) if top is None else fits.swr_of(top[1], 0.0))
    known = [one for one in places if one is not None]
    if len(known) == len(places):
        found["worst_swr"] = FittedFigure(
            max(one.value for one in known),
            Intervals(
                _largest([one.intervals.repeatability for one in known]),
                _largest([one.intervals.accuracy for one in known]),
            ),
        )


def _up_to_the_highest_point(worst: FittedFigure, analysis: Analysis, band: Band) -> FittedFigure:
    """The worst SWR; where no point stands out from the noise its interval reaches the highest one.

    What is all noise by its size may as well be a ripple that turns too far from point to point:
    no fit can tell.
    """
    hz, sigma = analysis.track.frequency_hz, analysis.sigma
    power = analysis.track.power[(hz >= band.low_hz) & (hz <= band.high_hz)]
    highest = math.sqrt(float(power.max(initial=0.0)))
    if highest > NOISE_SIGMAS * sigma:
        return worst
    least = swr_of_one(min(1.0, highest + NORMAL_95 * sigma))
    return replace(
        worst,
        intervals=Intervals(
            *(
                None if one is None else replace(one, high=max(one.high, least))
                for one in (worst.intervals.repeatability, worst.intervals.accuracy)
            )
        ),
    )


def _largest(intervals: Sequence[Interval | None]) -> Interval | None:
    known = [one for one in intervals if one is not None]
    if not known:
        return None
    return Interval(max(one.low for one in known), max(one.high for one in known))
