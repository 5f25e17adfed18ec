"""The fits from which the figures of one sweep are taken, and the intervals they give."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import swr_of_one
from fairlead.core.uncertainty.estimates import magnitude_at
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.uncertainty.local_fit import fit_local
from fairlead.core.uncertainty.scalar_fit import fit_scalar
from fairlead.core.uncertainty.window_fit import fit_widest, nearest

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.error_model import PointErrors
    from fairlead.core.uncertainty.estimates import Estimate
    from fairlead.core.uncertainty.window_fit import WindowFit

SHARED = 0.3
"""The fit of the best match is reused up to this distance from its centre, in |t|."""
# Half width of the first window if there is no segment to estimate it from.
_GUESS = 40
# A two-dimensional Gaussian of sigma 1 exceeds |e| = 2.448 in 5 % of cases: with this much
# subtracted from |G|^2, the interval of |G| = 0 starts at 0 as often as it should.
_CHANCE = 2.448**2 - 1.96**2
# Mean increase of |G|^2 by two components of noise of sigma 1.
_SCALAR = 2.0


@dataclass(frozen=True, slots=True)
class FittedFigure:
    """A figure according to a fit.

    Attributes
    ----------
    value : float
        In the figure's unit.
    intervals : Intervals
        In the same unit; they need not contain ``value`` exactly in the middle.
    """

    value: float
    intervals: Intervals


@dataclass(slots=True)
class FigureFits:
    """Fits around frequencies of one sweep; one fit serves all figures at its frequency.

    Attributes
    ----------
    analysis : Analysis
    noise : float
        Standard deviation of each component of the reflection.
    errors : PointErrors or None
        Of the analyzer; None if not stated.
    guess : int
        Half width, in points, of the window to try first.
    known : dict of float to WindowFit or None
        Fits so far, by the frequency in Hz.
    """

    analysis: Analysis
    noise: float
    errors: PointErrors | None
    guess: int = _GUESS
    known: dict[float, WindowFit | None] = field(default_factory=dict)

    def guess_from(self, figures: Figures) -> None:
        """Start with a window about as wide as the usable segment."""
        segment = figures.main_segment
        if segment is not None:
            self.guess = max(3, int((segment.high_hz - segment.low_hz) / self.analysis.step_hz))

    def around(self, at_hz: float) -> WindowFit | None:
        """The fit around a frequency; None where none agrees with the noise."""
        if at_hz not in self.known:
            fit = self.known[at_hz] = self._fit(at_hz)
            if fit is not None:
                # The widest good window was narrowed by two steps of the square root of two.
                self.guess = 2 * fit.half_width
        return self.known[at_hz]

    def _fit(self, at_hz: float) -> WindowFit | None:
        track, noise = self.analysis.track, self.noise
        frequency_hz, curve = track.frequency_hz, track.smooth
        index = nearest(frequency_hz, at_hz)
        farthest = max(index, frequency_hz.size - 1 - index)
        if curve is None:
            rho: FloatArray = np.sqrt(track.power)
            return fit_widest(
                lambda half: fit_scalar(frequency_hz, rho, noise, at_hz, half),
                noise,
                farthest,
                self.guess,
            )
        return fit_widest(
            lambda half: fit_local(frequency_hz, curve, at_hz, half), noise, farthest, self.guess
        )

    def bound(self, estimate: Estimate) -> float | None:
        """Largest shift of a figure by the analyzer's errors; None if they are unknown."""
        if self.errors is None:
            return None
        influence, analysis = estimate.influence, self.analysis
        at = analysis.frequency_hz.searchsorted(
            analysis.track.frequency_hz[influence.start : influence.stop]
        )
        if analysis.reflection is None:
            return float(np.abs(influence.c) @ self.errors.bound[at])
        return sum(abs(complex(np.vdot(influence.c, term[at]))) for term in self.errors.terms)

    def around_value(self, estimate: Estimate, pushed: float = 0.0) -> FittedFigure:
        """A figure with intervals; ``pushed`` is the bias that noise may have added."""
        value, half, bound = estimate.value, estimate.half_width, self.bound(estimate)
        wider = half if bound is None or self.errors is None else self.combined(half, bound)
        return FittedFigure(
            value,
            Intervals(
                Interval(value - pushed - half, value + half),
                None if bound is None else Interval(value - pushed - wider, value + wider),
            ),
        )

    def combined(self, half: float, bound: float) -> float:
        """Half width of an interval, from those of the noise and of the analyzer's errors."""
        return half if self.errors is None else self.errors.model.combined(half, bound)

    def swr_at(self, at_hz: float) -> FittedFigure | None:
        """The SWR at a frequency."""
        fit = self.around(at_hz)
        if fit is None:
            return None
        estimate = magnitude_at(fit, self.noise, at_hz)
        added = _CHANCE * estimate.uncertainty**2
        return self.swr_of(estimate, self.pushed(estimate, added))

    def swr_of(self, estimate: Estimate, pushed: float) -> FittedFigure:
        """The SWR of a |G| with its intervals.

        All points on a plateau of rounded readings may share the same error of half a step.
        """
        own, rounding = self.around_value(estimate, pushed), self.analysis.rounding
        if rounding is not None:
            half = float(rounding.magnitude_step(np.array([estimate.value]))[0]) / 2
            least = Interval(own.value - half, own.value + half)
            both = own.intervals
            own = FittedFigure(
                own.value,
                Intervals(_hull(both.repeatability, least), _hull(both.accuracy, least)),
            )
        return as_swr(own)

    def pushed(self, estimate: Estimate, added: float) -> float:
        """Bias of |G| where noise adds this much to |G|^2."""
        if self.analysis.reflection is None:
            # Each |G| of a scalar sweep is biased upwards, and a fit cannot remove that.
            added = _SCALAR * estimate.noise**2
        return estimate.value - math.sqrt(max(estimate.value**2 - added, 0.0))


def _hull(own: Interval | None, least: Interval) -> Interval | None:
    if own is None:
        return None
    return Interval(min(own.low, least.low), max(own.high, least.high))


def holding(value: float, own: Intervals) -> Intervals:
    """The intervals, extended to contain the figure shown."""
    one, other = (
        None if part is None else Interval(min(part.low, value), max(part.high, value))
        for part in (own.repeatability, own.accuracy)
    )
    return Intervals(one, other)


def mapped(own: FittedFigure, of: Callable[[float], float]) -> FittedFigure:
    """A figure and its intervals mapped by an increasing function."""
    one, other = (
        None if part is None else Interval(of(part.low), of(part.high))
        for part in (own.intervals.repeatability, own.intervals.accuracy)
    )
    return FittedFigure(of(own.value), Intervals(one, other))


def as_swr(own: FittedFigure) -> FittedFigure:
    """|G| and its intervals as SWR, infinite from 1 on."""
    return mapped(own, _swr)


def not_negative(value: float) -> float:
    """The value, or 0."""
    return max(value, 0.0)


def _swr(rho: float) -> float:
    return math.inf if rho >= 1 else swr_of_one(max(rho, 0.0))
