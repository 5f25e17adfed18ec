"""Points that a carrier or a spur has thrown off the curve: one or two, with calm on both sides.

A single point off a smooth curve by a leaves a * (1, -4, 6, -4, 1) in the fourth differences and
nothing else. A steep true resonance leaves more: its skirts reach further than its points. So a
point counts as thrown off only if, with that pattern taken away, no more is left than the noise.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

_PATTERN = (1.0, -4.0, 6.0, -4.0, 1.0)
_OWN = 70.0  # the pattern's squares
_SHIFTED = -56.0  # the pattern times itself, one point on
# So many standard deviations off: carriers in real files stand 20 to 45 off.
_OFF_SIGMAS = 8.0
# Standard deviation of a found from white noise, for one point and for each of two.
_GAIN = (1.3, 2.2)
# Fourth differences of any such point or pair exceed this many times the deviation.
_LEAST_FOURTH = 5.0
# What is left may exceed the noise by this factor; its estimate is uncertain on few points.
_LEFT_OVER = 2.5
# Rounded or computed data have no noise to measure against.
_LEAST_SIGMA = 1e-5
# More than this share of the points are no outliers but the sweep's manner.
_LARGEST_SHARE = 0.03
_FEWEST_POINTS = 12
# Steps that differ by more do not make the pattern.
_EVEN = 0.1


def outliers_of(
    frequency_hz: FloatArray, values: ComplexArray | FloatArray, sigma: FloatArray | float
) -> IntArray:
    """Indices of the points that were thrown off, in rising order.

    Parameters
    ----------
    frequency_hz : FloatArray, shape (n,)
    values : ComplexArray or FloatArray, shape (n,)
        Where the curve is smooth: the delay of a line taken out, |G|^2 of a scalar sweep.
    sigma : FloatArray, shape (n,), or float
        Noise of each component.

    Returns
    -------
    IntArray
        Never the first or last two points, which have calm on one side only.
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
    single = _singles(matched, energy, scale)
    pairs = _pairs(matched, padded, energy, scale)
    is_off = single & is_whole
    is_pair = pairs & is_whole[:-1] & is_whole[1:] & ~single[:-1] & ~single[1:]
    is_off[:-1] |= is_pair
    is_off[1:] |= is_pair
    is_off[:2] = is_off[-2:] = False
    found = np.flatnonzero(is_off)
    return found if found.size <= max(2, _LARGEST_SHARE * values.size) else none


def _is_even_around(frequency_hz: FloatArray) -> BoolArray:
    """For every point but the outer two: whether the four steps around it are alike."""
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


def _singles(matched: ComplexArray, energy: FloatArray, scale: FloatArray) -> BoolArray:
    off = np.abs(matched) / _OWN
    left = energy - _OWN * off**2
    allowed = 4 * 2 * _OWN * (_LEFT_OVER * scale) ** 2
    result: BoolArray = (off > _OFF_SIGMAS * _GAIN[0] * scale) & (left <= allowed)
    return result


def _pairs(
    matched: ComplexArray,
    padded: ComplexArray,
    energy: FloatArray,
    scale: FloatArray,
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
    result: BoolArray = (least > _OFF_SIGMAS * _GAIN[1] * scale[:-1]) & (left <= allowed)
    return result
