"""How much each cell of a raster looks like the curve that was clicked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

LEAST = -0.3
_TILE = 20
_NEAR = 5
_NEAR_SIGMA = 2.0
_PICKED = 12
_LEAST_CONTRAST = 0.03
_ACROSS = 1.0
_BEYOND = 0.6
_WEAKENED = 0.9
# A row that is as dark as the curve itself where it was clicked may be the curve.
_IS_CURVE = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Likeness:
    """How the cells of a raster look, both of shape (rows, columns).

    Attributes
    ----------
    like : FloatArray
        Likeness to the colour that was clicked.
    along : FloatArray
        Colour along that difference of colours, from any level, in its units.
    plain : FloatArray
        ``like`` with grid and frame as they are, not weakened.
    """

    like: FloatArray
    along: FloatArray
    plain: FloatArray


def likeness(colours: FloatArray, column: float, row: float, tolerance: float = 1.0) -> Likeness:
    """Likeness to the colour at a place: 1 the same, 0 the background, less another colour.

    What stands out from its surroundings is compared, so that glare and shading do not matter: the
    median of each neighbourhood is taken off. The colour at the place is what stands out most near
    it. Rows and columns that are alike from end to end (grid, frame) are weakened.

    Parameters
    ----------
    colours : FloatArray, shape (rows, columns, 3)
    column, row : float
        The place in the raster.
    tolerance : float
        Above 1, colours may differ more.

    Returns
    -------
    Likeness

    Raises
    ------
    FairleadError
        If nothing stands out near the place.
    """
    difference = colours - _background(colours)
    wanted = _colour_at(difference, column, row)
    strength = float(np.linalg.norm(wanted))
    if strength < _LEAST_CONTRAST:
        raise FairleadError(
            "nothing stands out from the background where the curve was clicked",
            "click in the middle of its line",
        )
    along = difference @ (wanted / strength**2)
    across = np.linalg.norm(difference - along[..., None] * wanted, axis=2) / strength
    like = np.where(along > 1, 1 - _BEYOND / tolerance * (along - 1), along)
    like -= _ACROSS / tolerance * across
    plain = like.copy()
    for axis in (0, 1):
        line = np.clip(np.median(like, axis=axis, keepdims=True), 0, None)
        if axis == 1 and line[min(max(int(row), 0), line.size - 1), 0] > _IS_CURVE:
            continue
        like -= _WEAKENED * line
    return Likeness(np.clip(like, LEAST, 1.0), colours @ (wanted / strength**2), plain)


def _colour_at(difference: FloatArray, column: float, row: float) -> FloatArray:
    rows, columns = difference.shape[:2]
    middle, centre = int(np.clip(row, 0, rows - 1)), int(np.clip(column, 0, columns - 1))
    down, across = np.mgrid[
        max(middle - _NEAR, 0) : min(middle + _NEAR + 1, rows),
        max(centre - _NEAR, 0) : min(centre + _NEAR + 1, columns),
    ]
    near = difference[down, across].reshape(-1, 3)
    squares = ((down + 0.5 - row) ** 2 + (across + 0.5 - column) ** 2).ravel()
    weight = (near**2).sum(axis=1) * np.exp(-squares / (2 * _NEAR_SIGMA**2))
    picked = np.argsort(-weight)[:_PICKED]
    if weight[picked].sum() <= 0:
        return np.zeros(3)
    result: FloatArray = np.average(near[picked], axis=0, weights=weight[picked])
    return result


def _background(colours: FloatArray) -> FloatArray:
    """Median over three by three tiles, linear in between: thin lines do not touch it."""
    rows, columns = colours.shape[:2]
    down, across = max(1, rows // _TILE), max(1, columns // _TILE)
    high, wide = rows // down, columns // across
    tiles = colours[: down * high, : across * wide].reshape(down, high, across, wide, 3)
    # One cell in four is enough for a median of thousands.
    tiles = tiles[:, ::2, :, ::2].transpose(0, 2, 1, 3, 4).reshape(down, across, -1, 3)
    padded = np.pad(tiles, ((1, 1), (1, 1), (0, 0), (0, 0)), mode="edge")
    around = [padded[i : i + down, j : j + across] for i in range(3) for j in range(3)]
    medians = np.median(np.concatenate(around, axis=2), axis=2)
    for axis, (count, size, total) in enumerate(((down, high, rows), (across, wide, columns))):
        at = np.clip((np.arange(total) + 0.5) / size - 0.5, 0, count - 1)
        low = np.minimum(at.astype(np.intp), max(count - 2, 0))
        share = (at - low).reshape((-1, 1, 1) if axis == 0 else (1, -1, 1))
        first = np.take(medians, low, axis=axis)
        medians = first + share * (
            np.take(medians, np.minimum(low + 1, count - 1), axis=axis) - first
        )
    return medians
