"""Antenna Q from the slope of the impedance, estimated so that noise does not ruin it.

    Q(w) = w / (2 R) * sqrt(R'^2 + (X' + |X| / w)^2)

A. D. Yaghjian and S. R. Best, "Impedance, bandwidth, and Q of antennas", IEEE Trans. Antennas
Propag. 53(4), 2005, pp. 1298-1324 (formula from memory; primes are derivatives with respect to w).
It holds near one resonance at a time. The slope comes from
`fairlead.core.analysis.interpolation.rational`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.analysis import at_first
from fairlead.core.analysis.interpolation.delay import turned
from fairlead.core.analysis.interpolation.rational import FEWEST_POINTS, fit_around
from fairlead.core.reflection import UNITY_TOLERANCE

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis

# A Q with a larger relative standard error is not reported.
_WORST_RELATIVE_ERROR = 0.25
# A resistor has no slope; a smaller Q is rounding.
_LEAST_Q = 1e-3
# Dragging a band edge must not fill the memory.
_KEPT = 16


def q_at(analysis: Analysis, frequency_hz: float) -> float | None:
    """Q at a frequency, from the slope of the impedance.

    Parameters
    ----------
    analysis : Analysis
    frequency_hz : float
        Within the sweep; a resonance, or the best match where there is none.

    Returns
    -------
    float or None
        None for a scalar sweep, fewer than 5 points, a resistance that is not positive, no slope
        (a resistor), or a slope or resistance lost in the noise.
    """
    kept = analysis.q_by_frequency
    if frequency_hz not in kept:
        if len(kept) >= _KEPT:
            kept.clear()
        if analysis.moved_from is None:
            kept[frequency_hz] = _find_q(analysis, frequency_hz)
        else:
            first, factor = analysis.moved_from
            kept[frequency_hz] = q_at(first, at_first(frequency_hz, factor))
    return kept[frequency_hz]


def _find_q(analysis: Analysis, frequency_hz: float) -> float | None:
    track = analysis.track
    if track.smooth is None or track.smooth.size < FEWEST_POINTS:
        return None
    fit = fit_around(track.frequency_hz, track.smooth, analysis.sigma, frequency_hz)
    # The delay of a long line was removed from the fitted curve; put it back.
    back = complex(turned(np.array([frequency_hz]), -track.delay_s)[0])
    gamma = fit.a0 * back
    slope_per_hz = (fit.slope_per_hz - 2j * math.pi * track.delay_s * fit.a0) * back
    passed = 1 - abs(gamma) ** 2
    if passed <= UNITY_TOLERANCE:
        return None
    z_ohm = analysis.z0_ohm * (1 + gamma) / (1 - gamma)
    ohm_per_unit = 2 * analysis.z0_ohm / (1 - gamma) ** 2
    z_slope = ohm_per_unit * slope_per_hz
    # w/(2R) |dZ/dw| has the same number with f and dZ/df: the factors 2 pi cancel.
    scale = frequency_hz / (2 * z_ohm.real)
    q = scale * math.hypot(z_slope.real, z_slope.imag + abs(z_ohm.imag) / frequency_hz)
    if q < _LEAST_Q:
        return None
    value_error, slope_error_per_hz = fit.errors()
    # Both errors propagate through R = z0 (1 - |G|^2) / |1 - G|^2 and dZ/dG = 2 z0 / (1 - G)^2.
    relative_error = math.hypot(
        scale * abs(ohm_per_unit) * slope_error_per_hz / q,
        2 * value_error * (abs(gamma) / passed + 1 / abs(1 - gamma)),
    )
    return q if relative_error <= _WORST_RELATIVE_ERROR else None
