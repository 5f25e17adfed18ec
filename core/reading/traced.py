"""Files of sweeps that were traced from a picture are read back as such."""

from __future__ import annotations

import csv
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError, SweepError
from fairlead.core.notice import Notice
from fairlead.core.traced import TRACED_WORDS
from fairlead.core.traced_text import TRACED_COLUMN, traced_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.reading.reading import Reading

_LOOKED_AT = 400


def as_traced(readings: tuple[Reading, ...], lines: Sequence[str]) -> tuple[Reading, ...]:
    """The readings, marked as traced if the comments at the file's beginning say so.

    Raises
    ------
    ReadError
        If what they say contradicts itself.
    """
    comments = [line for line in lines[:_LOOKED_AT] if line.startswith(("#", "!"))]
    if not any(TRACED_WORDS in line for line in comments):
        return readings
    rows = _uncertainties(lines)
    found = []
    for one in readings:
        try:
            traced = traced_of(comments, one.sweep.frequency_hz, rows)
        except SweepError as error:
            raise ReadError(one.file, error.reason, error.advice) from None
        if traced is None:
            return readings
        notice = Notice("traced", f"{TRACED_WORDS}: not a measurement")
        sweep = replace(one.sweep, traced=traced)
        found.append(replace(one, sweep=sweep, notices=(*one.notices, notice)))
    return tuple(found)


def _uncertainties(lines: Sequence[str]) -> tuple[FloatArray, FloatArray] | None:
    """Frequencies and uncertainties by row, in rising order; None without that column."""
    heads = [
        number
        for number, line in enumerate(lines[:_LOOKED_AT])
        if TRACED_COLUMN in line and not line.startswith(("#", "!"))
    ]
    if not heads:
        return None
    number = heads[0]
    column = next(csv.reader([lines[number]])).index(TRACED_COLUMN)
    pairs = []
    for row in csv.reader(lines[number + 1 :]):
        try:
            pairs.append((float(row[0]), float(row[column])))
        except (ValueError, IndexError):
            continue
    if not pairs:
        return None
    table = np.array(sorted(pairs))
    return table[:, 0], table[:, 1]
