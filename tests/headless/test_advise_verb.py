"""``fairlead advise``: power, one tuning for all, length and match from the command line."""

from __future__ import annotations

import json

import pytest

FILES = ("dry.s1p", "wet.s1p")


@pytest.fixture
def files(write):
    return [write("dry.s1p", 50.828e6, 50.0, 6.6), write("wet.s1p", 49.006e6, 50.0, 6.6)]


def test_the_whole_answer_as_text(fairlead, files):
    done = fairlead(
        *("advise", *files, "--band", "50:52MHz", "--power", "100W", "--radio", "tuner"),
        *("--line", "RG-58,12m", "--shift", "--trim", "1385mm", "--match", "51MHz"),
    )
    assert (done.status, done.errors) == (0, [])
    for words in (
        "Power into the antenna, not radiated",
        "Tune 2.17 % higher",
        "make it shorter",
        "L network at 51 MHz",
        "a lossless tuner at the radio",
        "Local codes, your licence and qualified people come before this program.",
    ):
        assert words in done.out


def test_json_keeps_its_contract(fairlead, files):
    done = fairlead("advise", *files, "gone.s1p", "--band", "6m", "--shift", "--as", "json")
    assert done.status == 1
    found = json.loads(done.out)
    assert found["shift"]["shift_percent"] == pytest.approx(2.167, abs=2e-3)
    assert found["shift"]["worst_swr"] == pytest.approx(1.640, abs=2e-3)
    assert [one["label"] for one in found["sweeps"]] == ["dry", "wet"]
    assert {one["place"] for one in found["sweeps"][0]["places"]} == {
        *("low_edge", "high_edge", "best_match", "worst")
    }
    assert found["trim"] is None
    assert found["unread"][0]["file"] == "gone.s1p"


def test_tuner_or_not_makes_the_published_difference(fairlead, write):
    """1 dB of line, SWR 3 at the antenna: 0.7073 with a tuner, 0.5957 without (closed form)."""
    file = write("three.s1p", 50e6, 150.0, 1e-3)
    powers = []
    for radio in ("tuner", "fixed"):
        done = fairlead(
            *("advise", file, "--band", "50:51MHz", "--radio", radio, "--as", "json"),
            *("--line", "z0=50,vf=0.66,k1=1.41421,k2=0,10m", "--power", "1 kW"),
        )
        places = {one["place"]: one for one in json.loads(done.out)["sweeps"][0]["places"]}
        powers.append(places["low_edge"]["power_w"])
    assert powers == pytest.approx([707.3, 595.7], rel=2e-3)


def test_markdown_for_a_newsletter(fairlead, files):
    done = fairlead("advise", *files, "--band", "50:52MHz", "--as", "markdown")
    assert done.out.count("\n## ") == 4
    assert "| dry | worst point |" in done.out


def test_what_two_sweeps_say_of_a_millimetre(fairlead, write):
    files = [write("now.s1p", 50.6e6, 50.0, 6.6), write("before.s1p", 50.4e6, 50.0, 6.6)]
    done = fairlead(
        *("advise", *files, "--band", "50:52MHz", "--trim", "--target", "51MHz"),
        *("--before", "before", "--cut", "5mm", "--taken-at", "feed", "--as", "json"),
    )
    assert json.loads(done.out)["trim"]["hz_per_mm"] == pytest.approx(40e3, rel=1e-2)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--power", "lots"), "number for the power"),
        (("--radio", "valve"), "not a kind of radio"),
        (("--line", "string"), "not a known feed line"),
        (("--transformer", "big"), "is not a transformer"),
        (("--trim", "985"), "is not a length"),
        (("--trim", "--before", "dry"), "--before and --cut belong together"),
        (("--target", "51MHz"), "--target belongs to --trim"),
        (("--part",), "--part belongs to --trim"),
        (("--before", "dry", "--cut", "5mm"), "--before belongs to --trim"),
        (("--trim", "--before", "nobody", "--cut", "5mm"), "there is no sweep"),
        (("--match", "everywhere"), "is not a frequency"),
    ],
)
def test_wrong_usage_is_one_line_and_status_2(fairlead, files, options, words):
    done = fairlead("advise", *files, "--band", "50:52MHz", *options)
    assert done.status == 2
    assert len(done.errors) == 1
    assert words in done.errors[0]
