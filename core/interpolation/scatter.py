"""What the points of a sweep say about themselves: its noise, and the delay of a long line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from core.arrays import median

if TYPE_CHECKING:
    from core.arrays import ComplexArray, FloatArray

_FEWEST_POINTS = 12
_ORDER = 6
# Median of |x| of a Gaussian of sigma 1.
_MEDIAN_OF_REAL = 0.67449
# A tenth of full scale; analyzers stay below a hundredth.
_MOST_NOISE = 0.1
# Intervals alike to this share of their mean make an even grid.
_EVEN = 1e-3
# A curve that turns by less from point to point is followed well enough by cubics.
_LEAST_TURN_RAD = np.deg2rad(5.0)
# Taking a delay out must leave less than this share of the fourth differences' power.
_WORTHWHILE = 0.25


def noise_of(frequency_hz: FloatArray, values: ComplexArray | FloatArray) -> float:
    """Standard deviation of one component from point to point; 0 where that cannot be told.

    That is below 12 points, and where neighbours have next to nothing to do with each other: a
    curve too fast for its points, not noise.

    A smooth curve leaves next to nothing in its sixth differences, white noise of sigma leaves
    sqrt(924) sigma (sum of the squared binomial coefficients); on an uneven grid the divided
    differences' own weights take their place. The median of the magnitude of a two-dimensional
    Gaussian is sqrt(2 ln 2) sigma (0.6745 sigma for real values), and a few outliers do not move
    it.

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
        size = np.abs(np.diff(values, n=_ORDER)) / np.sqrt(924)
    else:
        size = _divided_difference(frequency_hz, values)
    median_sigmas = np.sqrt(2 * np.log(2)) if np.iscomplexobj(values) else _MEDIAN_OF_REAL
    noise = median(size) / float(median_sigmas)
    return noise if noise <= _MOST_NOISE else 0.0


def _divided_difference(frequency_hz: FloatArray, values: ComplexArray | FloatArray) -> FloatArray:
    """|sixth divided differences| divided by the root of their squared weights, shape (n - 6,)."""
    count = values.size - _ORDER
    part = [slice(j, j + count) for j in range(_ORDER + 1)]
    span_hz = frequency_hz[_ORDER:] - frequency_hz[:-_ORDER]
    total: ComplexArray = np.zeros(count, dtype=np.complex128)
    squares: FloatArray = np.zeros(count)
    for j in range(_ORDER + 1):
        product = np.ones(count)
        for k in range(_ORDER + 1):
            if k != j:
                product *= (frequency_hz[part[j]] - frequency_hz[part[k]]) / span_hz
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
    left, before = (
        float((np.abs(np.diff(values, n=4)) ** 2).sum()) for values in (smoother, reflection)
    )
    return delay_s if left <= _WORTHWHILE * before else 0.0


def turned(frequency_hz: FloatArray, delay_s: float) -> ComplexArray:
    """The factor ``exp(2 pi j f delay)`` that takes a delay out, shape (n,)."""
    factor: ComplexArray = np.exp(2j * np.pi * delay_s * frequency_hz)
    return factor
