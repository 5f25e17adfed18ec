"""A picture taken at an angle made square: four corners give a homography.

A homography maps lines to lines and has eight parameters, so four corners decide it. It is the null
vector of the linear equations of the points (direct linear transform), found by singular value
decomposition after moving and scaling the points about their mean (R. Hartley, A. Zisserman,
Multiple View Geometry, 2nd ed., 2004, algorithm 4.2, from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from fairlead.core.arrays import FloatArray
    from fairlead.core.picture_trace.axes import Point

    Picture = NDArray[np.uint8]
    Corners = tuple[Point, Point, Point, Point]

_LEAST_SIDE_PX = 20.0
_LEAST_TURN = math.sin(math.radians(20))
_LONGEST_SIDE_PX = 4000.0


def check_corners(corners: Corners) -> None:
    """Refuse four corners that are no picture of a rectangle.

    Raises
    ------
    FairleadError
    """
    if not all(math.isfinite(number) for corner in corners for number in corner):
        raise FairleadError("a corner is not a finite number", "drag it to its place again")
    sides = [
        (end[0] - start[0], end[1] - start[1])
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True)
    ]
    lengths = [math.hypot(*side) for side in sides]
    if min(lengths) < _LEAST_SIDE_PX:
        raise FairleadError(
            f"two corners are less than {_LEAST_SIDE_PX:g} pixels apart",
            "drag them to the corners of the plot",
        )
    turns = [
        (one[0] * two[1] - one[1] * two[0]) / (first * second)
        for one, two, first, second in zip(
            sides, (*sides[1:], sides[0]), lengths, (*lengths[1:], lengths[0]), strict=True
        )
    ]
    if min(turns) < _LEAST_TURN:
        raise FairleadError(
            "the four corners are those of no rectangle",
            "drag them upper left, upper right, lower right, lower left, around the plot",
        )


def homography(source: FloatArray, target: FloatArray) -> FloatArray:
    """The matrix, shape (3, 3), that takes points to points, both of shape (n, 2), n >= 4."""
    norm_source, scaled_source = _normalised(source)
    norm_target, scaled_target = _normalised(target)
    x, y = scaled_source.T
    one, zero = np.ones_like(x), np.zeros_like(x)
    rows = [
        np.stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u], axis=1)
        if axis == 0
        else np.stack([zero, zero, zero, x, y, one, -u * x, -u * y, -u], axis=1)
        for axis, u in enumerate(scaled_target.T)
    ]
    inner = np.linalg.svd(np.concatenate(rows))[2][-1].reshape(3, 3)
    result: FloatArray = np.linalg.inv(norm_target) @ inner @ norm_source
    return result


def carried(matrix: FloatArray, points: FloatArray) -> FloatArray:
    """Points, shape (n, 2), through a homography; shape (n, 2)."""
    lifted = points @ matrix[:, :2].T + matrix[:, 2]
    result: FloatArray = lifted[:, :2] / lifted[:, 2:]
    return result


def inverse(matrix: FloatArray) -> FloatArray:
    """The homography back."""
    return np.linalg.inv(matrix).astype(np.float64)


def rectangle_of(corners: Corners) -> tuple[FloatArray, float, float]:
    """Matrix from the picture to a rectangle at its origin, and the rectangle's width and height.

    Its sides are as long as the mean of the opposite sides in the picture, in pixels.
    """
    places = np.array(corners)
    side = np.hypot(*(np.roll(places, -1, axis=0) - places).T)
    shrink = min(1.0, _LONGEST_SIDE_PX / float(side.max()))
    width, height = shrink * float(side[0] + side[2]) / 2, shrink * float(side[1] + side[3]) / 2
    target = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    return homography(places, target), width, height


def sampled(values: FloatArray, points: FloatArray) -> FloatArray:
    """Values of a picture, shape (h, w, k), between its pixels, linear in x and y.

    Parameters
    ----------
    values : FloatArray, shape (h, w, k)
    points : FloatArray, shape (n, 2)
        x and y; what lies outside takes the value of the nearest pixel.

    Returns
    -------
    FloatArray, shape (n, k)
    """
    height, width = values.shape[:2]
    x = np.clip(points[:, 0] - 0.5, 0, width - 1)
    y = np.clip(points[:, 1] - 0.5, 0, height - 1)
    left, top = x.astype(np.intp), y.astype(np.intp)
    right, bottom = np.minimum(left + 1, width - 1), np.minimum(top + 1, height - 1)
    a, b = (x - left)[:, None], (y - top)[:, None]
    upper = values[top, left] * (1 - a) + values[top, right] * a
    lower = values[bottom, left] * (1 - a) + values[bottom, right] * a
    result: FloatArray = upper * (1 - b) + lower * b
    return result


def straightened(picture: Picture, corners: Corners, margin: float = 0.08) -> Picture:
    """The picture as if taken from in front, with a margin around the corners; for a preview.

    Raises
    ------
    FairleadError
        If the corners are those of no rectangle.
    """
    check_corners(corners)
    matrix, width, height = rectangle_of(corners)
    x = np.arange(-margin * width, (1 + margin) * width) + 0.5
    y = np.arange(-margin * height, (1 + margin) * height) + 0.5
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    back = carried(inverse(matrix), places)
    values = sampled(picture.astype(np.float64), back).reshape(y.size, x.size, 3)
    result: Picture = np.rint(values).astype(np.uint8)
    return result


def _normalised(points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The matrix that moves and scales points to mean 0 and spread 1, and those points."""
    centre, size = points.mean(axis=0), points.std(axis=0)
    matrix = np.diag([*(1 / size), 1.0])
    matrix[:2, 2] = -centre / size
    return matrix, (points - centre) / size
