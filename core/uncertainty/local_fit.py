"""A rational function fitted to the complex reflection around one frequency.

    G(t) = (a0 + a1 t + a2 t^2) / (1 + b t),    t = (f/f0 - f0/f) / scale

follows one resonant circuit exactly, and nearly so behind a short line or beside other resonances.
It is fitted by Gauss-Newton steps on the true residual (starting with the linear steps of C. K.
Sanathanan and J. Koerner, IEEE Trans. Autom. Control 8(1), 1963, from memory), because only then
does least-squares theory give the uncertainty.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.window_fit import Power, WindowFit, lag_of, window_around

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

_COEFFICIENTS = 4
_LINEAR_STEPS = 3
_NEWTON_STEPS = 4
_HALVINGS = 4
# A step that reduces the sum of squares by less than this share is the last one.
_GAIN = 1e-6
# A pole at a point, which no antenna has, would give that point infinite weight.
_LEAST_DENOMINATOR = 1e-3
# |G| below this has no direction; the normal of the curve is used instead.
_NO_DIRECTION = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class LocalFit(WindowFit):
    """The fitted function.

    Attributes
    ----------
    parameters : ComplexArray, shape (4,)
        a0, a1, a2, b.
    """

    parameters: ComplexArray

    def power(self, t: FloatArray) -> FloatArray:
        """|G|^2 at values of t, any shape."""
        a0, a1, a2 = self.parameters[:3]
        value = (a0 + (a1 + a2 * t) * t) / _below(self.parameters, t)
        result: FloatArray = value.real**2 + value.imag**2
        return result

    def derivatives(self, t: float) -> tuple[complex, complex, complex]:
        """G and its first two derivatives with respect to t."""
        a0, a1, a2, b = self.parameters.tolist()
        below = _away_from_zero(1 + b * t)
        value = (a0 + (a1 + a2 * t) * t) / below
        slope = (a1 + 2 * a2 * t - value * b) / below
        return value, slope, (2 * a2 - 2 * slope * b) / below

    def rows(self, t: float) -> tuple[ComplexArray, ComplexArray]:
        """Gradients of G and of dG/dt with respect to the parameters, shape (4,) each."""
        value, slope, _ = self.derivatives(t)
        b = complex(self.parameters[3])
        below = _away_from_zero(1 + b * t)
        of_value = np.array([1, t, t * t, -t * value]) / below
        inner = np.array([0, 1, 2 * t, -(value + t * slope)])
        return of_value, (inner - b * of_value) / below

    def power_at(self, t: float) -> Power:
        """|G|^2 at t with its derivatives."""
        value, slope, bend = self.derivatives(t)
        back = value.conjugate()
        return Power(
            abs(value) ** 2, 2 * (back * slope).real, 2 * (abs(slope) ** 2 + (back * bend).real)
        )

    def power_rows(self, t: float) -> tuple[ComplexArray, ComplexArray]:
        """Gradients of |G|^2 and of its slope with respect to the parameters, shape (4,) each."""
        value, slope, _ = self.derivatives(t)
        of_value, of_slope = self.rows(t)
        both: ComplexArray = value.conjugate() * of_slope + slope.conjugate() * of_value
        return 2 * value.conjugate() * of_value, 2 * both

    def magnitude_row(self, t: float) -> ComplexArray:
        """Gradient of |G| with respect to the parameters, shape (4,)."""
        value, slope, _ = self.derivatives(t)
        if abs(value) > _NO_DIRECTION:
            outwards = value / abs(value)
        else:
            outwards = 1j * slope / abs(slope) if slope != 0 else 1 + 0j
        result: ComplexArray = self.rows(t)[0] * outwards.conjugate()
        return result


def fit_local(
    frequency_hz: FloatArray, curve: ComplexArray, at_hz: float, half_width: int
) -> LocalFit | None:
    """The function fitted to the points on either side of a frequency.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    curve : ComplexArray, shape (n,)
    at_hz : float
        Within the sweep.
    half_width : int
        Points on either side.

    Returns
    -------
    LocalFit or None
        None without a degree of freedom, or without a solution.
    """
    window = window_around(frequency_hz, at_hz, half_width)
    freedom = 2 * (window.t.size - _COEFFICIENTS)
    if freedom <= 0:
        return None
    y = window.averaged(curve.real) + 1j * window.averaged(curve.imag)
    try:
        parameters, left, jacobian = _fit(window.t, y, window.spread)
        covariance: ComplexArray = np.linalg.inv(jacobian.conj().T @ jacobian).astype(np.complex128)
    except np.linalg.LinAlgError:
        return None
    return LocalFit(
        window=window,
        jacobian=jacobian,
        covariance=covariance,
        residual=math.sqrt(_squares(left) / freedom * window.group),
        freedom=freedom,
        lag=lag_of(left, 2),
        parameters=parameters,
    )


def _fit(
    t: FloatArray, y: ComplexArray, spread: float
) -> tuple[ComplexArray, ComplexArray, ComplexArray]:
    """Parameters, residual and Jacobian; LinAlgError if the points do not determine them."""
    powers = np.stack([np.ones(t.size), t, t * t], axis=1)
    design = np.concatenate([powers, (-t * y)[:, None]], axis=1)
    below: ComplexArray = np.ones(t.size, dtype=np.complex128)
    parameters: ComplexArray = np.zeros(_COEFFICIENTS, dtype=np.complex128)
    for _ in range(_LINEAR_STEPS):
        parameters = _solve(design / below[:, None], y / below)
        below = _below(parameters, t)
    left, jacobian = _left(parameters, t, y, powers, spread)
    squares = _squares(left)
    for _ in range(_NEWTON_STEPS):
        step = _solve(jacobian, left)
        for _ in range(_HALVINGS):
            tried = _left(parameters + step, t, y, powers, spread)
            now = _squares(tried[0])
            if now <= squares:
                break
            step = step / 2
        else:
            break
        gain = squares - now
        parameters += step
        (left, jacobian), squares = tried, now
        if gain <= _GAIN * squares:
            break
    return parameters, left, jacobian


def _squares(left: ComplexArray) -> float:
    return float(np.vdot(left, left).real)


def _solve(design: ComplexArray, values: ComplexArray) -> ComplexArray:
    adjoint = design.conj().T
    return np.linalg.solve(adjoint @ design, adjoint @ values).astype(np.complex128, copy=False)


def _away_from_zero(denominator: complex) -> complex:
    return denominator if abs(denominator) >= _LEAST_DENOMINATOR else complex(_LEAST_DENOMINATOR)


def _below(parameters: ComplexArray, t: FloatArray) -> ComplexArray:
    below: ComplexArray = 1 + parameters[3] * t
    return np.where(np.abs(below) < _LEAST_DENOMINATOR, _LEAST_DENOMINATOR, below)


def _left(
    parameters: ComplexArray, t: FloatArray, y: ComplexArray, powers: FloatArray, spread: float
) -> tuple[ComplexArray, ComplexArray]:
    a, b = parameters[:3], parameters[3]
    inverse = 1 / _below(parameters, t)
    value = (powers @ a) * inverse
    jacobian: ComplexArray = np.empty((t.size, _COEFFICIENTS), dtype=np.complex128)
    jacobian[:, :3] = powers * inverse[:, None]
    jacobian[:, 3] = -t * value * inverse
    if spread > 0:
        slope = (a[1] + 2 * a[2] * t - value * b) * inverse
        value = value + spread * (2 * a[2] - 2 * slope * b) * inverse
    return y - value, jacobian
