"""Leaving out invisible points: how much each point of a curve matters.

The points of a curve are halved again and again into blocks. The weight of the point in the
middle of a block is the largest distance, over all points of the block, from the straight line
between the block's ends; it is never less than the weights inside. Keeping the points whose
weight exceeds a tolerance therefore gives a line that passes every point within the tolerance,
and one set of weights serves every zoom.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

    Distance = Callable[[IntArray, IntArray], FloatArray]

WeightArray = NDArray[np.float32]


def plane_weights(points: ComplexArray) -> WeightArray:
    """Weights of a curve in a plane, by the distance from the line; shape (n,), n >= 2."""

    def distance(start: IntArray, end: IntArray) -> FloatArray:
        first = points[start]
        along, offset = points[end] - first, points[:-1] - first
        size = along.real**2 + along.imag**2
        # Where both ends coincide the distance is that from the point.
        share = (offset * along.conj()).real / np.where(size > 0, size, 1.0)
        gap: FloatArray = np.abs(offset - np.clip(share, 0.0, 1.0) * along)
        return gap

    return _weights(points.size, distance)


def function_weights(x: FloatArray, y: FloatArray) -> WeightArray:
    """Weights of a curve over a rising x, by the distance along y; shape (n,), n >= 2."""

    def distance(start: IntArray, end: IntArray) -> FloatArray:
        share = (x[:-1] - x[start]) / (x[end] - x[start])
        gap: FloatArray = np.abs(y[:-1] - y[start] - share * (y[end] - y[start]))
        return gap

    return _weights(x.size, distance)


def thin_by_pixel(column: IntArray, y: FloatArray) -> BoolArray:
    """Which points to keep so that every pixel column shows its first, last, least and largest.

    Parameters
    ----------
    column : IntArray, shape (n,), n >= 1
        Pixel column of each point, non-decreasing.
    y : FloatArray, shape (n,)
        NaN where there is no value.
    """
    change = column[1:] != column[:-1]
    starts = np.concatenate(([0], np.flatnonzero(change) + 1))
    group = np.concatenate(([0], np.cumsum(change)))
    keep: BoolArray = (y == np.fmin.reduceat(y, starts)[group]) | (
        y == np.fmax.reduceat(y, starts)[group]
    )
    keep[starts] = True
    keep[starts[1:] - 1] = True
    keep[-1] = True
    return keep


def _weights(size: int, distance: Distance) -> WeightArray:
    weights = np.zeros(size, dtype=np.float32)
    weights[[0, -1]] = np.inf
    last = size - 1
    below: FloatArray = np.zeros(last)
    step = 1
    while step < last:
        step *= 2
        starts = np.arange(0, last, step)
        ends = np.minimum(starts + step, last)
        block = np.arange(last) // step
        worst = np.maximum.reduceat(distance(starts[block], ends[block]), starts)
        if below.size % 2:
            below = np.append(below, 0.0)
        worst = np.maximum(worst, below.reshape(-1, 2).max(axis=1))
        middle = starts + step // 2
        inside = middle < last
        weights[middle[inside]] = worst[inside]
        below = worst
    return weights
