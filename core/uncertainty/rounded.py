"""Rounded readings: SWR to 0.01 or return loss to 0.1 dB make a plateau, not a dip.

The best match lies anywhere on the plateau. For one resonance behind any lossless match,

    1 / (1 - |G|^2) = (1 + r)^2 / (4 r) + (r Q^2 / 4) u^2,   u = f / f0 - f0 / f

in a series circuit of resistance r z0, and a parabola in u behind any other match as well: the
power that passes is that of one resonance. So the parabola through all points with an SWR under 1.6
times the least tells where the dip lies, and from three readings on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import UNITY_TOLERANCE, return_loss_db, swr

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

# Steps that meters and people round to: SWR in parts, return loss in dB.
_SWR_STEPS = (0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)
_LOSS_STEPS_DB = (1.0, 0.5, 0.1, 0.05, 0.01)
# A value is a round one if it misses it by less than this share of the step.
_ROUND = 1e-6
# Above this SWR meters show fewer digits; the bottom of the dip counts.
_LOOKED_AT = 10.0
_UNDER = 1.6
_FEWEST = 3
MOST_TYPED = 6
"""Up to this many readings, typed from a meter, are one dip: all are used."""
# The fit may leave so many steps of the rounding at a point: half a step is the rounding itself.
_MOST_STEPS = 1.5


@dataclass(frozen=True, slots=True)
class Rounding:
    """What the values were rounded to.

    Attributes
    ----------
    step : float
        Of the SWR, or of the return loss in dB.
    is_swr : bool
    """

    step: float
    is_swr: bool

    def magnitude_step(self, magnitude: FloatArray) -> FloatArray:
        """The step as one of |G|, shape (n,): d|G| = (1 - |G|)^2 / 2 ds, or 0.115 |G| dRL."""
        if self.is_swr:
            return self.step * (1 - magnitude) ** 2 / 2
        return self.step * magnitude * math.log(10) / 20


def rounding_of(magnitude: FloatArray) -> Rounding | None:
    """The rounding that |G|, shape (n,), bears in its digits; None if there is none."""
    part = magnitude[(magnitude > 0) & (magnitude < (_LOOKED_AT - 1) / (_LOOKED_AT + 1))]
    if part.size < _FEWEST:
        return None
    for values, steps, is_swr in (
        (swr(part), _SWR_STEPS, True),
        (return_loss_db(part), _LOSS_STEPS_DB, False),
    ):
        for step in steps:
            whole = values / step
            if np.abs(whole - np.rint(whole)).max() <= _ROUND:
                return Rounding(step, is_swr)
    return None


def fit_dip(
    frequency_hz: FloatArray, magnitude: FloatArray, rounding: Rounding, at_hz: float
) -> tuple[float, float] | None:
    """The bottom of a dip by the parabola through its points.

    Parameters
    ----------
    frequency_hz, magnitude : FloatArray, shape (n,)
    rounding : Rounding
    at_hz : float
        The lowest point, or one on its plateau.

    Returns
    -------
    tuple of float or None
        Frequency in Hz and |G|^2; None if fewer than three points lie under 1.6 times the least
        SWR around it, if they are no parabola within the rounding, or if it has no bottom among
        them.
    """
    points = _dip_around(frequency_hz, magnitude, at_hz)
    if points.stop - points.start < _FEWEST:
        return None
    part_hz, rho = frequency_hz[points], magnitude[points]
    u = part_hz / at_hz - at_hz / part_hz
    scale = float(np.abs(u).max())
    passed = 1 - rho**2
    if passed.min() <= UNITY_TOLERANCE or not math.isfinite(scale):
        return None
    # What the rounding makes of each value, to the second order: at |G| = 0 the first is nothing.
    off = rounding.magnitude_step(rho)
    step = np.maximum((2 * rho * off + off**2) / passed**2, UNITY_TOLERANCE)
    design = np.stack([np.ones(u.size), u / scale, (u / scale) ** 2], axis=1) / step[:, None]
    c0, c1, c2 = np.linalg.lstsq(design, 1 / passed / step, rcond=None)[0].tolist()
    left = np.abs(1 / passed / step - design @ np.array([c0, c1, c2])).max()
    # A plateau all along has no bottom.
    if c2 <= step.max() or left > _MOST_STEPS:
        return None
    half_u = -c1 / (2 * c2) * scale / 2
    found_hz = at_hz * (half_u + math.hypot(1, half_u))
    least = c0 - c1**2 / (4 * c2)
    if not part_hz[0] < found_hz < part_hz[-1]:
        return None
    return float(found_hz), max(0.0, 1 - 1 / least)


def _dip_around(frequency_hz: FloatArray, magnitude: FloatArray, at_hz: float) -> slice:
    """The points around a place under 1.6 times its SWR; of a few readings all."""
    if magnitude.size <= MOST_TYPED:
        return slice(0, magnitude.size)
    nearest = int(np.abs(frequency_hz - at_hz).argmin())
    rho = float(magnitude[nearest])
    most = _UNDER * (1 + rho) / max(1 - rho, UNITY_TOLERANCE)
    outside = np.flatnonzero(magnitude > (most - 1) / (most + 1))
    after = int(outside.searchsorted(nearest))
    start = int(outside[after - 1]) + 1 if after > 0 else 0
    stop = int(outside[after]) if after < outside.size else magnitude.size
    return slice(start, stop)
