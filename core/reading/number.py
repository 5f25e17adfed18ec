"""What counts as a number in a sweep file, and how to say what is wrong with one that does not.

Python's own ``float`` is too generous for files: it takes ``1_000``, Arabic digits and ``nan``.
"""

from __future__ import annotations

import math
import re

# A Fortran exponent (1.0D+03) is as clear as 1.0E+03.
# Digits are matched possessively (++): a million digits and a letter must not take a day.
_NUMBER = re.compile(r"[+-]?(?:[0-9]++(?:\.[0-9]*+)?|\.[0-9]++)(?:[eEdD][+-]?[0-9]++)?")
_NOT_FINITE = re.compile(r"[+-]?(?:nan.*|inf.*|1\.#\w+|-+|\*+)", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+(?:[eEdD][+-]?[0-9]+)?")
_SHOWN = 24

SEPARATORS = ",;"


def is_number(token: str) -> bool:
    """Whether ``token`` is written as a plain number, exponent allowed."""
    return _NUMBER.fullmatch(token) is not None


def parse_number(token: str) -> float | None:
    """Value of ``token``, or None where it is no finite number."""
    if not is_number(token):
        return None
    value = float(token.replace("D", "e").replace("d", "e"))
    return value if math.isfinite(value) else None


def number_problem(token: str) -> tuple[str, str]:
    """Say why ``token`` is no usable number.

    Returns
    -------
    reason, advice : str
        For a `ReadError`.
    """
    word = shown(token)
    if is_number(token) or _NOT_FINITE.fullmatch(token):
        return f"{word} is not a finite number", "remove that point or measure it again"
    if _DECIMAL_COMMA.fullmatch(token):
        return (
            f"{word} has a decimal comma",
            "write decimal points: export with English number format",
        )
    if "," in token:
        return (
            f"numbers joined by commas: {word}",
            "Touchstone separates numbers by blanks: replace the commas by blanks",
        )
    return f"{word} is not a number", "repair or remove that line"


def shown(text: str) -> str:
    """``text`` quoted for a one-line message: control characters escaped, long text cut."""
    short = text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
    return repr(short)
