"""What several checks need to know about a sweep: calculated once, not cached."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.line_fit import LineFit, fit_line

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import ComplexArray, FloatArray

MATCHED_HALF_WIDTH = 2 * math.sqrt(2)
"""Half-absorption width of a matched series circuit over its 2:1 width: |G| = |x| / |2 + jx|
reaches 1/3 at |x| = 1/sqrt(2), and absorbs half the power at |x| = 2."""
# A dip that absorbs less than this share of the power does not serve a band.
_LEAST_ABSORBED = 0.75
_MOST_DIPS = 6


@dataclass(frozen=True, slots=True)
class Dip:
    """A frequency at which power is absorbed, between the two at which half as much is absorbed.

    Attributes
    ----------
    index : int
        The point with the lowest |G|.
    low_hz, high_hz : float
        Where the absorbed power has fallen to half, by linear interpolation between points.
    steps : float
        Distance between the two in steps of the grid.
    low_is_open, high_is_open : bool
        Whether the sweep ends before that.
    """

    index: int
    low_hz: float
    high_hz: float
    steps: float
    low_is_open: bool
    high_is_open: bool


@dataclass(frozen=True, slots=True, eq=False)
class Facts:
    """A sweep as the checks see it.

    Attributes
    ----------
    analysis : Analysis
    rho : FloatArray, shape (n,)
        |G|.
    noise : float
        Standard deviation of each component; 0 where it is unknown.
    share : float
        Span divided by its geometric centre.
    dips : tuple of Dip
        The deepest first, at most six.
    line : LineFit or None
        A resonance and the line before it, separated; None for a scalar sweep or too few points.
    """

    analysis: Analysis
    rho: FloatArray
    noise: float
    share: float
    dips: tuple[Dip, ...]
    line: LineFit | None

    @property
    def frequency_hz(self) -> FloatArray:
        """Shape (n,)."""
        return self.analysis.frequency_hz

    @property
    def reflection(self) -> ComplexArray | None:
        """Shape (n,), None for a scalar sweep."""
        return self.analysis.reflection

    @property
    def low_hz(self) -> float:
        """First frequency."""
        return float(self.analysis.frequency_hz[0])

    @property
    def high_hz(self) -> float:
        """Last frequency."""
        return float(self.analysis.frequency_hz[-1])


def facts_of(analysis: Analysis) -> Facts:
    """Calculate what the checks need to know about a sweep."""
    rho: FloatArray = np.sqrt(analysis.power)
    low_hz, high_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    noise = analysis.sigma
    # Not divided by the root of their product, which is 0 for frequencies near 1e-200.
    span = math.sqrt(high_hz / low_hz) - math.sqrt(low_hz / high_hz)
    dips = find_dips(analysis.frequency_hz, analysis.power)
    line = None
    if analysis.reflection is not None:
        line = fit_line(analysis.frequency_hz, analysis.reflection, noise)
    return Facts(analysis, rho, noise, span, dips, line)


def find_dips(frequency_hz: FloatArray, power: FloatArray) -> tuple[Dip, ...]:
    """The dips of |G|^2, shape (n,), the deepest first.

    A dip that contains the whole sweep has no width and does not count.
    """
    absorbed = 1 - power
    left = absorbed.copy()
    found: list[Dip] = []
    for _ in range(_MOST_DIPS):
        index = int(left.argmax())
        peak = float(left[index])
        if peak < _LEAST_ABSORBED:
            break
        outside = np.flatnonzero(absorbed < peak / 2)
        place = int(outside.searchsorted(index))
        before = int(outside[place - 1]) if place > 0 else -1
        after = int(outside[place]) if place < outside.size else power.size
        left[before + 1 : after] = -np.inf
        dip = _dip(frequency_hz, absorbed, index, (before, after))
        if dip is None:
            break
        found.append(dip)
    return tuple(found)


def _dip(
    frequency_hz: FloatArray, absorbed: FloatArray, index: int, ends: tuple[int, int]
) -> Dip | None:
    before, after = ends
    last = frequency_hz.size - 1
    low_is_open, high_is_open = before < 0, after > last
    if low_is_open and high_is_open:
        return None
    half = float(absorbed[index]) / 2

    def crossing(outer: int, inner: int) -> float:
        """Position between two points in steps, from 0 upwards."""
        fall = (float(absorbed[inner]) - half) / float(absorbed[inner] - absorbed[outer])
        return inner + (outer - inner) * fall

    low = 0.0 if low_is_open else crossing(before, before + 1)
    high = float(last) if high_is_open else crossing(after, after - 1)
    steps = high - low
    if low_is_open:
        steps = 2 * (high - index)
    elif high_is_open:
        steps = 2 * (index - low)
    grid = np.arange(frequency_hz.size)
    low_hz, high_hz = np.interp([low, high], grid, frequency_hz).tolist()
    return Dip(index, low_hz, high_hz, max(steps, high - low), low_is_open, high_is_open)
