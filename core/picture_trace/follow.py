"""One curve followed through a raster: its place in each column, how well, and where it is lost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.arrays import median, runs
from fairlead.core.picture_trace.likeness import LEAST, likeness
from fairlead.core.picture_trace.path import find_path

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import BoolArray, FloatArray, IntArray
    from fairlead.core.picture_trace.bounds import Bounds
    from fairlead.core.picture_trace.raster import Raster

_LEAST_PEAK = 0.3
_NOISES = 4.0
_REACH = 4
_PAPER = 12
_LEAST_STANDING = 0.35
# A few cells on their own are chance.
_SHORTEST_SHARE = 1 / 60
_SHORTEST = 4
_LEAST_SIGMA = 0.12
_SLOPE_SHARE = 0.12
_BEND_SHARE = 0.25
_LONGEST_DASH = 24
# A gap in cells that another line may leave where it crosses, and the points looked at beside it.
_SHORT_GAP, _SHORT_GAP_SHARE = 12, 0.02
_BESIDE = 12
_APART = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class FoundPath:
    """Where a curve runs in a raster.

    Attributes
    ----------
    columns, rows : FloatArray, shape (n,)
        Middles of the cells where it was seen, and its row there, to a part of a cell.
    sigma : FloatArray, shape (n,)
        Standard uncertainty of ``rows``, in cells.
    is_lost_after : BoolArray, shape (n - 1,)
        Where it was out of sight before the next one, further than a dashed line is.
    thickness : float
        Of the line, in cells.
    """

    columns: FloatArray
    rows: FloatArray
    sigma: FloatArray
    is_lost_after: BoolArray
    thickness: float

    @property
    def share_lost(self) -> float:
        """Of the columns between the first and the last one, those in gaps; dashes have none."""
        gaps = np.diff(self.columns)
        return float(gaps[self.is_lost_after].sum() / max(1.0, gaps.sum()))

    def without(self, is_out: BoolArray) -> FoundPath:
        """The path without some of its places; where they were is lost."""
        kept = np.flatnonzero(~is_out)
        lost = np.concatenate([[0], np.cumsum(self.is_lost_after | is_out[1:] | is_out[:-1])])
        return replace(
            self,
            columns=self.columns[kept],
            rows=self.rows[kept],
            sigma=self.sigma[kept],
            is_lost_after=np.diff(lost[kept]) > 0,
        )


def follow(
    raster: Raster,
    clicks: Sequence[tuple[float, float]],
    tolerance: float,
    bounds: Bounds | None = None,
) -> FoundPath:
    """Follow the curve that was clicked.

    Parameters
    ----------
    raster : Raster
    clicks : sequence of (column, row)
        One or more places on the curve; the first one gives the colour.
    tolerance : float
        Of colours; 1 is usual.
    bounds : Bounds or None
        Where the curve can be; None leaves that to the raster.
    """
    looks = likeness(raster.colours, *clicks[0], tolerance)
    like = looks.like
    noise = 1.4826 * median(np.abs(like - np.median(like)).ravel())
    is_out = np.zeros(like.shape[1], dtype=np.bool_)
    if bounds is not None:
        lines = bounds.upright_lines(looks.plain)
        is_inside = bounds.in_frame(lines, like.shape[1]) & bounds.is_possible[:, None]
        like = np.where(is_inside, like, LEAST)
    path, slopes = find_path(like, clicks)
    if bounds is not None:
        is_out = bounds.along_lines(lines, slopes, like.shape[0])
    row, peak, size, inside = _centres(like, path, slopes)
    stands_out = _stands_out(looks.along, path, slopes) & ~is_out
    is_seen = _seen(np.where(stands_out, peak, 0.0), path, noise)
    columns = np.flatnonzero(is_seen)
    steep = np.abs(_slope(row))
    height = size / np.sqrt(1 + steep**2)
    thickness = median(height[is_seen]) if columns.size else 0.0
    sigma = _sigma(row, peak, noise, steep, inside, thickness)
    excess = size - 1.8 * thickness * np.sqrt(1 + steep**2)
    sigma = np.hypot(sigma, np.clip(excess, 0, None) / 2)
    return FoundPath(
        columns.astype(np.float64) + 0.5,
        row[columns] + 0.5,
        sigma[columns],
        _without_crossings(columns, row, _lost_after(columns, thickness)),
        thickness,
    )


def _centres(
    like: FloatArray, path: IntArray, slopes: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Centre of gravity across the line, best likeness, height in cells, spread; shape (n,)."""
    rows, columns = like.shape
    reach = _REACH + np.ceil(np.abs(slopes) / 2).astype(np.intp)
    around = np.arange(-int(reach.max()), int(reach.max()) + 1)[:, None]
    at = path[None, :] + around
    values = like[np.clip(at, 0, rows - 1), np.arange(columns)]
    is_near = (np.abs(around) <= reach) & (at >= 0) & (at < rows)
    values = np.where(is_near, np.clip(values, 0, None), 0.0)
    # What hangs together with the line: a neighbour behind a gap is something else.
    values = _connected(values, int(reach.max()))
    weight = values**2
    total = weight.sum(axis=0) + 1e-9
    row = (at * weight).sum(axis=0) / total
    spread = np.sqrt(((at - row) ** 2 * weight).sum(axis=0) / total)
    return row, values.max(axis=0), values.sum(axis=0), spread


