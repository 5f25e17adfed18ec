"""When sweeps were taken, in minutes: from their dates or as typed."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from fairlead.core.errors import ValueTextError
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

_DATE_ALONE = len("2026-11-28")
NO_TIMES = "no date with a time of day is noted for each of them"
_MIXED = "some of their times state a time zone and others do not"


def minutes_from(dates: Sequence[str]) -> tuple[float, ...] | str:
    """Minutes since the first of some dates, in the same order.

    Parameters
    ----------
    dates : sequence of str
        As noted with the sweeps (`Circumstances.taken_at`).

    Returns
    -------
    tuple of float or str
        A string, the reason, if one of them has no time of day.
    """
    found = []
    for text in dates:
        try:
            found.append(datetime.fromisoformat(text.strip()))
        except ValueError:
            return NO_TIMES
        if len(text.strip()) <= _DATE_ALONE:
            return NO_TIMES
    if len({one.tzinfo is None for one in found}) > 1:
        return _MIXED
    return tuple((one - found[0]).total_seconds() / 60 for one in found)


def parse_minutes(text: str) -> tuple[float, ...]:
    """Minutes as typed: "0, 25, 70", or separated by spaces or semicolons.

    Raises
    ------
    ValueTextError
        If one of them is not a number.
    """
    words = text.replace(";", " ").replace(", ", " ").split()
    if len(words) == 1:
        words = words[0].split(",")
    if not all(words) or not words:
        raise ValueTextError(
            f'"{text.strip()}" is not a list of minutes', 'write for example "0, 25, 70"'
        )
    return tuple(parse_number(word, "a time in minutes") for word in words)
