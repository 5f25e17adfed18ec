"""A resonance and the line in front of it, separated by one fit of both.

The phase of a reflection turns with the line and with the resonance behind it, so that its plain
slope overstates the line. Here the reflection is taken as

    G(f) = exp(-2 pi j f tau) (a0 + a1 t) / (1 + b t),   t = (f/f0 - f0/f) / scale:

any single resonance, behind any constant loss, behind a delay. For each delay the rest is a
linear fit, repeated with the weights of the step before (C. K. Sanathanan, J. Koerner, IEEE Trans.
Autom. Control 8(1), 1963, from memory); the delay with the smallest residual wins, and how fast the
residual grows on both sides says how well it is known. Far from the resonance |G| tends to
|a1 / b|: what is left of total reflection after the line's loss.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.interpolation.delay import turned

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

# More points add nothing; averages of neighbours are as good.
_MOST_POINTS = 96
FEWEST_POINTS = 16
# Half widths on either side of the dip; then the whole sweep.
_REACHES = (3.0, 1.5)
# Around the mean turn, in turns over the window: the resonance takes up to one of them.
_FROM_TURNS, _TO_TURNS = -1.4, 0.5
# Delays tried in each scan, and by how much a scan is narrower than the one before.
_DELAYS = (24, 9, 9)
_NARROWER = (12.0, 4.0)
_WEIGHTING_STEPS = 2
_LEAST_DENOMINATOR = 1e-3
# Real antennas and analyzers differ from one resonance and one line by about this, as |G|.
MODEL_ERROR = 0.004
_EXCESS = 1.5
_ROUNDING = 1e-9
_LEAST_BEND = 1e-300
# A pole beyond the window's ends says nothing about |G| far from the resonance.
_LEAST_POLE = 1.0


@dataclass(frozen=True, slots=True)
class LineFit:
    """The result of the fit.

    Attributes
    ----------
    delay_s : float
        There and back; can be negative.
    delay_error_s : float
        Standard error; infinite if the minimum is at an end of the range that was tried.
    mean_turn_s : float
        The delay that the plain slope of the phase would give.
    far_magnitude : float
        |G| far from the resonance; NaN if the window covers too little of one.
    centre_hz : float
    evidence : float
        How many standard deviations worse the fit is without any delay.
    residual : float
        Standard deviation of each component of the residual.
    is_good : bool
        Whether the residual is no more than the noise and 0.004.
    """

    delay_s: float
    delay_error_s: float
    mean_turn_s: float
    far_magnitude: float
    centre_hz: float
    evidence: float
    residual: float
    is_good: bool


def fit_line(frequency_hz: FloatArray, reflection: ComplexArray, noise: float) -> LineFit | None:
    """Separate a line and a resonance, around the deepest dip.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,)
    noise : float
        Standard deviation of each component.

    Returns
    -------
    LineFit or None
        None with fewer than 16 points. Not good if nothing fits.
    """
    best = None
    for window in _windows(reflection):
        found = _fit(frequency_hz[window], reflection[window], noise)
        if best is None or found.is_good:
            best = found
        if best.is_good:
            break
    return best


def _windows(reflection: ComplexArray) -> list[slice]:
    """Windows around the dip, the wider one first."""
    size = reflection.size
    power = reflection.real**2 + reflection.imag**2
    index = int(power.argmin())
    outside = np.flatnonzero(power > (float(power[index]) + float(power.max())) / 2)
    place = int(outside.searchsorted(index))
    ends = [int(outside[place - 1])] if place > 0 else []
    ends += [int(outside[place])] if place < outside.size else []
    half = max(abs(end - index) for end in ends) if ends else size
    found: list[slice] = []
    for reach in _REACHES:
        window = slice(max(0, index - round(reach * half)), index + round(reach * half) + 1)
        window = slice(window.start, min(window.stop, size))
        if window.stop - window.start >= FEWEST_POINTS and window not in found:
            found.append(window)
    return found


def _fit(frequency_hz: FloatArray, reflection: ComplexArray, noise: float) -> LineFit:
    step_hz = float(frequency_hz[-1] - frequency_hz[0]) / (frequency_hz.size - 1)
    turn_rad = float(np.angle(np.vdot(reflection[:-1], reflection[1:])))
    mean_turn_s = -turn_rad / (2 * math.pi * step_hz)
    stride = -(-frequency_hz.size // _MOST_POINTS)
    count = frequency_hz.size // stride
    used = slice(0, count * stride)
    straight: ComplexArray = reflection[used] * turned(frequency_hz[used], mean_turn_s)
    at_hz: FloatArray = frequency_hz[used].reshape(count, stride).mean(axis=1)
    curve: ComplexArray = straight.reshape(count, stride).mean(axis=1)
    noise /= math.sqrt(stride)
    span_hz = float(at_hz[-1] - at_hz[0])
    centre_hz = math.sqrt(float(at_hz[0] * at_hz[-1]))
    u = at_hz / centre_hz - centre_hz / at_hz
    t: FloatArray = u / float(np.abs(u).max())
    width_s = (_TO_TURNS - _FROM_TURNS) / span_hz
    best_s = (_TO_TURNS + _FROM_TURNS) / 2 / span_hz
    for delays, narrower in zip(_DELAYS, (1.0, *_NARROWER), strict=True):
        width_s /= narrower
        delay_s = best_s + width_s * np.linspace(-0.5, 0.5, delays)
        without = curve * np.exp(2j * math.pi * delay_s[:, None] * (at_hz - centre_hz))
        solved, rest = _circuits(t, without)
        least = int(rest.argmin())
        best_s = float(delay_s[least])
    residual = math.sqrt(float(rest[least]) / max(2 * count - 7, 1))
    error_s = math.inf
    if 0 < least < delay_s.size - 1:
        # A parabola through the minimum and both ends of the last scan, whose steps only differ
        # by rounding.
        below, above = (float(rest[end] - rest[least]) for end in (0, -1))
        low_s, high_s = float(delay_s[0]) - best_s, float(delay_s[-1]) - best_s
        bend = max((above / high_s - below / low_s) / (high_s - low_s), _LEAST_BEND)
        error_s = max(residual, noise) / math.sqrt(bend)
        best_s -= (below / low_s - bend * low_s) / (2 * bend)
    no_delay = np.exp(-2j * math.pi * mean_turn_s * (at_hz - centre_hz))
    more = float(_circuits(t, (curve * no_delay)[None])[1][0]) - float(rest[least])
    pole = abs(complex(solved[least, 2]))
    return LineFit(
        delay_s=mean_turn_s + best_s,
        delay_error_s=error_s,
        mean_turn_s=mean_turn_s,
        far_magnitude=abs(complex(solved[least, 1])) / pole if pole > _LEAST_POLE else math.nan,
        centre_hz=centre_hz,
        evidence=math.sqrt(max(more, 0.0)) / max(residual, noise, _ROUNDING),
        residual=residual,
        is_good=residual <= math.hypot(_EXCESS * noise, MODEL_ERROR),
    )


def _circuits(t: FloatArray, curve: ComplexArray) -> tuple[ComplexArray, FloatArray]:
    """The best a0, a1, b for each delay, shape (d, 3), and the residual sum of squares, (d,).

    ``curve`` has the delay taken out, shape (d, n).
    """
    design = np.stack([np.ones_like(curve), np.broadcast_to(t, curve.shape), -t * curve], axis=1)
    target, weighted = curve, design
    for step in range(_WEIGHTING_STEPS + 1):
        normal = np.matmul(weighted.conj(), weighted.transpose(0, 2, 1))
        # A constant reflection does not determine the pole: the smallest one is taken.
        normal += 1e-12 * float(t.size) * np.eye(3)
        right = np.matmul(weighted.conj(), target[:, :, None])
        solved: ComplexArray = np.linalg.solve(normal, right)[:, :, 0].astype(np.complex128)
        denominator = 1 + solved[:, 2:3] * t
        denominator[np.abs(denominator) < _LEAST_DENOMINATOR] = _LEAST_DENOMINATOR
        if step < _WEIGHTING_STEPS:
            weighted, target = design / denominator[:, None, :], curve / denominator
    left: ComplexArray = curve - (solved[:, 0:1] + solved[:, 1:2] * t) / denominator
    rest: FloatArray = (left.real**2 + left.imag**2).sum(axis=1)
    return solved, rest
