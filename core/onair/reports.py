"""Signal reports as decibels, each with the step in which it is given.

An S-unit is 6 dB (IARU Region 1 Technical Recommendation R.1, from memory); real meters differ.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from fairlead.core.errors import FairleadError

ReportKind = Literal["RST", "S-meter", "dB"]
S_UNIT_DB = 6.0
# Meters are read over S9 in tens (common practice, no source).
_OVER_S9_DB = 10.0
_S9 = 9
_RST = re.compile(r"([1-5])([1-9])([1-9])?")
_S_METER = re.compile(r"[Ss]\s*([0-9])(?:\s*\+\s*([0-9]{1,2})(?:\s*d[Bb])?)?")
_DB = re.compile(r"([+-]?[0-9]{1,3}(?:[.,][0-9])?)\s*d[Bb]")


@dataclass(frozen=True, slots=True)
class Report:
    """A report.

    Attributes
    ----------
    kind : {"RST", "S-meter", "dB"}
        Only reports of one kind can be compared.
    value_db : float
        Above S0, or as given.
    step_db : float
        Between this report and the next better one.
    """

    kind: ReportKind
    value_db: float
    step_db: float


def parse_report(text: str) -> Report:
    """A report as it was given: "57", "599", "S7", "S9+20", "-12 dB".

    Raises
    ------
    FairleadError
        If it is none of these.
    """
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    if found := _RST.fullmatch(bare):
        return Report("RST", S_UNIT_DB * int(found[2]), S_UNIT_DB)
    if found := _S_METER.fullmatch(bare):
        units, over = int(found[1]), found[2]
        if over is None:
            return Report("S-meter", S_UNIT_DB * units, S_UNIT_DB)
        if units == _S9:
            return Report("S-meter", S_UNIT_DB * _S9 + int(over), _OVER_S9_DB)
    if found := _DB.fullmatch(bare):
        value = found[1].replace(",", ".")
        return Report("dB", float(value), 0.1 if "." in value else 1.0)
    raise FairleadError(
        f'"{text.strip()}" is not a signal report', 'write "57", "599", "S7", "S9+20" or "-12 dB"'
    )
