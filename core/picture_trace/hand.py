"""Parts of a curve that a person drew: runs of points joined by a curve that never overshoots."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.follow import FoundPath
from fairlead.core.picture_trace.monotone import slopes_through, through_points

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.picture_trace.axes import Point
    from fairlead.core.picture_trace.raster import Raster

_HAND_SIGMA_PX = 1.5
"""By how much a hand misses a line, standard deviation (common practice, no source)."""


def drawn_by_hand(raster: Raster, run: Sequence[Point]) -> FoundPath:
    """A run of points as a path with a place in each column between its ends.

    Raises
    ------
    FairleadError
        For fewer than two points apart.
    """
    places = raster.cells(np.array(run, dtype=np.float64).reshape(-1, 2))
    places = places[np.argsort(places[:, 0])]
    if len(places) < 2 or np.diff(places[:, 0]).min() < 1:
        raise FairleadError(
            "a run by hand needs two or more points, each further to the right",
            "add one, or remove the run",
        )
    columns = np.arange(np.ceil(places[0, 0] - 0.5), np.floor(places[-1, 0] - 0.5) + 1) + 0.5
    rows = through_points(columns, places[:, 0], places[:, 1], slopes_through(*places.T))
    slope = np.abs(np.gradient(rows)) if rows.size > 1 else np.zeros(rows.size)
    sigma = _HAND_SIGMA_PX / raster.cell_px * np.sqrt(1 + slope**2)
    is_lost = np.zeros(max(columns.size - 1, 0), dtype=np.bool_)
    return FoundPath(columns, rows, sigma, is_lost, 3.0)


def joined(found: FoundPath | None, runs: Sequence[FoundPath]) -> FoundPath:
    """The path that was found, with the runs by hand in place of what lies between their ends."""
    path = found if found is not None else runs[0]
    for run in runs if found is not None else runs[1:]:
        path = _with_run(path, run)
    return path


def _with_run(path: FoundPath, run: FoundPath) -> FoundPath:
    before = path.columns < run.columns[0]
    after = path.columns > run.columns[-1]

    def put(old: FloatArray, new: FloatArray) -> FloatArray:
        return np.concatenate([old[before], new, old[after]])

    columns = put(path.columns, run.columns)
    lost = [path.is_lost_after[: max(int(before.sum()) - 1, 0)]]
    last = int(after.argmax()) if after.any() else path.columns.size
    # A run joins on where the path was seen right beside it.
    if before.any():
        lost.append(run.columns[:1] - path.columns[before][-1:] > 2)
    lost.append(run.is_lost_after)
    if after.any():
        lost.append(path.columns[after][:1] - run.columns[-1:] > 2)
    lost.append(path.is_lost_after[last:])
    return FoundPath(
        columns,
        put(path.rows, run.rows),
        put(path.sigma, run.sigma),
        np.concatenate(lost),
        path.thickness,
    )
