"""Resonances of a sweep: where its reactance crosses zero."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.interpolation.roots import (
    RELATIVE_TOLERANCE,
    grouped_changes,
    roots_between,
)
from fairlead.core.reflection import impedance_ohm
from fairlead.core.uncertainty.noise import NOISE_SIGMAS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fairlead.core.analysis.interpolation.track import Track
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

# The error that a careful calibration leaves: -40 dB (common practice, no source). A curve that
# changes by less is flat, and a reactance that crosses zero by less does not count as crossing.
ANALYZER_ERROR = 0.01
# The error that a plain calibration leaves, -30 dB: a short or an open may read above |G| = 1 by no
# more than this (common practice, no source).
_CALIBRATED = 10 ** (-30 / 20)
# |Im G| below this is rounding.
_ROUNDING = 1e-9
# G this near to 1 is an open circuit (100 megohm at 50 ohm).
_OPEN = 1e-6
# The scatter of points about a line may exceed the noise by this share over the root of its degrees
# of freedom, which that of a line in noise hardly ever does.
_OFF_LINE = 2.5


@dataclass(frozen=True, slots=True)
class Resonance:
    """Where the reactance crosses zero.

    Attributes
    ----------
    frequency_hz : float
    resistance_ohm : float
        Resistance at resonance, at least 0; large at a parallel resonance, and infinite at an open
        where |reflection| exceeds 1 by no more than a calibration leaves. A lossless parallel
        resonance is left out, and so is one where |reflection| is further above 1.
    """

    frequency_hz: float
    resistance_ohm: float


def find_resonances(
    track: Track, reflection: ComplexArray, is_phase_known: BoolArray, sigma: float, z0_ohm: float
) -> tuple[Resonance, ...]:
    """Every resonance over the whole sweep, in rising order.

    Parameters
    ----------
    track : Track
    reflection : ComplexArray, shape (n,)
        At the points of the track, at ``z0_ohm``.
    is_phase_known : BoolArray, shape (n - 1,)
        Intervals of the track across which the phase can be followed.
    sigma : float
        Noise of each component of the reflection.
    z0_ohm : float
    """
    # X = 2 z0 Im G / |1 - G|^2, so X and Im G cross zero together; the noise of Im G is uniform.
    imag: FloatArray = np.ascontiguousarray(reflection.imag)
    margin = NOISE_SIGMAS * sigma
    is_certain = np.abs(imag) > max(margin, _ROUNDING)
    is_known = is_phase_known & ~track.is_straight
    frequency_hz = _crossings_hz(track, imag, is_certain, is_known, sigma)
    frequency_hz = frequency_hz[_goes_through(track.frequency_hz, imag, margin, frequency_hz)]
    gamma = track.reflection_at(frequency_hz).real
    # At an open (a lossless parallel resonance) the resistance is infinite. Where more power
    # comes back than was sent there is no resistance; if the excess is within the noise or a plain
    # calibration, it is 0 ohm at a short and infinite at an open.
    beyond = max(margin, _CALIBRATED)
    exists = (np.abs(1 - gamma) > _OPEN) & (np.abs(gamma) <= 1 + beyond)
    resistance_ohm = impedance_ohm(gamma[exists], z0_ohm).real
    resistance_ohm[gamma[exists] > 1] = np.inf
    return tuple(
        Resonance(hz, max(ohm, 0.0))
        for hz, ohm in zip(frequency_hz[exists].tolist(), resistance_ohm.tolist(), strict=True)
    )


def _goes_through(
    frequency_hz: FloatArray, imag: FloatArray, margin: float, crossing_hz: FloatArray
) -> BoolArray:
    """Which crossings go from one side of zero to the other by more than an analyzer's error."""
    clear = np.flatnonzero(np.abs(imag) > max(ANALYZER_ERROR, margin))
    after = frequency_hz[clear].searchsorted(crossing_hz)
    has_both = (after > 0) & (after < clear.size)
    if not has_both.any():
        return has_both
    is_up = imag[clear] > 0
    last = clear.size - 1
    crosses: BoolArray = is_up[np.clip(after - 1, 0, last)] != is_up[np.clip(after, 0, last)]
    return has_both & crosses


