"""Parsers for what is typed about a station and an antenna, in the command line and the window."""

from __future__ import annotations

import re

from fairlead.core.advice.budget import Station
from fairlead.core.advice.radio import parse_power_w, parse_radio
from fairlead.core.advice.tuning import MM_PER_INCH
from fairlead.core.errors import FairleadError
from fairlead.core.line_text import parse_line
from fairlead.core.transform.transformer import TransformerRemoved
from fairlead.core.units import parse_number

_LENGTH = re.compile(r"(\d+(?:[.,]\d+)?|[.,]\d+)\s*(mm|cm|m|in|inch|inches|\"|ft|')", re.IGNORECASE)
_MM = {"mm": 1.0, "cm": 10.0, "m": 1e3, "ft": 12 * MM_PER_INCH, "'": 12 * MM_PER_INCH}
_TRANSFORMER = re.compile(
    r"(\d+(?:\.\d+)?)\s*(?::\s*1)?\s*(?:,\s*(\d+(?:\.\d+)?)\s*dB)?", re.IGNORECASE
)


def parse_length_mm(text: str) -> float:
    """The length of a conductor in mm.

    Raises
    ------
    FairleadError
        Without a unit, or without a length.
    """
    found = _LENGTH.fullmatch(text.strip())
    value = 0.0 if found is None else parse_number(found[1], "the length")
    if found is None or value <= 0:
        raise FairleadError(
            f'"{text.strip()}" is not a length', 'write "985 mm", "2.4 m" or "38 in"'
        )
    return value * _MM.get(found[2].lower(), MM_PER_INCH)


def parse_station(
    power: str, radio: str, line: str | None = None, transformer: str | None = None
) -> Station:
    """Parse a station as typed.

    Parameters
    ----------
    power, radio : str
    line : str or None
        As in `fairlead.core.line_text.parse_line`; None or empty for none.
    transformer : str or None
        "49:1", or with its loss "49:1,0.5dB"; None or empty for none.

    Raises
    ------
    FairleadError
        If a part cannot be understood.
    """
    found_line, length_m = parse_line(line) if line and line.strip() else (None, 0.0)
    ratio, loss_db = 1.0, 0.0
    if transformer and transformer.strip():
        found = _TRANSFORMER.fullmatch(transformer.strip())
        if found is None:
            raise FairleadError(
                f'"{transformer.strip()}" is not a transformer', 'write "49:1" or "49:1, 0.5 dB"'
            )
        step = TransformerRemoved(float(found[1]), float(found[2] or 0.0))
        ratio, loss_db = step.ratio, step.loss_db
    return Station(parse_power_w(power), parse_radio(radio), found_line, length_m, loss_db, ratio)
