"""The delay of a long line in a sweep, estimated from its points."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.arrays import median

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

# With fewer points the mean rotation per step means little.
_FEWEST_POINTS = 12
# A curve that rotates by less per step is followed well enough by cubics.
_LEAST_TURN_RAD = math.radians(5.0)
# Removing a delay must reduce the usual difference of points to less than this share.
_WORTHWHILE = 0.5
# A turn this large shows in second differences too, where noise weighs a third as much.
_LARGE_TURN_RAD = math.radians(45.0)


def delay_of(frequency_hz: FloatArray, reflection: ComplexArray) -> float:
    """Delay in seconds whose removal makes the reflection markedly smoother, else 0.

    Through a long line the reflection rotates too far per step for a cubic; multiplied by
    ``exp(2 pi j f delay)`` it does not. The mean rotation is the angle of the autocorrelation at a
    lag of one point.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,)
    """
    if reflection.size < _FEWEST_POINTS:
        return 0.0
    step_hz = float(frequency_hz[-1] - frequency_hz[0]) / (frequency_hz.size - 1)
    turn_rad = float(np.angle(np.vdot(reflection[:-1], reflection[1:])))
    if abs(turn_rad) < _LEAST_TURN_RAD:
        return 0.0
    delay_s = -turn_rad / (2 * np.pi * step_hz)
    smoother = reflection * turned(frequency_hz, delay_s)
    order = 4 if abs(turn_rad) < _LARGE_TURN_RAD else 2
    left, before = (median(np.abs(np.diff(values, n=order))) for values in (smoother, reflection))
    return delay_s if left <= _WORTHWHILE * before else 0.0


def turned(frequency_hz: FloatArray, delay_s: float) -> ComplexArray:
    """The factor ``exp(2 pi j f delay)`` that removes a delay, shape (n,)."""
    factor: ComplexArray = np.exp(2j * np.pi * delay_s * frequency_hz)
    return factor
