"""The dearest path through a raster from left to right, by dynamic programming.

The path is made of straight pieces, each four columns wide (R. Bellman's principle of optimality,
with the row at a piece's end and its slope as state). A change of slope costs, so that at a
crossing the path goes on straight, and across the gaps of a dashed line too. Where it is steep, a
column counts by the mean over all rows that the line covers in it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from fairlead.core.arrays import FloatArray, IntArray

PIECE = 4
_RISING = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 24, 32, 40, 48, 64, 96, 128)
SLOPES = (*(-slope for slope in reversed(_RISING)), 0, *_RISING)
"""Rows a piece."""
_TURN_COST = 0.15
# A bend as sharp as one likes, as at the bottom of a deep dip, costs no more.
_SHARPEST = 1.5
_STEEP_COST = 0.002
# A steep piece with less of the line along it than this jumps over blank paper, which costs by the
# row: else the path would leave a pale curve for a clear one and jump back only at the clicks.
_INKED = np.float32(0.5)
_NEVER = np.float32(-1e9)
_FORCED = np.float32(-1e6)
_NEAR_CLICK = 3.0


def find_path(
    like: FloatArray, clicks: Sequence[tuple[float, float]]
) -> tuple[IntArray, FloatArray]:
    """Row and slope of the path in each column.

    Parameters
    ----------
    like : FloatArray, shape (rows, columns)
    clicks : sequence of (column, row)
        The path passes within three rows of them.

    Returns
    -------
    rows : IntArray, shape (columns,)
    slopes : FloatArray, shape (columns,)
        Rows a column.
    """
    rows, columns = like.shape
    reach = SLOPES[-1]
    pieces = -(-columns // PIECE)
    padded = np.zeros((rows, pieces * PIECE), dtype=np.float32)
    padded[:, :columns] = like
    gained = _along_pieces(padded)
    steps = np.array(SLOPES)
    source = np.arange(rows)[None, :] - steps[:, None]
    inside = np.clip(source, 0, rows - 1)
    state = np.zeros((len(SLOPES), rows), dtype=np.float32)
    back: NDArray[np.int8] = np.zeros((pieces, len(SLOPES), rows), dtype=np.int8)
    edge = np.full((len(SLOPES), rows + 2 * reach), _NEVER)
    for piece in range(pieces):
        if piece > 0:
            best, came = _before(state)
            edge[:, reach:-reach] = best
            state = np.take_along_axis(edge, source + reach, axis=1)
            back[piece] = np.take_along_axis(came, inside, axis=1)
        state = state + gained[piece]
        for column, row in clicks:
            if min(max(int(column // PIECE), 0), pieces - 1) == piece:
                state = state + _forced(column - piece * PIECE, row, steps, rows)
    slope, row_at = divmod(int(np.argmax(state)), rows)
    path, slopes = np.zeros(pieces * PIECE), np.zeros(pieces * PIECE)
    shares = 1 - (np.arange(PIECE) + 0.5) / PIECE
    for piece in range(pieces - 1, -1, -1):
        own = slice(piece * PIECE, (piece + 1) * PIECE)
        path[own], slopes[own] = row_at - SLOPES[slope] * shares, SLOPES[slope] / PIECE
        came_from = int(back[piece, slope, row_at])
        row_at = min(max(row_at - SLOPES[slope], 0), rows - 1)
        slope = came_from
    whole = np.clip(np.rint(path[:columns]), 0, rows - 1).astype(np.intp)
    return whole, slopes[:columns]


def _forced(column: float, row: float, steps: NDArray[np.intp], rows: int) -> NDArray[np.float32]:
    """A penalty for all states of a piece that pass a click by, shape (slopes, rows)."""
    share = 1 - min(max(column / PIECE, 0.0), 1.0)
    passes = np.arange(rows)[None, :] + 0.5 - steps[:, None] * share
    is_far = np.abs(passes - row) > _NEAR_CLICK + np.abs(steps)[:, None] / (2 * PIECE)
    return np.where(is_far, _FORCED, np.float32(0))


def _before(state: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.int8]]:
    """For each slope and row the best state to come from, and the slope of that."""
    best = np.broadcast_to(state.max(axis=0) - np.float32(_SHARPEST), state.shape).copy()
    came = np.broadcast_to(state.argmax(axis=0), state.shape).astype(np.int8)
    count = state.shape[0]
    numbers = np.arange(count, dtype=np.int8)[:, None]
    for turn in (-3, -2, -1, 1, 2, 3, 0):
        to = slice(max(0, -turn), count - max(0, turn))
        from_ = slice(max(0, turn), count - max(0, -turn))
        offered = state[from_] - np.float32(_TURN_COST * abs(turn))
        is_better = offered >= best[to]
        best[to] = np.where(is_better, offered, best[to])
        came[to] = np.where(is_better, numbers[from_], came[to])
    return best, came


def _along_pieces(like: NDArray[np.float32]) -> list[NDArray[np.float32]]:
    """What a path gains in each piece by slope and row at its end, each (slopes, rows)."""
    rows, columns = like.shape
    total = np.zeros((rows + 1, columns), dtype=np.float32)
    np.cumsum(like, axis=0, out=total[1:])
    found = np.empty((len(SLOPES), rows, columns // PIECE), dtype=np.float32)
    middle = np.arange(rows)
    for index, slope in enumerate(SLOPES):
        half = abs(slope) / PIECE / 2
        blank = np.float32(max(0.0, 2 * half - 1))
        gain = np.full((rows, columns // PIECE), -_STEEP_COST * abs(slope), dtype=np.float32)
        for place in range(PIECE):
            at = middle + 0.5 - slope * (1 - (place + 0.5) / PIECE)
            low = np.clip(np.floor(at - half), 0, rows - 1).astype(np.intp)
            high = np.clip(np.ceil(at + half), low + 1, rows).astype(np.intp)
            own = total[:, place::PIECE]
            mean = (own[high] - own[low]) / (high - low)[:, None].astype(np.float32)
            gain += mean - blank * np.clip(_INKED - mean, 0, None)
        found[index] = gain
    return [found[:, :, piece] for piece in range(columns // PIECE)]
