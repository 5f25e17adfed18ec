"""Date and time of a measurement, where the head of a file states them beyond doubt.

Only dates with the year first (ISO 8601 and its cousin with slashes) are taken: whether 4/5/2026
is in April or in May is not known.
"""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

_DATE = r"(?<![0-9.])((?:19|20)[0-9]{2})([-/])([0-9]{2})\2([0-9]{2})(?![0-9.])"
_TIME = r"([0-2][0-9]):([0-5][0-9])(?::([0-5][0-9])(?:[.,][0-9]{1,9})?)?"
_STAMP = re.compile(rf"{_DATE}(?:[T_,; \t]{{1,3}}{_TIME}(?![0-9:]))?")
_LONE_TIME = re.compile(
    rf"\s*(?:time|uhrzeit|zeit|heure|hora|ora)\s*[:=,;\t ]\s*{_TIME}\s*", re.IGNORECASE
)
_ABOUT_MEASURING = re.compile(
    r"date|time|datum|zeit|fecha|fech|heure|data\b|measured|gemessen|mesur|medid|taken|saved|created"
    r"|acquired|recorded|exported|started|sweep|stamp",
    re.IGNORECASE,
)
_ABOUT_OTHERS = re.compile(
    r"calib|firmware|version|build|licen|copyright|due|valid|serial|revision|cal\b", re.IGNORECASE
)
_LONGEST = 300
_MOST_LINES = 100


def taken_at(lines: Iterable[str]) -> str:
    """Date, and time where it is there, in ISO 8601; empty where nothing is certain.

    Parameters
    ----------
    lines : iterable of str
        Comments and titles at the head of a file.

    Returns
    -------
    str
        "2026-05-14" or "2026-05-14T18:30:05"; empty where lines give none, or several that differ.
    """
    dates: set[str] = set()
    times: set[str] = set()
    for line, _ in zip(lines, range(_MOST_LINES), strict=False):
        lone = _LONE_TIME.fullmatch(line[:_LONGEST])
        if lone is not None:
            times.add(_clock(*lone.groups()))
        elif not _ABOUT_OTHERS.search(line):
            dates.update(_stamps(line[:_LONGEST]))
    if len(dates) != 1:
        return ""
    date = dates.pop()
    text = f"{date}T{times.pop()}" if len(times) == 1 and "T" not in date else date
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return ""
    return text


def _stamps(line: str) -> list[str]:
    """Dates in a line that speaks of the measurement, or of nothing else."""
    found = []
    for match in _STAMP.finditer(line):
        is_alone = not (line[: match.start()] + line[match.end() :]).strip("!#%;:*/ \t\"'Zz")
        if is_alone or _ABOUT_MEASURING.search(line):
            date = f"{match[1]}-{match[3]}-{match[4]}"
            found.append(f"{date}T{_clock(*match.groups()[4:])}" if match[5] else date)
    return found


def _clock(hour: str, minute: str, second: str | None) -> str:
    return f"{hour}:{minute}:{second}" if second else f"{hour}:{minute}"
