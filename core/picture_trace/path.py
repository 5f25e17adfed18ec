"""The dearest path through a raster from left to right, by dynamic programming.

The state is a row and a slope (R. Bellman's principle of optimality): a change of slope costs, so
that at a crossing the path goes on straight, and across the gaps of a dashed line too. Where it is
steep, a column counts by the mean over all rows that the line covers in it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from fairlead.core.arrays import FloatArray, IntArray

_RISING = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32)
SLOPES = (*(-slope for slope in reversed(_RISING)), 0, *_RISING)
"""Rows a column."""
_TURN_COST = 0.05
# A bend as sharp as one likes, as at the bottom of a deep dip, costs no more.
_SHARPEST = 0.3
_STEEP_COST = 0.004
_NEVER = np.float32(-1e9)
_NEAR_CLICK = 3


def find_path(like: FloatArray, clicks: Sequence[tuple[float, float]]) -> tuple[IntArray, IntArray]:
    """Row and slope of the path in each column.

    Parameters
    ----------
    like : FloatArray, shape (rows, columns)
    clicks : sequence of (column, row)
        The path passes within three rows of them.

    Returns
    -------
    rows, slopes : IntArray, shape (columns,)
    """
    rows, columns = like.shape
    reach = SLOPES[-1]
    steps = np.array(SLOPES)
    gained = _along_columns(like.astype(np.float32))
    forced = {int(np.clip(column, 0, columns - 1)): row for column, row in clicks}
    source = np.arange(rows)[None, :] - steps[:, None] + reach
    state = np.stack([gained[abs(slope)][:, 0] for slope in SLOPES])
    back: NDArray[np.int8] = np.zeros((columns, len(SLOPES), rows), dtype=np.int8)
    padded = np.full((len(SLOPES), rows + 2 * reach), _NEVER)
    for column in range(columns):
        if column > 0:
            best, came = _before(state)
            padded[:, reach:-reach] = best
            own = np.stack([gained[abs(slope)][:, column] for slope in SLOPES])
            state = np.take_along_axis(padded, source, axis=1) + own
            at = np.clip(source - reach, 0, rows - 1)
            back[column] = np.take_along_axis(came, at, axis=1)
        if column in forced:
            is_far = np.abs(np.arange(rows) + 0.5 - forced[column]) > _NEAR_CLICK
            state = np.where(is_far[None, :], state + _NEVER / 1000, state)
    slope, row = divmod(int(np.argmax(state)), rows)
    path, slopes = np.zeros(columns, dtype=np.intp), np.zeros(columns, dtype=np.intp)
    for column in range(columns - 1, -1, -1):
        path[column], slopes[column] = row, SLOPES[slope]
        came_from = int(back[column, slope, row])
        row = min(max(row - SLOPES[slope], 0), rows - 1)
        slope = came_from
    return path, slopes


def _before(state: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.int8]]:
    """For each slope and row the best state to come from, and the slope of that."""
    top = state.argmax(axis=0)
    best = np.broadcast_to(state.max(axis=0) - np.float32(_SHARPEST), state.shape).copy()
    came = np.broadcast_to(top, state.shape).astype(np.int8)
    count = state.shape[0]
    for turn in (-2, -1, 0, 1, 2):
        to = slice(max(0, -turn), count - max(0, turn))
        from_ = slice(max(0, turn), count - max(0, -turn))
        offered = state[from_] - np.float32(_TURN_COST * abs(turn))
        is_better = offered > best[to]
        best[to] = np.where(is_better, offered, best[to])
        number = np.arange(count, dtype=np.int8)[from_][:, None]
        came[to] = np.where(is_better, number, came[to])
    return best, came


def _along_columns(like: NDArray[np.float32]) -> dict[int, NDArray[np.float32]]:
    """What a path gains in a cell, by steepness; each of shape (rows, columns)."""
    rows, columns = like.shape
    total = np.zeros((rows + 1, columns), dtype=np.float32)
    np.cumsum(like, axis=0, out=total[1:])
    means = {}
    for size in {abs(slope) for slope in SLOPES}:
        low = np.clip(np.arange(rows) - size // 2, 0, rows)
        high = np.clip(np.arange(rows) + (size + 1) // 2, 0, rows)
        high = np.maximum(high, low + 1)
        means[size] = (total[high] - total[low]) / (high - low)[:, None] - np.float32(
            _STEEP_COST * size
        )
    return means