def hidden_resonances(
    track: Track, is_phase_known: BoolArray, sigma: float
) -> tuple[tuple[float, float], ...]:
    """Where the reactance changes sign, but noise hides where and how often.

    Parameters
    ----------
    track : Track
        Not of a scalar sweep.
    is_phase_known : BoolArray, shape (n - 1,)
    sigma : float
        Noise of each component of the reflection.

    Returns
    -------
    tuple of (low_hz, high_hz)
        In rising order; no resonance is found there.
    """
    frequency_hz = track.frequency_hz
    imag: FloatArray = np.ascontiguousarray(track.reflection_at(frequency_hz).imag)
    is_certain = np.abs(imag) > max(NOISE_SIGMAS * sigma, _ROUNDING)
    is_known = is_phase_known & ~track.is_straight
    return tuple(
        (float(frequency_hz[part.start]), float(frequency_hz[part.stop]))
        for group, part in _real_changes(imag, is_certain, is_known)
        if group.size > 1 and _zero_of_group(frequency_hz, imag, group, part, sigma) is None
    )


def _real_changes(
    imag: FloatArray, is_certain: BoolArray, is_known: BoolArray
) -> Iterator[tuple[IntArray, slice]]:
    """Groups of changes of sign that are one real change, and the intervals they may lie in."""
    certain = np.flatnonzero(is_certain)
    for group in grouped_changes(imag > 0, is_certain):
        before = int(certain.searchsorted(group[0], side="right")) - 1
        # Noise alone makes an even number of changes, or changes with no certain point beside them.
        if group.size % 2 == 0 or not 0 <= before < certain.size - 1:
            continue
        part = slice(int(certain[before]), int(certain[before + 1]))
        # Elsewhere the curve between some of these points is unknown, and so is the crossing.
        if is_known[part].all():
            yield group, part


def _zero_of_group(
    frequency_hz: FloatArray, imag: FloatArray, group: IntArray, part: slice, sigma: float
) -> float | None:
    """The zero of a straight line through all points lost in the noise, if they lie on one.

    Else through those from the first change of sign to the last; None if they do not either.
    """
    for near in (part, slice(int(group[0]), int(group[-1]) + 1)):
        points = slice(near.start, near.stop + 1)
        zero_hz = _zero_of_line(frequency_hz[points], imag[points], max(sigma, _ROUNDING))
        if zero_hz is not None:
            return zero_hz
    return None


def _crossings_hz(
    track: Track, imag: FloatArray, is_certain: BoolArray, is_known: BoolArray, sigma: float
) -> FloatArray:
    """Where Im G crosses zero, between points whose sign is certain; in rising order."""
    frequency_hz = track.frequency_hz
    between, on_lines = [], []
    for group, part in _real_changes(imag, is_certain, is_known):
        if group.size > 1:
            zero_hz = _zero_of_group(frequency_hz, imag, group, part, sigma)
            if zero_hz is not None:
                on_lines.append(zero_hz)
        else:
            between.append(int(group[0]))
    left = np.array(between, dtype=np.intp)
    roots_hz = roots_between(
        lambda at_hz: track.reflection_at(at_hz).imag,
        frequency_hz[left],
        frequency_hz[left + 1],
        RELATIVE_TOLERANCE * float(frequency_hz[-1]),
    )
    return np.sort(np.concatenate((roots_hz, on_lines)))


def _zero_of_line(frequency_hz: FloatArray, values: FloatArray, sigma: float) -> float | None:
    """Where the least-squares line through some points is zero, limited to their range.

    None if the points are no line within the noise: a curve may swing to and fro without ever
    leaving the noise far enough to be certain.
    """
    centre_hz = float(frequency_hz.mean())
    part = frequency_hz - centre_hz
    slope, offset = float((part * values).sum() / (part**2).sum()), float(values.mean())
    freedom = values.size - 2
    left = values - offset - slope * part
    if (left**2).sum() > freedom * (sigma * (1 + _OFF_LINE / math.sqrt(freedom))) ** 2:
        return None
    root_hz = centre_hz - (offset / slope if slope != 0 else 0.0)
    return min(max(root_hz, float(frequency_hz[0])), float(frequency_hz[-1]))
