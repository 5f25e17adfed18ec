"""Zeros of functions in brackets, and which sign changes are real when there is noise."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.arrays import BoolArray, FloatArray, IntArray

RELATIVE_TOLERANCE = 1e-13
"""Tolerance of a zero, relative to the highest frequency of its sweep."""

_MOST_STEPS = 60


def roots_between(
    function: Callable[[FloatArray], FloatArray],
    left: FloatArray,
    right: FloatArray,
    tolerance: float,
) -> FloatArray:
    """Zeros of a continuous function, one in each bracket with a change of sign.

    Parameters
    ----------
    function : callable
        Maps arguments, shape (m,), to values, shape (m,).
    left, right : FloatArray, shape (m,)
        Brackets.
    tolerance : float
        The search ends when no argument changes by more than this.

    Returns
    -------
    FloatArray, shape (m,)
        Always within the brackets. Illinois variant of false position (M. Dowell, P. Jarratt,
        BIT 11, 1971, from memory).
    """
    a, b = left.astype(np.float64), right.astype(np.float64)
    value_a, value_b = function(a), function(b)
    for _ in range(_MOST_STEPS):
        rise = value_b - value_a
        is_flat = rise == 0
        middle = np.where(is_flat, (a + b) / 2, b - value_b * (b - a) / np.where(is_flat, 1, rise))
        # Rounding may leave both values of a bracket on the same side of zero.
        middle = np.clip(middle, left, right)
        value = function(middle)
        has_crossed = np.sign(value) * np.sign(value_b) < 0
        # The value at the end that stays is halved, so that it cannot stall the search.
        a = np.where(has_crossed, b, a)
        value_a = np.where(has_crossed, value_b, value_a / 2)
        moved = np.abs(middle - b)
        b, value_b = middle, value
        if (moved <= tolerance).all():
            break
    return b


def root_between(
    function: Callable[[float], float], left: float, right: float, tolerance: float
) -> float:
    """`roots_between` for a single bracket, without the overhead of arrays."""
    a, b = left, right
    value_a, value_b = function(a), function(b)
    for _ in range(_MOST_STEPS):
        rise = value_b - value_a
        middle = (a + b) / 2 if rise == 0 else b - value_b * (b - a) / rise
        middle = min(max(middle, left), right)
        value = function(middle)
        if value * value_b < 0:
            a, value_a = b, value_b
        else:
            value_a /= 2
        moved = abs(middle - b)
        b, value_b = middle, value
        if moved <= tolerance:
            break
    return b


def grouped_changes(is_below: BoolArray, is_certain: BoolArray) -> list[IntArray]:
    """Sign changes along a row; those that may be due to noise are grouped together.

    Parameters
    ----------
    is_below : BoolArray, shape (n,)
        The sign at each point.
    is_certain : BoolArray, shape (n,)
        False where the sign is lost in the noise.

    Returns
    -------
    list of IntArray
        Indices k with a change between k and k + 1, in rising order. Changes with no certain
        point between them form one group: an odd number of them is one real change, an even
        number none.
    """
    change = np.flatnonzero(is_below[1:] != is_below[:-1])
    if change.size == 0:
        return []
    certain_before = np.cumsum(is_certain)[change]
    return np.split(change, np.flatnonzero(np.diff(certain_before)) + 1)
