"""The noise of a sweep, from its own points: a number, or "too fast to tell".

Differences of order d of a smooth curve are nearly zero; those of white noise are
sqrt(C(2d, d)) sigma (C(2d, d) is the sum of the squared binomial coefficients). White noise gives
the same sigma at every order, the remainder of a curve does not: the noise is known if the orders
agree, however large it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.arrays import median

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

FEWEST_POINTS = 12
TOO_FEW = "too few points to estimate the noise"
TOO_FAST = "the curve changes too fast between its points to estimate the noise"

_ORDERS = (4, 6, 8, 10)
# A median of fewer differences is meaningless.
_FEWEST_DIFFERENCES = 6
# The least of four estimates from the same points is this much lower than each of them.
_LEAST_OF_ORDERS = 0.95
# Median of |x| of a Gaussian of sigma 1, and of |x + jy| of a two-dimensional one.
_MEDIAN_OF_REAL = 0.67449
_MEDIAN_OF_COMPLEX = math.sqrt(2 * math.log(2))
# Orders of white noise agree within the first share, and for few points within the second.
_AGREEMENT = 0.3
_AGREEMENT_OF_FEW = 1.2
# No analyzer is this quiet (-100 dB): the sweep was computed, and the least order is a sufficient
# bound.
NOT_TO_SPEAK_OF = 1e-5
# A value is above or below a limit, inductive or capacitive, only if it differs by more than
# this many standard deviations of the noise: one false alarm in some 150 000 points.
NOISE_SIGMAS = 4.5
# A sweep of nothing but noise may be a flat load; if it fills much of the chart, it is more likely
# a curve whose points are unrelated to each other. Above the first number no figure is reported
# either way.
_SPREAD_TO_LOOK_AT = 0.06
_ALL_OF_IT = 0.8
# With so few points the orders of a barely resolved resonance agree by chance. Nine tenths of the
# fourth differences of white noise stay below 2.3 medians (95 % of sweeps of 25 to 51 points);
# those of a resonance reach 2.4 to 20. Noise below -60 dB causes no false figure either way.
_MANY_POINTS = 64
_MOST_LUMPY = 2.3
_LUMP_TO_LOOK_AT = 1e-3
# Intervals equal within this share of their mean form an even grid.
_EVEN = 1e-3


@dataclass(frozen=True, slots=True)
class Noise:
    """The noise of a sweep, or why it is unknown.

    Attributes
    ----------
    sigma : float or None
        Standard deviation of the real (and of the imaginary) part of the reflection from point to
        point, of the magnitude for a scalar sweep; None if it cannot be estimated.
    reason : str
        Why it cannot be estimated; empty if it can.
    """

    sigma: float | None
    reason: str = ""

    @property
    def or_zero(self) -> float:
        """The number, or 0 if there is none, which treats the points as exact."""
        return 0.0 if self.sigma is None else self.sigma


def noise_of(frequency_hz: FloatArray, values: ComplexArray | FloatArray) -> Noise:
    """Noise of a row of values, from the median of differences, which ignores a few outliers.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
        Strictly increasing; on an uneven grid the weights of divided differences replace the
        binomial ones.
    values : ComplexArray or FloatArray, shape (n,)

    Returns
    -------
    Noise
    """
    if values.size < FEWEST_POINTS:
        return Noise(None, TOO_FEW)
    orders = [order for order in _ORDERS if values.size - order >= _FEWEST_DIFFERENCES]
    if is_even(frequency_hz):
        sizes = _plain_differences(values, orders)
    else:
        sizes = [_divided_difference(frequency_hz, values, order) for order in orders]
    is_complex = np.iscomplexobj(values)
    of_sigma, parts = (_MEDIAN_OF_COMPLEX, 2) if is_complex else (_MEDIAN_OF_REAL, 1)
    found = [median(size) / of_sigma for size in sizes]
    least = min(found) / _LEAST_OF_ORDERS
    before, last = found[-2:]
    apart = max(before, last) - min(before, last)
    tolerance = _AGREEMENT + _AGREEMENT_OF_FEW / math.sqrt(values.size)
    if least > _SPREAD_TO_LOOK_AT and least >= _ALL_OF_IT * float(np.std(values)) / math.sqrt(
        parts
    ):
        return Noise(None, TOO_FAST)
    if least <= NOT_TO_SPEAK_OF or apart <= tolerance * min(before, last):
        return Noise(None, TOO_FAST) if _is_lumpy(sizes[0], least) else Noise(least)
    return Noise(None, TOO_FAST)


def _is_lumpy(fourth: FloatArray, sigma: float) -> bool:
    """Whether a few differences vary like those of a curve rather than those of noise."""
    if fourth.size >= _MANY_POINTS or sigma <= _LUMP_TO_LOOK_AT:
        return False
    rising = np.sort(fourth)
    return bool(rising[int(0.9 * rising.size)] > _MOST_LUMPY * median(fourth))


def is_even(frequency_hz: FloatArray) -> bool:
    """Whether all points are equally spaced."""
    step_hz = np.diff(frequency_hz)
    mean_hz = float(frequency_hz[-1] - frequency_hz[0]) / step_hz.size
    return bool(np.abs(step_hz - mean_hz).max() <= _EVEN * mean_hz)


def _plain_differences(values: ComplexArray | FloatArray, orders: list[int]) -> list[FloatArray]:
    """|differences| of increasing even orders, each from the previous one."""
    sizes, left, done = [], values, 0
    for order in orders:
        left = np.diff(left, n=order - done)
        done = order
        sizes.append(np.abs(left) / math.sqrt(math.comb(2 * order, order)))
    return sizes


def _divided_difference(
    frequency_hz: FloatArray, values: ComplexArray | FloatArray, order: int
) -> FloatArray:
    """|divided differences| divided by the root of their squared weights, shape (n - order,)."""
    count = values.size - order
    part = [slice(j, j + count) for j in range(order + 1)]
    # Nodes spread over 4 have weights near 1, whatever the order (capacity of an interval).
    scale_hz = (frequency_hz[order:] - frequency_hz[:-order]) / 4
    total: ComplexArray = np.zeros(count, dtype=np.complex128)
    squares: FloatArray = np.zeros(count)
    for j in range(order + 1):
        product = np.ones(count)
        for k in range(order + 1):
            if k != j:
                product *= (frequency_hz[part[j]] - frequency_hz[part[k]]) / scale_hz
        total += values[part[j]] / product
        squares += 1 / product**2
    size: FloatArray = np.abs(total) / np.sqrt(squares)
    return size
