"""Whether a sweep stays within the limit over the whole band: yes, no, or cannot tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Protocol

from fairlead.core.reflection import swr_of_one
from fairlead.core.units import format_mhz, format_swr, mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.bands import Band
    from fairlead.core.uncertainty.noise import Noise

Covers = Literal["yes", "no", "cannot tell"]

# Within this many standard deviations of the noise of the limit, there is no verdict (95 %).
_SIGMAS = 2.0
_ROUNDING = 1e-9
SCALE = "what the meter could show"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer with its reason.

    Attributes
    ----------
    covers : "yes", "no" or "cannot tell"
        Whether the SWR stays at or below the limit from one edge of the band to the other.
    reason : str
        One sentence with its numbers.
    is_pending : bool
        It cannot be told yet: the checks are still running.
    """

    covers: Covers
    reason: str
    is_pending: bool = False


PENDING = Verdict(
    "cannot tell", "not settled yet: the checks of this sweep are still running", is_pending=True
)
"""In a window, until it is known whether a check undermines the answer."""


@dataclass(frozen=True, slots=True)
class Within:
    """The range of the true highest SWR.

    Attributes
    ----------
    low, high : float
        Either may be infinite.
    cause : str
        Why it is not known better: "the noise".
    """

    low: float
    high: float
    cause: str


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a final verdict is based on besides the figures, at any limit.

    Attributes
    ----------
    within : Within or None
        None: within the noise of a point.
    doubts : mapping of str to str
        What the checks cannot rule out, by the answer it undermines, "yes" or "no".
    """

    within: Within | None
    doubts: Mapping[Covers, str]


class Judged(Protocol):
    """The parts of `fairlead.core.figures.Figures` that a verdict needs, all in the band."""

    @property
    def step_hz(self) -> float:
        """Median spacing of the points."""

    @property
    def low_hz(self) -> float:
        """Where the sweep begins."""

    @property
    def high_hz(self) -> float:
        """Where the sweep ends."""

    @property
    def covers_band(self) -> bool:
        """Whether the sweep reaches from edge to edge."""

    @property
    def highest_swr(self) -> float | None:
        """Highest SWR seen."""

    @property
    def highest_hz(self) -> float | None:
        """Its frequency; None if nothing was seen."""

    @property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Spans in Hz whose points are too far apart."""

    @property
    def points_wanted(self) -> int | None:
        """How many points would leave no gap."""

    @property
    def noise(self) -> Noise:
        """Of the reflection."""

    @property
    def is_off_scale(self) -> bool:
        """Whether the highest SWR is only a lower bound, off the end of the meter's scale."""


def verdict(
    figures: Judged, band: Band, limit_swr: float, grounds: Grounds | None = None
) -> Verdict:
    """Judge a sweep in a band.

    Parameters
    ----------
    figures : Figures
        In this band and at this limit.
    band : Band
    limit_swr : float
    grounds : Grounds, optional
        None: the highest SWR is known within the noise of a point, and there are no doubts.

    Returns
    -------
    Verdict
    """
    found = _measured(figures, band, limit_swr, None if grounds is None else grounds.within)
    doubt = "" if grounds is None else grounds.doubts.get(found.covers, "")
    return Verdict("cannot tell", f"{found.reason}; but {doubt}") if doubt else found


def _measured(figures: Judged, band: Band, limit_swr: float, within: Within | None) -> Verdict:
    """The verdict on the SWR as it was measured."""
    if figures.highest_hz is None:
        return Verdict("cannot tell", "the sweep has nothing in the band")
    place = f"at {format_mhz(figures.highest_hz, mhz_decimals(figures.step_hz))} MHz"
    if figures.highest_swr is None:
        return Verdict("cannot tell", f"|reflection| is above 1 {place}, which has no SWR")
    if within is None:
        within = _within_noise(figures.highest_swr, figures.noise.or_zero)
    found = f"SWR {format_swr(figures.highest_swr)} {place}"
    if figures.is_off_scale:
        within = Within(figures.highest_swr, math.inf, SCALE)
        place = "in a part of the band"
        found = f"SWR > {figures.highest_swr:.4g} {place}"
    limit = f"the limit of {limit_swr:.4g}"
    # A reading off a scale that ends at the limit is above the limit.
    if within.low > limit_swr or (figures.is_off_scale and within.low > limit_swr - _ROUNDING):
        return Verdict("no", f"{found}, over {limit}")
    doubt = _unseen(figures, band)
    if not doubt and within.high > limit_swr:
        ends = f"{format_swr(within.low)} and {format_swr(within.high)}"
        doubt = f"between SWR {ends} {place} within {within.cause}, with {limit} in that range"
    return Verdict("cannot tell", doubt) if doubt else Verdict("yes", f"at most {found}")


def _missing(figures: Judged, band: Band) -> list[str]:
    """The ends of the band that the sweep does not reach, and where it stops."""
    decimals = max(3, mhz_decimals(figures.step_hz))
    found = []
    if figures.low_hz > band.low_hz:
        found.append(f"it begins at {format_mhz(figures.low_hz, decimals)} MHz, above the low edge")
    if figures.high_hz < band.high_hz:
        found.append(f"it ends at {format_mhz(figures.high_hz, decimals)} MHz, below the high edge")
    return found


def _unseen(figures: Judged, band: Band) -> str:
    """The part of the band that was not seen; empty if all was."""
    if not figures.covers_band:
        edges = f"{format_mhz(band.low_hz, 3)} to {format_mhz(band.high_hz, 3)} MHz"
        missing = " and ".join(_missing(figures, band))
        return f"the sweep does not reach from edge to edge of the band, {edges}: {missing}"
    if figures.gaps:
        wanted = figures.points_wanted
        return f"points too far apart in the band: narrow the span or take {wanted} points"
    return ""


def _within_noise(swr: float, sigma: float) -> Within:
    if sigma == 0 or math.isinf(swr):
        # Without noise the value is exact; converting it to |G| and back would add rounding.
        return Within(swr, swr, "")
    rho = 1 - 2 / (swr + 1)  # for one number, without the overhead of an array
    low, high = max(0.0, rho - _SIGMAS * sigma), min(1.0, rho + _SIGMAS * sigma)
    return Within(swr_of_one(low), swr_of_one(high), "the noise")
