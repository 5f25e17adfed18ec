"""Tables on the command line: read by their headings, or by what --columns says."""

from __future__ import annotations

import json

import pytest

ROWS = "46.0;1,50;2,0\n51.0;1,25;1,8\n58.0;1,60;2,2\n".replace(".", ",")
PLAN = "frequency=1:MHz,swr=3"


@pytest.fixture
def table(tmp_path):
    """Writes a table; the file's name is returned."""

    def write(name, head=""):
        (tmp_path / name).write_text(head + ROWS)
        return name

    return write


def test_headings_suffice(fairlead, table):
    done = fairlead("figures", table("roof.csv", "MHz;SWR;remark\n"), "--as", "json")
    assert (done.status, done.errors) == (0, [])
    (sweep,) = json.loads(done.out)["sweeps"]
    assert sweep["label"] == "roof"
    assert sweep["has_phase"] is False
    assert sweep["q"] is None
    assert sweep["swr_low_edge"] == pytest.approx(1.5)


def test_two_columns_are_two_sweeps(fairlead, table):
    done = fairlead("figures", table("roof.csv", "MHz;SWR dry;SWR wet\n"), "--as", "json")
    assert [row["label"] for row in json.loads(done.out)["sweeps"]] == ["roof dry", "roof wet"]


def test_without_headings_one_line_says_what_to_type(fairlead, table, write):
    done = fairlead("figures", table("roof.csv"), write("a.s1p"), "--as", "json")
    assert done.status == 1
    (line,) = done.errors
    assert line == (
        "roof.csv:1: the columns have no headings; say which column is what, for example "
        '--columns "frequency=1:MHz,swr=2"'
    )
    found = json.loads(done.out)
    assert [row["label"] for row in found["sweeps"]] == ["a"]
    assert found["unread"][0]["reason"] == "the columns have no headings"


@pytest.mark.parametrize("arguments", [("figures", "--as", "json"), ("check", "--as", "json")])
def test_the_plan_is_taken_by_the_verbs(fairlead, table, write, arguments):
    verb, *options = arguments
    done = fairlead(verb, table("roof.csv"), write("a.s1p"), "--columns", PLAN, *options)
    assert (done.status, done.errors) == (0, [])
    roof, circuit = json.loads(done.out)["sweeps"]
    assert (roof["label"], roof["points"], roof["has_phase"]) == ("roof", 3, False)
    assert (roof["low_hz"], roof["high_hz"]) == (46e6, 58e6)
    assert circuit["has_phase"] is True


def test_the_plan_is_taken_by_the_picture(fairlead, table, tmp_path):
    done = fairlead("picture", table("roof.csv"), "--columns", PLAN, "-o", "roof.png")
    assert (done.status, done.errors) == (0, [])
    assert (tmp_path / "roof.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("verb", ["figures", "check"])
@pytest.mark.parametrize("plan", ["swr=3", "frequency=1:MHz", "frequency=1:MHz,gain=2", ""])
def test_a_plan_that_is_none_is_wrong_usage(fairlead, table, verb, plan):
    done = fairlead(verb, table("roof.csv"), "--columns", plan)
    assert done.status == 2
    assert len(done.errors) == 1
    assert done.errors[0].startswith(f"fairlead {verb}: ")


def test_check_says_which_sweep_was_there_before(fairlead, write):
    done = fairlead("check", write("a.s1p"), write("b.s1p"), write("c.s1p", r_ohm=50.0))
    assert done.out.count("same-content: ") == 1
    assert '  suspect: same-content: has the same numbers as "a"' in done.out
