"""Date and time of a measurement: only what the head of a file says beyond doubt."""

from __future__ import annotations

import pytest
from table_text import read_one

from fairlead.core.reading.clock import taken_at
from fairlead.core.reading.touchstone import parse


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (["Date: 2026-05-14"], "2026-05-14"),
        (["2026-05-14"], "2026-05-14"),
        (["! 2026-05-14 18:30:05 !"], "2026-05-14T18:30:05"),
        (["measured 2026-05-14T18:30"], "2026-05-14T18:30"),
        (["Datum;2026-05-14;18:30"], "2026-05-14T18:30"),
        (["Date: 2026/05/14 18:30"], "2026-05-14T18:30"),
        (["2026-05-14T18:30:05.123Z"], "2026-05-14T18:30:05"),
        (["Date: 2026-05-14", "Time: 18:30:05"], "2026-05-14T18:30:05"),
        (["Date: 2026-05-14", "Uhrzeit 18:30"], "2026-05-14T18:30"),
        (["Date: 2026-05-14", "saved 2026-05-14"], "2026-05-14"),
        (["Date: 2026-05-14", "calibrated 2026-01-02"], "2026-05-14"),
        (["Date: 2026-05-14 18:30", "Time: 19:00"], "2026-05-14T18:30"),
        (["Date: 2026-05-14", "Time: 18:30", "Time: 19:30"], "2026-05-14"),
        # Nothing is certain here.
        ([], ""),
        (["Date: 14.05.2026"], ""),
        (["Date: 05/14/2026"], ""),
        (["antenna 2026-05-14 rev B of the club"], ""),
        (["firmware 1.2 date 2026-05-14"], ""),
        (["Date: 2026-05-14", "saved 2026-05-15"], ""),
        (["Date: 2026-13-14"], ""),
        (["Date: 2026-02-30 18:30"], ""),
        (["Date: 2026-05-14 25:30"], ""),
        (["Time: 18:30"], ""),
        (["no 12026-05-141"], ""),
        ([*["x"] * 100, "Date: 2026-05-14"], ""),
    ],
)
def test_date_and_time(lines, expected):
    assert taken_at(lines) == expected


def test_tables_and_touchstone_files_say_when_they_were_measured():
    reading = read_one("# Date: 2026-05-14 18:30\nMHz,SWR\n50,1.5\n51,1.4\n")
    assert reading.taken_at == "2026-05-14T18:30"
    text = "! Date: 2026-05-14 18:30\n# MHz S RI R 50\n50 .1 .2\n51 .1 .2\n"
    assert parse(text.encode(), "a.s1p").taken_at == "2026-05-14T18:30"
    text = "# MHz S RI R 50\n50 .1 .2 ! 2026-05-14\n51 .1 .2 ! 2026-05-15\n"
    assert parse(text.encode(), "a.s1p").taken_at == ""
