"""Feed lines as they are typed."""

from __future__ import annotations

import pytest

from fairlead.core.errors import FairleadError
from fairlead.core.line_text import parse_length_m, parse_line


@pytest.mark.parametrize(
    ("text", "length_m"),
    [
        ("12m", 12.0),
        ("12.5 m", 12.5),
        ("12,5 m", 12.5),
        ("40 ft", 12.192),
        ("10'", 3.048),
        (".5 metres", 0.5),
    ],
)
def test_lengths(text, length_m):
    assert parse_length_m(text) == pytest.approx(length_m)


@pytest.mark.parametrize("text", ["12", "m", "-3 m", "1,234 ft", "1.2.3 m", "20000 m", "twelve m"])
def test_what_is_no_length(text):
    with pytest.raises(FairleadError):
        parse_length_m(text)


def test_a_type_and_a_length_in_any_order():
    for text in ("RG-58,12m", "12 m, rg58", " rg-58 , 12 m ,"):
        line, length_m = parse_line(text)
        assert (line.name, length_m) == ("RG-58", 12.0)


def test_numbers_of_its_own():
    line, length_m = parse_line("z0=75, vf=0.82, k1=1.1, k2=0.01, 40 ft")
    assert (line.z0_ohm, line.velocity_factor, line.k1_db, line.k2_db) == (75, 0.82, 1.1, 0.01)
    assert length_m == pytest.approx(12.192)
    assert parse_line("RG-58, 3 m, vf=0.68")[0].velocity_factor == 0.68


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("RG-58", "no length"),
        ("12 m", "does not name a feed line"),
        ("", "does not name a feed line"),
        ("RG-58, RG-213, 3 m", "one feed line too many"),
        ("string, 3 m", "not a known feed line"),
        ("RG-58, 3 m, vf=3", "velocity factor"),
    ],
)
def test_what_cannot_be_understood(text, what):
    with pytest.raises(FairleadError, match=what):
        parse_line(text)
