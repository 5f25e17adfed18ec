"""SWR at a frequency and the worst SWR: a number, a lower bound, or why there is none."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fairlead.core.in_band.part import NOTHING, is_supported, too_far_apart
from fairlead.core.reflection import UNITY_TOLERANCE, swr_of_one
from fairlead.core.uncertainty.noise import NOT_TO_SPEAK_OF

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.in_band.part import BandPart

ABOVE_ONE = "|reflection| is above 1 there: more comes back than was sent"
NO_POWERS: Mapping[float, float] = {}
_NOT_COVERED = "the sweep does not cover the band"
_OUTSIDE = "outside the sweep"
# Where 1 - |G| is less than this many standard deviations, the SWR is only a lower bound.
_BOUND_SIGMAS = 2.0


@dataclass(frozen=True, slots=True)
class SwrOrReason:
    """An SWR, or the reason why there is none; with ``is_bound`` it is a lower bound."""

    value: float | None
    why_not: str = ""
    is_bound: bool = False


def swr_of_power(analysis: Analysis, power: float) -> SwrOrReason:
    """SWR from |reflection|^2; only a lower bound if the noise is too large for more."""
    rho, sigma = math.sqrt(power), analysis.sigma
    margin = _BOUND_SIGMAS * sigma if sigma > NOT_TO_SPEAK_OF else 0.0
    if rho > 1 + margin + UNITY_TOLERANCE:
        return SwrOrReason(None, ABOVE_ONE)
    if rho > 1:
        # Infinite within the noise.
        return SwrOrReason(math.inf)
    if 1 - rho < margin:
        return SwrOrReason(swr_of_one(max(0.0, rho - margin)), is_bound=True)
    return SwrOrReason(swr_of_one(rho))


def as_bound(found: SwrOrReason) -> SwrOrReason:
    """The same as a lower bound, without the rounding errors of the conversion through |G|."""
    value = None if found.value is None else float(f"{found.value:.12g}")
    return replace(found, value=value, is_bound=True)


def edge_swr(
    analysis: Analysis, inside_hz: float | None, calm: Mapping[float, float] = NO_POWERS
) -> SwrOrReason:
    """SWR at a frequency of the sweep.

    Parameters
    ----------
    analysis : Analysis
    inside_hz : float or None
        None for a frequency outside the sweep.
    calm : mapping of float to float
        |reflection|^2 without noise, by frequency, where already known.
    """
    if inside_hz is None:
        return SwrOrReason(None, _OUTSIDE)
    if not is_supported(analysis, inside_hz):
        return SwrOrReason(None, too_far_apart(analysis))
    if analysis.track.is_bound_at(inside_hz):
        return as_bound(swr_of_power(analysis, analysis.track.least_power_at_one(inside_hz)))
    power = calm.get(inside_hz)
    return swr_of_power(
        analysis, analysis.track.calm_power_at_one(inside_hz) if power is None else power
    )


def no_worst(analysis: Analysis, part: BandPart | None, covers: bool) -> SwrOrReason:
    """Why there is no worst SWR: nothing in the band, points too far apart, or not covered."""
    if part is None:
        return SwrOrReason(None, NOTHING)
    return SwrOrReason(None, too_far_apart(analysis) if covers else _NOT_COVERED)


def worst_match(
    analysis: Analysis, part: BandPart, calm: Mapping[float, float]
) -> tuple[float, float]:
    """Frequency and |reflection|^2 of the worst match, without the noise that raises a maximum.

    ``calm`` holds |reflection|^2 at both ends of the part.
    """
    found_hz = float(part.hz[int(part.power.argmax())])
    found = dict(calm)
    if found_hz not in found:
        found[found_hz] = analysis.track.calm_power_at_one(found_hz)
    found |= {
        hz: analysis.track.least_power_at_one(hz) for hz in found if analysis.track.is_bound_at(hz)
    }
    worst_hz = max(sorted(found), key=found.__getitem__)
    return worst_hz, found[worst_hz]


def mismatch_loss_db(ratio: float) -> float:
    """Mismatch loss of an SWR: 1 - |G|^2 = 4 s / (s + 1)^2."""
    return math.inf if math.isinf(ratio) else 10 * math.log10((ratio + 1) ** 2 / (4 * ratio))
