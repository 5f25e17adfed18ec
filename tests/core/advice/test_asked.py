"""Stations and lengths as people type them."""

from __future__ import annotations

import pytest

from fairlead.core.advice.asked import parse_length_mm, parse_station
from fairlead.core.advice.radio import TUNER
from fairlead.core.errors import FairleadError


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("985 mm", 985),
        ("98.5cm", 985),
        ("0,985 m", 985),
        ("38 in", 965.2),
        ('38"', 965.2),
        ("3.5 ft", 1066.8),
        ("2'", 609.6),
    ],
)
def test_a_length_has_a_unit(text, length_mm):
    assert parse_length_mm(text) == pytest.approx(length_mm)


@pytest.mark.parametrize("text", ["985", "0 mm", "long", "-5 mm"])
def test_what_is_no_length_is_refused(text):
    with pytest.raises(FairleadError, match="is not a length"):
        parse_length_mm(text)


def test_a_length_that_may_be_two_is_refused():
    """A cut cannot be undone: 1,385 mm may be a comma for thousands or for decimals."""
    with pytest.raises(FairleadError, match=r"may be 1\.385 or 1385"):
        parse_length_mm("1,385 mm")


def test_a_whole_station():
    found = parse_station("0.4 kW", "tuner", "RG-58, 12 m", "49:1, 0.5 dB")
    assert (found.power_w, found.radio, found.length_m) == (400, TUNER, 12.0)
    assert found.line.name == "RG-58"
    assert (found.transformer_ratio, found.transformer_loss_db) == (49.0, 0.5)


@pytest.mark.parametrize("nothing", [None, "", " "])
def test_without_line_and_transformer(nothing):
    found = parse_station("5", "fixed", nothing, nothing)
    assert (found.line, found.transformer_loss_db, found.transformer_ratio) == (None, 0.0, 1.0)
    assert parse_station("5", "fixed", None, "4").transformer_ratio == 4.0


@pytest.mark.parametrize("text", ["big", "49:2", "49:1, much", "9999:1"])
def test_what_is_no_transformer_is_refused(text):
    with pytest.raises(FairleadError):
        parse_station("5", "fixed", None, text)
