"""Bounds of the true worst SWR of a band, on which a verdict on the band is based.

They come from the interval of the worst SWR or, without one, from the noise of a point and the
analyzer's bound at that point. If |G| exceeds 1 anywhere, the sweep proves a relative error of that
size, which may affect other points as well.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fairlead.core.reflection import UNITY_TOLERANCE, swr_of_one
from fairlead.core.uncertainty.window_fit import nearest
from fairlead.core.verdict import SCALE, Within

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.error_model import PointErrors
    from fairlead.core.uncertainty.interval import Intervals

# 97.5 % quantile of the normal distribution.
_SIGMAS = 1.96
# Beyond this many standard deviations |G| above 1 is not noise (as in the check).
_ABOVE_SIGMAS = 4.0
_NOISE, _ANALYZER = "the noise", "the analyzer's error"
_LAST_DIGIT = "the last digit of the readings"
_PROVED = "an error as large as the |reflection| above 1 elsewhere proves"


def highest_within(
    analysis: Analysis,
    figures: Figures,
    intervals: Mapping[str, Intervals],
    errors: PointErrors | None,
) -> Within | None:
    """Bounds of the highest SWR measured in the band; None if there is none.

    Parameters
    ----------
    analysis : Analysis
    figures : Figures
        Of that analysis.
    intervals : mapping of str to Intervals
        Of those figures.
    errors : PointErrors or None
        Of the analyzer, along ``analysis.frequency_hz``.
    """
    if figures.highest_swr is None or figures.highest_hz is None:
        return None
    if figures.is_off_scale:
        return Within(figures.highest_swr, math.inf, SCALE)
    rho = _magnitude(figures.highest_swr)
    low, high, cause = _known(analysis, figures.highest_hz, rho, intervals, errors)
    share = _above_one(analysis)
    if share * rho > max(high - rho, rho - low):
        low, high, cause = rho * (1 - share), rho * (1 + share), _PROVED
    if low == high:
        # Converting to reflection and back would not return the same number.
        return Within(figures.highest_swr, figures.highest_swr, cause)
    return Within(_swr(low), _swr(high), cause)


def _known(
    analysis: Analysis,
    at_hz: float,
    rho: float,
    intervals: Mapping[str, Intervals],
    errors: PointErrors | None,
) -> tuple[float, float, str]:
    """Least and largest |G| at the worst point, and the cause of the doubt."""
    own = intervals.get("worst_swr")
    found = None if own is None else own.widest
    if own is not None and found is not None:
        cause = _LAST_DIGIT if analysis.typed is not None else _NOISE
        cause = cause if own.accuracy is None else _ANALYZER
        return _magnitude(found.low), _magnitude(found.high), cause
    half, cause = _SIGMAS * analysis.sigma, _NOISE
    if errors is not None and errors.model.is_known:
        bound = float(errors.bound[nearest(analysis.frequency_hz, at_hz)])
        half, cause = errors.model.combined(half, bound), _ANALYZER
    return rho - half, rho + half, cause


def _above_one(analysis: Analysis) -> float:
    """Largest relative excess of |G| over 1, beyond the noise."""
    excess = math.sqrt(analysis.power_range[0]) - 1
    return excess if excess > _ABOVE_SIGMAS * analysis.sigma + UNITY_TOLERANCE else 0.0


def _magnitude(swr: float) -> float:
    return 1.0 if math.isinf(swr) else 1 - 2 / (swr + 1)


def _swr(magnitude: float) -> float:
    return math.inf if magnitude >= 1 else swr_of_one(max(magnitude, 0.0))
