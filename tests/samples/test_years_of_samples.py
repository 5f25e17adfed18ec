"""The trend of the roof antenna over its years: what is told, and what is not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fairlead.app.__main__ import main

YEARS = str(Path(__file__).parents[2] / "samples" / "years")


@pytest.mark.parametrize("options", [(), ("--directivity", "48dB")])
def test_the_loose_screw_stands_out_and_hides_the_creeping(capsys, options):
    """The truth is some 30 kHz a year; one autumn is off by 0.2 MHz and stays in the line."""
    assert main(["trend", YEARS, "--band", "6m", "--as", "json", *options]) == 0
    told = json.loads(capsys.readouterr().out)
    best = told["figures"]["best_match_hz"]
    assert [one["label"] for one in best["points"] if one["stands_out"]] == ["ground-plane-2023-10"]
    slope = best["slope_per_day"]
    assert not slope["resolved"]
    half = slope["half_with_accuracy"] if options else slope["half"]
    assert abs(slope["value"] * 365.25 + 30e3) < half * 365.25
    alone = "−27 ± 36 kHz a year" if options else "−27 ± 15 kHz a year"
    assert best["sentences"][1].endswith(f"the others alone: {alone}.")
