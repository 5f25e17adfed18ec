"""A difference of figures with its uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.uncertainty.quantiles import NORMAL_95

if TYPE_CHECKING:
    from collections.abc import Sequence

_ROUNDING = 1e-14


@dataclass(frozen=True, slots=True)
class Difference:
    """A difference in the unit of its figure.

    Attributes
    ----------
    value : float
    intervals : Intervals
        Both may be None: then the uncertainty is unknown.
    """

    value: float
    intervals: Intervals

    @property
    def half(self) -> float | None:
        """Half width of the wider interval; None without any."""
        known = self.intervals.widest
        return None if known is None else known.half_width

    @property
    def is_resolved(self) -> bool | None:
        """Whether it differs from zero by more than its uncertainty; None if that is unknown."""
        return None if self.half is None else abs(self.value) > self.half


def weighted(
    values: Sequence[float],
    intervals: Sequence[Intervals | None],
    shares: Sequence[float],
    spread: float = 0.0,
) -> Difference:
    """A sum of figures of independent sweeps, each times its share.

    Noise of different sweeps is independent, so half widths add in quadrature. Bounds of the
    analyzer's error add in full, because the sweeps need not share a calibration.

    Parameters
    ----------
    values : sequence of float, length n
    intervals : sequence of Intervals or None, length n
    shares : sequence of float, length n
    spread : float
        How far the true value may lie above or below the sum for a reason other than noise. The
        interval then contains it in at least 95 of 100 cases, wherever it lies (Imbens and Manski,
        "Confidence intervals for partially identified parameters", Econometrica 72(6), 2004;
        formula from memory).
    """
    terms = [share * one for share, one in zip(shares, values, strict=True)]
    value = math.fsum(terms)
    if abs(value) <= _ROUNDING * math.fsum(map(abs, terms)):
        value = 0.0
    noise = _halves(intervals, shares, "repeatability")
    bounds = _halves(intervals, shares, "accuracy")
    repeatability = accuracy = None
    if noise is not None:
        half = math.hypot(*noise)
        if spread:
            half = spread + half * _reach(2 * spread, half / NORMAL_95) / NORMAL_95
        repeatability = Interval(value - half, value + half)
    if bounds is not None:
        half = spread + math.fsum(bounds)
        accuracy = Interval(value - half, value + half)
    return Difference(value, Intervals(repeatability, accuracy))


def _halves(
    intervals: Sequence[Intervals | None], shares: Sequence[float], name: str
) -> list[float] | None:
    """Half widths of one kind of interval, times the shares; None unless all are known."""
    found: list[float] = []
    for known, share in zip(intervals, shares, strict=True):
        interval: Interval | None = None if known is None else getattr(known, name)
        if interval is None or not math.isfinite(interval.half_width):
            return None
        found.append(abs(share) * interval.half_width)
    return found


def _reach(width: float, sigma: float) -> float:
    """How many sigmas beyond both ends of a range cover its worst point in 95 of 100 cases."""
    if sigma == 0:
        return NORMAL_95
    low, high = 1.6, NORMAL_95
    for _ in range(40):
        middle = (low + high) / 2
        inside = _normal(middle + width / sigma) - _normal(-middle)
        low, high = (low, middle) if inside > 0.95 else (middle, high)
    return high


def _normal(z: float) -> float:
    """Share of a standard normal distribution below z."""
    return 0.5 * (1 + math.erf(z / math.sqrt(2)))
