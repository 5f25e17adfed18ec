"""What the points of a sweep say about themselves: its noise, and the delay of a long line."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.arrays import median

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

# Below this the noise and the curve cannot be told apart.
_FEWEST_POINTS = 24
_ORDERS = (4, 6, 8, 10)
# The least of four estimates, which share their points, lies this much below each of them.
_LEAST_OF_ORDERS = 0.95
# Median of |x| of a Gaussian of sigma 1, and of |x + jy| of a two-dimensional one.
_MEDIAN_OF_REAL = 0.67449
_MEDIAN_OF_COMPLEX = math.sqrt(2 * math.log(2))
# 3 % of full scale; analyzers stay below 1 %.
_MOST_NOISE = 0.03
# Intervals alike to this share of their mean make an even grid.
_EVEN = 1e-3
# A curve that turns by less from point to point is followed well enough by cubics.
_LEAST_TURN_RAD = math.radians(5.0)
# Taking a delay out must leave less than this share of the usual fourth difference.
_WORTHWHILE = 0.5


def noise_of(frequency_hz: FloatArray, values: ComplexArray | FloatArray) -> float:
    """Standard deviation of one component from point to point; 0 where that cannot be told.

    A smooth curve leaves next to nothing in its differences of order d, white noise of sigma
    leaves sqrt(C(2d, d)) sigma (the sum of the squared binomial coefficients); on an uneven grid
    the divided differences' own weights take their place. The median of their magnitudes is not
    moved by a few outliers. Noise gives the same at every order, what is left of a curve does
    not: the least of several orders is the noise.

    It cannot be told below 24 points, and where neighbours have next to nothing to do with each
    other: that is a curve too fast for its points, not noise.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    values : ComplexArray or FloatArray, shape (n,)
    """
    if values.size < _FEWEST_POINTS:
        return 0.0
    step_hz = np.diff(frequency_hz)
    mean_hz = float(frequency_hz[-1] - frequency_hz[0]) / step_hz.size
    if np.abs(step_hz - mean_hz).max() <= _EVEN * mean_hz:
        sizes = [
            np.abs(np.diff(values, n=order)) / math.sqrt(math.comb(2 * order, order))
            for order in _ORDERS
        ]
    else:
        sizes = [_divided_difference(frequency_hz, values, order) for order in _ORDERS]
    of_sigma = _MEDIAN_OF_COMPLEX if np.iscomplexobj(values) else _MEDIAN_OF_REAL
    noise = min(median(size) for size in sizes) / (of_sigma * _LEAST_OF_ORDERS)
    return noise if noise <= _MOST_NOISE else 0.0


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


def delay_of(frequency_hz: FloatArray, reflection: ComplexArray) -> float:
    """Delay in seconds whose removal makes the reflection markedly smoother, else 0.

    Behind a long line the reflection turns far from point to point, too far for a cubic. Times
    ``exp(2 pi j f delay)`` it does not. The mean turn is the angle of the autocorrelation at a lag
    of one point.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,)
    """
    if reflection.size < _FEWEST_POINTS:
        return 0.0
    step_hz = float(frequency_hz[-1] - frequency_hz[0]) / (frequency_hz.size - 1)
    turn_rad = float(np.angle(np.vdot(reflection[:-1], reflection[1:])))
    if abs(turn_rad) < _LEAST_TURN_RAD:
        return 0.0
    delay_s = -turn_rad / (2 * np.pi * step_hz)
    smoother = reflection * turned(frequency_hz, delay_s)
    left, before = (median(np.abs(np.diff(values, n=4))) for values in (smoother, reflection))
    return delay_s if left <= _WORTHWHILE * before else 0.0


def turned(frequency_hz: FloatArray, delay_s: float) -> ComplexArray:
    """The factor ``exp(2 pi j f delay)`` that takes a delay out, shape (n,)."""
    factor: ComplexArray = np.exp(2j * np.pi * delay_s * frequency_hz)
    return factor
