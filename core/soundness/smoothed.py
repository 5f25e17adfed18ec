"""The curve as averages of neighbouring points, so that its bends stand out from the noise."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.soundness.facts import Facts

_POINTS = 200
# A mean over more of a turn would shorten the curve.
_MOST_TURN_RAD = 0.5


def smoothed(facts: Facts, reflection: ComplexArray) -> tuple[FloatArray, ComplexArray, float]:
    """At most about 200 means of neighbours.

    Returns
    -------
    tuple
        Frequencies in Hz and reflection, shape (k,), and the noise that is left.
    """
    stride = max(1, reflection.size // _POINTS)
    if stride > 1:
        turn_rad = float(
            np.sort(np.abs(np.angle(reflection[1:] * reflection[:-1].conj())))[-stride]
        )
        stride = max(1, min(stride, int(_MOST_TURN_RAD / max(turn_rad, 1e-9))))
    count = reflection.size // stride
    used = slice(0, count * stride)
    means = (
        values[used].reshape(count, stride).mean(axis=1)
        for values in (facts.frequency_hz, reflection)
    )
    at_hz, curve = means
    return at_hz, curve, facts.noise / math.sqrt(stride)
