"""Cells become numbers, with a decimal point or a decimal comma, thousands marks and units.

A number that can be read in two ways is not read: in a table with decimal points "14,200" may be
14.2 or 14200.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.reading.tables.vocabulary import UNITS

if TYPE_CHECKING:
    from collections.abc import Iterable

# Digits are matched possessively (++): a million digits and a letter must not take a day.
_EXPONENT = r"(?:[eEdD][+-]?[0-9]{1,4}+)?"
_POINT = rf"[+-]?(?:[0-9]++(?:\.[0-9]*+)?|\.[0-9]++){_EXPONENT}"
_COMMA = rf"[+-]?(?:[0-9]++(?:,[0-9]*+)?|,[0-9]++){_EXPONENT}"
# Groups of three digits with one mark, and behind them perhaps a decimal mark that differs.
_GROUPED = (
    r"[+-]?[0-9]{1,3}(?P<mark>[ '’.,])[0-9]{3}(?:(?P=mark)[0-9]{3})*+(?:(?!(?P=mark))[.,][0-9]*+)?"
)
_UNIT_WORDS = "|".join(map(re.escape, sorted(UNITS, key=len, reverse=True)))
_UNIT = rf"(?P<unit>(?i:{_UNIT_WORDS})|:\s?1(?:[.,]0+)?)"

_IS_POINT = re.compile(_POINT)
_IS_COMMA = re.compile(_COMMA)
_IS_GROUPED = re.compile(_GROUPED)
_IS_NUMERIC = re.compile(rf"(?:{_GROUPED}|{_POINT}|{_COMMA})(?:\s?{_UNIT})?")
_WITH_UNIT = re.compile(rf"(?P<number>[+-]?[0-9.,](?:[0-9.,'’]| (?=[0-9]))*+{_EXPONENT})\s?{_UNIT}")
_AMBIGUOUS_COMMA = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_INFINITE = re.compile(r"[+-]?(?:inf|infinity|∞|1\.#inf0*|unendlich)", re.IGNORECASE)
# Overflows and limits ("> 10") are no numbers either; an SWR beyond a limit is kept as one.
_MISSING = re.compile(
    r"(?:[+-]?nan(?:\([a-z0-9]*\))?|n/?a\.?|#n/a|#[a-z]{3,6}[!0?/]*|-?1\.#(?:ind|qnan|snan)0*"
    r"|null|none|nil|void|[-–—_*.?]{1,20}|o\.?l\.?|ovl|ovld|over|overflow|overload|under|error|err"
    r"|[<>≥≤]=?\s?[0-9.,]{1,20}(?:\s?:\s?1)?)",
    re.IGNORECASE,
)
_BEYOND = re.compile(r"(?:>|≥)=?\s?(?P<number>[0-9.,]{1,20})(?:\s?:\s?1)?")
_OFF_SCALE = re.compile(r"o\.?l\.?|ovl|ovld|over|overflow|overload", re.IGNORECASE)
_LONGEST = 64
_EITHER = "?"
_TYPOGRAPHY = str.maketrans({"−": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "＋": "+"})


def tidied(cell: str) -> str:
    """A cell with plain minus signs and blanks."""
    return cell if cell.isascii() else cell.translate(_TYPOGRAPHY).strip()


def looks_numeric(cell: str) -> bool:
    """Whether a cell can be a number in some way of writing, unit allowed."""
    if _IS_POINT.fullmatch(cell):
        return len(cell) <= _LONGEST
    return (
        0 < len(cell) <= _LONGEST
        and not cell[0].isalpha()
        and _IS_NUMERIC.fullmatch(tidied(cell)) is not None
    )


def is_missing(cell: str) -> bool:
    """Whether a cell says that there is no value, or an infinite one."""
    if not cell:
        return True
    if len(cell) > _LONGEST:
        return False
    cell = tidied(cell)
    return _MISSING.fullmatch(cell) is not None or _INFINITE.fullmatch(cell) is not None


@dataclass(frozen=True, slots=True)
class Numerals:
    """How the numbers of one table are written.

    Attributes
    ----------
    decimal : str
        "." or ",".
    is_assumed : bool
        The cells would also allow the other mark.
    """

    decimal: str = "."
    is_assumed: bool = False

    def parse(self, cell: str) -> tuple[float, str] | None:
        """Value and unit of a cell; NaN where there is no value; None for text."""
        if len(cell) > _LONGEST:
            return None
        cell = tidied(cell)
        value = self._value(cell)
        if value is not None:
            return value, ""
        if not cell or _MISSING.fullmatch(cell):
            return math.nan, ""
        if _INFINITE.fullmatch(cell):
            return (-math.inf if cell[0] == "-" else math.inf), ""
        match = _WITH_UNIT.fullmatch(cell)
        if match is None:
            return None
        value = self._value(match["number"])
        return None if value is None else (value, match["unit"].replace(" ", ""))

    def bound(self, cell: str) -> float | None:
        """What a value exceeds by its cell: 10 for "> 10", infinity for "OL"; None for others."""
        if not 0 < len(cell) <= _LONGEST:
            return None
        cell = tidied(cell)
        match = _BEYOND.fullmatch(cell)
        if match is not None:
            return self._value(match["number"])
        return math.inf if _OFF_SCALE.fullmatch(cell) else None

    def _value(self, cell: str) -> float | None:
        is_plain = _IS_POINT if self.decimal == "." else _IS_COMMA
        if is_plain.fullmatch(cell):
            return _to_float(cell.replace(",", "."))
        match = _IS_GROUPED.fullmatch(cell)
        if match is None or _is_unclear(cell, match["mark"], self.decimal):
            return None
        digits = cell.replace(match["mark"], "")
        return _to_float(digits.replace(",", "."))


def _is_unclear(cell: str, mark: str, decimal: str) -> bool:
    """Whether groups of three may be something else: the other decimal mark, or a wrong one."""
    if mark == decimal or ("." if decimal == "," else ",") in cell.replace(mark, ""):
        return True
    return mark in ".," and cell.count(mark) == 1 and decimal not in cell


def _to_float(text: str) -> float:
    # A Fortran exponent (1.0D+03) is as clear as 1.0E+03.
    return float(text.replace("D", "e").replace("d", "e"))


def marks_of(cells: Iterable[str]) -> tuple[Numerals, tuple[str, str] | None]:
    """Which decimal mark cells use.

    Returns
    -------
    numerals : Numerals
    conflict : tuple of str or None
        Two cells that contradict each other, one with each mark.
    """
    first: dict[str, str] = {}
    for cell in cells:
        if "," in cell or ("." in cell and ("." not in first or cell.count(".") > 1)):
            first.setdefault(_mark_of(cell), cell)
    if "," in first and "." in first:
        return Numerals(), (first["."], first[","])
    if "," in first or (_EITHER in first and "." not in first):
        return Numerals(",", is_assumed="," not in first), None
    return Numerals(), None


def _mark_of(cell: str) -> str:
    """The decimal mark that a cell speaks for, `_EITHER`, or empty where it says nothing."""
    if len(cell) > _LONGEST:
        return ""
    match = _WITH_UNIT.fullmatch(tidied(cell))
    number = match["number"] if match else tidied(cell)
    if _AMBIGUOUS_COMMA.fullmatch(number):
        return _EITHER
    if _IS_POINT.fullmatch(number):
        return "."
    if _IS_COMMA.fullmatch(number):
        return ","
    grouped = _IS_GROUPED.fullmatch(number)
    return _decimal_of(number, grouped["mark"]) if grouped else ""


def _decimal_of(number: str, mark: str) -> str:
    """The decimal mark of a number with thousands marks."""
    if mark in ".,":
        return "," if mark == "." else "."
    return "," if "," in number else "."
