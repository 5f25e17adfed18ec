"""Bands and the rules for moving an edge."""

from __future__ import annotations

import math

import pytest

from fairlead.core.bands import MINIMUM_WIDTH_HZ, Band, move_band, move_edge
from fairlead.core.errors import ValueTextError

SIX = Band(50e6, 52e6, "6 m, Region 1")


@pytest.mark.parametrize(
    ("low_hz", "high_hz"),
    [(52e6, 50e6), (50e6, 50e6), (0, 1e6), (-1, 1e6), (1e6, math.inf), (math.nan, 1e6)],
)
def test_what_is_no_band_is_refused(low_hz, high_hz):
    with pytest.raises(ValueTextError, match="does not exist") as caught:
        Band(low_hz, high_hz)
    assert caught.value.advice


def test_width_and_edges():
    assert SIX.width_hz == 2e6
    assert SIX.edge_hz("low") == 50e6
    assert SIX.edge_hz("high") == 52e6


def test_a_moved_edge_makes_a_custom_band_on_whole_hertz():
    moved = move_edge(SIX, "low", 50_123_456.7)
    assert moved == Band(50_123_457.0, 52e6)
    assert moved.name is None
    assert move_edge(SIX, "high", 51.5e6) == Band(50e6, 51.5e6)


def test_an_edge_that_does_not_move_keeps_the_band_and_its_name():
    assert move_edge(SIX, "low", 50_000_000.4) is SIX
    assert move_edge(SIX, "high", 52e6) is SIX


def test_no_edge_passes_the_other():
    assert move_edge(SIX, "low", 99e6) == Band(52e6 - MINIMUM_WIDTH_HZ, 52e6)
    assert move_edge(SIX, "high", 1.0) == Band(50e6, 50e6 + MINIMUM_WIDTH_HZ)


def test_no_edge_goes_below_1_hertz():
    assert move_edge(SIX, "low", -5e6) == Band(1.0, 52e6)


@pytest.mark.parametrize("edge", ["low", "high"])
@pytest.mark.parametrize("to_hz", [math.nan, math.inf, -math.inf])
def test_a_place_off_the_axis_moves_nothing(edge, to_hz):
    assert move_edge(SIX, edge, to_hz) is SIX
    assert move_band(SIX, to_hz) is SIX


def test_a_band_with_no_room_below_it_stays():
    tiny = Band(50, 90)
    assert move_edge(tiny, "low", 20) is tiny


def test_a_narrow_band_can_be_widened():
    narrow = Band(1000.5, 1040.5)
    assert move_edge(narrow, "high", 1050) == Band(1000.5, 1101.0)
    assert move_edge(narrow, "low", 1035) == Band(940.0, 1040.5)


def test_a_moved_band_keeps_its_width_and_loses_its_name():
    assert move_band(SIX, 51e6 + 0.2) == Band(51e6, 53e6)
    assert move_band(SIX, 50_000_000.3) is SIX
    assert move_band(SIX, -7e6) == Band(1.0, 2_000_001.0)


def test_an_edge_between_two_hertz_dragged_back_has_not_moved():
    band = Band(50_000_000.4, 52_000_000.5, "own")
    assert move_edge(band, "low", 50_000_000.4) is band
    assert move_edge(band, "high", 52_000_000.5) is band
