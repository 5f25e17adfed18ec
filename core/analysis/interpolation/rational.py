"""A rational function fitted to the reflection around one frequency, as wide as the noise requires.

The slope or the minimum of a measured curve, taken from two or three points, would be mostly
noise. The complex reflection (whose noise is the same at all points, unlike that of the impedance)
is fitted by least squares with a rational function of u = f/f0 - f0/f,

    G(u) = (a0 + a1 u + a2 u^2) / (1 + b u),

which a single resonant circuit of either kind follows exactly, and a short feed line nearly.
The window around f0 grows as long as the residual of the fit is no more than the noise. Weighting
with the denominator of the previous iteration makes the problem linear (C. K. Sanathanan,
J. Koerner, IEEE Trans. Autom. Control 8(1), 1963, from memory).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.arrays import ComplexArray, FloatArray

FEWEST_POINTS = 5
_COEFFICIENTS = 4
# Each window starts from scratch: the denominator of a narrow one is mostly noise.
_WEIGHTING_STEPS = 3
_HALF_WIDTHS = (4, 6, 10, 16, 26, 42, 67, 107, 171, 274, 438, 700)
# A fit is rejected if its residual exceeds the noise by the first number plus the second over the
# root of its degrees of freedom. The noise itself is uncertain by a tenth on 100 points.
_EXCESS = (1.3, 2.0)
_WINDOWS_TOO_WIDE = 3
# A wide window hides a misfit of the few points around its centre, which are what it is fitted for:
# they must agree with the noise by themselves too.
_MIDDLE = 6
# A pole at a point, which no antenna has, would give that point infinite weight.
_LEAST_DENOMINATOR = 1e-6
# Normal equations are ten times as fast on long windows, but lose half the digits.
_NORMAL_NOISE = 1e-5
_NORMAL_POINTS = 64
_FARTHEST_U = 1e6
# A resonance has half its width in the distance of its pole from the axis.
_NARROWEST_STEPS = 0.5
# Roots whose imaginary part is smaller are real.
_REAL = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Rational:
    """The fitted function, in t = u / scale.

    Attributes
    ----------
    centre_hz : float
        f0, where u and t are 0.
    scale : float
        Largest |u| of the points.
    a0, a1, a2, b : complex
        Coefficients by powers of t.
    t_low, t_high : float
        First and last point.
    weighted : ComplexArray, shape (n, 4)
        Design matrix of the last weighting step.
    residual : float
        Standard deviation of each component of the residual.
    is_good : bool
        The residual is no more than the noise.
    """

    centre_hz: float
    scale: float
    a0: complex
    a1: complex
    a2: complex
    b: complex
    t_low: float
    t_high: float
    weighted: ComplexArray
    residual: float
    is_good: bool

    @property
    def slope_per_hz(self) -> complex:
        """dG/df at the centre."""
        return (self.a1 - self.a0 * self.b) * self._t_per_hz

    def errors(self) -> tuple[float, float]:
        """Standard errors, each component, of the value at the centre and of the slope per Hz."""
        covariance = np.linalg.pinv(self.weighted.conj().T @ self.weighted)
        # The slope a1 - a0 b depends on all three.
        gradient = np.array([-self.b, 1, 0, -self.a0])
        of_slope = float((gradient @ covariance @ gradient.conj()).real)
        of_value = float(covariance[0, 0].real)
        return (
            self.residual * math.sqrt(max(of_value, 0.0)),
            self.residual * math.sqrt(max(of_slope, 0.0)) * self._t_per_hz,
        )

    def least(self) -> tuple[float, float] | None:
        """Frequency in Hz and |G|^2 of the minimum of |G|; None if at an end of the window."""
        above = _square(np.array([self.a2, self.a1, self.a0]))
        below = _square(np.array([self.b, 1]))
        stationary = np.convolve(_derivative(above), below) - np.convolve(above, _derivative(below))
        roots: ComplexArray = np.roots(stationary).astype(np.complex128)
        inside = roots.real[np.abs(roots.imag) < _REAL]
        inside = inside[(inside > self.t_low) & (inside < self.t_high)]
        t = np.concatenate(([self.t_low, self.t_high], inside))
        power = np.polyval(above, t) / np.maximum(np.polyval(below, t), _LEAST_DENOMINATOR**2)
        best = int(power.argmin())
        if best < 2:
            return None
        half_u = float(t[best]) * self.scale / 2
        # u = f/f0 - f0/f solved for f
        return self.centre_hz * (half_u + math.hypot(1, half_u)), max(float(power[best]), 0.0)

    @property
    def _t_per_hz(self) -> float:
        # du/df = 2 / f0 at f0
        return 2 / (self.centre_hz * self.scale)


def fit_around(
    frequency_hz: FloatArray, curve: ComplexArray, noise: float, at_hz: float
) -> Rational:
    """The function fitted to the widest window around a frequency that agrees with the noise.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,), n >= FEWEST_POINTS
    curve : ComplexArray, shape (n,)
    noise : float
        Standard deviation of each component.
    at_hz : float
        Within the sweep.
    """
    index = int(np.abs(frequency_hz - at_hz).argmin())
    farthest = max(index, frequency_hz.size - 1 - index)

    def fit_window(half_width: int) -> Rational:
        points = slice(max(0, index - half_width), index + half_width + 1)
        return _fit(frequency_hz[points], curve[points], noise, at_hz)

    known: dict[int, Rational] = {}

    def fit(rung: int) -> Rational:
        if rung not in known:
            known[rung] = fit_window(_HALF_WIDTHS[rung])
        return known[rung]

    # The first window that reaches the farther end of the curve covers all of it.
    last = min(bisect_left(_HALF_WIDTHS, farthest), len(_HALF_WIDTHS) - 1)
    found = fit(widest_good(last, lambda rung: fit(rung).is_good))
    # Only the chosen one is judged: in narrow windows such poles are common and mean nothing.
    t = (found.weighted[:, 1] / found.weighted[:, 0]).real
    return replace(found, is_good=False) if _is_spike(t, found.b) else found


def widest_good(last: int, is_good: Callable[[int], bool]) -> int:
    """The widest good rung of 1 to ``last`` with no three bad ones in a row below it.

    Rung 0 if there is none. Any three in a row include a multiple of three, so most of the good
    rungs need no evaluation.
    """
    for middle in range(_WINDOWS_TOO_WIDE, last + 1, _WINDOWS_TOO_WIDE):
        if is_good(middle):
            continue
        below = next((rung for rung in range(middle - 1, 0, -1) if is_good(rung)), 0)
        third = below + _WINDOWS_TOO_WIDE
        if third <= last and not any(is_good(rung) for rung in range(middle + 1, third + 1)):
            return below
    return next((rung for rung in range(last, 0, -1) if is_good(rung)), 0)


def _fit(frequency_hz: FloatArray, curve: ComplexArray, noise: float, at_hz: float) -> Rational:
    # A point at 1e-300 Hz, which a file may contain, must not make all others infinitely near.
    u = np.clip(frequency_hz / at_hz - at_hz / frequency_hz, -_FARTHEST_U, _FARTHEST_U)
    scale = float(np.abs(u).max())
    t = u / scale
    design = np.stack([np.ones(t.size), t, t**2, -t * curve], axis=1)
    denominator = np.ones(t.size, dtype=np.complex128)
    for _ in range(_WEIGHTING_STEPS):
        weighted = design / denominator[:, None]
        a0, a1, a2, b = _solved(weighted, curve / denominator, noise).tolist()
        denominator = 1 + b * t
        denominator[np.abs(denominator) < _LEAST_DENOMINATOR] = _LEAST_DENOMINATOR
    left = curve - (a0 + a1 * t + a2 * t**2) / denominator
    freedom = 2 * (t.size - _COEFFICIENTS)
    residual = math.sqrt(float((left.real**2 + left.imag**2).sum()) / freedom)
    ends = float(t[0]), float(t[-1])
    is_good = residual <= _allowed(noise, freedom) and _is_good_in_the_middle(left, t, noise)
    return Rational(at_hz, scale, a0, a1, a2, b, *ends, weighted, residual, is_good=is_good)


def _allowed(noise: float, freedom: int) -> float:
    """The largest residual that the noise explains."""
    return noise * (_EXCESS[0] + _EXCESS[1] / math.sqrt(freedom))


def _is_good_in_the_middle(left: ComplexArray, t: FloatArray, noise: float) -> bool:
    """Whether the residual of the points around t = 0 is no more than the noise either."""
    centre = int(np.abs(t).argmin())
    middle = left[max(0, centre - _MIDDLE) : centre + _MIDDLE + 1]
    size = math.sqrt(float((middle.real**2 + middle.imag**2).mean()) / 2)
    return size <= _allowed(noise, 2 * middle.size)


def _is_spike(t: FloatArray, b: complex) -> bool:
    """Whether the pole at t = -1/b stands so near the points that no two of them see it.

    Noise draws a pole and a zero together in between two points; a resonance of that width would
    not have been resolved.
    """
    if b == 0:
        return False
    pole = -1 / b
    if not t[0] < pole.real < t[-1]:
        return False
    after = int(t.searchsorted(pole.real))
    return bool(abs(pole.imag) < _NARROWEST_STEPS * (t[after] - t[after - 1]))


def _solved(design: ComplexArray, target: ComplexArray, noise: float) -> ComplexArray:
    """Least squares, by the normal equations where the noise is far above their rounding errors.

    The noise in the last column limits the condition number to its inverse.
    """
    if noise > _NORMAL_NOISE and target.size > _NORMAL_POINTS:
        across = design.conj().T
        # Identical values make the equations singular; the code below handles that.
        with suppress(np.linalg.LinAlgError):
            normal = np.linalg.solve(across @ design, across @ target)
            return normal.astype(np.complex128, copy=False)
    solved = np.linalg.lstsq(design, target, rcond=None)[0]
    return solved.astype(np.complex128, copy=False)


def _square(polynomial: ComplexArray) -> FloatArray:
    """Coefficients of |p(t)|^2 for real t, highest power first."""
    real, imag = polynomial.real, polynomial.imag
    return np.convolve(real, real) + np.convolve(imag, imag)


def _derivative(polynomial: FloatArray) -> FloatArray:
    degree = polynomial.size - 1
    derivative: FloatArray = polynomial[:-1] * np.arange(degree, 0, -1)
    return derivative
