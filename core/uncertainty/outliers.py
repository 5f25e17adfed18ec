"""Outliers: one or two points thrown off the curve by a carrier or a spur, with calm on both sides.

A single point that is off a smooth curve by a adds a * (1, -4, 6, -4, 1) to the fourth differences
and nothing else. A steep true resonance adds more, because its skirts extend beyond its points. So
a point counts as an outlier only if, with that pattern subtracted, no more than noise remains.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

_PATTERN = (1.0, -4.0, 6.0, -4.0, 1.0)
_OWN = 70.0  # the pattern's squares
_SHIFTED = -56.0  # the pattern times itself, one point on
# Least deviation in standard deviations; carriers in real files deviate by 20 to 45.
_OFF_SIGMAS = 8.0
# Standard deviation of a found from white noise, for one point and for each of two.
_GAIN = (1.3, 2.2)
# Fourth differences of any such point or pair exceed this many times the deviation.
_LEAST_FOURTH = 5.0
# The remainder may exceed the noise by this factor; the noise is uncertain with few points.
_LEFT_OVER = 2.5
# Rounded or computed data have no noise to measure against.
_LEAST_SIGMA = 1e-5
# What no calibration can keep (-60 dB; common practice, no source): a quiet analyzer shows steps of
# that size itself. |G|^2 of a scalar sweep may be that small.
_LEAST_OFF = 1e-3
# If more than this share of the points deviate, they are not outliers but part of the sweep.
_LARGEST_SHARE = 0.03
_FEWEST_POINTS = 12
# If steps differ by more than this share, the pattern does not apply.
_EVEN = 0.1


def outliers_of(
    frequency_hz: FloatArray, values: ComplexArray | FloatArray, sigma: FloatArray | float
) -> IntArray:
    """Indices of the outliers, in rising order.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    values : ComplexArray or FloatArray, shape (n,)
        A smooth curve: the reflection with the delay of a line removed, or |G|^2 of a scalar sweep.
    sigma : FloatArray, shape (n,), or float
        Noise of each component.

    Returns
    -------
    IntArray
        Never the first or last two points, which have neighbours on one side only.
    """
    none = np.zeros(0, dtype=np.intp)
    if values.size < _FEWEST_POINTS:
        return none
    scale = np.maximum(sigma, _LEAST_SIGMA) * np.ones(values.size)
    fourth: ComplexArray = np.diff(values.astype(np.complex128), n=4)
    # Most sweeps have none: a look at the largest differences spares the rest.
    if not (np.abs(fourth) > _LEAST_FOURTH * _OFF_SIGMAS * scale[2:-2]).any():
        return none
    padded: ComplexArray = np.pad(fourth, 2)
    is_whole = np.zeros(values.size, dtype=np.bool_)
    is_whole[2:-2] = _is_even_around(frequency_hz)
    matched = _correlate(padded)
    energy = _energy(padded)
    least_off = _LEAST_OFF if np.iscomplexobj(values) else 0.0
    single = _singles(matched, energy, scale, least_off)
    pairs = _pairs(matched, padded, energy, scale, least_off)
    is_off = single & is_whole
    is_pair = pairs & is_whole[:-1] & is_whole[1:] & ~single[:-1] & ~single[1:]
    is_off[:-1] |= is_pair
    is_off[1:] |= is_pair
    is_off[:2] = is_off[-2:] = False
    found = np.flatnonzero(is_off)
    return found if found.size <= max(2, _LARGEST_SHARE * values.size) else none


def _is_even_around(frequency_hz: FloatArray) -> BoolArray:
    """For every point except two at each end: whether the four steps around it are equal."""
    step_hz = np.diff(frequency_hz)
    around = np.stack([step_hz[k : step_hz.size - 3 + k] for k in range(4)])
    alike: BoolArray = np.ptp(around, axis=0) <= _EVEN * around.max(axis=0)
    return alike


def _correlate(padded: ComplexArray) -> ComplexArray:
    """Pattern times fourth differences around each point, shape (n,)."""
    return np.convolve(padded, _PATTERN, mode="same")


def _energy(padded: ComplexArray) -> FloatArray:
    """Squares of the five fourth differences around each point, shape (n,)."""
    return np.convolve(np.abs(padded) ** 2, np.ones(len(_PATTERN)), mode="same")


def _singles(
    matched: ComplexArray, energy: FloatArray, scale: FloatArray, least_off: float
) -> BoolArray:
    off = np.abs(matched) / _OWN
    left = energy - _OWN * off**2
    allowed = 4 * 2 * _OWN * (_LEFT_OVER * scale) ** 2
    result: BoolArray = (off > np.maximum(_OFF_SIGMAS * _GAIN[0] * scale, least_off)) & (
        left <= allowed
    )
    return result


def _pairs(
    matched: ComplexArray,
    padded: ComplexArray,
    energy: FloatArray,
    scale: FloatArray,
    least_off: float,
) -> BoolArray:
    """Whether each point and the next were thrown off together, shape (n - 1,)."""
    one, two = matched[:-1], matched[1:]
    determinant = _OWN**2 - _SHIFTED**2
    off_one = (_OWN * one - _SHIFTED * two) / determinant
    off_two = (_OWN * two - _SHIFTED * one) / determinant
    beyond = np.concatenate((np.abs(padded[3:]) ** 2, np.zeros(2)))
    explained = (off_one.conj() * one + off_two.conj() * two).real
    left = energy[:-1] + beyond - explained
    allowed = 4 * 2 * _OWN * (_LEFT_OVER * scale[:-1]) ** 2
    least = np.minimum(np.abs(off_one), np.abs(off_two))
    result: BoolArray = (least > np.maximum(_OFF_SIGMAS * _GAIN[1] * scale[:-1], least_off)) & (
        left <= allowed
    )
    return result
