"""What changed between two sweeps of which one has no phase: tuning and width, nothing more.

    |G|^2 = g y / (1 + y),    y = A + B u^2 (1 + k u),    u = f/f0 - f0/f

For one resonance of constant resistance behind any lossless match y = |G|^2 / (1 - |G|^2) is this
parabola with k = 0 and g = 1: A = (r - 1)^2 / (4 r), B = r Q^2 / 4. A line with loss makes g
smaller, a resistance that rises with frequency makes k negative; both are common to the two sweeps
and kept near the values of typical antennas. A and B depend on match and damping together, so
neither is reported.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.parts.result import Part, Parts
from fairlead.core.uncertainty.interval import Interval, Intervals

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray

# Windows in y above its least: SWR 2 is 1/8 above a perfect match, and u twice as wide is 1/2.
_WINDOWS = (1.0, 0.5)
_WIDTH = 0.125
_FEWEST_POINTS = 12
_FLOORS = (3e-4, 1e-3, 2e-3, 4e-3, 8e-3)
_MOST_EXCESS = 1.25
_MOST_LAG = 2.0
_STEPS = 12
_SHARED, _SIZE = 2, 8
_AHEAD = 1e-6
_LONGEST_STEP = 0.3
# In u times the root of B; between SWR 2 and SWR 2 of a perfect match it is 0.71.
_TWO_WIDTHS = 1.3
# ln g and k, and how far antennas are from the middle.
_MIDDLE, _DEVIATION = np.array([0.0, 0.0]), np.array([0.15, 1.5])
_LEAST_SIGMAS = 2.0
_QUANTILE = 1.96
# What the model may be off: a share of the whole change, and a rest, in f0/Q and as a logarithm.
_MODEL_TUNING = 0.05, 0.005
_MODEL_WIDTH = 0.06, 0.006
_WORST = 0.1, 0.3
# The resistance of thin wires rises so (a solver's dipoles: 3.1 to 3.2).
_RISING = 3.2

NO_PHASE = "without phase, match and damping cannot be told apart"
_NOT_WHITE = "without phase, one resonance does not describe both sweeps"
_TOO_NARROW = "less than twice the 2:1 width was swept on both, or fewer than 12 points there"
_ILL = "without phase, these points do not determine the tuning"


@dataclass(frozen=True, slots=True, eq=False)
class _Dip:
    """Points of one sweep: ln(f/fc), |G|^2, and the noise of |G|."""

    place: FloatArray
    power: FloatArray
    sigma: float


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """ln g, k, then A, ln B and ln(f0/fc) of each sweep, shape (8,), and their covariance."""

    parameters: FloatArray
    covariance: FloatArray
    excess: float
    lag: float


def scalar_parts(reference: Analysis, other: Analysis) -> Parts | str:
    """Tuning and width of two sweeps, or the reason if they cannot be determined."""
    centre_hz = float(reference.frequency_hz[reference.power.argmin()])
    dips = _dip(reference, centre_hz), _dip(other, centre_hz)
    start = np.concatenate([_MIDDLE, *(_begun(one) for one in dips)])
    least_sigma = min(one.sigma for one in dips)
    why = _TOO_NARROW
    for floor in _FLOORS:
        fits: list[_Fit] = []
        parameters = start
        for level in _WINDOWS:
            inside = [_inside(one, parameters, which, level) for which, one in enumerate(dips)]
            if any(one is None for one in inside):
                break
            fit = _fitted([one for one in inside if one is not None], parameters, floor)
            if fit is None:
                return _ILL
            if fit.excess < _MOST_EXCESS and (fit.lag < _MOST_LAG or floor > least_sigma):
                fits.append(fit)
                parameters = fit.parameters
            why = _NOT_WHITE
        if fits:
            return _told(fits[0], fits[-1], centre_hz, max(dips[0].sigma, dips[1].sigma, floor))
    return why


def _dip(analysis: Analysis, centre_hz: float) -> _Dip:
    kept = np.delete(np.arange(analysis.power.size), analysis.outliers)
    place: FloatArray = np.log(analysis.frequency_hz[kept] / centre_hz)
    return _Dip(place, analysis.power[kept], analysis.sigma)


def _begun(dip: _Dip) -> FloatArray:
    """A, ln B and ln(f0/fc) from the least point and the places around it where y is larger."""
    power = np.minimum(dip.power, 0.99)
    y = power / (1 - power)
    least = float(y.min())
    near = np.flatnonzero(y < least + 2 * _WIDTH)
    step = float(dip.place[-1] - dip.place[0]) / dip.place.size
    half = max(float(dip.place[near[-1]] - dip.place[near[0]]) / 2, step)
    middle = float(dip.place[near[-1]] + dip.place[near[0]]) / 2
    return np.array([least, math.log(2 * _WIDTH / (2 * half) ** 2), middle])


def _u(dip: _Dip, own: FloatArray) -> FloatArray:
    result: FloatArray = 2 * np.sinh(dip.place - own[2])
    return result


def _inside(dip: _Dip, parameters: FloatArray, which: int, level: float) -> _Dip | None:
    """The points where y has risen by no more; None if too few, or on one side only."""
    own = parameters[_SHARED + 3 * which : _SHARED + 3 * which + 3]
    x = _u(dip, own) * math.exp(own[1] / 2)
    kept = np.abs(x) < math.sqrt(level)
    if kept.sum() < _FEWEST_POINTS or np.ptp(x[kept]) < _TWO_WIDTHS:
        return None
    return _Dip(dip.place[kept], dip.power[kept], dip.sigma)


def _model(dip: _Dip, parameters: FloatArray, which: int) -> FloatArray:
    gain, skew = parameters[:_SHARED].tolist()
    own = parameters[_SHARED + 3 * which : _SHARED + 3 * which + 3]
    u = _u(dip, own)
    y = np.maximum(own[0] + math.exp(own[1]) * u * u * (1 + skew * u), 0.0)
    result: FloatArray = math.exp(gain) * y / (1 + y)
    return result


def _fitted(dips: list[_Dip], parameters: FloatArray, floor: float) -> _Fit | None:
    """Least squares by Gauss and Newton, the gradient by differences; None without a solution."""
    sigmas = [max(one.sigma, floor) for one in dips]
    covariance: FloatArray = np.zeros((_SIZE, _SIZE))
    left: list[FloatArray] = []
    for _ in range(_STEPS):
        square, slope = np.zeros((_SIZE, _SIZE)), np.zeros(_SIZE)
        square[range(_SHARED), range(_SHARED)] = _DEVIATION**-2.0
        slope[:_SHARED] = (_MIDDLE - parameters[:_SHARED]) * _DEVIATION**-2.0
        left = []
        for which, (dip, sigma) in enumerate(zip(dips, sigmas, strict=True)):
            power = _model(dip, parameters, which)
            weight = 1 / (2 * np.maximum(np.sqrt(power), _LEAST_SIGMAS * sigma) * sigma)
            rows = np.stack(
                [
                    (_model(dip, parameters + h, which) - _model(dip, parameters - h, which))
                    / (2 * _AHEAD)
                    for h in _AHEAD * np.eye(_SIZE)
                ]
            )
            rest = (dip.power - power) * weight
            left.append(rest)
            square += (rows * weight**2) @ rows.T
            slope += (rows * weight) @ rest
        try:
            covariance = np.linalg.inv(square).astype(np.float64)
        except np.linalg.LinAlgError:
            return None
        step = covariance @ slope
        longest = float(np.abs(step).max())
        if not math.isfinite(longest):
            return None
        parameters = parameters + step * min(1.0, _LONGEST_STEP / max(longest, _LONGEST_STEP))
    total = sum(float(one @ one) for one in left)
    size = sum(one.size for one in left)
    along = sum(float(one[:-1] @ one[1:]) for one in left)
    return _Fit(
        parameters,
        covariance,
        math.sqrt(total / max(size - _SIZE, 1)),
        along / max(total, 1e-300) * math.sqrt(size),
    )


def _told(wide: _Fit, fit: _Fit, centre_hz: float, sigma: float) -> Parts | str:
    (a_1, b_1, at_1), (a_2, b_2, at_2) = fit.parameters[_SHARED:].reshape(2, 3).tolist()
    f_1, f_2 = centre_hz * math.exp(at_1), centre_hz * math.exp(at_2)
    # For a perfect match B is Q^2 / 4.
    q = 2 * math.exp(b_1 / 2)
    widths = [f * math.sqrt(_WIDTH) * math.exp(-b / 2) for f, b in ((f_1, b_1), (f_2, b_2))]
    whole = abs(at_2 - at_1) * q + abs(b_2 - b_1) / 2
    of_tuning, of_width = (share * whole + least for share, least in (_MODEL_TUNING, _MODEL_WIDTH))
    # A resistance that rises as f^p moves the least by p/4 (1 - 1/r^2) / Q in units of f0/Q, and
    # which side of 1 the r lies on cannot be told.
    moved = _inverse_square(a_1) - _inverse_square(a_2)
    of_tuning += _RISING / 4 * abs(moved) / q
    of_width += _RISING / 4 * abs(moved) / q
    row_1, row_2 = np.zeros(_SIZE), np.zeros(_SIZE)
    row_1[[_SHARED + 2, _SHARED + 5]] = -f_1, f_2
    row_2[[_SHARED + 1, _SHARED + 4]] = widths[0] / 2, -widths[1] / 2
    tuning = _part(f_2 - f_1, row_1, of_tuning * f_1 / q, wide, fit)
    width = _part(widths[1] - widths[0], row_2, of_width * widths[0], wide, fit)
    if tuning.noise_half > _WORST[0] * f_1 / q or width.noise_half > _WORST[1] * widths[0]:
        return _ILL
    return Parts(
        tuning_hz=tuning,
        width_hz=width,
        resonance_hz=f_1,
        q=q,
        left_over=fit.excess * sigma,
        why_not_match=NO_PHASE,
        why_not_damping=NO_PHASE,
    )


def _inverse_square(a: float) -> float:
    """1/r^2 of an r under 1 with this A."""
    a = max(a, 0.0)
    return float((1 + 2 * a - 2 * math.sqrt(a * a + a)) ** -2.0)


def _part(value: float, row: FloatArray, model: float, wide: _Fit, fit: _Fit) -> Part:
    square = max(1.0, fit.excess) ** 2 * float(row @ fit.covariance @ row)
    apart = float(row @ (fit.parameters - wide.parameters)) ** 2
    by_chance = abs(float(row @ (fit.covariance - wide.covariance) @ row))
    noise = _QUANTILE * math.sqrt(square + max(0.0, apart - by_chance))
    half = math.hypot(noise, model)
    return Part(value, noise, model, Intervals(Interval(value - half, value + half), None))
