"""The bottom of a dip of a traced sweep, by a parabola through many points around it.

Near one resonance behind any lossless match, 1 / (1 - |G|^2) is a parabola in f/f0 - f0/f (derived
in `fairlead.core.uncertainty.rounded`). The window is the widest in which the parabola leaves no
more than the uncertainty of the points. That their errors are alike over a few neighbours does not
move the fit, but its points then count as fewer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.traced import Traced

_UNDER = 1.6
_SHORTER = 0.75
_FEWEST = 12
_MOST_MISFIT = 0.8
# Error that all points on one side of a dip may share, as a share of their uncertainty.
_LEAN = 1.0
_LARGEST_POWER = 0.98
_LEAST_SIGMA = 1e-6


@dataclass(frozen=True, slots=True)
class TracedDip:
    """The bottom.

    Attributes
    ----------
    hz, power : float
        Frequency and |G|^2 of the bottom.
    sigma_hz : float
        Standard uncertainty of the frequency, that of the axis not included.
    """

    hz: float
    power: float
    sigma_hz: float


def traced_dip(
    frequency_hz: FloatArray, power: FloatArray, traced: Traced, at_hz: float
) -> TracedDip | None:
    """The bottom of the dip at a frequency; None if no window around it has a bottom.

    Parameters
    ----------
    frequency_hz, power : FloatArray, shape (n,)
    traced : Traced
    at_hz : float
        Of the lowest point.
    """
    rho: FloatArray = np.sqrt(power)
    middle = int(np.abs(frequency_hz - at_hz).argmin())
    ratio = (1 + rho) / np.maximum(1 - rho, 1e-3)
    is_out = (ratio > _UNDER * ratio[middle]) | (power > _LARGEST_POWER)
    # Nothing is fitted across a place where the curve was lost.
    lost = traced.is_lost
    left, right = middle, middle
    while left > 0 and not is_out[left - 1] and not lost[left - 1]:
        left -= 1
    while right < rho.size - 1 and not is_out[right + 1] and not lost[right]:
        right += 1
    reach_hz = float(max(frequency_hz[right] - at_hz, at_hz - frequency_hz[left]))
    while True:
        inside = slice(
            max(left, int(frequency_hz.searchsorted(at_hz - reach_hz))),
            min(right + 1, int(frequency_hz.searchsorted(at_hz + reach_hz, side="right"))),
        )
        if inside.stop - inside.start < _FEWEST:
            return None
        found = _fit(frequency_hz[inside], rho[inside], traced.sigma[inside], at_hz, traced)
        if found is not None:
            return found
        reach_hz *= _SHORTER


def _fit(
    frequency_hz: FloatArray, rho: FloatArray, sigma: FloatArray, at_hz: float, traced: Traced
) -> TracedDip | None:
    """The parabola through a window; None if it leaves too much, or has its bottom outside."""
    u = frequency_hz / at_hz - at_hz / frequency_hz
    scale = float(np.abs(u).max())
    passed = 1 - rho**2
    weight = 1 / np.maximum((2 * rho * sigma + sigma**2) / passed**2, _LEAST_SIGMA)
    design = np.stack([np.ones(u.size), u / scale, (u / scale) ** 2], axis=1) * weight[:, None]
    values = weight / passed
    (c0, c1, c2), *_ = np.linalg.lstsq(design, values, rcond=None)
    left = values - design @ np.array([c0, c1, c2])
    if c2 <= 0 or float(np.sqrt((left**2).mean())) > _MOST_MISFIT:
        return None
    bottom = -c1 / (2 * c2) * scale
    if not u[0] < bottom < u[-1]:
        return None
    slope = np.array([0.0, -1 / (2 * c2), c1 / (2 * c2**2)]) * scale
    inverse = np.linalg.pinv(design)
    by_points = float(((slope @ inverse) ** 2).sum()) * traced.alike_points
    # What hangs over one side only: a leaning axis, another curve that touches the line there.
    by_lean = float(slope @ inverse @ (_LEAN * np.sign(u)))
    sigma_u = math.sqrt(by_points + by_lean**2)
    least = max(1.0, float(c0 - c1**2 / (4 * c2)))
    return TracedDip(
        at_hz * float(bottom / 2 + math.hypot(1, bottom / 2)), 1 - 1 / least, sigma_u * at_hz / 2
    )
