"""Rounded readings: SWR to 0.01 or return loss to 0.1 dB make a plateau, not a dip.

The best match may be anywhere on the plateau. For one resonance behind any lossless match,

    1 / (1 - |G|^2) = (1 + r)^2 / (4 r) + (r Q^2 / 4) u^2,   u = f / f0 - f0 / f

for a series circuit of resistance r z0, and a parabola in u behind any other match too, because the
power that passes is that of one resonance. So a parabola through all points with an SWR below 1.6
times the least locates the dip, even with only three readings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import UNITY_TOLERANCE, return_loss_db, swr

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

# Steps to which meters and people round: SWR, and return loss in dB.
_SWR_STEPS = (0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)
_LOSS_STEPS_DB = (1.0, 0.5, 0.1, 0.05, 0.01)
# A value is rounded if it deviates from a multiple of the step by less than this share.
_ROUND = 1e-6
# Above this SWR meters show fewer digits; only the bottom of the dip matters.
_LOOKED_AT = 10.0
_UNDER = 1.6
_FEWEST = 3
MOST_TYPED = 6
"""Up to this many readings, typed from a meter, describe one dip, and all are used."""
TESTED = 4
"""With at least this many readings a misfit would show, so the parabola is used between them."""
# Largest residual at a point, in rounding steps; half a step is the rounding itself.
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
    """The rounding visible in the digits of |G|, shape (n,); None if there is none."""
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


@dataclass(frozen=True, slots=True)
class Parabola:
    """1 / (1 - |G|^2) = c0 + c1 u + c2 u^2 around a frequency.

    Attributes
    ----------
    at_hz : float
        Where u is 0.
    c0, c1, c2 : float
    misfit : float
        Largest residual of a point, in rounding steps; half a step is the rounding itself.
    """

    at_hz: float
    c0: float
    c1: float
    c2: float
    misfit: float = 0.0

    @property
    def bottom(self) -> tuple[float, float]:
        """Frequency in Hz and |G|^2 of the least |G|."""
        return self._hz(-self.c1 / (2 * self.c2)), max(0.0, 1 - 1 / self._least)

    def power(self, frequency_hz: FloatArray) -> FloatArray:
        """|G|^2, shape (n,)."""
        u = frequency_hz / self.at_hz - self.at_hz / frequency_hz
        result: FloatArray = 1 - 1 / np.maximum(self.c0 + self.c1 * u + self.c2 * u**2, 1.0)
        return result

    def ends_hz(self, magnitude: float) -> tuple[float, float] | None:
        """Where |G| has this value, below and above the bottom; None if it is nowhere less."""
        above = (1 / (1 - magnitude**2) - self._least) / self.c2
        if above <= 0:
            return None
        middle, half = -self.c1 / (2 * self.c2), math.sqrt(above)
        return self._hz(middle - half), self._hz(middle + half)

    @property
    def _least(self) -> float:
        return self.c0 - self.c1**2 / (4 * self.c2)

    def _hz(self, u: float) -> float:
        return self.at_hz * (u / 2 + math.hypot(1, u / 2))


def fit_parabola(
    frequency_hz: FloatArray, magnitude: FloatArray, rounding: Rounding, at_hz: float
) -> Parabola | None:
    """The parabola through points of a dip.

    Parameters
    ----------
    frequency_hz, magnitude : FloatArray, shape (n,), n >= 3
    rounding : Rounding
    at_hz : float
        One of the points around the bottom.

    Returns
    -------
    Parabola or None
        None if a point is a total reflection, or if the points are level within the rounding and
        have no bottom.
    """
    u = frequency_hz / at_hz - at_hz / frequency_hz
    scale = float(np.abs(u).max())
    passed = 1 - magnitude**2
    if passed.min() <= UNITY_TOLERANCE or not math.isfinite(scale):
        return None
    # Effect of rounding on each value, to second order, because at |G| = 0 the first order is zero.
    off = rounding.magnitude_step(magnitude)
    step = np.maximum((2 * magnitude * off + off**2) / passed**2, UNITY_TOLERANCE)
    design = np.stack([np.ones(u.size), u / scale, (u / scale) ** 2], axis=1) / step[:, None]
    found = np.linalg.lstsq(design, 1 / passed / step, rcond=None)[0]
    c0, c1, c2 = found.tolist()
    # A complete plateau has no bottom.
    if c2 <= step.max():
        return None
    misfit = float(np.abs(1 / passed / step - design @ found).max())
    return Parabola(at_hz, c0, c1 / scale, c2 / scale**2, misfit)


def dip_parabola(
    frequency_hz: FloatArray, magnitude: FloatArray, rounding: Rounding, at_hz: float
) -> Parabola | None:
    """The parabola of the dip at a frequency, if there is one.

    Parameters
    ----------
    frequency_hz, magnitude : FloatArray, shape (n,), n >= 3
    rounding : Rounding
    at_hz : float
        The lowest point, or one on its plateau.

    Returns
    -------
    Parabola or None
        None if the points around it do not lie on a parabola within the rounding, or if its bottom
        is not among them.
    """
    points = _dip_around(frequency_hz, magnitude, at_hz)
    part_hz = frequency_hz[points]
    found = fit_parabola(part_hz, magnitude[points], rounding, at_hz)
    if found is None or found.misfit > _MOST_STEPS:
        return None
    return found if part_hz[0] < found.bottom[0] < part_hz[-1] else None


def fit_dip(
    frequency_hz: FloatArray, magnitude: FloatArray, rounding: Rounding, at_hz: float
) -> tuple[float, float] | None:
    """Frequency in Hz and |G|^2 of the bottom of `dip_parabola`."""
    found = dip_parabola(frequency_hz, magnitude, rounding, at_hz)
    return None if found is None else found.bottom


def _dip_around(frequency_hz: FloatArray, magnitude: FloatArray, at_hz: float) -> slice:
    """The points around a frequency with less than 1.6 times its SWR, and no fewer than four.

    Of a few readings, all. A narrow dip of few points has hardly two below 1.6 times, and a cubic
    in |G|^2 through those around it is off by 0.05 of |G| at the bottom.
    """
    if magnitude.size <= MOST_TYPED:
        return slice(0, magnitude.size)
    nearest = int(np.abs(frequency_hz - at_hz).argmin())
    rho = float(magnitude[nearest])
    most = _UNDER * (1 + rho) / max(1 - rho, UNITY_TOLERANCE)
    outside = np.flatnonzero(magnitude > (most - 1) / (most + 1))
    after = int(outside.searchsorted(nearest))
    start = int(outside[after - 1]) + 1 if after > 0 else 0
    stop = int(outside[after]) if after < outside.size else magnitude.size
    if stop - start >= TESTED:
        return slice(start, stop)
    first = max(0, nearest - int(frequency_hz[nearest] > at_hz) - 1)
    # At the last points of a sweep too, or a parabola would go through two.
    first = min(first, magnitude.size - TESTED)
    return slice(first, first + TESTED)
