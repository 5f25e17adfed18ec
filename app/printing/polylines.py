"""Reduces the points of a curve to what print can show, and clips them to a box.

Everything works on arrays of shape (n, 2) in millimetres.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.arrays import distinct, runs

if TYPE_CHECKING:
    from fairlead.app.printing.shapes import Box
    from fairlead.core.arrays import BoolArray, FloatArray, IntArray


def thin_by_width(points: FloatArray, column_mm: float) -> FloatArray:
    """First, lowest, highest and last point of every column, for non-decreasing x.

    Keeps the outline of a noisy curve that has many points in each column.
    """
    if len(points) < 5:
        return points
    column = np.floor(points[:, 0] / column_mm).astype(np.int64)
    starts = np.flatnonzero(np.concatenate(([True], column[1:] != column[:-1])))
    if 4 * starts.size >= len(points):
        return points
    stops = np.concatenate((starts[1:], [len(points)]))
    by_height = np.lexsort((points[:, 1], column))
    kept = distinct(np.concatenate((starts, stops - 1, by_height[starts], by_height[stops - 1])))
    thinned: FloatArray = points[kept]
    return thinned


def simplify(points: FloatArray, tolerance_mm: float) -> FloatArray:
    """The polyline with fewer points, nowhere further than a tolerance from the full one.

    D. Douglas and T. Peucker, Cartographica 10(2), 1973 (cited from memory), with all pieces of a
    level at once: a piece is split at its furthest point until no point is too far from its chord.
    """
    result: FloatArray = points[simplify_mask(points, tolerance_mm)]
    return result


def simplify_mask(points: FloatArray, tolerance_mm: float) -> BoolArray:
    """Which points `simplify` keeps, shape (n,)."""
    count = len(points)
    if count < 3:
        return np.ones(count, dtype=np.bool_)
    kept = np.zeros(count, dtype=np.bool_)
    kept[[0, -1]] = True
    is_done = np.zeros(count, dtype=np.bool_)
    while True:
        ends = np.flatnonzero(kept)
        active = ~is_done[ends[:-1]] & (np.diff(ends) > 1)
        if not active.any():
            return kept
        starts, stops = ends[:-1][active], ends[1:][active]
        split, is_far = _furthest(points, starts, stops, tolerance_mm)
        kept[split[is_far]] = True
        is_done[starts[~is_far]] = True


def _furthest(
    points: FloatArray, starts: IntArray, stops: IntArray, tolerance_mm: float
) -> tuple[IntArray, BoolArray]:
    """Index of the point furthest from the chord of each piece, and whether it is too far."""
    sizes = stops - starts
    offsets = np.concatenate(([0], np.cumsum(sizes)[:-1]))
    piece = np.repeat(np.arange(starts.size), sizes)
    index = np.arange(sizes.sum()) - offsets[piece] + starts[piece]
    chord_x, chord_y = (points[stops] - points[starts]).T
    length_squared = np.maximum(chord_x**2 + chord_y**2, 1e-30)
    away_x, away_y = (points[index] - points[starts][piece]).T
    chord_x, chord_y = chord_x[piece], chord_y[piece]
    along = (away_x * chord_x + away_y * chord_y) / length_squared[piece]
    along = np.minimum(np.maximum(along, 0.0), 1.0)
    distance = (away_x - along * chord_x) ** 2 + (away_y - along * chord_y) ** 2
    furthest = np.maximum.reduceat(distance, offsets)
    places = np.flatnonzero(distance == furthest[piece])
    first = places[np.searchsorted(piece[places], np.arange(starts.size))]
    return index[first], furthest > tolerance_mm**2


def cut(points: FloatArray, box: Box) -> list[FloatArray]:
    """The parts of a polyline that lie in a box, with ends on the box's sides.

    Liang and Barsky's line clipping (ACM Trans. Graphics 3(1), 1984, cited from memory).
    """
    if len(points) < 2:
        return []
    start, step = points[:-1], np.diff(points, axis=0)
    enter = np.zeros(len(step))
    leave = np.ones(len(step))
    for axis, low, high in ((0, box.left, box.right), (1, box.top, box.bottom)):
        with np.errstate(divide="ignore", invalid="ignore"):
            first = (low - start[:, axis]) / step[:, axis]
            second = (high - start[:, axis]) / step[:, axis]
        inside = (start[:, axis] >= low) & (start[:, axis] <= high)
        level = step[:, axis] == 0
        near = np.where(level, np.where(inside, 0.0, 2.0), np.minimum(first, second))
        far = np.where(level, np.where(inside, 1.0, -1.0), np.maximum(first, second))
        enter = np.maximum(enter, near)
        leave = np.minimum(leave, far)
    shown = enter < leave
    parts = []
    for begin, end in runs(shown):
        # Between two shown segments the curve may have left the box and come back at a corner.
        breaks = np.flatnonzero((leave[begin : end - 1] < 1) | (enter[begin + 1 : end] > 0))
        limits = [begin, *(begin + 1 + breaks).tolist(), end]
        for a, b in itertools.pairwise(limits):
            parts.append(
                np.concatenate(
                    (
                        [start[a] + enter[a] * step[a]],
                        points[a + 1 : b],
                        [start[b - 1] + leave[b - 1] * step[b - 1]],
                    )
                )
            )
    return parts
