"""``--group`` and ``--repeats``: sweeps that belong together, named on the command line."""

from __future__ import annotations

import json

import pytest


@pytest.fixture
def units(write):
    """Five units of a kit and a reference."""
    for i in range(1, 6):
        write(f"unit-{i}.s1p", f0_hz=50.4e6 + 0.2e6 * i, r_ohm=48.0)
    write("old.s1p", f0_hz=51.2e6)
    return [f"unit-{i}.s1p" for i in range(1, 6)] + ["old.s1p"]


def test_a_group_by_a_pattern_has_its_spread_in_json_and_text(fairlead, units):
    told = fairlead(
        "figures", *units, "--band", "50:52MHz", "--group", "Kit=unit-*", "--as", "json"
    )
    assert (told.status, told.errors) == (0, [])
    (group,) = json.loads(told.out)["groups"]
    assert (group["label"], group["kind"]) == ("Kit", "units")
    assert group["members"] == [f"unit-{i}" for i in range(1, 6)]
    # The circuits are 200 kHz apart: sd = 200 kHz sqrt(10 / 4).
    assert group["figures"]["best_match_hz"]["sd"] == pytest.approx(316.2e3, rel=0.01)
    low_hz, high_hz = group["next_unit"]["best_match_hz"]
    # 2.7764 sd sqrt(1.2), t for 4 degrees of freedom.
    assert (high_hz - low_hz) / 2 == pytest.approx(2.7764 * 316.2e3 * 1.2**0.5, rel=0.01)
    text = fairlead("figures", *units, "--band", "50:52MHz", "--group", "Kit=unit-*").out
    assert "\nKit (5 units) " in text


def test_labels_and_files_with_commas_and_more_than_one_group(fairlead, units):
    told = fairlead(
        *("figures", *units, "--as", "json", "--group", "A=unit-1, UNIT-2.S1P"),
        *("--repeats", "B=unit-3,unit-4"),
    )
    first, second = json.loads(told.out)["groups"]
    assert first["members"] == ["unit-1", "unit-2"]
    assert (second["label"], second["kind"]) == ("B", "repeats")


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--group", "Kit"), "write NAME=SWEEPS"),
        (("--group", "=unit-*"), "write NAME=SWEEPS"),
        (("--group", "Kit=new-*"), 'there is no sweep "new-*"'),
        (("--group", "Kit=old"), "a group needs at least two sweeps"),
        (("--group", "A=unit-*", "--group", "B=unit-1,old"), 'is in the group "A"'),
    ],
)
def test_wrong_usage_is_one_line_and_status_2(fairlead, units, options, words):
    told = fairlead("figures", *units, *options)
    assert told.status == 2
    (line,) = told.errors
    assert words in line


def test_a_member_that_cannot_be_read_has_only_its_own_line(fairlead, units, tmp_path):
    (tmp_path / "unit-9.s1p").write_text("nothing\n")
    told = fairlead("figures", *units, "unit-9.s1p", "--group", "Kit=unit-*,unit-9", "--as", "json")
    assert told.status == 1
    assert len(told.errors) == 1
    assert len(json.loads(told.out)["groups"][0]["members"]) == 5
    nothing = fairlead("figures", "unit-9.s1p", "--group", "Kit=unit-*")
    assert (nothing.status, len(nothing.errors)) == (1, 1)
