"""Least squares of the model of two sweeps, with prior knowledge of its minor parameters.

Parameters that a window does not determine (the slope of the resistance, the curvature of the
reactance, the line's impedance) are not left out but constrained to the range found in antennas, so
that they widen the intervals of the parts as far as these depend on them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.parts.resonator import LOSS, PHI, SIZE, THETA, Model, own

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.comparison.parts.resonator import Seen
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
ROUGH: Mapping[int, float] = {at: middle for at, (middle, _) in _LESSER.items() if at != LOSS}
"""Where antennas are, which leads the other parameters to the right place."""
CIRCUIT: Mapping[int, float] = dict.fromkeys((3, 4, 5, 6, 7, 8), 0.0) | {9: 0.1}
"""One series circuit of constant resistance behind a line of the reference impedance, of any law of
loss."""
_FREE: Mapping[int, float] = {}
_FREE_SD = 1e4
_HELD = 1e6
_MOST_STEPS = 60
_LONGEST_STEP = 0.5
_DONE = 3e-6
_MOST_LAG = 2.0
# A step that wins a smaller share of the cost creeps, and where the lesser parameters cost so much
# at least one of them is 4 standard deviations off.
_CREEPING = 3e-3
_NO_ANTENNA = 150.0


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
    gradient : ComplexArray, shape (17, n)
        Of the model at the points of both sweeps, those of the reference first.
    left : tuple of ComplexArray, shape (n,) each
        Residual of each sweep.
    sigmas : tuple of float
    centre_hz : float
    """

    parameters: FloatArray
    covariance: FloatArray
    gradient: ComplexArray
    left: tuple[ComplexArray, ComplexArray]
    sigmas: tuple[float, float]
    centre_hz: float

    @property
    def excess(self) -> float:
        """The residual, as a multiple of the noise."""
        size = 2 * sum(one.size for one in self.left)
        return math.sqrt(self.chi_square / max(size - SIZE, 1))

    @property
    def chi_square(self) -> float:
        """Sum of the squares of the residual, each component in units of the noise."""
        return sum(
            float(np.vdot(one, one).real) / sigma**2
            for one, sigma in zip(self.left, self.sigmas, strict=True)
        )

    @property
    def off(self) -> float:
        """Standard deviation of each component of what is left of the reflection at a point."""
        return self.excess * max(self.sigmas)

    @property
    def unusual(self) -> float:
        """Largest deviation of a minor parameter from typical antennas, in standard deviations."""
        return max(
            abs(float(self.parameters[at]) - middle) / deviation
            for at, (middle, deviation) in _LESSER.items()
        )

    @property
    def lag(self) -> float:
        """Correlation of neighbours in the residual, in standard deviations of white noise."""
        return self.correlation * math.sqrt(2 * sum(one.size for one in self.left))

    @property
    def is_related(self) -> bool:
        """Whether neighbours in what is left are alike by more than chance."""
        return self.lag > _MOST_LAG

    @property
    def correlation(self) -> float:
        """Correlation of neighbours in the residual, -1 to 1."""
        along = sum(float(np.vdot(one[:-1], one[1:]).real) for one in self.left)
        total = sum(float(np.vdot(one, one).real) for one in self.left)
        return along / max(total, 1e-300)

    def influence(self, part: FloatArray) -> tuple[ComplexArray, ComplexArray]:
        """Influence c of errors e of the points on a sum of parameters: Re sum conj(c) e."""
        moved = (self.covariance @ part) @ self.gradient
        first = self.left[0].size
        return moved[:first] / self.sigmas[0] ** 2, moved[first:] / self.sigmas[1] ** 2


def parameters_of(start: Start) -> FloatArray:
    """The initial parameters, shape (17,)."""
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
    held: Mapping[int, float] = _FREE,
) -> PairFit | None:
    """Fit by Levenberg and Marquardt; None if the equations cannot be solved.

    Parameters
    ----------
    points : tuple of Points
        Of the reference and of the other sweep.
    parameters : FloatArray, shape (17,)
        Initial values.
    centre_hz : float
    held : mapping of int to float
        Lesser parameters that are held, with their values: `ROUGH` or `CIRCUIT`.
    """
    fitting = _Fitting(points, centre_hz, held)
    with np.errstate(all="ignore"):
        state = fitting.descended(fitting.at(parameters))
        slopes = fitting.slopes(state)
        covariance = _solved(slopes.square, np.eye(SIZE))
    if covariance is None:
        return None
    first = points[0].values.size
    left = state.left[:first], state.left[first:]
    sigmas = points[0].sigma, points[1].sigma
    return PairFit(state.seen.parameters, covariance, slopes.gradient, left, sigmas, centre_hz)


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    """Parameters with the model there, what it leaves at the points, and the cost of both."""

    seen: Seen
    left: ComplexArray
    cost: float


