"""A function fitted to a window of points around one frequency, and how wide the window may be.

The window is the widest whose residual agrees with the noise *and* is white: the correlation of
neighbours shows a misfit long before the size of the residual does. Then it is narrowed by some
steps, because a misfit just below detection would still be as large as the uncertainty.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np

from fairlead.core.uncertainty.influence import Influence

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.core.arrays import ComplexArray, FloatArray

# Points on each side, in steps of about the square root of two.
_FEWEST = (3, 4, 5, 7)
_MOST = 30_000
# The residual may exceed the noise by this share over the root of its degrees of freedom.
_EXCESS = 2.5
# Limit of the correlation of neighbours in the residual, in standard deviations of white noise's.
_MOST_LAG = 1.5
_BAD_IN_A_ROW = 2
_STEPS_BACK = 2
# More points than this are averaged in groups.
_MOST_POINTS = 256

_Fit = TypeVar("_Fit", bound="WindowFit")


class Power(NamedTuple):
    """|G|^2 at one t with its first two derivatives with respect to t."""

    value: float
    slope: float
    bend: float


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """The points of a fit; in a dense window they are averaged in groups.

    Attributes
    ----------
    centre_hz : float
        f0.
    scale : float
        Largest |f/f0 - f0/f|.
    t : FloatArray, shape (m,)
        (f/f0 - f0/f) / scale.
    start, group : int
        Index of the first point in the sweep, and the number of points averaged into one.
    spread : float
        Averaging a curve over a group changes its value by its second derivative times this.
    """

    centre_hz: float
    scale: float
    t: FloatArray
    start: int
    group: int
    spread: float

    def averaged(self, values: FloatArray) -> FloatArray:
        """Values along the whole sweep, shape (n,), averaged like this window, shape (m,)."""
        part = values[self.start : self.start + self.t.size * self.group]
        return part if self.group == 1 else part.reshape(-1, self.group).mean(axis=1)


def window_around(frequency_hz: FloatArray, at_hz: float, half_width: int) -> Window:
    """The window with this many points on each side of a frequency within the sweep."""
    index = nearest(frequency_hz, at_hz)
    start, stop = max(0, index - half_width), min(frequency_hz.size, index + half_width + 1)
    group = -(-(stop - start) // _MOST_POINTS)
    part = frequency_hz[start : start + (stop - start) // group * group]
    u: FloatArray = part / at_hz - at_hz / part
    scale = float(max(abs(u[0]), abs(u[-1])))
    t: FloatArray = u / scale
    spread = 0.0
    if group > 1:
        grouped = t.reshape(-1, group)
        t = grouped.mean(axis=1)
        spread = float(((grouped - t[:, None]) ** 2).mean()) / 2
    return Window(at_hz, scale, t, start, group, spread)


def nearest(frequency_hz: FloatArray, at_hz: float) -> int:
    """Index of the point nearest to a frequency."""
    right = min(max(int(frequency_hz.searchsorted(at_hz)), 1), frequency_hz.size - 1)
    is_left = at_hz - frequency_hz[right - 1] <= frequency_hz[right] - at_hz
    return right - 1 if is_left else right


@dataclass(frozen=True, slots=True, eq=False)
class WindowFit(ABC):
    """A function fitted to a window.

    Attributes
    ----------
    window : Window
    jacobian : array, shape (m, k)
        Derivatives of the fitted values with respect to the parameters.
    covariance : array, shape (k, k)
        Inverse of J^H J.
    residual : float
        Standard deviation of each component of the residual, per point of the sweep.
    freedom : int
        Its degrees of freedom.
    lag : float
        Correlation of neighbours in the residual, in standard deviations of that of white noise.
    """

    window: Window
    jacobian: ComplexArray
    covariance: ComplexArray
    residual: float
    freedom: int
    lag: float

    @property
    def t_low(self) -> float:
        """First point."""
        return float(self.window.t[0])

    @property
    def t_high(self) -> float:
        """Last point."""
        return float(self.window.t[-1])

    def t(self, at_hz: float) -> float:
        """The variable of the fit at a frequency."""
        centre_hz = self.window.centre_hz
        return (at_hz / centre_hz - centre_hz / at_hz) / self.window.scale

    def hz(self, t: float) -> float:
        """The frequency at a value of the variable."""
        half = t * self.window.scale / 2
        return self.window.centre_hz * (half + math.hypot(1, half))

    def t_per_hz(self, at_hz: float) -> float:
        """dt/df."""
        centre_hz = self.window.centre_hz
        return (1 / centre_hz + centre_hz / at_hz**2) / self.window.scale

    @property
    def half_width(self) -> int:
        """Points of the sweep on the longer side."""
        t, group = self.window.t, self.window.group
        left = int(t.searchsorted(0.0))
        return group * max(left, t.size - left)

    def influence(self, gradient: ComplexArray) -> Influence:
        """What the points do to a figure.

        Parameters
        ----------
        gradient : ComplexArray, shape (k,)
            The figure moves by Re(sum gradient times change of the parameters).
        """
        group = self.window.group
        c = self.weighted(self.jacobian @ (self.covariance @ gradient.conj())) / group
        return Influence(self.window.start, np.repeat(c, group) if group > 1 else c)

    def weighted(self, c: ComplexArray) -> ComplexArray:
        """An influence on the fitted values as one on the points that were measured."""
        return c

    @abstractmethod
    def power(self, t: FloatArray) -> FloatArray:
        """|G|^2 at places, any shape."""

    @abstractmethod
    def power_at(self, t: float) -> Power:
        """|G|^2 at a place with derivatives."""

    @abstractmethod
    def power_rows(self, t: float) -> tuple[ComplexArray, ComplexArray]:
        """Gradients by the parameters of |G|^2 and of its slope by t, shape (k,) each."""

    @abstractmethod
    def magnitude_row(self, t: float) -> ComplexArray:
        """Gradient by the parameters of |G|, shape (k,)."""


def is_good(fit: WindowFit | None, noise: float) -> bool:
    """Whether the residual of a fit is white noise of at most that size."""
    return (
        fit is not None
        and fit.residual <= noise * (1 + _EXCESS / math.sqrt(fit.freedom))
        and fit.lag < _MOST_LAG
    )


def fit_widest(
    fit_window: Callable[[int], _Fit | None], noise: float, farthest: int, guess: int
) -> _Fit | None:
    """The fit to the widest window that agrees with the noise, made a little narrower.

    Parameters
    ----------
    fit_window : callable
        Maps a half width in points to the fit, or None if there is none.
    noise : float
        Standard deviation of each component.
    farthest : int
        Points between the centre and the farther end of the sweep.
    guess : int
        Half width to try first; the search is short if it is close to the answer.

    Returns
    -------
    WindowFit or None
        None if no window agrees with the noise.
    """
    ladder = [*(half for half in _LADDER if half < farthest), farthest]
    known: dict[int, _Fit | None] = {}

    def at(rung: int) -> _Fit | None:
        if rung not in known:
            known[rung] = fit_window(ladder[rung])
        return known[rung]

    widest = _widest(ladder, guess, lambda rung: is_good(at(rung), noise))
    return None if widest is None else at(max(widest - _STEPS_BACK, 0))


def _ladder() -> tuple[int, ...]:
    rungs = list(_FEWEST)
    while rungs[-1] < _MOST:
        rungs.append(round(rungs[-1] * math.sqrt(2)))
    return tuple(rungs)


_LADDER = _ladder()


def _widest(ladder: Sequence[int], guess: int, is_good_at: Callable[[int], bool]) -> int | None:
    """The widest good rung with no two bad ones in a row below it, searched from a guess."""
    rung = min(bisect_left(ladder, guess), len(ladder) - 1)
    while not is_good_at(rung):
        if rung == 0:
            return None
        rung -= 1
    bad = 0
    for wider in range(rung + 1, len(ladder)):
        if is_good_at(wider):
            rung, bad = wider, 0
        else:
            bad += 1
            if bad == _BAD_IN_A_ROW:
                break
    return rung


def lag_of(left: ComplexArray | FloatArray, components: int) -> float:
    """Correlation of neighbours in a residual, shape (m,), times the root of its count."""
    squares = float(np.vdot(left, left).real)
    if squares == 0:
        return 0.0
    together = float(np.vdot(left[:-1], left[1:]).real)
    return together / squares * math.sqrt(components * left.size)
