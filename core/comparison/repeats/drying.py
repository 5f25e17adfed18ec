"""The drying curve: the best match over minutes, an exponential with its half time.

The model is x(t) = end + size exp(-t / tau): the remaining change halves every tau ln 2. For each
tau the rest is linear, so the half time is found by profile, and its interval is where the profile
stays within the noise (profile likelihood: Bates and Watts, *Nonlinear Regression Analysis and Its
Applications*, Wiley 1988, ch. 6; from memory).

Water need not dry that way. If the points are off the curve by more than chance, their own scatter
replaces the noise; if they do not follow such a curve, there is no half time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.interval import Interval
from fairlead.core.uncertainty.quantiles import NORMAL_95, t_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray

FEWEST = 4
_FEWEST_WITHOUT_NOISE = 6
# 99 % quantile of the normal distribution, from which those of chi squared are calculated.
_NORMAL_99 = 2.326348
# Half times are tried from a twentieth of the shortest gap to twenty times the whole span.
_REACH = 20.0
_GRID = 240
_ZOOMS, _ZOOM_GRID = 5, 25
# With more scatter than this share of the whole change, there is no curve (no source).
_MOST_SCATTER = 0.15

_TOO_FEW = "at least four sweeps with different times are needed, from wet to dry"
_TOO_FEW_WITHOUT_NOISE = (
    "the noise of a sweep is unknown, so six sweeps with different times are needed"
)
_NO_CHANGE = "the best match does not move by more than its uncertainty"
_NO_CURVE = "the best match does not return exponentially"
_OVER = "most of it was over before the second sweep, so the half time cannot be determined"
_STRAIGHT = "it has not levelled off, so the half time is unknown; keep sweeping until it is dry"


@dataclass(frozen=True, slots=True)
class Drying:
    """A drying curve.

    Attributes
    ----------
    half_time_minutes : float
    interval_minutes : Interval
        95 %, from the noise of the sweeps or from the scatter of the points around the curve.
    start, end : float
        The curve at the first sweep and its final value, in the unit of the figure.
    minutes, values : tuple of float
        The sweeps, in the order of their times.
    halves : tuple of float or None
        Half widths of their 95 % intervals.
    """

    half_time_minutes: float
    interval_minutes: Interval
    start: float
    end: float
    minutes: tuple[float, ...]
    values: tuple[float, ...]
    halves: tuple[float | None, ...]

    @property
    def points(self) -> int:
        """How many sweeps the curve goes through."""
        return len(self.minutes)

    def at(self, minutes: FloatArray) -> FloatArray:
        """The curve, shape (m,)."""
        passed = (minutes - self.minutes[0]) / self.half_time_minutes
        result: FloatArray = self.end + (self.start - self.end) * 0.5**passed
        return result


def drying_curve(
    minutes: Sequence[float], values: Sequence[float], halves: Sequence[float | None]
) -> Drying | str:
    """Half time of a figure that returns to its old value.

    Parameters
    ----------
    minutes, values : sequence of float, length n
        In any order.
    halves : sequence of float or None, length n
        Half width of the 95 % interval of each value; if any is None, the scatter of the points
        around the curve is used.

    Returns
    -------
    Drying or str
        A string, the reason, if there is no half time.
    """
    order = np.argsort(minutes, kind="stable")
    t, x = np.asarray(minutes, dtype=np.float64)[order], np.asarray(values)[order]
    distinct = int(np.unique(t).size)
    if distinct < FEWEST:
        return _TOO_FEW
    known = [half for half in halves if half]
    is_known = len(known) == len(values)
    if not is_known and distinct < _FEWEST_WITHOUT_NOISE:
        return _TOO_FEW_WITHOUT_NOISE
    sigma = np.asarray(known)[order] / NORMAL_95 if is_known else np.ones(t.size)
    profile = _Profile(t - t[0], x, 1 / sigma)
    found = _half_time(profile, is_known=is_known)
    if isinstance(found, str):
        return found
    ordered = tuple(halves[i] for i in order.tolist())
    return replace(found, minutes=tuple(t.tolist()), values=tuple(x.tolist()), halves=ordered)


def _half_time(profile: _Profile, *, is_known: bool) -> Drying | str:
    freedom = profile.t.size - 3
    rates = profile.rates()
    costs = profile.costs(rates)
    least = profile.least(rates, int(costs.argmin()))
    cost = profile.cost(least)
    scale, reach = 1.0, NORMAL_95**2
    if not is_known or cost > _chi_squared_99(freedom):
        scale, reach = cost / freedom, t_quantile(freedom) ** 2
    allowed = cost + reach * scale
    end, size = profile.line(least)
    if is_known and profile.flat_cost() <= _chi_squared_99(freedom + 2):
        return _NO_CHANGE
    scatter = math.sqrt(cost / freedom) / float(profile.weight.mean())
    if scatter > _MOST_SCATTER * abs(float(np.ptp(profile.x))):
        return _NO_CURVE
    # A slow rate is a long half time.
    if costs[0] <= allowed:
        return _STRAIGHT
    if costs[-1] <= allowed:
        return _OVER
    slow = profile.crossing(least, float(rates[0]), allowed)
    fast = profile.crossing(least, float(rates[-1]), allowed)
    return Drying(
        half_time_minutes=math.log(2) / least,
        interval_minutes=Interval(math.log(2) / fast, math.log(2) / slow),
        start=end + size,
        end=end,
        minutes=(),
        values=(),
        halves=(),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Profile:
    """Weighted squares of the residuals, at the best line for each rate 1 / tau.

    Attributes
    ----------
    t : FloatArray, shape (n,)
        Minutes since the first sweep, rising.
    x : FloatArray, shape (n,)
    weight : FloatArray, shape (n,)
        1 / sigma.
    """

    t: FloatArray
    x: FloatArray
    weight: FloatArray

    def rates(self) -> FloatArray:
        """Rates to try, from slow to fast."""
        gaps = np.diff(self.t)
        slowest = 1 / (_REACH * float(self.t[-1]))
        fastest = _REACH / float(gaps[gaps > 0].min())
        return np.geomspace(slowest, fastest, _GRID)

    def line(self, rate: float) -> tuple[float, float]:
        """End and size of the exponential with that rate."""
        shape, slope, _ = self._slopes(np.array([rate]))
        size = float(slope[0])
        return self._mean(self.x - size * shape[0]), size

    def costs(self, rates: FloatArray) -> FloatArray:
        """Sum of squares of the residuals, in sigmas, for each rate."""
        return self._slopes(rates)[2]

    def cost(self, rate: float) -> float:
        """The same for one rate."""
        return float(self.costs(np.array([rate]))[0])

    def flat_cost(self) -> float:
        """The same of no change at all."""
        left = (self.x - self._mean(self.x)) * self.weight
        return float(left @ left)

    def least(self, rates: FloatArray, best: int) -> float:
        """The rate of the least cost between the neighbours of the best of some."""
        for _ in range(_ZOOMS):
            low, high = rates[max(best - 1, 0)], rates[min(best + 1, rates.size - 1)]
            rates = np.geomspace(low, high, _ZOOM_GRID)
            best = int(self.costs(rates).argmin())
        return float(rates[best])

    def crossing(self, inside: float, outside: float, allowed: float) -> float:
        """Where the cost first exceeds what is allowed, from a rate below it to one above."""
        for _ in range(_ZOOMS):
            rates = np.geomspace(inside, outside, _ZOOM_GRID)
            first = int((self.costs(rates) > allowed).argmax())
            inside, outside = float(rates[max(first - 1, 0)]), float(rates[first])
        return inside

    def _mean(self, values: FloatArray) -> float:
        return float(np.average(values, weights=self.weight**2))

    def _slopes(self, rates: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Shapes (m, n), sizes and costs (m,) of exponentials with m rates."""
        shape = np.exp(-rates[:, np.newaxis] * self.t)
        squares = self.weight**2
        off = shape - (shape @ squares / squares.sum())[:, np.newaxis]
        x = self.x - self._mean(self.x)
        slope = (off @ (squares * x)) / (off**2 @ squares)
        left = (x - slope[:, np.newaxis] * off) * self.weight
        return shape, slope, (left**2).sum(axis=1)


def _chi_squared_99(freedom: int) -> float:
    """99 % quantile of chi squared to 2 % (Abramowitz and Stegun, 26.4.17)."""
    share = 2 / (9 * freedom)
    return freedom * (1 - share + _NORMAL_99 * math.sqrt(share)) ** 3
