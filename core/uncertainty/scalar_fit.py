"""A rational function fitted to |G|^2 of a scalar sweep around one frequency.

    |G|^2 = (a0 + a1 t + a2 t^2) / (1 + b1 t + b2 t^2),    t = (f/f0 - f0/f) / scale

For one resonance behind any line, 1 - |G|^2 is the reciprocal of a parabola in t (times a constant
if the line has loss), which has this form. The noise of |G| is uniform and that of |G|^2 is larger
by 2 |G|, so the points are weighted accordingly.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.window_fit import Power, WindowFit, lag_of, window_around

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

_COEFFICIENTS = 5
_LINEAR_STEPS = 4
_NEWTON_STEPS = 3
_LEAST_DENOMINATOR = 1e-3
# Below this many standard deviations the noise of |G| is no longer symmetrical.
_LEAST_SIGMAS = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class ScalarFit(WindowFit):
    """The fitted function; its Jacobian and residual are those of weighted values.

    Attributes
    ----------
    parameters : FloatArray, shape (5,)
        a0, a1, a2, b1, b2.
    weight : FloatArray, shape (m,)
        The fitted values are |G|^2 times this, near 1 / (2 |G|).
    magnitude : FloatArray, shape (m,)
        |G| of the points.
    """

    parameters: FloatArray
    weight: FloatArray
    magnitude: FloatArray

    def power(self, t: FloatArray) -> FloatArray:
        """|G|^2 at values of t, any shape; never negative."""
        a0, a1, a2, b1, b2 = self.parameters
        below = np.maximum(1 + (b1 + b2 * t) * t, _LEAST_DENOMINATOR)
        result: FloatArray = np.maximum((a0 + (a1 + a2 * t) * t) / below, 0.0)
        return result

    def power_at(self, t: float) -> Power:
        """|G|^2 at t with its derivatives."""
        a0, a1, a2, b1, b2 = self.parameters.tolist()
        below = max(1 + (b1 + b2 * t) * t, _LEAST_DENOMINATOR)
        below_slope = b1 + 2 * b2 * t
        value = (a0 + (a1 + a2 * t) * t) / below
        slope = (a1 + 2 * a2 * t - value * below_slope) / below
        bend = (2 * a2 - 2 * slope * below_slope - 2 * value * b2) / below
        return Power(value, slope, bend)

    def power_rows(self, t: float) -> tuple[ComplexArray, ComplexArray]:
        """Gradients of |G|^2 and of its slope with respect to the parameters, shape (5,) each."""
        value, slope, _ = self.power_at(t)
        b1, b2 = self.parameters[3:].tolist()
        below = max(1 + (b1 + b2 * t) * t, _LEAST_DENOMINATOR)
        of_value = np.array([1, t, t * t, -t * value, -t * t * value], dtype=np.complex128) / below
        inner = np.array([0, 1, 2 * t, -value - t * slope, -2 * t * value - t * t * slope])
        return of_value, (inner - (b1 + 2 * b2 * t) * of_value) / below

    def magnitude_row(self, t: float) -> ComplexArray:
        """Gradient of |G| with respect to the parameters, shape (5,)."""
        rho = math.sqrt(max(self.power_at(t).value, 0.0))
        return self.power_rows(t)[0] / (2 * max(rho, _LEAST_SIGMAS * self.residual, 1e-9))

    def weighted(self, c: ComplexArray) -> ComplexArray:
        """Convert an influence on the fitted values to one on |G| of the points."""
        return c * (2 * self.weight * self.magnitude)


def fit_scalar(
    frequency_hz: FloatArray, magnitude: FloatArray, noise: float, at_hz: float, half_width: int
) -> ScalarFit | None:
    """The function fitted to the points on either side of a frequency.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    magnitude : FloatArray, shape (n,)
        |G|.
    noise : float
        Its standard deviation, > 0.
    at_hz : float
        Within the sweep.
    half_width : int
        Points on either side.

    Returns
    -------
    ScalarFit or None
        None without a degree of freedom, or without a solution.
    """
    window = window_around(frequency_hz, at_hz, half_width)
    freedom = window.t.size - _COEFFICIENTS
    if freedom <= 0:
        return None
    rho = window.averaged(magnitude)
    # Averaging |G|, not |G|^2, keeps the noise from adding to it.
    try:
        parameters, weight, left, jacobian = _fit(window.t, rho * rho, noise)
        covariance = np.linalg.inv(jacobian.T @ jacobian).astype(np.complex128)
    except np.linalg.LinAlgError:
        return None
    return ScalarFit(
        window=window,
        jacobian=jacobian.astype(np.complex128),
        covariance=covariance,
        residual=math.sqrt(float(left @ left) / freedom * window.group),
        freedom=freedom,
        lag=lag_of(left, 1),
        parameters=parameters,
        weight=weight,
        magnitude=rho,
    )


def _fit(
    t: FloatArray, y: FloatArray, noise: float
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Parameters, weights, weighted residual and Jacobian; LinAlgError without a solution."""
    powers = np.stack([np.ones(t.size), t, t * t], axis=1)
    lower = powers[:, 1:]
    design = np.concatenate([powers, -lower * y[:, None]], axis=1)
    least = _LEAST_SIGMAS * noise
    weight = _weight(y, least)
    below: FloatArray = np.ones(t.size)
    parameters: FloatArray = np.zeros(_COEFFICIENTS)
    for _ in range(_LINEAR_STEPS):
        scaled = weight / below
        parameters = _solve(design * scaled[:, None], y * scaled)
        below = _below(lower, parameters)
        value = (powers @ parameters[:3]) / below
        weight = _weight(value, least)
    for step in range(_NEWTON_STEPS + 1):
        below = _below(lower, parameters)
        value = (powers @ parameters[:3]) / below
        scaled = weight / below
        jacobian = np.concatenate(
            [powers * scaled[:, None], -lower * (value * scaled)[:, None]], axis=1
        )
        left = weight * (y - value)
        if step < _NEWTON_STEPS:
            parameters += _solve(jacobian, left)
    return parameters, weight, left, jacobian


def _below(lower: FloatArray, parameters: FloatArray) -> FloatArray:
    result: FloatArray = np.maximum(1 + lower @ parameters[3:], _LEAST_DENOMINATOR)
    return result


def _weight(power: FloatArray, least: float) -> FloatArray:
    rho: FloatArray = np.sqrt(np.maximum(power, 0.0))
    result: FloatArray = 1 / (2 * np.maximum(rho, least))
    return result


def _solve(design: FloatArray, values: FloatArray) -> FloatArray:
    return np.linalg.solve(design.T @ design, design.T @ values).astype(np.float64, copy=False)
