"""Text rows become numbers: all at once where they are clean, word by word where they are not."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.reading.number import SEPARATORS, number_problem, parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray, IntArray

# All that plain numbers and blanks are made of. Python's float would take "1_000", Arabic digits
# and "nan" as well, so rows with anything else are read word by word.
PLAIN = b"0123456789+-.eE \t\n"


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers of all rows.

    Attributes
    ----------
    values : FloatArray, shape (total,)
        Finite numbers, row after row.
    counts : IntArray, shape (rows,)
        How many numbers each row holds.
    lines : sequence of int
        Line number of each row, counted from 1.
    separators : int
        Commas and semicolons at the ends of words that were taken as blanks.
    """

    values: FloatArray
    counts: IntArray
    lines: Sequence[int]
    separators: int = 0


def to_numbers(rows: Sequence[str], lines: Sequence[int], file: str) -> Numbers:
    """Convert rows of words to numbers.

    Parameters
    ----------
    rows : sequence of str
        Rows without comments; blank rows count no numbers.
    lines : sequence of int
        Line number of each row, for messages.
    file : str
        Name for error messages.

    Raises
    ------
    ReadError
        For the first word that is no finite number, naming its line.
    """
    everything = "\n".join(rows)
    if everything.isascii() and not everything.encode().translate(None, PLAIN):
        numbers = _even(rows, lines) or _uneven(rows, lines)
        if numbers is not None and np.isfinite(numbers.values).all():
            return numbers
    return _careful(rows, lines, file)


def _even(rows: Sequence[str], lines: Sequence[int]) -> Numbers | None:
    """Rows of equal length, by numpy's own parser; None where they are not, or hold no numbers."""
    try:
        table = np.loadtxt(rows, comments=None, ndmin=2)
    except ValueError:
        return None
    count, width = table.shape
    if count != len(rows):  # blank rows in between
        return None
    return Numbers(table.ravel(), np.full(count, width), lines)


def _uneven(rows: Sequence[str], lines: Sequence[int]) -> Numbers | None:
    """Rows of any length; None where a word is no number, without saying which."""
    words = [row.split() for row in rows]
    try:
        values = np.fromiter(map(float, chain.from_iterable(words)), dtype=np.float64)
    except ValueError:
        return None
    return Numbers(values, np.array(list(map(len, words))), lines)


def _careful(rows: Sequence[str], lines: Sequence[int], file: str) -> Numbers:
    """Word by word: other ways to write a number, and the line of the first that is none."""
    values: list[float] = []
    counts: list[int] = []
    separators = 0
    for row, line in zip(rows, lines, strict=True):
        before = len(values)
        # A semicolon is never part of a number; a comma may be, but not at the end of a word.
        for word in row.replace(";", " ; ").split():
            bare = word.rstrip(SEPARATORS)
            separators += bare != word
            if not bare:
                continue
            value = parse_number(bare)
            if value is None:
                raise ReadError(file, *number_problem(bare), line)
            values.append(value)
        counts.append(len(values) - before)
    return Numbers(np.array(values, dtype=np.float64), np.array(counts), lines, separators)
