"""A matching network in the picture, where that is chosen."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from printed_benches import Ruler

from fairlead.app.drawing.marks import PATH_ENDS
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.match_part import printed_match
from fairlead.app.printing.shapes import Clipped, Line, Text
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.reading import open_sweeps

SAMPLES = Path(__file__).parents[3] / "samples"


@pytest.fixture(scope="module")
def bench():
    made = Bench().with_band(Band(50e6, 52e6))
    made = made.with_readings(open_sweeps(str(SAMPLES / "ground-plane-dry.s1p")))
    return made.with_advice(replace(made.advice, in_picture=True))


def on_chart(picture):
    clipped = [one for one in picture.smith.shapes if isinstance(one, Clipped)]
    return [shape for one in clipped for shape in one.shapes]


def test_the_way_and_what_to_build_are_in_the_picture(bench):
    picture = lay_out(bench, bench.picture, Ruler())
    plain = lay_out(
        bench.with_advice(replace(bench.advice, in_picture=False)), bench.picture, Ruler()
    )
    words = {one.text for one in on_chart(picture) if isinstance(one, Text)}
    assert set(PATH_ENDS) <= words
    assert not any(isinstance(one, Text) for one in on_chart(plain))
    antenna, matched = (
        next(one for one in on_chart(picture) if isinstance(one, Text) and one.text == end)
        for end in PATH_ENDS
    )
    assert not antenna.box.overlaps(matched.box)
    match = printed_match(bench, Analyses())
    lines = [one for one in on_chart(picture) if isinstance(one, Line)]
    start = picture.smith.place(complex(match.path[0][0]))
    assert any(tuple(line.points[0]) == pytest.approx(start) for line in lines)
    assert "What-if, on the Smith chart from the antenna on" in " ".join(
        t.text for t in picture.caption
    )


def test_a_network_that_cannot_be_found_is_said(bench):
    asked = replace(bench.advice, match_at="500 MHz")
    picture = lay_out(bench.with_advice(asked), bench.picture, Ruler())
    assert "No network is drawn: the sweep does not reach 500 MHz" in " ".join(
        one.text for one in picture.caption
    )


def test_a_kind_that_does_not_match_is_said(bench):
    """A section of the same impedance as the line cannot match anything."""
    asked = replace(bench.advice, section_line="RG-213", network="series section")
    said = printed_match(bench.with_advice(asked), Analyses()).remark
    assert "Nothing of the kind series section matches it." in said
