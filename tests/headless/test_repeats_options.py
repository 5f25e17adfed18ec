"""Options for what came and went: sentences, JSON, Markdown, and wrong usage."""

from __future__ import annotations

import json

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

GRID_HZ = np.linspace(46e6, 56e6, 201)


@pytest.fixture
def files(tmp_path):
    """Dry, soaked and dry again, each with its time in the head."""
    sweeps = (("dry", 51e6, "10:00"), ("soaked", 50.6e6, "10:30"), ("dry-again", 50.96e6, "12:00"))
    for seed, (name, f0_hz, time) in enumerate(sweeps):
        gamma = SeriesCircuit(f0_hz, 42.0, 9.0).reflection(GRID_HZ)
        gamma = gamma + complex_noise(GRID_HZ.size, 0.002, seed)
        lines = [f"! Measured: 2026-05-14 {time}", "# HZ S RI R 50"]
        for f, g in zip(GRID_HZ.tolist(), gamma.tolist(), strict=True):
            lines.append(f"{f!r} {g.real!r} {g.imag!r}")
        (tmp_path / f"{name}.s1p").write_text("\n".join(lines) + "\n")
    return [f"{name}.s1p" for name, *_ in sweeps]


CHOSEN = ("--before", "dry", "--during", "soaked", "--after", "dry-again")


def test_the_sentences_stand_below_the_table(fairlead, files):
    done = fairlead("figures", *files, "--band", "50:52MHz", *CHOSEN)
    assert done.status == 0
    assert (
        "soaked, compared with a baseline between dry and dry-again at that time: best" in done.out
    )
    assert "Drift from dry to dry-again in 120 minutes: best match " in done.out
    listed = fairlead("figures", *files, *CHOSEN, "--as", "markdown")
    assert "\n- soaked, compared with a baseline between" in listed.out
    cable = fairlead("figures", *files, *CHOSEN[:4], "--differs", "cable")
    assert "the cable is part of the antenna, unless something else changed" in cable.out
    assert "never while transmitting" in cable.out


def test_the_sentences_stand_in_the_picture(fairlead, files, tmp_path):
    done = fairlead("picture", *files, *CHOSEN, "-o", "three.svg")
    assert (done.status, done.errors) == (0, [])
    assert "Drift from dry to dry-again in 120 minutes" in (tmp_path / "three.svg").read_text()
    wrong = fairlead("picture", *files, "--before", "dry", "-o", "three.svg")
    assert wrong.status == 2


def test_a_drying_curve_is_drawn_or_the_reason_given(fairlead, files, tmp_path):
    more = list(files)
    for seed, (at, left) in enumerate(((50, 0.5), (70, 0.25), (100, 0.09)), 10):
        gamma = SeriesCircuit(50.96e6 - left * 360e3, 42.0, 9.0).reflection(GRID_HZ)
        gamma = gamma + complex_noise(GRID_HZ.size, 0.002, seed)
        lines = [f"! Measured: 2026-05-14 {10 + at // 60}:{at % 60:02}", "# HZ S RI R 50"]
        for f, g in zip(GRID_HZ.tolist(), gamma.tolist(), strict=True):
            lines.append(f"{f!r} {g.real!r} {g.imag!r}")
        (tmp_path / f"drying-{at}.s1p").write_text("\n".join(lines) + "\n")
        more.append(f"drying-{at}.s1p")
    done = fairlead("picture", *more, *CHOSEN, "--drying", "-o", "drying.svg")
    assert (done.status, done.errors) == (0, [])
    text = (tmp_path / "drying.svg").read_text()
    assert "half of the remaining change is gone every" in text
    assert "Drying curve of 5 sweeps" in text
    few = fairlead("picture", *files, *CHOSEN, "--drying", "-o", "few.svg")
    assert few.status == 1
    assert "not written, because at least four sweeps" in few.errors[-1]
    none = fairlead("picture", *files, "--drying", "-o", "few.svg")
    assert "--during and --after are needed" in none.errors[-1]
    cable = fairlead("picture", *files, *CHOSEN, "--differs", "cable", "--drying", "-o", "a.svg")
    assert "there is no drying curve of these sweeps" in cable.errors[-1]


def test_json_has_numbers_and_what_is_not_known(fairlead, files):
    done = fairlead("figures", *files, *CHOSEN, "--as", "json")
    found = json.loads(done.out)["repeats"]
    assert found["minutes"] == [0, 30, 120]
    effect = found["figures"]["best_match_hz"]["effect"]
    assert effect["value"] == pytest.approx(-390e3, abs=8e3)
    low, high = effect["repeatability"]
    assert low < -390e3 < high
    typed = json.loads(
        fairlead("figures", *files, *CHOSEN, "--minutes", "0,60,120", "--as", "json").out
    )["repeats"]
    assert typed["figures"]["best_match_hz"]["effect"]["value"] == pytest.approx(-380e3, abs=8e3)
    assert json.loads(fairlead("figures", *files, "--as", "json").out)["repeats"] is None


@pytest.mark.parametrize(
    ("options", "reason"),
    [
        (("--before", "dry"), "give --before and --during"),
        (("--minutes", "0,1,2"), "need --before and --during"),
        (("--differs", "cable"), "need --before and --during"),
        ((*CHOSEN, "--minutes", "0,1"), "takes a time for each"),
        ((*CHOSEN[:4], "--minutes", "0,1,2"), "takes a time for each"),
        ((*CHOSEN, "--minutes", "0,soon,2"), "a time in minutes"),
        (("--before", "dry", "--during", "gone"), 'there is no sweep "gone"'),
    ],
)
def test_wrong_usage_is_one_line(fairlead, files, options, reason):
    done = fairlead("figures", *files, *options)
    assert done.status == 2
    assert reason in done.errors[-1]


def test_without_a_sweep_that_can_be_read_nothing_is_asked(fairlead):
    done = fairlead("figures", "gone.s1p", *CHOSEN)
    assert done.status == 1
