"""Two antennas compared by reports, in ABBA order, with a t interval.

Of four reports in the order ABBA (or BAAB) the difference (B + B - A - A)/2 is free of a fading
that rises or falls evenly. The blocks' mean has the interval t s/sqrt(n), n - 1 degrees of freedom.
Reports come in steps: where the differences scatter by less than half a step, averaging gains
nothing, and the step itself is what is not known (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError
from fairlead.core.onair.reports import parse_report
from fairlead.core.uncertainty.repeats import spread_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.onair.reports import Report

_BLOCK = 4
_PATTERNS = ("ABBA", "BAAB")
_DITHER = 0.5


@dataclass(frozen=True, slots=True)
class Heard:
    """A line of the log that can be compared: antenna, report as given, power in W if known."""

    antenna: str
    report: str
    power_w: float | None = None


@dataclass(frozen=True, slots=True)
class OnAir:
    """Antenna B against antenna A.

    Attributes
    ----------
    first, second : str
        A and B.
    blocks : tuple of float
        Difference B - A of each block in dB, both at the same power.
    unused : int
        Reports of A or B outside of any block.
    step_db : float
        Of the reports.
    mean_db : float or None
        None without a block.
    half_db : float or None
        Half of the 95 % interval; None with fewer than two blocks.
    """

    first: str
    second: str
    blocks: tuple[float, ...]
    unused: int
    step_db: float
    mean_db: float | None
    half_db: float | None

    @property
    def is_resolved(self) -> bool:
        """Whether the difference is larger than the reports leave open."""
        known = self.mean_db is not None and self.half_db is not None
        return known and abs(self.mean_db or 0.0) > (self.half_db or 0.0)


def compare_heard(lines: Sequence[Heard], first: str, second: str) -> OnAir:
    """Compare two antennas by the lines of a log in the order in which they were heard.

    Raises
    ------
    FairleadError
        If a report cannot be read, or reports of several kinds would be compared.
    """
    own = [line for line in lines if line.antenna in (first, second)]
    reports = [parse_report(line.report) for line in own]
    kinds = sorted({report.kind for report in reports})
    if len(kinds) > 1:
        raise FairleadError(
            f"reports of different kinds cannot be compared: {' and '.join(kinds)}",
            "keep to one kind, from one receiver",
        )
    letters = "".join("A" if line.antenna == first else "B" for line in own)
    blocks, place = [], 0
    while place + _BLOCK <= len(own):
        if letters[place : place + _BLOCK] in _PATTERNS:
            part = slice(place, place + _BLOCK)
            blocks.append(_difference(own[part], reports[part], letters[part]))
            place += _BLOCK
        else:
            place += 1
    step_db = max((report.step_db for report in reports), default=0.0)
    spread = spread_of(blocks)
    half_db = None
    if spread is not None:
        by_chance = (spread.of_mean.high - spread.of_mean.low) / 2
        half_db = max(by_chance, step_db) if spread.sd < _DITHER * step_db else by_chance
    return OnAir(
        first,
        second,
        tuple(blocks),
        len(own) - _BLOCK * len(blocks),
        step_db,
        math.fsum(blocks) / len(blocks) if blocks else None,
        half_db,
    )


def _difference(lines: Sequence[Heard], reports: Sequence[Report], letters: str) -> float:
    """B - A of a block, in dB, at one power where all powers are known."""
    powers_w = [line.power_w for line in lines]
    total = 0.0
    for report, letter, power_w in zip(reports, letters, powers_w, strict=True):
        value_db = report.value_db
        if None not in powers_w:
            value_db -= 10 * math.log10(power_w or 1.0)
        total += value_db if letter == "B" else -value_db
    return total / 2
