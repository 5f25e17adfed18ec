"""What the lines above a table say about it: reference impedance and unit of frequency."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from fairlead.core.reading.tables.vocabulary import UNITS

if TYPE_CHECKING:
    from collections.abc import Iterable

_Z0 = re.compile(
    r"(?:\bz\s?0\b|\bzref\b|\breference (?:impedance|resistance)\b|\bsystem impedance\b"
    r"|\bcharacteristic impedance\b|\bbezugswiderstand\b|\bsystemimpedanz\b)"
    r"\s*(?:\((?:ohms?|Ω)\)|\[(?:ohms?|Ω)\])?\s*[:=,;\t ]\s*"
    r"([0-9]{1,4}(?:\.[0-9]{1,6})?)(?![0-9,.])",
    re.IGNORECASE,
)
_UNIT = re.compile(r"\b(?:freq\w*|f)[\s_]*units?\s*[:=,;\t ]\s*[\"']?([kmg]?hz)\b", re.IGNORECASE)
_LONGEST = 300


def z0_ohm_of(lines: Iterable[str]) -> float | None:
    """The reference impedance in ohm that the lines state; None without, or with several.

    Parameters
    ----------
    lines : iterable of str
        Comments and titles above the numbers.
    """
    found = {float(match[1]) for line in lines for match in _Z0.finditer(line[:_LONGEST])}
    found.discard(0.0)
    return found.pop() if len(found) == 1 else None


def frequency_unit_of(lines: Iterable[str]) -> str:
    """The unit of frequency that the lines state ("FREQ UNIT Hz"); empty with none or several."""
    found = {
        UNITS[match[1].casefold()] for line in lines for match in _UNIT.finditer(line[:_LONGEST])
    }
    return found.pop() if len(found) == 1 else ""