@dataclass(frozen=True, slots=True, eq=False)
class _Slopes:
    """Normal equations, shapes (17, 17) and (17,), and the gradient of which they are made."""

    gradient: ComplexArray
    square: FloatArray
    slope: FloatArray


class _Fitting:
    """The cost of parameters: the residuals of both sweeps, and how unusual they are."""

    def __init__(
        self, points: tuple[Points, Points], centre_hz: float, held: Mapping[int, float]
    ) -> None:
        first, second = points
        self._model = Model((first.frequency_hz, second.frequency_hz), centre_hz)
        self._values = np.concatenate((first.values, second.values))
        sizes = first.values.size, second.values.size
        self._sureness = np.repeat([1 / first.sigma, 1 / second.sigma], sizes)
        self._middle, self._weight = np.zeros(SIZE), np.full(SIZE, _FREE_SD**-2.0)
        for at, (value, deviation) in _LESSER.items():
            strength = _HELD if at in held else 1.0
            self._middle[at] = held.get(at, value)
            self._weight[at] = strength * deviation**-2.0

    def at(self, parameters: FloatArray) -> _State:
        """The state at these parameters; the cost is infinite on overflow."""
        seen = self._model.at(parameters)
        left = self._values - seen.value
        weighted = left * self._sureness
        cost = float(np.vdot(weighted, weighted).real)
        cost += float((self._weight * (parameters - self._middle) ** 2).sum())
        return _State(seen, left, cost if math.isfinite(cost) else math.inf)

    def slopes(self, state: _State) -> _Slopes:
        """Of the cost at a state."""
        gradient = self._model.gradient(state.seen)
        # Real and imaginary parts are points of their own: each row is twice as long.
        real = (gradient * self._sureness).view(np.float64)
        rest = (state.left * self._sureness).view(np.float64)
        square = real @ real.T + np.diag(self._weight)
        slope = real @ rest - self._weight * (state.seen.parameters - self._middle)
        return _Slopes(gradient, square, slope)

    def _is_hopeless(self, state: _State, won: float) -> bool:
        """Whether it creeps where no antenna is, so that it will be refused wherever it ends."""
        unusual = self._weight * (state.seen.parameters - self._middle) ** 2
        return won < _CREEPING * state.cost and float(unusual.sum()) > _NO_ANTENNA

    def descended(self, state: _State) -> _State:
        """The lowest cost that steps from a state lead to."""
        damping, growth = 1e-3, 2.0
        slopes = self.slopes(state)
        for _ in range(_MOST_STEPS):
            damped = slopes.square + damping * np.diag(np.diag(slopes.square))
            step = _solved(damped, slopes.slope)
            if step is None:
                return state
            longest = float(np.abs(step).max())
            step = step * min(1.0, _LONGEST_STEP / max(longest, 1e-300))
            tried = self.at(state.seen.parameters + step)
            won = state.cost - tried.cost
            expected = float(step @ (2 * slopes.slope - slopes.square @ step))
            if not won >= 0:
                if expected <= _DONE * state.cost:
                    break
                damping, growth = damping * growth, growth * 2
                continue
            share = min(won / max(expected, 1e-300), 1.0)
            damping = max(damping * max(1 / 10, 1 - (2 * share - 1) ** 3), 1e-9)
            growth = 2.0
            state = tried
            if won <= _DONE * state.cost or self._is_hopeless(state, won):
                break
            slopes = self.slopes(state)
        return state


def _solved(square: FloatArray, right: FloatArray) -> FloatArray | None:
    try:
        found = np.linalg.solve(square, right).astype(np.float64)
    except np.linalg.LinAlgError:
        return None
    return found if np.isfinite(found).all() else None
