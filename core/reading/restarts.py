"""Where a second sweep begins in rows that may hold several, one after the other.

Rows of several sweeps must never be mixed into one by sorting them. Points that were measured in an
odd order, or in segments, are one sweep all the same; a sweep up and down again is two.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

# Shorter runs are points in an odd order rather than sweeps; common practice, no source.
_FEWEST_POINTS = 5


def starts_of_sweeps(frequency: FloatArray) -> list[int]:
    """Indices where further sweeps begin; empty where there is one sweep.

    Parameters
    ----------
    frequency : FloatArray, shape (n,)
        In the order of the file, in any unit.

    Returns
    -------
    list of int
        Runs that rise or fall throughout begin there. They are sweeps of their own if all have the
        very same frequencies, or if each has several points and they cover each other in part.
    """
    starts = _starts_of_runs(frequency)
    if not starts:
        return []
    runs = np.split(frequency, starts)
    shortest = min(run.size for run in runs)
    if shortest >= 2 and all(_is_same_grid(run, runs[0]) for run in runs[1:]):
        return starts
    if shortest < _FEWEST_POINTS:
        return []
    spans = sorted((float(run.min()), float(run.max())) for run in runs)
    # Segments in an odd order do not cover each other: put in order they are one sweep.
    covers = any(low < high for (_, high), (low, _) in itertools.pairwise(spans))
    return starts if covers else []


def is_continued(before: FloatArray, after: FloatArray) -> bool:
    """Whether rows behind a repeated option line go on where the rows before it ended.

    Parameters
    ----------
    before, after : FloatArray, shape (n,), (m,)
        Frequencies in the order of the file.
    """
    if before.size < 2 or after.size == 0:
        return bool(before.size and after.size and after[0] > before[-1])
    rises = before[-1] > before[0]
    return bool(after[0] > before[-1]) if rises else bool(after[0] < before[-1])


def _starts_of_runs(frequency: FloatArray) -> list[int]:
    steps = np.sign(np.diff(frequency))
    if (steps >= 0).all() or (steps <= 0).all():
        return []
    starts: list[int] = []
    direction, last = 0.0, 0
    moves = np.flatnonzero(steps)
    for index, step in zip((moves + 1).tolist(), steps[moves].tolist(), strict=True):
        if direction and step != direction:
            # The first point after the turn; of points that are equal there, the second.
            starts.append(min(index, last + 1))
            direction = step if last + 1 < index else 0.0
        else:
            direction = step
        last = index
    return starts


def _is_same_grid(run: FloatArray, first: FloatArray) -> bool:
    if run.size != first.size:
        return False
    return bool((run == first).all() or (run == first[::-1]).all())
