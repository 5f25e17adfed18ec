"""Numbers of an axis of dates, from minutes to centuries."""

from __future__ import annotations

import pytest

from fairlead.app.drawing.date_axis import date_span, date_ticks
from fairlead.core.over_time.when import day_of


def ticks(first, last, length=120.0):
    found, title = date_ticks(day_of(first), day_of(last), length, lambda text: 1.5 * len(text), 3)
    return [tick.text for tick in found], title


@pytest.mark.parametrize(
    ("first", "last", "texts", "title"),
    [
        (
            "2026-01-17T11:30",
            "2026-01-17T13:30",
            ["11:30", "11:45", "12:00", "12:15", "12:30", "12:45", "13:00", "13:15", "13:30"],
            "Date (2026-01-17)",
        ),
        (
            "2026-01-17T20:00",
            "2026-01-18T20:00",
            ["21:00", "00:00", "03:00", "06:00", "09:00", "12:00", "15:00", "18:00"],
            "Date (2026-01-17 to 2026-01-18)",
        ),
        ("2026-05-01", "2026-05-09", [f"{day} May" for day in range(1, 10)], "Date (2026)"),
        (
            "2025-12-30",
            "2026-02-10",
            ["1 Jan", "8 Jan", "15 Jan", "22 Jan", "29 Jan", "5 Feb"],
            "Date (2026)",
        ),
        (
            "2024-04-10",
            "2025-11-01",
            ["Jul 2024", "Oct 2024", "Jan 2025", "Apr 2025", "Jul 2025", "Oct 2025"],
            "Date",
        ),
        ("2011-04-10", "2020-11-01", [f"{year}" for year in range(2012, 2021)], "Date"),
    ],
)
def test_dates_are_whole_and_have_room(first, last, texts, title):
    found, words = ticks(first, last)
    assert words == title
    assert found == texts
    assert sum(1.5 * len(text) + 3 for text in found) < 123


def test_ends_of_the_calendar_and_no_room():
    found, title = ticks("0001-01-01", "9999-12-31")
    assert (title, found[-1]) == ("Date", "9000")
    assert len(ticks("2024-04-10", "2025-11-01", 6.0)[0]) <= 1


def test_a_lone_date_has_room_around_it():
    low, high = date_span(20000.0, 20000.0)
    assert low < 20000 < high
    low, high = date_span(0.0, 100.0)
    assert (low, high) == pytest.approx((-4, 104))
