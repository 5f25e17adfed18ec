"""Names for the array types that the whole core uses, and two of numpy's that load too much."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.intp]

Scalar = TypeVar("Scalar", np.float64, np.intp)


def median(values: FloatArray) -> float:
    """Median of a row of finite numbers, shape (n,), n >= 1.

    numpy's own loads its masked arrays at the first call, which costs every cold start 11 ms.
    """
    low, high = (values.size - 1) // 2, values.size // 2
    parted = np.partition(values, (low, high))
    return float(parted[low] + parted[high]) / 2


def distinct(values: NDArray[Scalar]) -> NDArray[Scalar]:
    """The different values in rising order, shape (n,); numpy's own costs the start like above."""
    rising = np.sort(values)
    is_new = np.ones(rising.size, dtype=np.bool_)
    is_new[1:] = rising[1:] != rising[:-1]
    result: NDArray[Scalar] = rising[is_new]
    return result


def runs(mask: BoolArray) -> list[tuple[int, int]]:
    """Index ranges (start, stop) in which a mask is true, in order."""
    padded = np.concatenate(([False], mask, [False]))
    change = np.flatnonzero(padded[1:] != padded[:-1])
    return [(int(a), int(b)) for a, b in zip(change[::2], change[1::2], strict=True)]
