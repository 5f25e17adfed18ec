"""Bands by name and by edges, as people type them. The edges themselves: tests/published."""

from __future__ import annotations

import pytest

from fairlead.core.band_tables import (
    NATIONAL_RULES,
    REGION_TEXT,
    REGIONS,
    allocations,
    find_band,
    parse_band,
)
from fairlead.core.bands import Band
from fairlead.core.errors import ValueTextError


@pytest.mark.parametrize(
    "text", ["6m", "6 m", " 6 M ", "6 metres", "6 meter", "6m/R1", "6m R1", "6 m, Region 1", "6mr1"]
)
def test_spellings_of_a_name(text):
    assert find_band(text) == Band(50e6, 52e6, "6 m, Region 1")


@pytest.mark.parametrize("text", ["6m/R2", "6 m, Region 2", "6m ITU Region 2", "6m,r2"])
def test_a_region_in_the_name_wins(text):
    assert find_band(text, 3) == Band(50e6, 54e6, "6 m, Region 2")


def test_the_asked_region_is_used_otherwise():
    assert find_band("80m", 3).high_hz == 3.9e6
    assert find_band("70 cm", 2) == Band(420e6, 450e6, "70 cm, Region 2")
    assert find_band("1,25 m", 2) == find_band("1.25m", 2)


@pytest.mark.parametrize("text", ["", "50", "5m", "6", "m", "six metres", "6m/R4", "6 cm", "-6m"])
def test_what_is_no_band_is_refused_with_the_choices(text):
    with pytest.raises(ValueTextError, match="no band") as caught:
        find_band(text)
    assert "160m" in caught.value.advice
    assert "33cm" not in caught.value.advice


def test_the_error_speaks_of_the_region_that_was_asked():
    with pytest.raises(ValueTextError, match=r'no band "33cm/R3" in Region 3') as caught:
        find_band("33cm/R3", 2)
    assert "33cm" not in caught.value.advice
    with pytest.raises(ValueTextError, match="in Region 1"):
        find_band("1.25m")


@pytest.mark.parametrize(
    ("text", "low_hz", "high_hz"),
    [
        ("50:52MHz", 50e6, 52e6),
        ("50-52 MHz", 50e6, 52e6),
        ("50 – 52", 50e6, 52e6),
        ("50 to 52 MHz", 50e6, 52e6),
        ("144MHz..146MHz", 144e6, 146e6),
        ("7000 kHz : 7200", 7e6, 7.2e6),
        ("3,5-3,8M", 3.5e6, 3.8e6),
    ],
)
def test_edges_make_a_custom_band(text, low_hz, high_hz):
    assert parse_band(text) == Band(low_hz, high_hz)


def test_a_name_makes_a_published_band():
    assert parse_band("2m", 2) == Band(144e6, 148e6, "2 m, Region 2")


@pytest.mark.parametrize("text", ["52:50MHz", "50:", ":52", "50:52:54", "50:50", "0:52"])
def test_bad_edges_are_refused(text):
    with pytest.raises(ValueTextError):
        parse_band(text)


@pytest.mark.parametrize("region", REGIONS)
def test_every_published_band_is_found_by_its_own_name(region):
    for row in allocations(region):
        assert parse_band(row.band.name) == row.band


def test_the_program_says_that_national_rules_come_first():
    assert "country" in NATIONAL_RULES
    assert set(REGION_TEXT) == set(REGIONS)
