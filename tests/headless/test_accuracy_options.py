"""The analyzer's errors on the command line, and intervals in what the verbs print."""

from __future__ import annotations

import json

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

GRID_HZ = np.linspace(46e6, 58e6, 201)


@pytest.fixture
def file(tmp_path):
    gamma = SeriesCircuit(51e6, 60, 8).reflection(GRID_HZ) + complex_noise(201, 1e-4, 0)
    rows = [f"{f:.0f} {g.real:.6f} {g.imag:.6f}" for f, g in zip(GRID_HZ, gamma, strict=True)]
    path = tmp_path / "dry.s1p"
    path.write_text("# Hz S RI R 50\n" + "\n".join(rows) + "\n", "ascii")
    return str(path)


def intervals(fairlead, *arguments):
    done = fairlead("figures", *arguments, "--band", "50:52MHz", "--as", "json")
    return json.loads(done.out)["sweeps"][0]["intervals"]


def test_without_them_repeatability_stands_alone(fairlead, file):
    found = intervals(fairlead, file)
    assert found["best_match_hz"]["accuracy"] is None
    low, high = found["best_match_hz"]["repeatability"]
    assert low < 51e6 < high


def test_a_directivity_bounds_the_best_match_by_d_f_over_q(fairlead, file):
    """60 ohm, Q 8: f G' = 7.934j, f^2 G'' = 138.5, G = 1/11; D |G'| / (|G'|^2 + G G'')."""
    found = intervals(fairlead, file, "--directivity", "40dB")
    low, high = found["best_match_hz"]["accuracy"]
    assert (high - low) / 2 == pytest.approx(
        0.01 * 51e6 * 7.934 / (7.934**2 + 138.5 / 11), rel=0.02
    )


def test_how_it_was_calibrated_stands_for_all_three_and_each_can_be_given(fairlead, file):
    usual, wider = (
        intervals(fairlead, file, "--calibrated", "own-kit", *more)["swr_low_edge"]["accuracy"]
        for more in ([], ["--tracking", "1,5", "--source-match", "20 dB"])
    )
    assert wider[1] - wider[0] > usual[1] - usual[0]


@pytest.mark.parametrize(
    "arguments",
    [
        ["--source-match", "30"],
        ["--directivity", "high"],
        ["--directivity", "-3"],
        ["--calibrated", "well"],
    ],
)
def test_wrong_usage_is_said_in_one_line(fairlead, file, arguments):
    done = fairlead("figures", file, *arguments)
    assert done.status == 2
    assert len(done.errors) == 1
