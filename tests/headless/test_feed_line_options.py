"""Options of the feed line: figures at the feed point, not at the radio."""

from __future__ import annotations

import json

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.feed_line import seen_through
from fairlead.core.line_types import line_of_type

GRID_HZ = np.linspace(46e6, 58e6, 241)
RG_58 = line_of_type("RG-58")
CIRCUIT = SeriesCircuit(51e6, 62.0, 8.0)


@pytest.fixture
def put(tmp_path):
    def put(name, frequency_hz, gamma):
        lines = [
            "# HZ S RI R 50",
            *(
                f"{f!r} {g.real!r} {g.imag!r}"
                for f, g in zip(map(float, frequency_hz), map(complex, gamma), strict=True)
            ),
        ]
        (tmp_path / name).write_text("\n".join(lines) + "\n")
        return name

    return put


@pytest.fixture
def files(put):
    at_feed = CIRCUIT.reflection(GRID_HZ)
    line_hz = np.linspace(2e6, 60e6, 301)
    far = {"open.s1p": np.ones(301), "short.s1p": -np.ones(301)}
    for name, end in far.items():
        put(name, line_hz, seen_through(RG_58, 12.0, line_hz, end.astype(complex), 50.0))
    return (
        put("feed.s1p", GRID_HZ, at_feed),
        put("radio.s1p", GRID_HZ, seen_through(RG_58, 12.0, GRID_HZ, at_feed, 50.0)),
    )


def figures(done):
    assert done.status == 0, done.errors
    return {one["label"]: one for one in json.loads(done.out)["sweeps"]}


@pytest.mark.parametrize(
    "line",
    [("--line", "RG-58,12m"), ("--line-measured", "open.s1p,short.s1p")],
    ids=["type", "measured"],
)
def test_the_sweep_at_the_radio_gives_the_figures_of_the_feed_point(fairlead, files, line):
    done = fairlead(
        "figures", *files, "--band", "50:52MHz", *line, "--line-for", "radio", "--as", "json"
    )
    found = figures(done)
    feed, radio = found["feed"], found["radio"]
    assert radio["best_match_hz"] == pytest.approx(feed["best_match_hz"], abs=20)
    assert radio["q"] == pytest.approx(feed["q"], rel=1e-3)
    assert radio["worst_swr"] == pytest.approx(feed["worst_swr"], rel=1e-4)
    assert radio["resonance_resistance_ohm"] == pytest.approx(62.0, rel=1e-3)
    assert (feed["plane"], radio["plane"]) == ("feed", "feed")
    assert feed["steps"] == []
    assert radio["steps"][0]["kind"] == "line-taken-away"


def test_put_in_it_shows_what_the_radio_sees(fairlead, files):
    done = fairlead(
        "figures", *files, "--line", "RG-58,12m", "--line-for", "feed", "--at", "radio",
        "--as", "json",
    )  # fmt: skip
    found = figures(done)
    assert found["feed"]["q"] == pytest.approx(found["radio"]["q"], rel=1e-6)
    changes = json.loads(done.out)["changes"][0]
    assert changes["q_ratio"] is None, "at the radio Q is that of line and antenna"


def test_without_a_line_nothing_is_moved_and_it_says_so(fairlead, files):
    done = fairlead("figures", *files, "--at", "feed", "--as", "json")
    assert done.status == 1
    assert len(done.errors) == 2
    assert "give --line" in done.errors[0]
    assert json.loads(done.out)["sweeps"][0]["plane"] is None


def test_where_sweeps_were_taken_can_be_told_and_an_earlier_statement_stands(fairlead, files):
    """What a ceiling cannot rule out, a lossy line, the user rules out."""
    found = figures(fairlead("figures", *files, "--taken-at", "feed", "--as", "json"))
    assert [one["plane"] for one in found.values()] == ["feed", "feed"]
    # Where it was taken decides which way a line leads: here to the radio's end.
    line = ("--line", "RG-58,12m", "--at", "radio")
    done = fairlead("figures", files[0], "--taken-at", "feed", *line, "--as", "json")
    (found,) = figures(done).values()
    assert (found["plane"], found["steps"][0]["kind"]) == ("radio", "line-put-in")
    done = fairlead("figures", files[0], "--taken-at", "radio", "--at", "feed", "--as", "json")
    assert done.status == 1
    assert "give --line" in done.errors[0]


