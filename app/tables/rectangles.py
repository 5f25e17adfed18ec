"""Cells that differ, gathered into as few rectangles as views need to be told of."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


def rectangles(
    differing: list[tuple[int, list[int]]],
) -> Iterator[tuple[int, int, int, int]]:
    """Top, left, bottom and right of the parts of a table that hold all cells that differ.

    Parameters
    ----------
    differing : list of (row, columns)
        The columns of each row, rising.
    """
    for first, last, columns in _blocks(differing):
        for left, right in _runs(columns):
            yield first, left, last, right


def _blocks(differing: list[tuple[int, list[int]]]) -> Iterator[tuple[int, int, list[int]]]:
    """First row, last row and the columns that differ in them, for each run of adjacent rows."""
    if not differing:
        return
    differing.sort()
    start = 0
    ends = [i + 1 for i, (one, other) in enumerate(pairwise(differing)) if other[0] != one[0] + 1]
    for end in [*ends, len(differing)]:
        part = differing[start:end]
        yield part[0][0], part[-1][0], sorted({c for _, columns in part for c in columns})
        start = end


def _runs(columns: list[int]) -> Iterator[tuple[int, int]]:
    """Runs of adjacent columns, each as first and last."""
    start = columns[0]
    for one, other in pairwise([*columns, -1]):
        if other != one + 1:
            yield start, one
            start = other
