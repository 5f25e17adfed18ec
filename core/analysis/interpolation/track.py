"""|reflection|^2 along a sweep: its value at any frequency, and its turning points.

Between its turning points the track is monotonic. Best match, worst SWR and every crossing of a
limit follow from the turning points alone, so no dip between two points is missed and all figures
agree with each other.

Two rules keep the track honest between the points:

- If no point exceeds |G| = 1, the track does not exceed it between them.
- Where the points are too far apart (`fairlead.core.uncertainty.sampling`), the curve between them
  is unknown, and |G|^2 runs straight from one to the next: no dip is invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.bounded import beside_bound, without_bounds
from fairlead.core.analysis.interpolation.calm import calmed
from fairlead.core.analysis.interpolation.cubic import (
    cubics,
    fraction,
    interpolate,
    interpolate_one,
    interval_of,
)
from fairlead.core.analysis.interpolation.delay import turned
from fairlead.core.analysis.interpolation.roots import roots_between
from fairlead.core.uncertainty.noise import NOT_TO_SPEAK_OF, is_even

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

# A slope of |G|^2 per interval below this is rounding.
_FLAT = 1e-13
# Fractions of each interval at which the slope is evaluated.
_FRACTIONS = (0.0, 0.25, 0.5, 0.75, 1.0)
_TURN_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """|reflection|^2 of a sweep as a continuous function of frequency.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    power : FloatArray, shape (n,)
        |reflection|^2 at the points.
    smooth : ComplexArray, shape (n,), or None
        Reflection with ``delay_s`` removed, interpolated by cubics; None for a scalar sweep, for
        which the cubics interpolate ``power``.
    calm : ComplexArray, shape (n,), or None
        ``smooth`` with less noise, for values that noise would bias.
    delay_s : float
        Delay of a long line, 0 where removing it is not worthwhile.
    is_straight : BoolArray, shape (n - 1,)
        Intervals in which |reflection|^2 runs straight from point to point.
    is_unsupported : BoolArray, shape (n - 1,)
        Those of them whose points are too far apart; in the others the cubic went below zero.
    turn_hz, turn_power : FloatArray, shape (k,), k >= 2
        First point, every turning point, last point.
    through : FloatArray, shape (n,), or None
        What the cubics of a scalar sweep with bounds run through; None: ``power``.
    is_bound : BoolArray, shape (n,), or None
        Points of which ``power`` is only a lower bound; None for none. Beside them the track runs
        straight, which says nothing: see `least_power_at_one`.
    """

    frequency_hz: FloatArray
    power: FloatArray
    smooth: ComplexArray | None
    calm: ComplexArray | None
    delay_s: float
    is_straight: BoolArray
    is_unsupported: BoolArray
    turn_hz: FloatArray
    turn_power: FloatArray
    through: FloatArray | None = None
    is_bound: BoolArray | None = None

    @property
    def is_gap(self) -> BoolArray:
        """Intervals whose points are too far apart; those beside a bound are none, shape (n - 1,).

        There the points say what they can, however many of them are taken.
        """
        if self.is_bound is None:
            return self.is_straight
        return self.is_straight & ~beside_bound(self.is_bound)

    def is_bound_at(self, at_hz: float) -> bool:
        """Whether only a lower bound is known at a frequency within the sweep."""
        return self.has_bound_in(at_hz, at_hz)

    def has_bound_in(self, low_hz: float, high_hz: float) -> bool:
        """Whether only a lower bound is known somewhere from one frequency to another."""
        if self.is_bound is None:
            return False
        first = int(self.frequency_hz.searchsorted(low_hz, side="right")) - 1
        stop = int(self.frequency_hz.searchsorted(high_hz))
        points = self.is_bound[int(self.frequency_hz.searchsorted(low_hz)) : stop + 1]
        on_points = self.frequency_hz[int(self.frequency_hz.searchsorted(low_hz)) : stop + 1]
        return bool(
            points[on_points <= high_hz].any() or beside_bound(self.is_bound)[first:stop].any()
        )

    def least_power_at_one(self, at_hz: float) -> float:
        """The least that |reflection|^2 can be at a frequency where only a bound is known.

        Between two points it is taken to be no less than the lower of them.
        """
        after = int(self.frequency_hz.searchsorted(at_hz))
        if self.frequency_hz[after] == at_hz:
            return float(self.power[after])
        return float(self.power[after - 1 : after + 1].min())

    def power_at(self, at_hz: FloatArray) -> FloatArray:
        """|reflection|^2 at frequencies within the sweep, shape (m,)."""
        return _power_at(
            self.frequency_hz, self.power, self.smooth, self.is_straight, at_hz, self.through
        )

    def calm_power_at_one(self, at_hz: float) -> float:
        """|reflection|^2 at one frequency within the sweep, with less noise."""
        i = min(int(self.frequency_hz.searchsorted(at_hz, side="right")), self.is_straight.size) - 1
        if self.calm is None or self.is_straight[i]:
            return self.power_at_one(at_hz)
        return abs(interpolate_one(self.frequency_hz, self.calm, at_hz)) ** 2

    def power_at_one(self, at_hz: float) -> float:
        """|reflection|^2 at one frequency within the sweep, faster than `power_at`."""
        i = int(self.frequency_hz.searchsorted(at_hz, side="right")) - 1
        i = min(i, self.frequency_hz.size - 2)
        first, last = float(self.power[i]), float(self.power[i + 1])
        if self.is_straight[i]:
            start_hz, end_hz = float(self.frequency_hz[i]), float(self.frequency_hz[i + 1])
            return max(0.0, first + (last - first) * (at_hz - start_hz) / (end_hz - start_hz))
        if self.smooth is None:
            curve = self.power if self.through is None else self.through
            power = max(0.0, interpolate_one(self.frequency_hz, curve, at_hz).real)
        else:
            power = abs(interpolate_one(self.frequency_hz, self.smooth, at_hz)) ** 2
        return min(power, max(1.0, first, last))

    def reflection_at(self, at_hz: FloatArray) -> ComplexArray:
        """Reflection at frequencies within the sweep, shape (m,).

        Where |reflection|^2 runs straight this is the chord between the two points: as good a guess
        as any for drawing, but nothing more.

        Raises
        ------
        ValueError
            For a scalar sweep.
        """
        if self.smooth is None:
            raise ValueError("a scalar sweep has no reflection")
        interval = interval_of(self.frequency_hz, at_hz)
        first, last = self.smooth[interval], self.smooth[interval + 1]
        chord = first + (last - first) * fraction(self.frequency_hz, interval, at_hz)
        curved = interpolate(self.frequency_hz, self.smooth, at_hz)
        largest = np.maximum(1.0, np.maximum(np.abs(first), np.abs(last)))
        curved *= largest / np.maximum(np.abs(curved), largest)
        smooth = np.where(self.is_straight[interval], chord, curved)
        return smooth if self.delay_s == 0 else smooth * turned(at_hz, -self.delay_s)


def make_track(
    frequency_hz: FloatArray,
    power: FloatArray,
    smooth: ComplexArray | None,
    delay_s: float,
    is_supported: BoolArray,
    sigma: float = 0.0,
    is_bound: BoolArray | None = None,
) -> Track:
    """Make the track of a sweep.

    Parameters
    ----------
    frequency_hz, power : FloatArray, shape (n,)
    smooth : ComplexArray, shape (n,), or None
        Reflection with the delay removed; None for a scalar sweep.
    delay_s : float
    is_supported : BoolArray, shape (n - 1,)
        Intervals in which the points are close enough for a cubic.
    sigma : float
        Noise of each component of the reflection.
    is_bound : BoolArray, shape (n,), or None
        Points of a scalar sweep of which only a lower bound is known; no interval beside them is
        supported.
    """
    through = None if is_bound is None else without_bounds(frequency_hz, power, is_bound)
    every = np.arange(frequency_hz.size - 1)
    is_straight = ~is_supported
    if smooth is None:
        polynomial = np.zeros((7, every.size))
        polynomial[:4] = cubics(frequency_hz, power if through is None else through, every)
    else:
        polynomial = _square(cubics(frequency_hz, smooth, every))
    _straighten(polynomial, is_straight, power)
    interval, t = _turns(polynomial)
    if smooth is None:
        dips_below_zero = interval[_horner(polynomial[:, interval], t) < 0]
        if dips_below_zero.size:
            is_straight[dips_below_zero] = True
            _straighten(polynomial, is_straight, power)
            interval, t = _turns(polynomial)
    inner_hz = frequency_hz[interval] + t * (frequency_hz[interval + 1] - frequency_hz[interval])
    turn_hz = np.concatenate((frequency_hz[:1], inner_hz, frequency_hz[-1:]))
    turn_power = _power_at(frequency_hz, power, smooth, is_straight, turn_hz, through)
    calm = None
    if smooth is not None and sigma > NOT_TO_SPEAK_OF and is_even(frequency_hz):
        calm = calmed(smooth, sigma)
    return Track(
        frequency_hz,
        power,
        smooth,
        calm,
        delay_s,
        is_straight,
        ~is_supported,
        turn_hz,
        turn_power,
        through,
        is_bound,
    )


def _power_at(
    frequency_hz: FloatArray,
    power: FloatArray,
    smooth: ComplexArray | None,
    is_straight: BoolArray,
    at_hz: FloatArray,
    through: FloatArray | None,
) -> FloatArray:
    interval = interval_of(frequency_hz, at_hz)
    first, last = power[interval], power[interval + 1]
    # A frequency beyond the end by rounding alone must not make a negative power.
    straight = np.maximum(0.0, first + (last - first) * fraction(frequency_hz, interval, at_hz))
    if smooth is None:
        curve = power if through is None else through
        curved = np.maximum(0.0, interpolate(frequency_hz, curve, at_hz))
    else:
        gamma = interpolate(frequency_hz, smooth, at_hz)
        curved = gamma.real**2 + gamma.imag**2
    highest = np.maximum(1.0, np.maximum(first, last))
    return np.where(is_straight[interval], straight, np.minimum(curved, highest))


def _square(cubic: tuple[ComplexArray, ...]) -> FloatArray:
    """Coefficients of |c0 + c1 t + c2 t^2 + c3 t^3|^2, shape (7, m), lowest power first."""
    result = np.zeros((7, cubic[0].size))
    for j, own in enumerate(cubic):
        result[2 * j] += own.real**2 + own.imag**2
        for k in range(j + 1, 4):
            result[j + k] += 2 * (own.real * cubic[k].real + own.imag * cubic[k].imag)
    return result


def _straighten(polynomial: FloatArray, is_straight: BoolArray, power: FloatArray) -> None:
    """Replace the polynomials of some intervals (columns) with straight lines."""
    polynomial[:, is_straight] = 0
    polynomial[0, is_straight] = power[:-1][is_straight]
    polynomial[1, is_straight] = np.diff(power)[is_straight]


def _turns(polynomial: FloatArray) -> tuple[IntArray, FloatArray]:
    """Turning points in the sweep: interval, and fraction of it from 0 to 1; both shape (k,)."""
    slope = polynomial[1:] * np.arange(1, polynomial.shape[0])[:, None]
    # One row per interval: the slope at its start, at three points within, and at its end.
    seen = np.stack([_horner(slope, t) for t in _FRACTIONS], axis=1)
    sloping = np.flatnonzero(np.abs(seen) > _FLAT)
    rises = seen.ravel()[sloping] > 0
    change = np.flatnonzero(rises[1:] != rises[:-1])
    before, after = sloping[change], sloping[change + 1]
    interval, index = np.divmod(after, len(_FRACTIONS))
    fractions = np.array(_FRACTIONS)
    inside = interval == before // len(_FRACTIONS)
    # A change between two intervals, or across a flat section, is placed at the later start.
    t = np.zeros(interval.size)
    own = slope[:, interval[inside]]
    t[inside] = roots_between(
        lambda at: _horner(own, at),
        fractions[before[inside] % len(_FRACTIONS)],
        fractions[index[inside]],
        _TURN_TOLERANCE,
    )
    return interval, t


def _horner(coefficients: FloatArray, t: FloatArray | float) -> FloatArray:
    """Polynomials with coefficients of shape (k, m), lowest power first, at t; shape (m,)."""
    result: FloatArray = np.zeros(coefficients.shape[1])
    for row in coefficients[::-1]:
        result = result * t + row
    return result
