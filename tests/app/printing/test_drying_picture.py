"""The picture of a drying curve: its sweeps on the curve, on the page."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.app.printing.drying_picture import lay_out_drying
from fairlead.app.printing.shapes import Box, Line, Mark, Text
from fairlead.app.printing.trace_style import COLOUR_INK
from fairlead.core.comparison.repeats.drying import drying_curve

MINUTES = (0.0, 15.0, 40.0, 80.0, 160.0, 300.0)
SIZE_MM = (160.0, 90.0)


@pytest.fixture
def drying():
    """Half of 300 kHz every 40 minutes, exactly."""
    values = [50.8e6 - 300e3 * 0.5 ** (one / 40) for one in MINUTES]
    return drying_curve(MINUTES, values, [500.0] * 6)


def test_the_curve_goes_through_the_sweeps(drying, ruler):
    assert drying.points == 6
    assert drying.half_time_minutes == pytest.approx(40, rel=1e-3)
    # After one half time half of the way is left (the definition).
    start, half = drying.at(np.array([0.0, drying.half_time_minutes])).tolist()
    assert half == pytest.approx((start + drying.end) / 2)
    page = lay_out_drying(
        drying, SIZE_MM, COLOUR_INK, "#0072b2", ruler, title="Drying", said=["Invented."]
    )
    marks = [shape for shape in page.shapes if isinstance(shape, Mark)]
    (curve,) = [shape for shape in page.shapes if isinstance(shape, Line)]
    for mark in marks:
        nearest = float(np.interp(mark.x, curve.points[:, 0], curve.points[:, 1]))
        assert mark.y == pytest.approx(nearest, abs=0.1)
    gaps = np.diff([mark.x for mark in marks])
    assert gaps / gaps[0] == pytest.approx(np.diff(MINUTES) / 15)
    for text in page.shapes:
        if isinstance(text, Text):
            assert Box(0, 0, *SIZE_MM).holds(text.box), text.text
    assert page.description == "Invented."


def test_without_title_noise_or_words(drying, ruler):
    values = [50.8e6 - 300e3 * 0.5 ** (one / 40) for one in (*MINUTES, 25.0)]
    bare = drying_curve((*MINUTES, 25.0), values, [None] * 7)
    page = lay_out_drying(bare, SIZE_MM, COLOUR_INK, "#0072b2", ruler)
    assert (page.title, page.description) == ("", "")
    # In the order of their times, whatever the order they came in.
    assert list(bare.minutes) == sorted(bare.minutes)
    assert len([shape for shape in page.shapes if isinstance(shape, Mark)]) == 7
    del drying
