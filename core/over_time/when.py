"""Dates of sweeps as numbers, and the unit of time in which a trend is told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

DAYS_A_YEAR = 365.25
_DAY_S = 86400.0
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class TimeUnit:
    """A unit of time: "a year", and how many days it has."""

    words: str
    days: float


_HOUR = TimeUnit("an hour", 1 / 24)
_DAY = TimeUnit("a day", 1.0)
_YEAR = TimeUnit("a year", DAYS_A_YEAR)
_MOST_DAYS_IN_HOURS, _MOST_DAYS_IN_DAYS = 2.0, 120.0


def day_of(text: str) -> float | None:
    """Days since 1970 of a date in ISO 8601, with or without a time; None for anything else.

    Without a zone it counts as UTC, so that dates as noted keep their distances.
    """
    try:
        found = datetime.fromisoformat(text.strip())
    except ValueError:
        return None
    if found.tzinfo is None:
        found = found.replace(tzinfo=UTC)
    return found.timestamp() / _DAY_S


def date_of(day: float) -> datetime:
    """The date of a day since 1970, in UTC.

    Raises
    ------
    OverflowError
        Beyond the years 1 to 9999.
    """
    return _EPOCH + timedelta(days=day)


def time_unit(span_days: float) -> TimeUnit:
    """The unit for a trend over so many days."""
    if span_days < _MOST_DAYS_IN_HOURS:
        return _HOUR
    return _DAY if span_days < _MOST_DAYS_IN_DAYS else _YEAR
