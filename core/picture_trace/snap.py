"""Grid lines near a click, and the click moved onto them to a part of a pixel.

A line across a small window stands out in the medians of its columns (or rows), whatever crosses
it; the centre of gravity of what stands out is its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.picture_trace.colour import oklab

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.picture_trace.straighten import Picture

REACH_PX = 8.0
_LENGTH_PX = 24
_LEAST_CONTRAST = 0.025
_TIMES_NOISE = 4.0


@dataclass(frozen=True, slots=True)
class Snap:
    """Where a click goes, and in which of its coordinates a line was found."""

    x: float
    y: float
    is_x_snapped: bool = False
    is_y_snapped: bool = False


def snapped(picture: Picture, x: float, y: float, reach_px: float = REACH_PX) -> Snap:
    """Move a click onto the upright and the level line next to it, each on its own.

    Parameters
    ----------
    picture : uint8 array, shape (h, w, 3)
    x, y : float
        Pixels.
    reach_px : float
        No line further away counts.

    Returns
    -------
    Snap
        The click itself in a coordinate without a line.
    """
    height, width = picture.shape[:2]
    if not (0 <= x < width and 0 <= y < height):
        return Snap(x, y)
    upright = _line(picture, x, y, reach_px)
    level = _line(picture.transpose(1, 0, 2), y, x, reach_px)
    return Snap(
        x if upright is None else upright,
        y if level is None else level,
        upright is not None,
        level is not None,
    )


def _line(picture: Picture, x: float, y: float, reach_px: float) -> float | None:
    """Where the upright line nearest to a click is; None without one."""
    height, width = picture.shape[:2]
    reach = int(np.ceil(reach_px)) + 6
    left, right = max(0, int(x) - reach), min(width, int(x) + reach + 1)
    top, bottom = max(0, int(y) - _LENGTH_PX), min(height, int(y) + _LENGTH_PX + 1)
    window = oklab(picture[top:bottom, left:right].astype(np.float64))
    # A line that ends at the click, as the frame does in a corner, still fills half of the window.
    best: tuple[float, float] | None = None
    middle = int(y) - top
    for part in (window, window[: middle + 1], window[middle:]):
        if len(part) < _LENGTH_PX // 2:
            continue
        found = _peak(np.median(part, axis=0), x - left, reach_px)
        if found is not None and (best is None or found[1] > best[1]):
            best = found
    return None if best is None else left + best[0]


def _peak(profile: FloatArray, at: float, reach_px: float) -> tuple[float, float] | None:
    """Place and strength of what stands out nearest to a place of a row of colours, (n, 3)."""
    away = np.linalg.norm(profile - np.median(profile, axis=0), axis=1)
    floor = float(np.median(away))
    rise = np.clip(away - max(_TIMES_NOISE * floor, _LEAST_CONTRAST), 0, None)
    places = np.arange(away.size) + 0.5
    near = np.flatnonzero((rise > 0) & (np.abs(places - at) <= reach_px))
    if near.size == 0:
        return None
    start = int(near[np.abs(places[near] - at).argmin()])
    low = high = start
    while low > 0 and rise[low - 1] > 0:
        low -= 1
    while high < rise.size - 1 and rise[high + 1] > 0:
        high += 1
    # A shaded area is no line.
    if high - low + 1 > reach_px or low == 0 or high == rise.size - 1:
        return None
    weight = np.clip(away[low - 1 : high + 2] - floor, 0, None)
    place = float((weight * places[low - 1 : high + 2]).sum() / weight.sum())
    return place, float(away[low : high + 1].max())
