"""Whether the points of a sweep are close enough to interpolate between them.

Each interval is judged separately, so that logarithmic and uneven grids work too, by two rules on
the curve in the reflection plane (with the delay of a long line removed) and one on that delay:

- *Error of the cubic.* The fourth divided difference D over five points gives the error of the
  cubic through four of them in the middle of an interval: D times the product of the distances to
  its nodes. For a curve on the rim that rotates by 1/8 turn per step this is 0.008.
- *Turn.* Neighbouring chords differ in direction by less than 1/8 turn. This rule detects small
  loops, which hardly affect the first rule.
- *Line.* If the delay alone exceeds 1/8 turn per step, the phase is unknown, because a delay longer
  by one turn per step would give the same points. |G| does not depend on it.

Unrelated points pass both rules in one interval of 500, but never in three in a row; shorter runs
do not count. With 4 points for each 2:1 width a matched resonance rotates by 1/18 turn per step,
which is the aim of the recommended number of points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.noise import NOISE_SIGMAS

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray

FEWEST_POINTS = 5
"""With fewer points it is impossible to check whether a cubic through four is good enough."""

MOST_LINE_TURNS = 1 / 8
# No antenna rotates backwards by more than this per step: the true rotation is different.
_BACKWARD_TURNS = 1 / 36
# Largest error of a cubic in the middle of an interval, of full scale.
_MOST_ERROR = 0.008
# The same for |G|^2 of a scalar sweep, whose error the square root amplifies.
_MOST_POWER_ERROR = 0.003
_MOST_TURN_RAD = 2 * math.pi / 8
# Chords with a smaller difference make no significant dip, whatever their directions.
_SMALL_TURN = 0.03
# Gain of noise in a second and in a fourth difference (roots of the sums of squared weights).
_OF_SECOND, _OF_FOURTH = math.sqrt(6), math.sqrt(70)
_SHORTEST_RUN = 3
# Up to this many points all intervals share nearly the same few differences, and no run of them
# proves anything: one window that passes by chance passes the whole sweep. So both rules are
# stricter there by this factor.
_FEW_POINTS = 7
_STRICTER = 2
# 4 points for each 2:1 width: 20 degrees per step through the middle of a matched resonance.
_WANTED_TURN_RAD = math.radians(20)


@dataclass(frozen=True, slots=True, eq=False)
class Sampling:
    """Where the points are close enough.

    Attributes
    ----------
    is_supported : BoolArray, shape (n - 1,)
        Intervals in which the reflection is known well enough for a figure.
    is_phase_known : BoolArray, shape (n - 1,)
        Supported, and the line rotates by no more than 1/8 turn from point to point.
    line_turns : float
        Largest rotation by the line from point to point, in turns; 0 without a line.
    factor : float
        How many times closer the points should be; 1 if all are close enough.
    """

    is_supported: BoolArray
    is_phase_known: BoolArray
    line_turns: float
    factor: float

    def without(self, is_lost: BoolArray) -> Sampling:
        """The same with some intervals, shape (n - 1,), known to be unsupported."""
        return replace(
            self,
            is_supported=self.is_supported & ~is_lost,
            is_phase_known=self.is_phase_known & ~is_lost,
        )


def sampling_of(
    frequency_hz: FloatArray,
    curve: ComplexArray | FloatArray,
    sigma: FloatArray | float,
    delay_s: float = 0.0,
) -> Sampling:
    """Judge every interval of a sweep.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    curve : ComplexArray, shape (n,), or FloatArray
        Reflection with the delay removed, or |G|^2 of a scalar sweep.
    sigma : FloatArray, shape (n,), or float
        Noise of each component.
    delay_s : float
        The delay that was removed.
    """
    size = frequency_hz.size
    step_hz = np.diff(frequency_hz)
    line_turns = delay_s * step_hz
    if size < FEWEST_POINTS:
        nothing = np.zeros(size - 1, dtype=np.bool_)
        return Sampling(nothing, nothing, float(line_turns.max()), FEWEST_POINTS / (size - 1))
    scale = np.asarray(sigma) * np.ones(size)
    is_complex = np.iscomplexobj(curve)
    strict = _STRICTER if size <= _FEW_POINTS else 1
    most = (_MOST_ERROR if is_complex else _MOST_POWER_ERROR) / strict
    error, allowance = _cubic_error(frequency_hz, curve, scale)
    is_supported = error <= most + allowance
    factor = float((np.maximum(error - allowance, 0).max() / most) ** 0.25)
    if is_complex:
        chord_hz, is_turning = _turns(step_hz, curve, scale, _MOST_TURN_RAD / strict)
        is_supported[:-1] &= ~is_turning
        is_supported[1:] &= ~is_turning
        if is_turning.any():
            turn_rad = np.abs(np.angle(chord_hz[1:] * chord_hz[:-1].conj())[is_turning])
            factor = max(factor, float(turn_rad.max()) / _WANTED_TURN_RAD)
    is_supported = _long_runs(is_supported)
    is_known = is_supported & (line_turns <= MOST_LINE_TURNS) & (line_turns >= -_BACKWARD_TURNS)
    largest = float(line_turns[int(np.abs(line_turns).argmax())])
    factor = 1.0 if is_supported.all() else max(2.0, factor)
    return Sampling(is_supported, is_known, largest, factor)


def points_wanted(points: int, factor: float) -> int:
    """A round number of points that shortens the steps by this factor."""
    steps = (points - 1) * factor
    unit: int = 10 ** max(0, math.floor(math.log10(steps)) - 1)
    return unit * math.ceil(steps / unit) + 1


def _cubic_error(
    frequency_hz: FloatArray, curve: ComplexArray | FloatArray, scale: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Error of the cubic in each interval, shape (n - 1,), and how much of it noise explains."""
    size = frequency_hz.size
    divided: ComplexArray | FloatArray = curve
    for order in range(1, 5):
        divided = np.diff(divided) / (frequency_hz[order:] - frequency_hz[:-order])
    # Windows of five points begin at 0 ... n - 5; an interval looks at those around it.
    window = np.abs(divided)
    left = np.clip(np.arange(size - 1) - 2, 0, size - 5)
    right = np.minimum(left + 1, size - 5)
    steepest = np.maximum(window[left], window[right])
    first = np.clip(np.arange(size - 1) - 1, 0, size - 4)
    middle_hz = (frequency_hz[:-1] + frequency_hz[1:]) / 2
    product = np.ones(size - 1)
    for node in range(4):
        product *= np.abs(middle_hz - frequency_hz[first + node])
    # On an even grid the weights of the difference are those of 70 squares over 24 steps^4.
    step_hz = (frequency_hz[first + 3] - frequency_hz[first]) / 3
    allowance = NOISE_SIGMAS * scale[:-1] * _OF_FOURTH * product / (24 * step_hz**4)
    return steepest * product, allowance


