"""Whether a sweep stays within the limit in the whole band: yes, no, or cannot tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Protocol

from fairlead.core.reflection import swr_of_one
from fairlead.core.units import format_mhz, format_swr, mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.bands import Band
    from fairlead.core.uncertainty.interval import Intervals
    from fairlead.core.uncertainty.noise import Noise

Covers = Literal["yes", "no", "cannot tell"]

# Within so many standard deviations of the noise the limit is neither kept nor broken (95 %).
_SIGMAS = 2.0


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer with its reason.

    Attributes
    ----------
    covers : "yes", "no" or "cannot tell"
        The SWR stays at or under the limit from one edge of the band to the other.
    reason : str
        One sentence with its numbers.
    """

    covers: Covers
    reason: str


class Judged(Protocol):
    """What of `fairlead.core.figures.Figures` a verdict rests on, all in the band."""

    @property
    def step_hz(self) -> float:
        """Median distance of the points."""

    @property
    def covers_band(self) -> bool:
        """Whether the sweep reaches from edge to edge."""

    @property
    def highest_swr(self) -> float | None:
        """Largest SWR that was seen."""

    @property
    def highest_hz(self) -> float | None:
        """Its place; None if nothing was seen."""

    @property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Spans in Hz whose points are too far apart."""

    @property
    def points_wanted(self) -> int | None:
        """How many points would leave no gap."""

    @property
    def noise(self) -> Noise:
        """Of the reflection."""


def verdict(
    figures: Judged,
    band: Band,
    limit_swr: float,
    intervals: Mapping[str, Intervals] | None = None,
) -> Verdict:
    """Judge a sweep in a band.

    Parameters
    ----------
    figures : Figures
        In this band and at this limit.
    band : Band
    limit_swr : float
    intervals : mapping of str to Intervals, optional
        By JSON key; that of ``worst_swr`` takes the place of the noise alone: its accuracy where
        that is known, else its repeatability.

    Returns
    -------
    Verdict
    """
    if figures.highest_hz is None:
        return Verdict("cannot tell", "the sweep has nothing in the band")
    place = f"at {format_mhz(figures.highest_hz, mhz_decimals(figures.step_hz))} MHz"
    if figures.highest_swr is None:
        return Verdict("cannot tell", f"|reflection| is above 1 {place}, which has no SWR")
    low, high = _bounds(figures.highest_swr, figures.noise.or_zero, intervals)
    found = f"SWR {format_swr(figures.highest_swr)} {place}"
    limit = f"the limit of {limit_swr:.4g}"
    if low > limit_swr:
        return Verdict("no", f"{found}, over {limit}")
    doubt = _unseen(figures, band)
    if not doubt and high > limit_swr:
        doubt = f"{found}, too close to {limit} to decide"
    return Verdict("cannot tell", doubt) if doubt else Verdict("yes", f"at most {found}")


def _unseen(figures: Judged, band: Band) -> str:
    """What of the band was not seen; empty if nothing."""
    if not figures.covers_band:
        edges = f"{format_mhz(band.low_hz, 3)} to {format_mhz(band.high_hz, 3)} MHz"
        return f"the sweep does not reach from edge to edge of the band, {edges}"
    if figures.gaps:
        wanted = figures.points_wanted
        return f"points too far apart in the band: narrow the span or take {wanted} points"
    return ""


def _bounds(
    swr: float, sigma: float, intervals: Mapping[str, Intervals] | None
) -> tuple[float, float]:
    """Lowest and highest SWR that the worst one may truly be."""
    own = None if intervals is None else intervals.get("worst_swr")
    interval = None if own is None else own.accuracy or own.repeatability
    if interval is not None:
        return interval.low, interval.high
    rho = 1 - 2 / (swr + 1)  # of one number, without an array's overhead
    low, high = max(0.0, rho - _SIGMAS * sigma), min(1.0, rho + _SIGMAS * sigma)
    # Without noise the value is itself, not what comes back from its reflection.
    return (swr, swr) if sigma == 0 or math.isinf(swr) else (swr_of_one(low), swr_of_one(high))