def test_a_broad_antenna_told_to_be_at_its_feed_point_covers_its_band(fairlead, put):
    hz = np.linspace(100e6, 400e6, 201)
    wide = put("wide.s1p", hz, SeriesCircuit(200e6, 60.0, 0.15).reflection(hz))
    for more, covers in (((), "cannot tell"), (("--taken-at", "feed"), "yes")):
        done = fairlead("figures", wide, "--band", "150:250MHz", *more, "--as", "json")
        (found,) = figures(done).values()
        assert found["verdict"]["covers"] == covers
        done = fairlead("check", wide, "--band", "150:250MHz", *more, "--as", "json")
        assert json.loads(done.out)["sweeps"][0]["verdict"]["covers"] == covers


def test_a_line_beyond_its_law_is_reported(fairlead, files):
    done = fairlead("figures", files[1], "--line", "9913,3m", "--as", "json")
    assert done.errors == []
    done = fairlead("figures", files[1], "--line", "RG-174,3m", "--as", "json")
    assert done.errors == []
    done = fairlead("figures", files[1], "--line", "window line 400, 3m", "--as", "json")
    (line,) = done.errors
    assert "radio: the loss of window line 400 is known from 1 to 30 MHz only" in line


def test_a_sweep_without_phase_takes_the_loss_of_a_fitting_line_only(fairlead, tmp_path):
    (tmp_path / "meter.csv").write_text(
        "MHz,SWR\n" + "\n".join(f"{50 + i / 10},1.5" for i in range(21))
    )
    done = fairlead("figures", "meter.csv", "--line", "RG-59,3m", "--as", "json")
    assert done.status == 1
    assert "without phase" in done.errors[0]
    done = fairlead("figures", "meter.csv", "--line", "RG-58,12m", "--as", "json")
    (found,) = json.loads(done.out)["sweeps"]
    assert found["worst_swr"] > 1.6
    assert found["q"] is None


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--line", "string,3m"], "not a known feed line"),
        (["--line", "RG-58"], "no length"),
        (["--line", "RG-58,3m", "--line-measured", "open.s1p,"], "not allowed with"),
        (["--line-measured", "missing.s1p,"], "no such file"),
        (["--line-measured", ","], "does not name"),
        (["--line-measured", "radio.s1p,"], "no line that is open"),
        (["--line-for", "radio"], "give --line"),
        (["--line", "RG-58,3m", "--line-for", "nobody"], "there is no sweep"),
    ],
)
def test_wrong_usage(fairlead, files, arguments, words):
    done = fairlead("figures", *files, *arguments)
    assert done.status == 2
    assert len(done.errors) == 1
    assert words in done.errors[0]
    assert done.out == ""


def test_the_picture_says_where_it_is_seen(fairlead, files, tmp_path):
    done = fairlead(
        "picture", *files, "--line", "RG-58,12m", "--line-for", "radio", "-o", "out.svg"
    )
    assert done.status == 0, done.errors
    assert "12 m RG-58 removed" in (tmp_path / "out.svg").read_text("utf-8")


def test_check_looks_at_the_feed_point(fairlead, files):
    """Removing too long a line leaves a delay with the wrong sign, which is reported."""
    found = {}
    for length in ("12m", "20m"):
        done = fairlead("check", files[1], "--line", f"RG-58,{length}", "--as", "json")
        assert done.status == 0, done.errors
        (one,) = json.loads(done.out)["sweeps"]
        found[length] = {warning["code"] for warning in one["warnings"]}
    assert "turns-backwards" not in found["12m"]
    assert "turns-backwards" in found["20m"]


def test_export_writes_what_is_seen_at_the_feed_point_only_when_asked(fairlead, files, tmp_path):
    done = fairlead("export", files[1], "--line", "RG-58,12m", "-o", "out.s1p")
    assert done.status == 2
    assert "--what shown" in done.errors[0]
    done = fairlead("export", files[1], "--line", "RG-58,12m", "--what", "shown", "-o", "out.s1p")
    assert done.status == 0, done.errors
    text = (tmp_path / "out.s1p").read_text("utf-8")
    assert "12 m RG-58 removed" in text
    rows = np.loadtxt(tmp_path / "out.s1p", comments=["!", "#"])
    assert np.abs(rows[:, 1] + 1j * rows[:, 2] - CIRCUIT.reflection(GRID_HZ)).max() < 1e-6
