"""Local interpolation between the points of a sweep.

Four neighbouring points carry a cubic polynomial (fewer in shorter sweeps), in Lagrange's form.
On the complex reflection this is more exact than on SWR by orders of magnitude, because the
reflection of an antenna is smooth where its SWR has a sharp dip.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from core.arrays import FloatArray, IntArray

Value = TypeVar("Value", np.float64, np.complex128)

STENCIL = 4
_ROOT_STEPS = 60


def interpolate(
    frequency_hz: FloatArray, values: NDArray[Value], at_hz: FloatArray
) -> NDArray[Value]:
    """Values between the points.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
        Strictly increasing.
    values : NDArray, shape (n,), float or complex
    at_hz : FloatArray, shape (m,)
        Within the first and the last frequency.

    Returns
    -------
    NDArray, shape (m,)
        Exact at the points themselves.
    """
    interval = np.clip(
        np.searchsorted(frequency_hz, at_hz, side="right") - 1, 0, frequency_hz.size - 2
    )
    return _lagrange(frequency_hz, values, interval, at_hz)


def refine(
    frequency_hz: FloatArray, values: NDArray[Value], factor: int
) -> tuple[FloatArray, NDArray[Value]]:
    """The sweep with ``factor - 1`` interpolated points in every interval.

    Returns
    -------
    tuple of arrays, shape ((n - 1) * factor + 1,)
        Frequencies in Hz and values; every ``factor``-th one is a point of the sweep.
    """
    size = frequency_hz.size
    fine_hz = np.empty((size - 1) * factor + 1)
    fine = np.empty(fine_hz.size, dtype=values.dtype)
    fine_hz[::factor], fine[::factor] = frequency_hz, values
    interval = np.arange(size - 1)
    step_hz = np.diff(frequency_hz)
    for part in range(1, factor):
        at_hz = frequency_hz[:-1] + step_hz * (part / factor)
        fine_hz[part::factor] = at_hz
        fine[part::factor] = _lagrange(frequency_hz, values, interval, at_hz)
    return fine_hz, fine


def polynomial(
    frequency_hz: FloatArray, values: NDArray[Value], interval: int
) -> tuple[float, float, NDArray[Value]]:
    """The interpolating polynomial of one interval.

    Returns
    -------
    origin_hz, scale_hz : float
        The polynomial's variable is ``t = (f - origin_hz) / scale_hz``, 0 to 1 in the interval.
    coefficients : NDArray, shape (k,), k <= 4
        Highest power first.
    """
    count = min(STENCIL, frequency_hz.size)
    start = min(max(interval - 1, 0), frequency_hz.size - count)
    origin_hz = float(frequency_hz[interval])
    scale_hz = float(frequency_hz[interval + 1]) - origin_hz
    t = (frequency_hz[start : start + count] - origin_hz) / scale_hz
    solved = np.linalg.solve(np.vander(t), values[start : start + count])
    return origin_hz, scale_hz, solved.astype(values.dtype)


def roots_between(
    function: Callable[[FloatArray], FloatArray], left_hz: FloatArray, right_hz: FloatArray
) -> FloatArray:
    """Zeros of a continuous function, one in each bracket with a change of sign.

    Parameters
    ----------
    function : callable
        Maps frequencies, shape (m,), to values, shape (m,).
    left_hz, right_hz : FloatArray, shape (m,)
        Brackets.

    Returns
    -------
    FloatArray, shape (m,)
        Zeros in Hz, to rounding (Illinois variant of false position; Dowell and Jarratt, BIT 11,
        1971, from memory).
    """
    a, b = left_hz.astype(np.float64), right_hz.astype(np.float64)
    value_a, value_b = function(a), function(b)
    for _ in range(_ROOT_STEPS):
        slope = value_b - value_a
        safe = np.where(slope == 0, 1.0, slope)
        middle = np.where(slope == 0, (a + b) / 2, b - value_b * (b - a) / safe)
        value = function(middle)
        crossed = np.sign(value) * np.sign(value_b) < 0
        # The end that stays put is halved, so that it cannot hold the search up.
        a = np.where(crossed, b, a)
        value_a = np.where(crossed, value_b, value_a / 2)
        moved_hz = np.abs(middle - b)
        b, value_b = middle, value
        if (moved_hz <= 1e-13 * b).all():
            break
    return b


def _lagrange(
    frequency_hz: FloatArray, values: NDArray[Value], interval: IntArray, at_hz: FloatArray
) -> NDArray[Value]:
    count = min(STENCIL, frequency_hz.size)
    start = np.clip(interval - 1, 0, frequency_hz.size - count)
    nodes = [frequency_hz[start + j] for j in range(count)]
    result = np.zeros(at_hz.shape, dtype=values.dtype)
    for j in range(count):
        weight = np.ones(at_hz.shape)
        for k in range(count):
            if k != j:
                weight *= (at_hz - nodes[k]) / (nodes[j] - nodes[k])
        result += weight * values[start + j]
    return result
