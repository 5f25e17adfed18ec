"""Figures from a fit, each with the influence of the points: turning point, |G|, crossing, Q."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.uncertainty.influence import Influence
    from fairlead.core.uncertainty.local_fit import LocalFit
    from fairlead.core.uncertainty.window_fit import WindowFit

_GRID = np.linspace(-1, 1, 129)
_MOST_STEPS = 20
# Newton steps from the nearest grid point; more would only change rounding.
_STEPS_TO_TURN = 6
_LONGEST_STEP = 0.1
_DONE = 1e-9
# Step of differences in the reflection and in its slope by t.
_DIFFERENCE = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Estimate:
    """A figure and how the points influence it.

    Attributes
    ----------
    value : float
    influence : Influence
    noise : float
        Standard deviation of each component of one point.
    freedom : int
        Degrees of freedom of the noise estimate.
    """

    value: float
    influence: Influence
    noise: float
    freedom: int

    @property
    def uncertainty(self) -> float:
        """Standard uncertainty from the noise."""
        return self.noise * self.influence.length

    @property
    def half_width(self) -> float:
        """Half width of the 95 % interval from the noise."""
        return quantile(self.freedom) * self.uncertainty

    def minus(self, other: Estimate) -> Estimate:
        """The difference from another estimate of the same sweep; common errors cancel."""
        return Estimate(
            self.value - other.value,
            self.influence.minus(other.influence),
            max(self.noise, other.noise),
            min(self.freedom, other.freedom),
        )


def quantile(freedom: int) -> float:
    """97.5 % quantile of Student's t; within 1 % for 4 or more degrees of freedom."""
    return 1.96 + 2.4 / freedom + 3.0 / freedom**2


def estimate(fit: WindowFit, noise: float, value: float, gradient: ComplexArray) -> Estimate:
    """A figure of a fit by its gradient: it changes by Re(gradient @ change of the parameters)."""
    return Estimate(value, fit.influence(gradient), max(fit.residual, noise), fit.freedom)


def turning_point(
    fit: WindowFit, noise: float, *, least: bool = True
) -> tuple[Estimate, Estimate] | None:
    """Frequency in Hz and |G| of the minimum (or maximum) of |G| within the window of a fit.

    None if it is at an end of the window.
    """
    inside = _GRID[(fit.t_low <= _GRID) & (fit.t_high >= _GRID)]
    power = fit.power(inside)
    index = int(power.argmin() if least else power.argmax())
    if index in (0, inside.size - 1):
        return None
    t = float(inside[index])
    for _ in range(_STEPS_TO_TURN):
        value, slope, bend = fit.power_at(t)
        if bend == 0 or (bend > 0) != least:
            return None
        t += _bounded(-slope / bend)
    at_hz = fit.hz(t)
    place = fit.power_rows(t)[1] * (-1 / bend / fit.t_per_hz(at_hz))
    rho = math.sqrt(max(value, 0.0))
    return estimate(fit, noise, at_hz, place), estimate(fit, noise, rho, fit.magnitude_row(t))


def _bounded(step: float) -> float:
    return max(-_LONGEST_STEP, min(_LONGEST_STEP, step))


def magnitude_at(fit: WindowFit, noise: float, at_hz: float) -> Estimate:
    """|G| at a frequency."""
    t = fit.t(at_hz)
    rho = math.sqrt(max(fit.power_at(t).value, 0.0))
    return estimate(fit, noise, rho, fit.magnitude_row(t))


def crossing(fit: WindowFit, noise: float, level: float) -> tuple[Estimate, float] | None:
    """Where |G| crosses a level > 0 next to the fit's centre, and its slope d|G|/df in 1/Hz.

    None without a crossing in the window.
    """
    t = 0.0
    for _ in range(_MOST_STEPS):
        value, slope, _ = fit.power_at(t)
        if slope == 0:
            return None
        step = _bounded((level * level - value) / slope)
        t += step
        if not fit.t_low <= t <= fit.t_high:
            return None
        if abs(step) < _DONE:
            break
    else:
        return None
    at_hz = fit.hz(t)
    slope_per_hz = slope / (2 * level) * fit.t_per_hz(at_hz)
    gradient = fit.power_rows(t)[0] * (-1 / (2 * level) / slope_per_hz)
    return estimate(fit, noise, at_hz, gradient), slope_per_hz


def q_estimate(
    fit: LocalFit, noise: float, at_hz: float, z0_ohm: float, delay_s: float
) -> Estimate | None:
    """Q at a frequency, from the slope of the impedance (`fairlead.core.analysis.q_factor`).

    Parameters
    ----------
    fit : LocalFit
        Of the reflection with a delay removed.
    noise : float
    at_hz : float
    z0_ohm : float
    delay_s : float
        That delay; it is put back.

    Returns
    -------
    Estimate or None
        None where the resistance is not positive.
    """
    t = fit.t(at_hz)
    value, slope, _ = fit.derivatives(t)
    t_per_hz = fit.t_per_hz(at_hz)
    back = cmath.exp(-2j * math.pi * at_hz * delay_s)

    def q_of(g: complex, g_slope: complex) -> float:
        per_hz = (g_slope * t_per_hz - 2j * math.pi * delay_s * g) * back
        gamma = g * back
        z_ohm = z0_ohm * (1 + gamma) / (1 - gamma)
        z_slope = 2 * z0_ohm / (1 - gamma) ** 2 * per_hz
        total = math.hypot(z_slope.real, z_slope.imag + abs(z_ohm.imag) / at_hz)
        return at_hz / (2 * z_ohm.real) * total

    if abs(value) >= 1 - 2 * _DIFFERENCE:
        return None
    q = q_of(value, slope)
    h = _DIFFERENCE
    by_value = complex(q_of(value + h, slope) - q, q - q_of(value + 1j * h, slope)) / h
    by_slope = complex(q_of(value, slope + h) - q, q - q_of(value, slope + 1j * h)) / h
    of_value, of_slope = fit.rows(t)
    return estimate(fit, noise, q, by_value * of_value + by_slope * of_slope)
