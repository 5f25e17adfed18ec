"""Antenna Q from the slope of the impedance, taken so that noise does not make nonsense of it.

    Q(w) = w / (2 R) * sqrt(R'^2 + (X' + |X| / w)^2)

A. D. Yaghjian and S. R. Best, "Impedance, bandwidth, and Q of antennas", IEEE Trans. Antennas
Propag. 53(4), 2005, pp. 1298-1324 (formula from memory; primes are derivatives by w). It holds
near one resonance at a time.

The slope of a measured curve is not the difference of two points: that would be mostly noise. The
complex reflection (whose noise is alike at all points, unlike that of the impedance) is fitted by
least squares with a rational function of u = f/f0 - f0/f,

    G(u) = (a0 + a1 u + a2 u^2) / (1 + b u),

which a single resonant circuit of either kind follows exactly and a short piece of feed line
nearly. The window around f0 grows while the fit leaves no more than the noise; the slope at f0
follows from the coefficients. The denominator is made linear by weighting with that of the step
before (C. K. Sanathanan, J. Koerner, IEEE Trans. Autom. Control 8(1), 1963, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from core.analysis import Analysis
    from core.arrays import ComplexArray, FloatArray

_COEFFICIENTS = 4
_WEIGHTING_STEPS = 3
_HALF_WIDTHS = (4, 6, 9, 13, 18, 25, 36, 50, 70, 100, 140, 200, 280, 400, 560, 800)
# A window is too wide once the fit leaves more than the noise times this. The estimate of the
# noise itself is uncertain by about a tenth on 100 points.
_EXCESS = 1.35
_WINDOWS_TOO_WIDE = 3
# A Q whose standard error exceeds this share of it is no figure.
_WORST_RELATIVE_ERROR = 0.25


@dataclass(frozen=True, slots=True)
class LocalFit:
    """Reflection and its slope at one frequency.

    Attributes
    ----------
    reflection : complex
    slope_per_hz : complex
        d(reflection)/df.
    slope_error_per_hz : float
        Standard error of the slope (each component).
    """

    reflection: complex
    slope_per_hz: complex
    slope_error_per_hz: float


def q_at(analysis: Analysis, frequency_hz: float) -> float | None:
    """Q at a frequency by the slope of the impedance.

    Parameters
    ----------
    analysis : Analysis
    frequency_hz : float
        Within the sweep; a resonance, or the best match where there is none.

    Returns
    -------
    float or None
        None for a scalar sweep, fewer than 5 points, a resistance that is not positive, or a
        slope that is lost in the noise.
    """
    kept = analysis.q_by_frequency
    if frequency_hz not in kept:
        kept[frequency_hz] = _q_of_fit(
            local_fit(analysis, frequency_hz), frequency_hz, analysis.z0_ohm
        )
    return kept[frequency_hz]


def _q_of_fit(fit: LocalFit | None, frequency_hz: float, z0_ohm: float) -> float | None:
    if fit is None or fit.reflection == 1:
        return None
    one_minus = 1 - fit.reflection
    z_ohm = z0_ohm * (1 + fit.reflection) / one_minus
    if z_ohm.real <= 0:
        return None
    slope_factor = 2 * z0_ohm / one_minus**2
    z_slope = slope_factor * fit.slope_per_hz
    # w/(2R) |dZ/dw| has the same number with f and dZ/df: the factors 2 pi cancel.
    scale = frequency_hz / (2 * z_ohm.real)
    q = scale * float(np.hypot(z_slope.real, z_slope.imag + abs(z_ohm.imag) / frequency_hz))
    error = scale * abs(slope_factor) * fit.slope_error_per_hz
    return q if q > 0 and error <= _WORST_RELATIVE_ERROR * q else None


def local_fit(analysis: Analysis, frequency_hz: float) -> LocalFit | None:
    """Least-squares fit of the reflection around a frequency; None without phase or points."""
    if analysis.reflection is None or analysis.frequency_hz.size <= _COEFFICIENTS:
        return None
    best: LocalFit | None = None
    index = int(np.argmin(np.abs(analysis.frequency_hz - frequency_hz)))
    size = analysis.frequency_hz.size
    too_wide = 0
    for half_width in _HALF_WIDTHS:
        start, stop = max(0, index - half_width), min(size, index + half_width + 1)
        fit, residual = _fit(
            analysis.frequency_hz[start:stop], analysis.reflection[start:stop], frequency_hz
        )
        if best is None or residual <= _EXCESS * analysis.noise:
            best, too_wide = fit, 0
        else:
            too_wide += 1
        if too_wide == _WINDOWS_TOO_WIDE or (start == 0 and stop == size):
            break
    return best


def _fit(
    frequency_hz: FloatArray, reflection: ComplexArray, at_hz: float
) -> tuple[LocalFit, float]:
    u = frequency_hz / at_hz - at_hz / frequency_hz
    scale = float(np.abs(u).max())
    t = u / scale
    denominator = np.ones(t.size, dtype=np.complex128)
    for _ in range(_WEIGHTING_STEPS):
        design = np.stack([np.ones(t.size), t, t**2, -t * reflection], axis=1)
        weighted = design / denominator[:, None]
        a0, a1, a2, b = np.linalg.lstsq(weighted, reflection / denominator, rcond=None)[0]
        denominator = 1 + b * t
    left = reflection - (a0 + a1 * t + a2 * t**2) / denominator
    freedom = max(1, t.size - _COEFFICIENTS)
    residual = float(np.sqrt((np.abs(left) ** 2).sum() / (2 * freedom)))
    slope = a1 - a0 * b
    # dG/dt at t = 0 moves by da1 - a0 db when the coefficients move; du/df = 2 / f0 there.
    covariance = np.linalg.pinv(weighted.conj().T @ weighted)
    gradient = np.array([-b, 1, 0, -a0])
    variance = float((gradient @ covariance @ gradient.conj()).real)
    per_hz = 2 / (at_hz * scale)
    error = residual * float(np.sqrt(max(variance, 0.0))) * per_hz
    return LocalFit(complex(a0), complex(slope) * per_hz, error), residual
