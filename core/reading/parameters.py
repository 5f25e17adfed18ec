"""Pairs of S, Z, Y, H or G parameters become the reflection coefficient of port 1.

All other ports count as terminated in their own reference. Written here rather than taken from
scikit-rf because its hybrid conversions break down where a parameter is zero (h22 of an ideal
transistor), it raises for a whole file where one point is singular, and importing it costs more
than reading a hundred files; the tests hold both against each other.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray


def to_complex(pairs: FloatArray, form: str) -> ComplexArray:
    """Pairs as written to complex numbers.

    Parameters
    ----------
    pairs : FloatArray, shape (m, 2 k)
    form : str
        "ri" real and imaginary; "ma" magnitude and angle in degrees; "db" 20 log10 of the
        magnitude and angle in degrees (Touchstone 1.1).

    Returns
    -------
    ComplexArray, shape (m, k)
        May hold infinities where decibels are absurd.
    """
    first, second = pairs[:, 0::2], pairs[:, 1::2]
    values = np.empty(first.shape, dtype=np.complex128)
    if form == "ri":
        values.real, values.imag = first, second
        return values
    with np.errstate(over="ignore", invalid="ignore"):
        magnitude = first if form == "ma" else 10.0 ** (first / 20.0)
        angle = np.deg2rad(second)
        values.real, values.imag = magnitude * np.cos(angle), magnitude * np.sin(angle)
    return values


def to_reflection(
    entries: ComplexArray,
    parameter: str,
    references_ohm: FloatArray | None = None,
    matrix_format: str = "full",
) -> ComplexArray:
    """Reflection coefficient of port 1 at its own reference.

    Parameters
    ----------
    entries : ComplexArray, shape (m, k)
        The k entries of each n-port matrix that are written: n², or n (n + 1) / 2 where only one
        triangle of a symmetric matrix is. S needs only the first, which is S11 in every file.
        Whether rows or columns are written first does not matter to the reflection of port 1.
    parameter : str
        "s", "z", "y", or "h" or "g" (two ports).
    references_ohm : FloatArray, shape (n,), optional
        What Z, Y, H or G are to be normalised to; None where they are normalised already, as in
        Touchstone version 1.
    matrix_format : str
        "full", "lower" or "upper".

    Returns
    -------
    ComplexArray, shape (m,)
        Infinite or NaN where a point has no reflection coefficient (Z11 = -R).
    """
    if parameter == "s":
        return entries[:, 0]
    with np.errstate(all="ignore"):
        if parameter in "hg":
            return _hybrid_reflection(entries, parameter, references_ohm)
        matrix = _square(entries, matrix_format)
        if references_ohm is not None:
            scale = np.sqrt(np.outer(references_ohm, references_ohm))
            matrix = matrix / scale if parameter == "z" else matrix * scale
        if matrix.shape[1] == 1:
            value = matrix[:, 0, 0]
            return (value - 1) / (value + 1) if parameter == "z" else (1 - value) / (1 + value)
        # S = (Z + 1)^-1 (Z - 1) = 1 - 2 (Z + 1)^-1, and S = 2 (Y + 1)^-1 - 1 (normalised).
        inverse_11 = _inverse_11(matrix + np.eye(matrix.shape[1]))
        return 1 - 2 * inverse_11 if parameter == "z" else 2 * inverse_11 - 1


def _hybrid_reflection(
    entries: ComplexArray, parameter: str, references_ohm: FloatArray | None
) -> ComplexArray:
    """S11 of two ports given by hybrid parameters: port 2 is terminated, port 1 is looked into.

    V1 = h11 I1 + h12 V2, I2 = h21 I1 + h22 V2 and V2 = -I2 (normalised) give
    z = h11 - h12 h21 / (1 + h22); the same with g gives the admittance. The two cross terms
    appear only as a product, so their order does not matter.
    """
    own, cross, other = entries[:, 0], entries[:, 1] * entries[:, 2], entries[:, 3]
    if references_ohm is not None:
        first, second = references_ohm if parameter == "h" else 1 / references_ohm
        own, cross, other = own / first, cross * (second / first), other * second
    value = own - cross / (1 + other)
    return (value - 1) / (value + 1) if parameter == "h" else (1 - value) / (1 + value)


def _square(entries: ComplexArray, matrix_format: str) -> ComplexArray:
    """Entries as full matrices, shape (m, n, n)."""
    count, written = entries.shape
    if matrix_format == "full":
        ports = math.isqrt(written)
        return entries.reshape(count, ports, ports)
    ports = (math.isqrt(8 * written + 1) - 1) // 2
    rows, columns = np.tril_indices(ports) if matrix_format == "lower" else np.triu_indices(ports)
    matrix = np.empty((count, ports, ports), dtype=np.complex128)
    matrix[:, rows, columns] = entries
    matrix[:, columns, rows] = entries
    return matrix


def _inverse_11(matrix: ComplexArray) -> ComplexArray:
    """First entry of the inverse of each matrix; NaN where there is none."""
    unit = np.zeros((matrix.shape[1], 1))
    unit[0] = 1
    try:
        inverse = np.asarray(np.linalg.solve(matrix, unit)[:, 0, 0], dtype=np.complex128)
    except np.linalg.LinAlgError:
        # One singular point makes the whole batch fail: go through them one by one.
        if len(matrix) == 1:
            return np.array([complex(math.nan)])
        inverse = np.concatenate([_inverse_11(one[np.newaxis]) for one in matrix])
    return inverse
