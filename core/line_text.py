"""A feed line as it is typed: a type and a length, or its numbers."""

from __future__ import annotations

import re
from dataclasses import replace

from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import M_PER_FT, FeedLine, checked_length_m
from fairlead.core.line_types import line_of_type
from fairlead.core.units import parse_number

_LENGTH = re.compile(r"((?:\d|[.,]\d)[\d.,]*)\s*(m|metres?|meters?|ft|feet|foot|')", re.IGNORECASE)
_SETTING = re.compile(r"(z0|vf|k1|k2)\s*=\s*(\d+(?:\.\d+)?|\.\d+)", re.IGNORECASE)
_FIELDS = {"z0": "z0_ohm", "vf": "velocity_factor", "k1": "k1_db", "k2": "k2_db"}
_USE = 'write a type and a length, such as "RG-58, 12 m", or "z0=75, vf=0.82, k1=1.1, 40 ft"'


def parse_length_m(text: str) -> float:
    """A length with its unit, m or ft, in m; with a decimal point or comma.

    Raises
    ------
    FairleadError
        Without a unit, or for a length that no feed line has.
    """
    found = _LENGTH.fullmatch(text.strip())
    if found is None:
        raise FairleadError(f'"{text.strip()}" is not a length', 'write it as "12 m" or "40 ft"')
    unit_m = 1.0 if found[2].lower().startswith("m") else M_PER_FT
    return checked_length_m(parse_number(found[1], "length") * unit_m)


def parse_line(text: str) -> tuple[FeedLine, float]:
    """A line and its length in m from a text with commas.

    Parameters
    ----------
    text : str
        A type, a length with its unit, and any of ``z0=`` (ohm), ``vf=``, ``k1=`` and ``k2=`` (dB
        for 100 m with the frequency in MHz), in any order; with ``z0`` no type is needed.

    Raises
    ------
    FairleadError
        If a part cannot be understood, or length or line is missing.
    """
    line: FeedLine | None = None
    length_m: float | None = None
    settings: dict[str, float] = {}
    for part in filter(None, map(str.strip, text.split(","))):
        setting = _SETTING.fullmatch(part)
        if setting is not None:
            settings[_FIELDS[setting[1].lower()]] = float(setting[2])
        elif _LENGTH.fullmatch(part):
            length_m = parse_length_m(part)
        elif line is None:
            line = line_of_type(part)
        else:
            raise FairleadError(f'"{part}" is one feed line too many', _USE)
    if line is None:
        if "z0_ohm" not in settings:
            raise FairleadError(f'"{text}" does not name a feed line', _USE)
        line = FeedLine("own line", source="typed")
    if length_m is None:
        raise FairleadError(f'"{text}" has no length', _USE)
    if settings:
        line = replace(line, **settings)  # type: ignore[arg-type]  # all of them are floats
    return line, length_m
