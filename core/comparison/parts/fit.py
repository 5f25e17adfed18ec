"""Least squares of the model of two sweeps, with what is known beforehand of its lesser parameters.

What a window cannot tell (the slope of the resistance, the bend of the reactance, the line's
impedance) is not left out but held by the range in which antennas are found, so that it widens
the intervals of the parts as far as they depend on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.parts.resonator import LOSS, PHI, SIZE, THETA, own, reflection

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.comparison.parts.start import Start

# Middle and standard deviation of the lesser parameters, in the order of `resonator`: between
# circuits of constant resistance and thin wires (a solver's dipoles: slope 3.1 to 3.2, bends 0.21
# and 0.14), lines of 33 to 75 ohm at 50 ohm, losses of
# conductors, dielectrics and others.
_LESSER = {
    LOSS: (0.0, 1.0),
    3: (1.8, 1.3),
    4: (0.0, 0.15),
    5: (0.1, 0.15),
    6: (0.0, 0.2),
    7: (0.07, 0.12),
    8: (0.0, 0.3),
    9: (0.1, 0.15),
    10: (0.5, 0.3),
}
_FREE_SD = 1e4
_HELD = 1e6
_MOST_STEPS = 25
_MOST_TRIES = 8
_LONGEST_STEP = 0.5
_DONE = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """The points of one sweep that a fit uses, groups of neighbours averaged.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    values : ComplexArray, shape (n,)
        Reflection.
    sigma : float
        Noise of each component of ``values``.
    """

    frequency_hz: FloatArray
    values: ComplexArray
    sigma: float


@dataclass(frozen=True, slots=True, eq=False)
class PairFit:
    """A fit to the points of two sweeps.

    Attributes
    ----------
    parameters : FloatArray, shape (17,)
        As in `resonator`.
    covariance : FloatArray, shape (17, 17)
    gradients : tuple of ComplexArray, shape (n, 17) each
        Of the model at the points of each sweep.
    left : tuple of ComplexArray, shape (n,) each
        What the model leaves of each sweep.
    sigmas : tuple of float
    centre_hz : float
    """

    parameters: FloatArray
    covariance: FloatArray
    gradients: tuple[ComplexArray, ComplexArray]
    left: tuple[ComplexArray, ComplexArray]
    sigmas: tuple[float, float]
    centre_hz: float

    @property
    def excess(self) -> float:
        """What is left, as a multiple of the noise."""
        total = sum(
            float(np.vdot(one, one).real) / sigma**2
            for one, sigma in zip(self.left, self.sigmas, strict=True)
        )
        size = 2 * sum(one.size for one in self.left)
        return math.sqrt(total / max(size - SIZE, 1))

    @property
    def unusual(self) -> float:
        """How far a lesser parameter lies from where antennas are, in standard deviations."""
        return max(
            abs(float(self.parameters[at]) - middle) / deviation
            for at, (middle, deviation) in _LESSER.items()
        )

    @property
    def lag(self) -> float:
        """Correlation of neighbours in what is left, in standard deviations of white noise."""
        return self.correlation * math.sqrt(2 * sum(one.size for one in self.left))

    @property
    def correlation(self) -> float:
        """Correlation of neighbours in what is left, -1 to 1."""
        along = sum(float(np.vdot(one[:-1], one[1:]).real) for one in self.left)
        total = sum(float(np.vdot(one, one).real) for one in self.left)
        return along / max(total, 1e-300)

    def influence(self, part: FloatArray) -> tuple[ComplexArray, ComplexArray]:
        """By what errors of the points move a combination of parameters: Re sum conj(c) e."""
        row = self.covariance @ part
        first, second = (
            (gradient @ row) / sigma**2
            for gradient, sigma in zip(self.gradients, self.sigmas, strict=True)
        )
        return first, second


def parameters_of(start: Start) -> FloatArray:
    """The parameters with which to begin, shape (17,)."""
    parameters = np.zeros(SIZE)
    parameters[THETA] = 2 * math.pi * start.delay_s * start.centre_hz
    parameters[LOSS] = max(-math.log(abs(start.factor)), 0.0)
    parameters[PHI] = math.atan2(start.factor.imag, start.factor.real)
    for at, (middle, _) in _LESSER.items():
        if at != LOSS:
            parameters[at] = middle
    for which, (f0_hz, r, q) in enumerate(start.resonances):
        parameters[own(which)] = math.log(f0_hz / start.centre_hz), math.log(r), math.log(q)
    return parameters


def fit_pair(
    points: tuple[Points, Points],
    parameters: FloatArray,
    centre_hz: float,
    *,
    is_rough: bool = False,
) -> PairFit | None:
    """Fit by Levenberg and Marquardt; None if the equations cannot be solved.

    Parameters
    ----------
    points : tuple of Points
        Of the reference and of the other sweep.
    parameters : FloatArray, shape (17,)
        To begin with.
    centre_hz : float
    is_rough : bool
        Hold the lesser parameters where antennas are, which leads the others to the right place.
    """
    fitting = _Fitting(points, centre_hz, is_rough=is_rough)
    damping = 1e-3
    with np.errstate(all="ignore"):
        state = fitting.at(parameters)
        for _ in range(_MOST_STEPS):
            square, slope = fitting.normal(state)
            before = state
            for _ in range(_MOST_TRIES):
                step = _solved(square + damping * np.diag(np.diag(square)), slope)
                if step is None:
                    return None
                longest = float(np.abs(step).max())
                tried = fitting.at(
                    state.parameters + step * min(1.0, _LONGEST_STEP / max(longest, 1e-300))
                )
                if tried.cost <= state.cost:
                    state, damping = tried, max(damping / 10, 1e-9)
                    break
                damping *= 10
            if before.cost - state.cost <= _DONE * state.cost:
                break
        covariance = _solved(fitting.normal(state)[0], np.eye(SIZE))
    if covariance is None:
        return None
    return PairFit(
        state.parameters, covariance, state.gradients, state.left, fitting.sigmas, centre_hz
    )


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    parameters: FloatArray
    cost: float
    left: tuple[ComplexArray, ComplexArray]
    gradients: tuple[ComplexArray, ComplexArray]


class _Fitting:
    """The cost of parameters: what they leave of both sweeps, and how unusual they are."""

    def __init__(self, points: tuple[Points, Points], centre_hz: float, *, is_rough: bool) -> None:
        self._points = points
        self._centre_hz = centre_hz
        self.sigmas = points[0].sigma, points[1].sigma
        self._middle, self._weight = np.zeros(SIZE), np.full(SIZE, _FREE_SD**-2.0)
        for at, (value, deviation) in _LESSER.items():
            held = _HELD if is_rough and at != LOSS else 1.0
            self._middle[at], self._weight[at] = value, held * deviation**-2.0

    def at(self, parameters: FloatArray) -> _State:
        """Everything there; the cost is infinite where it overflows."""
        cost = float((self._weight * (parameters - self._middle) ** 2).sum())
        left, gradients = [], []
        for which, one in enumerate(self._points):
            value, gradient = reflection(parameters, one.frequency_hz, self._centre_hz, which)
            rest = one.values - value
            cost += float(np.vdot(rest, rest).real) / one.sigma**2
            left.append(rest)
            gradients.append(gradient)
        if not math.isfinite(cost):
            cost = math.inf
        return _State(parameters, cost, (left[0], left[1]), (gradients[0], gradients[1]))

    def normal(self, state: _State) -> tuple[FloatArray, FloatArray]:
        """Normal equations, shapes (17, 17) and (17,)."""
        square = np.diag(self._weight)
        slope = -self._weight * (state.parameters - self._middle)
        for rest, gradient, sigma in zip(state.left, state.gradients, self.sigmas, strict=True):
            turned = gradient.conj().T
            square = square + (turned @ gradient).real / sigma**2
            slope = slope + (turned @ rest).real / sigma**2
        return square, slope


def _solved(square: FloatArray, right: FloatArray) -> FloatArray | None:
    try:
        found = np.linalg.solve(square, right).astype(np.float64)
    except np.linalg.LinAlgError:
        return None
    return found if np.isfinite(found).all() else None
