"""Intervals of the figures of a sweep that was traced from a picture.

Its errors are alike from point to point (a click moves the whole axis, a line is several columns
thick), so that no fit can average them out: a value has the uncertainty stated at its frequency, an
end of a segment that uncertainty over the slope, and the bottom of a dip that of a fit whose points
count as many times fewer as they share their errors. The frequency axis adds its own to each
frequency. The law of propagation: JCGM 100:2008, 5.1 (from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import loss_of_swr_db, magnitude_from_swr, swr_of_one
from fairlead.core.uncertainty.figure_fits import FittedFigure, mapped
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.uncertainty.quantiles import NORMAL_95
from fairlead.core.uncertainty.traced_dip import traced_dip

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band
    from fairlead.core.figures import Figures
    from fairlead.core.traced import Traced

# |G| a hertz; anything less is level.
_LEVEL = 1e-15
# Not from fits that take the points as independent.
_OWN = {
    "best_match_hz",
    "best_match_swr",
    "swr_low_edge",
    "swr_high_edge",
    "worst_swr",
    "worst_mismatch_loss_db",
}


def traced_known(
    analysis: Analysis,
    traced: Traced,
    figures: Figures,
    band: Band,
    fitted: Mapping[str, FittedFigure],
) -> dict[str, FittedFigure]:
    """The figures of a traced sweep with what the picture leaves open.

    Parameters
    ----------
    analysis : Analysis
    traced : Traced
    figures : Figures
        Of that analysis in that band.
    band : Band
    fitted : mapping of str to FittedFigure
        According to fits, as for a measured sweep whose points are independent.

    Returns
    -------
    dict of str to FittedFigure
        By JSON key, each with a bound on its error (``accuracy``).
    """
    found: dict[str, FittedFigure] = {}
    for key, own in fitted.items():
        if key not in _OWN and not key.startswith("usable"):
            found[key] = _wider(own, math.sqrt(traced.alike_points), _added(key, traced))
    best_hz = figures.best_match_hz
    if best_hz is not None and not figures.best_match_at_end:
        dip = traced_dip(analysis.frequency_hz, analysis.power, traced, best_hz)
        if dip is not None:
            half = NORMAL_95 * math.hypot(dip.sigma_hz, traced.frequency_sigma_hz)
            found["best_match_hz"] = _bounded(best_hz, best_hz - half, best_hz + half)
    places = {
        "best_match_swr": figures.best_match_hz,
        "swr_low_edge": band.low_hz,
        "swr_high_edge": band.high_hz,
        "worst_swr": figures.worst_hz,
    }
    for key, at_hz in places.items():
        shown = getattr(figures, key)
        if shown is not None and at_hz is not None and key not in figures.at_least:
            found[key] = _swr(shown, NORMAL_95 * _sigma(analysis, traced, at_hz))
    if "worst_swr" in found and figures.worst_mismatch_loss_db is not None:
        found["worst_mismatch_loss_db"] = mapped(found["worst_swr"], loss_of_swr_db)
    return found | _ends(analysis, traced, figures)


def _ends(analysis: Analysis, traced: Traced, figures: Figures) -> dict[str, FittedFigure]:
    """The ends of the segments below the limit, and the width of the first."""
    found: dict[str, FittedFigure] = {}
    for name, segment in figures.named_segments:
        low_hz, high_hz = segment.low_hz, segment.high_hz
        low = None if segment.low_is_open else _half_of_end(analysis, traced, low_hz)
        high = None if segment.high_is_open else _half_of_end(analysis, traced, high_hz)
        if low is not None:
            found[f"{name}low_hz"] = _bounded(low_hz, low_hz - low, low_hz + low)
        if high is not None:
            found[f"{name}high_hz"] = _bounded(high_hz, high_hz - high, high_hz + high)
        if name == "usable_" and low is not None and high is not None:
            width_hz, half = high_hz - low_hz, math.hypot(low, high)
            found["usable_width_hz"] = _bounded(
                width_hz, max(0.0, width_hz - half), width_hz + half
            )
    return found


def _added(key: str, traced: Traced) -> float:
    return NORMAL_95 * traced.frequency_sigma_hz if key.endswith("_hz") else 0.0


def _wider(own: FittedFigure, times: float, added: float) -> FittedFigure:
    ends = own.intervals.repeatability or Interval(own.value, own.value)
    low = math.hypot(times * (own.value - ends.low), added)
    high = math.hypot(times * (ends.high - own.value), added)
    return _bounded(own.value, own.value - low, own.value + high)


def _bounded(value: float, low: float, high: float) -> FittedFigure:
    return FittedFigure(value, Intervals(accuracy=Interval(low, high)))


def _sigma(analysis: Analysis, traced: Traced, at_hz: float) -> float:
    """Standard uncertainty of |G| at a frequency."""
    return float(np.interp(at_hz, analysis.frequency_hz, traced.sigma))


def _swr(value: float, half: float) -> FittedFigure:
    rho = float(magnitude_from_swr(max(value, 1.0)))
    high = math.inf if rho + half >= 1 else swr_of_one(rho + half)
    return _bounded(value, swr_of_one(max(0.0, rho - half)), high)


def _half_of_end(analysis: Analysis, traced: Traced, at_hz: float) -> float:
    """Half width of the interval of a frequency where |G| crosses a limit."""
    reach_hz = max(traced.alike_points, 2.0) * analysis.step_hz
    first, last = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    ends_hz = np.array([max(at_hz - reach_hz, first), min(at_hz + reach_hz, last)])
    rho = np.sqrt(analysis.power_at(ends_hz))
    slope = abs(float(rho[1] - rho[0])) / float(ends_hz[1] - ends_hz[0])
    along_hz = _sigma(analysis, traced, at_hz) / max(slope, _LEVEL)
    sigma_hz = math.hypot(along_hz, traced.frequency_sigma_hz)
    return NORMAL_95 * sigma_hz
