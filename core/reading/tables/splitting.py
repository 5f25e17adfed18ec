"""Decides where one sweep of a block ends and the next one begins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray, IntArray
    from fairlead.core.reading.tables.blocks import Break

# A step beyond a break that is this many times the usual one leads to another sweep.
_WIDE_STEP = 3.0
_NEAR = 64


@dataclass(frozen=True, slots=True)
class SweepPoints:
    """Points of one sweep.

    Attributes
    ----------
    points : IntArray, shape (k,)
        Indices into the points that were parted.
    name : str
        What a title or a column calls it; may be empty.
    """

    points: IntArray
    name: str = ""


def split_by_names(names: Sequence[str]) -> list[SweepPoints]:
    """One part for each name, in the order in which they come first."""
    found: dict[str, list[int]] = {}
    for point, name in enumerate(names):
        found.setdefault(name, []).append(point)
    return [SweepPoints(np.array(points, dtype=np.intp), name) for name, points in found.items()]


def split_by_breaks(
    frequency: FloatArray, rows: IntArray, breaks: Sequence[Break], first_name: str = ""
) -> list[SweepPoints]:
    """Parts of a block at those breaks where the frequency starts again or jumps.

    Blank lines may be mere layout, so a break alone parts nothing. Without any break that parts,
    equal runs of frequencies one after the other are sweeps of their own.

    Parameters
    ----------
    frequency : FloatArray, shape (n,)
        In the order of the file.
    rows : IntArray, shape (n,)
        Row of each point, ascending.
    breaks : sequence of Break
    first_name : str
        Name of what stands before the first break.
    """
    if not breaks and (frequency[1:] > frequency[:-1]).all():
        return [SweepPoints(np.arange(frequency.size), first_name)]
    cuts: list[int] = []
    names = [first_name]
    at = np.searchsorted(rows, [stop.row for stop in breaks]).tolist()
    steps = np.diff(frequency)
    is_falling = (steps < 0).sum() > (steps > 0).sum()
    ordered = -frequency if is_falling else frequency
    for index, stop in enumerate(breaks):
        begin, end = at[index], at[index + 1] if index + 1 < len(at) else frequency.size
        last = cuts[-1] if cuts else 0
        if begin <= last or begin >= end:
            continue
        if _starts_anew(ordered[last:begin], ordered[begin:end]):
            cuts.append(begin)
            names.append(stop.name)
    if not cuts:
        cuts = _equal_runs(ordered)
        names += [""] * len(cuts)
    pieces = np.split(np.arange(frequency.size), cuts)
    return [SweepPoints(piece, name) for piece, name in zip(pieces, names, strict=True)]


def _starts_anew(before: FloatArray, after: FloatArray) -> bool:
    """Whether points behind a break belong to another sweep (frequencies counted upwards)."""
    step = float(after[0] - before[-1])
    if step <= 0:
        return True
    if before.size < 2 or after.size < 2:
        return False
    near = (before[-_NEAR:], after[:_NEAR])
    usual = max(float(np.median(np.abs(np.diff(piece)))) for piece in near)
    return step > _WIDE_STEP * usual


def _equal_runs(frequency: FloatArray) -> list[int]:
    """Where runs of the very same frequencies begin; empty where there is one run only."""
    starts = np.flatnonzero(np.diff(frequency) < 0) + 1
    if starts.size == 0:
        return []
    length = int(starts[0])
    count, rest = divmod(frequency.size, length)
    if length < 2 or rest or count < 2:
        return []
    runs = frequency.reshape(count, length)
    return starts.tolist() if (runs == runs[0]).all() and starts.size == count - 1 else []
