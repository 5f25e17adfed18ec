"""The SWR axis: places, numbers, and back."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fairlead.core.views.scale import SWR_TOP_HIGHEST as TOP_HIGHEST
from fairlead.core.views.scale import SWR_TOP_LOWEST as TOP_LOWEST
from fairlead.core.views.scale import SwrScale
from fairlead.core.views.scale import swr_position as place

ratio_at = SwrScale().value_at


def ticks(top, height):
    return [
        place_to_ratio(tick.position) for tick in SwrScale().ticks((0.0, top), 22 * top / height)
    ]


def place_to_ratio(at):
    return round((1 + at) / (1 - at), 6)


@pytest.mark.parametrize(
    ("ratio", "published"),
    [(1.1, 0.05), (1.2, 0.09), (1.5, 0.20), (2.0, 0.33), (3.0, 0.50), (5.0, 0.67), (10.0, 0.82)],
)
def test_places_are_the_published_magnitudes(ratio, published):
    """Two places: table of LZ1LEN, "transmission line" (qslnet.de)."""
    assert place(ratio) == pytest.approx(published, abs=0.005)
    assert ratio_at(place(ratio)) == pytest.approx(ratio)


def test_places_outside_the_axis_are_clipped():
    assert ratio_at(-0.3) == 1.0
    assert 1e6 < ratio_at(1.7) < float("inf")


@pytest.mark.parametrize("top", [TOP_LOWEST, 0.2, 0.5, 0.75, 0.85, TOP_HIGHEST])
@pytest.mark.parametrize("height", [90, 250, 600, 1200])
def test_numbers_start_at_one_and_never_crowd(top, height):
    found = ticks(top, height)
    assert found[0] == 1
    assert len(found) >= 2
    pixels = [place(ratio) / top * height for ratio in found]
    gaps = [b - a for a, b in pairwise(pixels)]
    assert min(gaps) >= 22 - 1e-9
    assert pixels[-1] <= height


def test_the_usual_numbers_come_first():
    assert ticks(0.82, 220) == [1, 1.2, 1.5, 2, 3, 5, 10]