def _stands_out(along: FloatArray, path: IntArray, slopes: FloatArray) -> BoolArray:
    """Where the line stands out from the paper on both of its sides, shape (columns,).

    The edge of a lamp's reflection, or of a shaded area, is a line on one side only. Beyond the
    line the paper is what most of some cells are least like the line, whatever crosses there.
    """
    rows, columns = along.shape
    across = np.arange(columns)
    own = np.max([along[np.clip(path + step, 0, rows - 1), across] for step in (-1, 0, 1)], axis=0)
    away = _REACH + np.ceil(np.abs(slopes) / 2).astype(np.intp)
    levels = []
    for side in (-1, 1):
        cells = [
            along[np.clip(path + side * (away + step), 0, rows - 1), across]
            for step in range(_PAPER)
        ]
        levels.append(np.sort(cells, axis=0)[_PAPER // 4])
    result: BoolArray = own - np.maximum(levels[0], levels[1]) > _LEAST_STANDING
    return result


def _connected(values: FloatArray, middle: int) -> FloatArray:
    """The values from the one in the middle (or the best beside it) on, until they end."""
    kept = values.copy()
    is_open = values > 0.12
    start = middle - 2 + values[middle - 2 : middle + 3].argmax(axis=0)
    place = np.arange(values.shape[0])[:, None]
    for side in (-1, 1):
        beyond = (place - start) * side > 0
        blocked = beyond & ~is_open
        counted = np.cumsum(blocked if side > 0 else blocked[::-1], axis=0)
        counted = counted if side > 0 else counted[::-1]
        kept = np.where(beyond & (counted > 0), 0.0, kept)
    return kept


def _seen(peak: FloatArray, path: IntArray, noise: float) -> BoolArray:
    is_seen = peak > max(_LEAST_PEAK, _NOISES * noise)
    shortest = max(_SHORTEST, round(_SHORTEST_SHARE * path.size))
    # Dashes belong together: what is left out is what stands alone after short gaps are bridged.
    bridged = ~is_seen
    for start, stop in runs(bridged):
        if start > 0 and stop < path.size and stop - start <= _LONGEST_DASH:
            bridged[start:stop] = False
    for start, stop in runs(~bridged):
        if stop - start < shortest:
            is_seen[start:stop] = False
    return is_seen


def _slope(row: FloatArray) -> FloatArray:
    slope: FloatArray = np.gradient(row)
    return slope


def _sigma(
    row: FloatArray,
    peak: FloatArray,
    noise: float,
    steep: FloatArray,
    spread: FloatArray,
    thickness: float,
) -> FloatArray:
    bend = np.abs(np.gradient(np.gradient(row)))
    by_noise = noise / np.clip(peak, 0.05, None) * np.sqrt(2 * spread + 1)
    result: FloatArray = np.sqrt(
        _LEAST_SIGMA**2
        + by_noise**2
        + (_SLOPE_SHARE * steep) ** 2
        + (_BEND_SHARE * np.minimum(bend, thickness)) ** 2
    )
    return result


def _lost_after(columns: IntArray, thickness: float) -> BoolArray:
    """Where the next column is further away than the gaps between dashes are."""
    gaps = np.diff(columns) - 1
    open_ones = gaps[gaps > 0]
    usual = median(open_ones.astype(np.float64)) if open_ones.size >= 6 else 0.0
    longest = min(max(3.0, 1.5 * thickness, 1.6 * usual), float(_LONGEST_DASH))
    result: BoolArray = gaps > longest
    return result


def _without_crossings(columns: IntArray, row: FloatArray, is_lost: BoolArray) -> BoolArray:
    """The gaps but those where only another line crosses: short, and run through straight.

    The lines through the points on either side must lead to each other; over a dip they do not.
    """
    found = is_lost.copy()
    for index in np.flatnonzero(is_lost).tolist():
        low, high = columns[max(0, index - _BESIDE + 1) : index + 1], columns[index + 1 :][:_BESIDE]
        is_short = high[0] - low[-1] <= max(_SHORT_GAP, round(_SHORT_GAP_SHARE * row.size))
        is_whole = (
            min(low.size, high.size) == _BESIDE
            and max(low[-1] - low[0], high[-1] - high[0]) <= 2 * _BESIDE
        )
        if is_short and is_whole:
            ahead = np.polyval(np.polyfit(low - low[-1], row[low], 1), high[0] - low[-1])
            behind = np.polyval(np.polyfit(high - high[0], row[high], 1), low[-1] - high[0])
            apart = max(abs(ahead - row[high[0]]), abs(behind - row[low[-1]]))
            found[index] = apart > _APART
    return found
