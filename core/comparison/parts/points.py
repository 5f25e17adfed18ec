"""The points of two sweeps for a fit: a window around each resonance, neighbours averaged."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from fairlead.core.comparison.parts.fit import Points

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import ComplexArray, FloatArray, IntArray

_Value = TypeVar("_Value", np.float64, np.complex128)

TOO_NARROW = (
    "less than twice the width of the resonance was swept on both, or fewer than 12 points there"
)
# In Q (f/f0 - f0/f); two 2:1 widths of a matched circuit are 2.83, of others less.
_TWO_WIDTHS = 2.6
_FEWEST_POINTS = 12
# More points would add no information once their noise is averaged.
_MOST_POINTS = 160


@dataclass(frozen=True, slots=True, eq=False)
class Used:
    """Points of one sweep.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    values : ComplexArray, shape (n,)
        Reflection.
    sigma : float
        Noise of each component.
    floor : float
        What the model itself may be off at a point: averaging does not make that smaller.
    index : IntArray, shape (n,)
        Which points of the sweep these are.
    """

    frequency_hz: FloatArray
    values: ComplexArray
    sigma: float
    floor: float
    index: IntArray

    @property
    def group(self) -> int:
        """Number of neighbours to average."""
        return max(1, self.index.size // _MOST_POINTS)

    @property
    def averaged(self) -> Points:
        """For a fit."""
        group = self.group
        return Points(
            _averaged(self.frequency_hz, group),
            _averaged(self.values, group),
            max(self.sigma / math.sqrt(group), self.floor),
        )

    def averaged_of(self, along: ComplexArray) -> ComplexArray:
        """A quantity along the whole sweep, at the averaged points of a fit."""
        return _averaged(along[self.index], self.group)


def _averaged(values: NDArray[_Value], group: int) -> NDArray[_Value]:
    size = values.size // group
    result: NDArray[_Value] = values[: size * group].reshape(size, group).mean(axis=1)
    return result


def used_of(analysis: Analysis, floor: float) -> Used:
    """All points of a sweep with phase but for its outliers; ``floor`` as in `Used`."""
    reflection = analysis.reflection
    if reflection is None:
        raise ValueError("a scalar sweep has no phase")
    index: IntArray = np.delete(np.arange(reflection.size), analysis.outliers)
    return Used(analysis.frequency_hz[index], reflection[index], analysis.sigma, floor, index)


def windowed(
    sweeps: tuple[Used, Used], places: Sequence[tuple[float, float]], half: float
) -> tuple[Used, Used] | None:
    """The points of both sweeps around their resonances.

    Parameters
    ----------
    sweeps : tuple of Used
    places : sequence of (f0 in Hz, Q)
    half : float
        Half width in Q (f/f0 - f0/f).

    Returns
    -------
    tuple of Used or None
        None if one of them does not contain two 2:1 widths, or has too few points in them.
    """
    first, second = (
        _inside(one, f0_hz, q, half) for one, (f0_hz, q) in zip(sweeps, places, strict=True)
    )
    return None if first is None or second is None else (first, second)


def _inside(sweep: Used, f0_hz: float, q: float, half: float) -> Used | None:
    u = q * (sweep.frequency_hz / f0_hz - f0_hz / sweep.frequency_hz)
    low, high = int(u.searchsorted(-half)), int(u.searchsorted(half, side="right"))
    if high - low < _FEWEST_POINTS or u[high - 1] - u[low] < _TWO_WIDTHS:
        return None
    part = slice(low, high)
    return replace(
        sweep,
        frequency_hz=sweep.frequency_hz[part],
        values=sweep.values[part],
        index=sweep.index[part],
    )
