"""Numbers of an axis of dates: steps of hours, days, months or years, whichever leave room."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import MAXYEAR, UTC, datetime, timedelta
from typing import TYPE_CHECKING

from fairlead.core.over_time.when import date_of, day_of

if TYPE_CHECKING:
    from collections.abc import Callable

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_HOUR = 1 / 24
# Steps in hours, days, months and years, with their usual length in days.
_STEPS: tuple[tuple[str, int, float], ...] = (
    *(("minute", n, n * _HOUR / 60) for n in (5, 10, 15, 30)),
    *(("hour", n, n * _HOUR) for n in (1, 2, 3, 6, 12)),
    *(("day", n, float(n)) for n in (1, 2, 7, 14)),
    *(("month", n, 30.4 * n) for n in (1, 2, 3, 6)),
    *(("year", n, 365.25 * n) for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)),
)
_MARGIN = 0.04
# In days; a sixth of a day is a hair off.
_ROUNDING = 1e-6
_LEAST_SPAN_DAYS = 1 / 24


@dataclass(frozen=True, slots=True)
class DateTick:
    """A date on the axis: days since 1970, and its text."""

    day: float
    text: str


def date_span(first_day: float, last_day: float) -> tuple[float, float]:
    """What the axis shows: all dates with a margin, and some room around a lone one."""
    span = max(last_day - first_day, _LEAST_SPAN_DAYS)
    middle = (first_day + last_day) / 2
    half = span * (0.5 + _MARGIN)
    return middle - half, middle + half


def date_ticks(
    low_day: float, high_day: float, length: float, width_of: Callable[[str], float], gap: float
) -> tuple[list[DateTick], str]:
    """The numbers of an axis, and its title.

    Parameters
    ----------
    low_day, high_day : float
    length : float
        Of the axis, in the unit of ``width_of`` and ``gap``.
    width_of : callable
        Width of a text.
    gap : float
        Smallest gap between two texts.
    """
    found: tuple[list[DateTick], str] = ([], "Date")
    for kind, step, days in _STEPS:
        if (high_day - low_day) / days > 200:
            continue
        ticks = [
            DateTick(day, _text(kind, day))
            for day in _days(kind, step, low_day, high_day)
            if low_day - _ROUNDING <= day <= high_day + _ROUNDING
        ]
        room = length * days / (high_day - low_day)
        if all(width_of(tick.text) + gap <= room for tick in ticks):
            return ticks, _title(kind, ticks)
        found = ticks[:1], _title(kind, ticks)
    return found


def _days(kind: str, step: int, low_day: float, high_day: float) -> list[float]:
    """Whole multiples of a step from just before the axis to its end."""
    if kind in ("minute", "hour", "day"):
        size = {"minute": _HOUR / 60, "hour": _HOUR, "day": 1.0}[kind] * step
        first = low_day // size
        return [(first + i) * size for i in range(int((high_day - low_day) / size) + 2)]
    start = date_of(low_day)
    months = step * (12 if kind == "year" else 1)
    whole = (start.year * 12 + start.month - 1) // months * months
    found: list[float] = []
    while True:
        year, month = divmod(whole, 12)
        whole += months
        if year > MAXYEAR:
            return found
        if year < 1:
            continue
        day = day_of(datetime(year, month + 1, 1, tzinfo=UTC).isoformat()) or 0.0
        if day > high_day:
            return found
        found.append(day)


def _text(kind: str, day: float) -> str:
    # Half a second more: a twelfth of a day is a hair before its hour.
    date = date_of(day) + timedelta(seconds=0.5)
    if kind in ("minute", "hour"):
        return f"{date:%H:%M}"
    if kind == "day":
        return f"{date.day} {_MONTHS[date.month - 1]}"
    return f"{_MONTHS[date.month - 1]} {date.year}" if kind == "month" else f"{date.year}"


def _title(kind: str, ticks: list[DateTick]) -> str:
    """The date or the year that the numbers leave out."""
    if not ticks or kind in ("month", "year"):
        return "Date"
    shown = "%Y-%m-%d" if kind in ("minute", "hour") else "%Y"
    ends = [f"{date_of(tick.day + 1e-6):{shown}}" for tick in (ticks[0], ticks[-1])]
    return f"Date ({' to '.join(dict.fromkeys(ends))})"
