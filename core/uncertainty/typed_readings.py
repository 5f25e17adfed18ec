"""Intervals of a few typed readings, whose uncertainty is that of the last digit.

A reading may be off by up to half its last digit, equally likely anywhere: each is moved by that
much, and the effects on a figure add up to its bound. Their root sum of squares over the root of 3
(a rectangular distribution, JCGM 100:2008, 4.3.7, from memory) is its standard uncertainty. Three
readings fit a parabola exactly, so nothing tests it; with four or more, the residual widens the
intervals.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import loss_of_swr_db, magnitude_from_swr, swr_of_one
from fairlead.core.uncertainty.figure_fits import FittedFigure
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.uncertainty.rounded import TESTED, fit_parabola

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.error_model import PointErrors
    from fairlead.core.uncertainty.rounded import Parabola

_QUANTILE = 1.96
_HALF_STEP = 0.5


def typed_known(
    analysis: Analysis,
    figures: Figures,
    band: Band,
    limit_swr: float,
    errors: PointErrors | None,
) -> dict[str, FittedFigure]:
    """The figures of typed readings with their intervals.

    Parameters
    ----------
    analysis : Analysis
        With ``typed`` and ``rounding``.
    figures : Figures
        Of that analysis.
    band : Band
    limit_swr : float
    errors : PointErrors or None
        Of the meter, along ``analysis.frequency_hz``.

    Returns
    -------
    dict of str to FittedFigure
        By JSON key: with three readings the best match and its SWR, with four or more all figures.
    """
    typed, rounding = analysis.typed, analysis.rounding
    if typed is None or rounding is None or figures.best_match_hz != typed.bottom[0]:
        return {}
    hz, rho = analysis.frequency_hz, np.sqrt(analysis.power)
    values = _figures(typed, figures, band, limit_swr)
    half_step = rounding.magnitude_step(rho) / 2 * max(1.0, typed.misfit / _HALF_STEP)
    moves: list[dict[str, float]] = []
    for index, half in enumerate(half_step):
        both = []
        for side in (-half, half):
            moved = rho.copy()
            moved[index] = min(max(moved[index] + side, 0.0), 1 - 1e-6)
            other = fit_parabola(hz, moved, rounding, typed.at_hz)
            both.append({} if other is None else _figures(other, figures, band, limit_swr))
        # If half a digit can make a figure disappear, it has no bound.
        moves.append(
            {
                key: max(abs(one.get(key, math.inf) - value) for one in both)
                for key, value in values.items()
            }
        )
    found = {}
    for key, value in values.items():
        by_reading = np.array([move[key] for move in moves])
        if np.isfinite(by_reading).all():
            found[key] = _known(key, value, by_reading, half_step, errors)
    return found


def _figures(
    parabola: Parabola, figures: Figures, band: Band, limit_swr: float
) -> dict[str, float]:
    best_hz, power = parabola.bottom
    found = {"best_match_hz": best_hz, "best_match_swr": _swr(power)}
    if figures.points < TESTED:
        return found
    places = {
        "swr_low_edge": band.low_hz if figures.swr_low_edge is not None else None,
        "swr_high_edge": band.high_hz if figures.swr_high_edge is not None else None,
        "worst_swr": figures.worst_hz,
    }
    for key, at_hz in places.items():
        if at_hz is not None:
            found[key] = _swr(float(parabola.power(np.array([at_hz]))[0]))
    if "worst_swr" in found:
        found["worst_mismatch_loss_db"] = loss_of_swr_db(found["worst_swr"])
    segment = figures.main_segment
    ends = parabola.ends_hz(float(magnitude_from_swr(limit_swr)))
    if segment is not None and ends is not None:
        if not segment.low_is_open:
            found["usable_low_hz"] = ends[0]
        if not segment.high_is_open:
            found["usable_high_hz"] = ends[1]
        if segment.width_hz is not None:
            found["usable_width_hz"] = ends[1] - ends[0]
    return found


def _known(
    key: str, value: float, moves: FloatArray, half_step: FloatArray, errors: PointErrors | None
) -> FittedFigure:
    half = min(float(moves.sum()), _QUANTILE * math.sqrt(float((moves**2).sum()) / 3))
    least = 1.0 if "swr" in key else 0.0
    repeatability = Interval(max(value - half, least), value + half)
    if errors is None or not errors.model.is_known:
        return FittedFigure(value, Intervals(repeatability))
    bound = errors.model.combined(half, float(moves / half_step @ errors.bound))
    return FittedFigure(
        value, Intervals(repeatability, Interval(max(value - bound, least), value + bound))
    )


def _swr(power: float) -> float:
    return swr_of_one(math.sqrt(power))
