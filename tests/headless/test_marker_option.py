"""``--marker``: all sweeps read off at a frequency, from the command line."""

from __future__ import annotations

import json

import pytest


def test_markers_are_read_off_in_every_form(fairlead, write):
    write("dry.s1p", f0_hz=51e6, r_ohm=36.5)
    asked = ("figures", "dry.s1p", "--marker", "net=51MHz", "--marker", "200 MHz")
    told = fairlead(*asked, "--as", "json")
    assert (told.status, told.errors) == (0, [])
    near, far = json.loads(told.out)["markers"]
    assert (near["name"], near["values"][0]["label"]) == ("net", "dry")
    assert near["values"][0]["resistance_ohm"] == pytest.approx(36.5, abs=0.01)
    assert far["values"][0]["why_not"]["swr"] == "outside the sweep"
    text = fairlead(*asked).out
    assert "At 51 MHz, net" in text
    assert "dry: outside the sweep." in text
    assert "| At 51 MHz, net |" in fairlead(*asked, "--as", "markdown").out
    assert "swr_at_51_mhz" in fairlead(*asked, "--as", "csv").out.splitlines()[0]


def test_what_is_no_frequency_is_wrong_usage_before_any_file_is_read(fairlead):
    told = fairlead("figures", "missing.s1p", "--marker", "beacon")
    assert told.status == 2
    assert told.errors[0].startswith('fairlead figures: "beacon" is not a frequency; write for')


def test_a_picture_has_the_markers_unless_they_are_not_wanted(fairlead, write, tmp_path):
    write("dry.s1p", f0_hz=51e6, r_ohm=36.5)
    asked = ("picture", "dry.s1p", "--marker", "beacon=51MHz")
    assert fairlead(*asked, "-o", "with.svg").status == 0
    assert fairlead(*asked, "--markers", "no", "-o", "without.svg").status == 0
    assert fairlead("picture", "dry.s1p", "-o", "plain.svg").status == 0
    drawn, without, plain = (
        (tmp_path / f"{name}.svg").read_text("utf-8").count("<")
        for name in ("with", "without", "plain")
    )
    # A line, its name, and a table of three lines.
    assert drawn > without + 5
    assert without == plain
