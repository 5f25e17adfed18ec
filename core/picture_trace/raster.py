"""The part of a picture with the curve, resampled so that a column is a frequency."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.colour import oklab
from fairlead.core.picture_trace.straighten import carried, inverse, sampled

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.picture_trace.axes_fit import AxesFit
    from fairlead.core.picture_trace.straighten import Picture

MOST_COLUMNS = 1400
MOST_ROWS = 900
_FEWEST = 24
# An sRGB grey of 1 in 255 has a lightness of 0.07; the chroma of OKLab is stretched so that
# differences of hue and of lightness weigh about as they do in CIELAB.
_CHROMA = 2.5

Rectangle = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Raster:
    """A resampled part of a picture.

    Attributes
    ----------
    colours : FloatArray, shape (rows, columns, 3)
        OKLab with its chroma stretched.
    to_picture : FloatArray, shape (3, 3)
        From (column, row), counted from the left upper corner of the first cell, to pixels.
    cell_px : float
        Pixels a row, in the middle of the raster.
    """

    colours: FloatArray
    to_picture: FloatArray
    cell_px: float

    def pixels(self, columns: FloatArray, rows: FloatArray) -> FloatArray:
        """Pixels, shape (n, 2), of places in the raster."""
        return carried(self.to_picture, np.stack([columns, rows], axis=1))

    def cells(self, points: FloatArray) -> FloatArray:
        """Places in the raster, shape (n, 2), of pixels."""
        return carried(inverse(self.to_picture), points)


def make_raster(picture: Picture, fit: AxesFit, box: Rectangle) -> Raster:
    """Resample what lies in a rectangle of the picture, or in an upright one around it.

    Parameters
    ----------
    picture : uint8 array, shape (h, w, 3)
    fit : AxesFit
    box : (x0, y0, x1, y1)
        Pixels.

    Raises
    ------
    FairleadError
        If the rectangle is too small to hold a curve.
    """
    height, width = picture.shape[:2]
    x0, x1 = (int(np.clip(round(x), 0, width)) for x in sorted((box[0], box[2])))
    y0, y1 = (int(np.clip(round(y), 0, height)) for y in sorted((box[1], box[3])))
    if min(x1 - x0, y1 - y0) < _FEWEST:
        raise FairleadError(
            f"less than {_FEWEST} pixels of the picture are left to search", "enlarge the region"
        )
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=np.float64)
    places = carried(fit.matrix, corners)
    middle = carried(fit.matrix, corners.mean(axis=0, keepdims=True))[0]
    low, high = places.min(axis=0), places.max(axis=0)
    # Upwards and to the right, whichever way the values rise in the picture.
    step = carried(fit.matrix, corners.mean(axis=0, keepdims=True) + np.array([[1, 0], [0, 1]]))
    if step[0, 0] < middle[0]:
        low[0], high[0] = high[0], low[0]
    if step[1, 1] < middle[1]:
        low[1], high[1] = high[1], low[1]
    back = inverse(fit.matrix)
    sides = [(low[0], middle[1]), (high[0], middle[1]), (middle[0], low[1]), (middle[0], high[1])]
    ends = carried(back, np.array(sides))
    across_px = math.hypot(*(ends[1] - ends[0]))
    down_px = math.hypot(*(ends[3] - ends[2]))
    columns = int(np.clip(round(across_px), _FEWEST, MOST_COLUMNS))
    rows = int(np.clip(round(down_px), _FEWEST, MOST_ROWS))
    span = (high - low) / (columns, rows)
    grid = np.array([[span[0], 0, low[0]], [0, span[1], low[1]], [0, 0, 1]])
    to_picture = back @ grid
    finest = math.ceil(max(across_px / columns, down_px / rows) - 0.2)
    colours = _resampled(picture, to_picture, columns, rows, max(1, finest))
    colours[..., 1:] *= _CHROMA
    return Raster(colours, to_picture, down_px / rows)


def _resampled(
    picture: Picture, to_picture: FloatArray, columns: int, rows: int, finest: int
) -> FloatArray:
    """Colour at the middle of each cell, of a picture scaled down by ``finest`` before."""
    places = np.stack(np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5), axis=-1)
    points = carried(to_picture, places.reshape(-1, 2))
    # Only what is looked at: a whole picture of 50 megapixels takes a gigabyte as numbers.
    height, width = picture.shape[:2]
    low = np.clip(points.min(axis=0) - 2 * finest, 0, (width - 1, height - 1)).astype(np.intp)
    high = np.ceil(points.max(axis=0)).astype(np.intp) + 2 * finest
    low -= low % finest
    values = picture[low[1] : max(high[1], low[1] + 1), low[0] : max(high[0], low[0] + 1)]
    values = values.astype(np.float32)
    if finest > 1:
        down, across = (size // finest for size in values.shape[:2])
        values = values[: down * finest, : across * finest]
        values = values.reshape(down, finest, across, finest, 3).mean(axis=(1, 3))
    points = (points - low) / finest
    found = sampled(values.astype(np.float64), points)
    return oklab(found.reshape(rows, columns, 3))
