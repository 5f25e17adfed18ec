"""The fits that the figures of one sweep are taken from, and what is known by them."""

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
"""The fit of the best match serves other figures too if that is no farther from its centre."""
# Half width of the first window where there is no segment to go by.
_GUESS = 40
# The least |e| that a two-dimensional Gaussian of 1 exceeds in 5 % of cases is 2.448: with this
# much taken from |G|^2 the interval of |G| = 0 begins at 0 as often as it should.
_CHANCE = 2.448**2 - 1.96**2
# What two components of noise of 1 add to |G|^2 in the mean.
_SCALAR = 2.0


@dataclass(frozen=True, slots=True)
class FittedFigure:
    """A figure as a fit has it."""

    value: float
    intervals: Intervals


@dataclass(slots=True)
class FigureFits:
    """Fits around the places of one sweep; one around a frequency serves all figures there."""

    analysis: Analysis
    noise: float
    errors: PointErrors | None
    guess: int = _GUESS
    known: dict[float, WindowFit | None] = field(default_factory=dict)

    def guess_from(self, figures: Figures) -> None:
        """A window is about as wide as the segment."""
        segment = figures.main_segment
        if segment is not None:
            self.guess = max(3, int((segment.high_hz - segment.low_hz) / self.analysis.step_hz))

    def around(self, at_hz: float) -> WindowFit | None:
        """The fit around a frequency; None where none agrees with the noise."""
        if at_hz not in self.known:
            fit = self.known[at_hz] = self._fit(at_hz)
            if fit is not None:
                # The window was the widest good one, less two steps of a root of two.
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
        """Most that the analyzer moves a figure; None if its errors are not known."""
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
        """A figure with intervals; ``pushed`` is what noise may have added to it in the mean."""
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
        """Half width of an interval from the noise's and the analyzer's bound."""
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

        All points on a plateau of rounded readings may be off by the same half step.
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
        """How far a |G| may lie too high where noise adds so much to |G|^2."""
        if self.analysis.reflection is None:
            # Every single |G| of a scalar sweep is too high in the mean, and a fit cannot help.
            added = _SCALAR * estimate.noise**2
        return estimate.value - math.sqrt(max(estimate.value**2 - added, 0.0))


def _hull(own: Interval | None, least: Interval) -> Interval | None:
    if own is None:
        return None
    return Interval(min(own.low, least.low), max(own.high, least.high))


def holding(value: float, own: Intervals) -> Intervals:
    """The intervals, made to hold the figure that is shown."""
    one, other = (
        None if part is None else Interval(min(part.low, value), max(part.high, value))
        for part in (own.repeatability, own.accuracy)
    )
    return Intervals(one, other)


def mapped(own: FittedFigure, of: Callable[[float], float]) -> FittedFigure:
    """A figure and its intervals through a rising function."""
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
