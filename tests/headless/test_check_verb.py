"""``fairlead check``: what is suspect about each sweep, in plain lines."""

from __future__ import annotations

import json

import numpy as np
import pytest

from fairlead.app.headless.check import check
from fairlead.core.notice import Notice
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep


def test_a_good_sweep_has_nothing_suspect(fairlead, write):
    done = fairlead("check", write("a.s1p"))
    assert (done.status, done.errors) == (0, [])
    assert done.out.splitlines() == [
        "a (a.s1p)",
        "  241 points, 46 to 58 MHz, step 50 kHz, 50 Ω, with phase",
        "  nothing suspect",
    ]


def test_what_is_suspect_is_said_with_its_code(fairlead, write):
    # No unit in the option line: the standard says GHz, and 46 million of them are not likely.
    bare = write("bare.s1p", option="# S RI R 50")
    done = fairlead("check", write("a.s1p", option="# HZ S RI R 75"), bare, "--band", "2m")
    assert done.status in (0, 1)
    lines = done.out.splitlines()
    start = lines.index("a (a.s1p)")
    assert any(line.startswith("  reference-not-50: ") for line in lines[start : start + 5])
    assert "  band-not-covered: has nothing in the band 144 to 146 MHz" in lines
    assert "nothing suspect" not in done.out


def test_json_holds_the_same_and_what_could_not_be_read(fairlead, write):
    done = fairlead("check", write("a.s1p"), "gone.s1p", "--as", "json", "--band", "57:60MHz")
    assert done.status == 1
    assert len(done.errors) == 1
    found = json.loads(done.out)
    (sweep,) = found["sweeps"]
    assert sweep["points"] == 241
    assert (sweep["low_hz"], sweep["high_hz"], sweep["step_hz"]) == (46e6, 58e6, 50e3)
    assert (sweep["z0_ohm"], sweep["has_phase"], sweep["above_one"]) == (50.0, True, 0)
    assert [row["code"] for row in sweep["warnings"]] == ["band-not-covered"]
    assert "only in part" in sweep["warnings"][0]["text"]
    assert found["unread"][0]["file"] == "gone.s1p"


@pytest.mark.parametrize("arguments", [(), ("a.s1p", "--band", "7x"), ("a.s1p", "--limit", "3")])
def test_wrong_usage_of_check_is_one_line(fairlead, arguments):
    done = fairlead("check", *arguments)
    assert done.status == 2
    assert len(done.errors) == 1
    assert done.errors[0].startswith("fairlead check: ")


def test_impossible_points_are_counted_where_the_reader_was_silent():
    frequency_hz = np.linspace(50e6, 52e6, 21)
    gamma = np.full(21, 0.5 + 0j)
    gamma[3:5] = 1.1
    reading = Reading(Sweep(frequency_hz, gamma), "odd", "odd.s1p")
    checked = check(reading)
    assert checked.above_one == 2
    assert [notice.code for notice in checked.notices] == ["reflection-above-one"]
    assert "at 2 of 21 points" in checked.notices[0].text
    told = Reading(reading.sweep, "odd", "odd.s1p", (Notice("reflection-above-one", "seen"),))
    assert check(told).notices == told.notices