def _turns(
    step_hz: FloatArray, curve: ComplexArray | FloatArray, scale: FloatArray, most_rad: float
) -> tuple[ComplexArray | FloatArray, BoolArray]:
    """Chords per Hz, shape (n - 1,), and whether neighbours differ too much, shape (n - 2,)."""
    chord_hz = np.diff(curve) / step_hz
    length = np.abs(chord_hz)
    mean_hz = (step_hz[1:] + step_hz[:-1]) / 2
    allowed = 2 * math.sin(most_rad / 2) * np.maximum(length[1:], length[:-1])
    bend = (np.abs(np.diff(chord_hz)) - allowed) * mean_hz
    unsure = _SMALL_TURN + NOISE_SIGMAS * _OF_SECOND * scale[1:-1]
    return chord_hz, bend > unsure


def _long_runs(is_supported: BoolArray) -> BoolArray:
    """Keep only runs of a few intervals; one or two alone may pass the rules by chance."""
    if is_supported.all():
        return is_supported
    bounds = np.flatnonzero(np.diff(np.concatenate(([False], is_supported, [False]))))
    kept = np.zeros_like(is_supported)
    for start, stop in zip(bounds[::2].tolist(), bounds[1::2].tolist(), strict=True):
        if stop - start >= _SHORTEST_RUN:
            kept[start:stop] = True
    return kept
