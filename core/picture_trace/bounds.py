"""Where a curve can be without a search area: inside the frame, at possible values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, FloatArray, IntArray
    from fairlead.core.picture_trace.axes import ValueKind
    from fairlead.core.picture_trace.axes_fit import AxesFit
    from fairlead.core.picture_trace.raster import Raster

# An upright line is one across this share of the rows between the known points.
_LINE_SHARE = 0.7
_IS_LINE = 0.6
# A click, half a line and a rounded frame are this far off, in cells.
_NEAR = 5
# A path along a line is steeper than this, in rows a column, over this share of the rows.
_STEEP = 8.0
_LONG_SHARE = 0.15
_POSSIBLE: dict[ValueKind, tuple[float, float]] = {
    "swr": (1.0, np.inf),
    "magnitude": (0.0, 1.0),
}
"""Of a passive antenna; the other kinds have no such bounds."""


@dataclass(frozen=True, slots=True, eq=False)
class Bounds:
    """What the axes say of where a curve can be in a raster.

    Attributes
    ----------
    known : FloatArray, shape (n, 2)
        Columns and rows of the known points, or of the corners.
    is_possible : BoolArray, shape (rows,)
        Which rows have a possible value.
    """

    known: FloatArray
    is_possible: BoolArray

    def upright_lines(self, plain: FloatArray) -> IntArray:
        """Columns of upright lines that look like the curve, shape (n,).

        Parameters
        ----------
        plain : FloatArray, shape (rows, columns)
            Likeness to the curve, with grid and frame in it.
        """
        ends = np.rint([self.known[:, 1].min(), self.known[:, 1].max()])
        top, bottom = np.clip(ends, 0, len(plain) - 1).astype(np.intp).tolist()
        is_like = np.pad(plain[top : bottom + 1] > _IS_LINE, ((0, 0), (1, 1)))
        # A line that is not quite upright changes its column on its way down.
        is_like = is_like[:, :-2] | is_like[:, 1:-1] | is_like[:, 2:]
        return np.flatnonzero(is_like.mean(axis=0) > _LINE_SHARE)

    def in_frame(self, lines: IntArray, columns: int) -> BoolArray:
        """Which columns lie inside the frame, where that looks like the curve; shape (columns,).

        The frame is the first upright line at or beyond the known points. Where there are such
        lines between the known points too, the grid looks like the curve as well and cannot be
        told from the frame: nothing is left out.
        """
        low, high = self.known[:, 0].min(), self.known[:, 0].max()
        across = np.arange(columns)
        is_inside = np.ones(columns, dtype=np.bool_)
        if ((lines > low + _NEAR) & (lines < high - _NEAR)).any():
            return is_inside
        for line in lines[lines <= low + _NEAR][-1:].tolist():
            is_inside &= across > line
        for line in lines[lines >= high - _NEAR][:1].tolist():
            is_inside &= across < line
        return is_inside

    def along_lines(self, lines: IntArray, slopes: FloatArray, rows: int) -> BoolArray:
        """From where on a path runs along an upright line at or beyond the known points.

        Parameters
        ----------
        lines : IntArray, shape (n,)
        slopes : FloatArray, shape (columns,)
            Of the path, in rows a column.
        rows : int
            Of the raster.

        Returns
        -------
        BoolArray, shape (columns,)
            From there to the path's end.
        """
        low, high = self.known[:, 0].min(), self.known[:, 0].max()
        columns = np.arange(slopes.size)
        is_out = np.zeros(slopes.size, dtype=np.bool_)
        for is_beyond, side in ((columns <= low + _NEAR, -1), (columns >= high - _NEAR, 1)):
            for line in lines[is_beyond[lines]].tolist():
                near = (np.abs(columns - line) <= _NEAR) & (np.abs(slopes) > _STEEP)
                if np.abs(slopes[near]).sum() > _LONG_SHARE * rows:
                    is_out |= (columns - np.flatnonzero(near)[0 if side > 0 else -1]) * side >= 0
        return is_out


def possible_rows(raster: Raster, fit: AxesFit, kind: ValueKind) -> BoolArray:
    """Which rows have a possible value, shape (rows,): axis numbers often stand below SWR 1."""
    rows, columns = raster.colours.shape[:2]
    low, high = _POSSIBLE.get(kind, (-np.inf, np.inf))
    middles = np.arange(rows, dtype=np.float64) + 0.5
    value = fit.value(raster.pixels(np.full(rows, columns / 2, dtype=np.float64), middles))
    is_possible = (value >= low) & (value <= high)
    found: BoolArray = np.convolve(is_possible, np.ones(2 * _NEAR + 1), mode="same") > 0
    return found
