"""What people type, and what they read."""

from __future__ import annotations

import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.errors import ValueTextError
from fairlead.core.units import (
    DASH,
    format_frequency,
    format_mhz,
    format_number,
    format_signed,
    format_swr,
    is_span,
    mhz_decimals,
    parse_frequency_hz,
    parse_number,
    parse_span_hz,
)


@pytest.mark.parametrize(
    ("text", "expected_hz"),
    [
        ("14.2M", 14.2e6),
        ("145,5 MHz", 145.5e6),
        ("7100 kHz", 7.1e6),
        ("7100k", 7.1e6),
        ("1.296 GHz", 1296e6),
        ("1,296g", 1296e6),
        ("50.1", 50.1e6),
        ("50", 50e6),
        ("50.", 50e6),
        (".5 MHz", 0.5e6),
        ("+50 mhz", 50e6),
        ("14200000", 14.2e6),
        ("14200000 Hz", 14.2e6),
        ("100000", 100e3),
        ("99999", 99_999e6),
        ("5.02e7 Hz", 50.2e6),
        ("  50.313  MHz ", 50.313e6),
    ],
)
def test_typed_frequencies(text, expected_hz):
    assert parse_frequency_hz(text) == expected_hz


def test_decimals_are_meant_as_typed():
    """50.1 * 1e6 is 50099999.999999994 in binary."""
    assert parse_frequency_hz("50.1") == 50_100_000.0
    assert parse_frequency_hz("145.0375") == 145_037_500.0


def test_a_unit_from_elsewhere_serves_a_bare_number():
    assert parse_frequency_hz("7100", "kHz") == 7.1e6
    assert parse_frequency_hz("7.1 MHz", "kHz") == 7.1e6


@pytest.mark.parametrize(
    "text",
    ["", "abc", "MHz", "14.2.1", "1,000,000", "14 200", "0", "0 MHz", "-5 MHz", "1e400", "nan",
     "inf", "14.2 MHz extra", "٥٠ MHz"],
)  # fmt: skip
def test_what_is_no_frequency_is_refused_with_examples(text):
    with pytest.raises(ValueTextError) as caught:
        parse_frequency_hz(text)
    assert "50.5 MHz" in caught.value.advice


@pytest.mark.parametrize("text", ["50 parsec", "50 THz", "50 mm"])
def test_a_wrong_unit_is_named(text):
    with pytest.raises(ValueTextError, match=f'"{text.split()[1]}" is not a unit'):
        parse_frequency_hz(text)


def test_a_wrong_unit_of_the_other_edge_is_named_too():
    with pytest.raises(ValueTextError, match='"banana" is not a unit'):
        parse_span_hz("50:52banana")


@pytest.mark.parametrize(
    ("text", "low_hz", "high_hz"),
    [
        ("50:52MHz", 50e6, 52e6),
        ("50MHz:52", 50e6, 52e6),
        ("7000kHz:7200", 7e6, 7.2e6),
        ("900kHz:1.1MHz", 0.9e6, 1.1e6),
        ("50 - 52 MHz", 50e6, 52e6),
        ("50-52", 50e6, 52e6),
        ("50 -52", 50e6, 52e6),
        ("50–52 MHz", 50e6, 52e6),
        ("50…52 MHz", 50e6, 52e6),
        ("50..52 MHz", 50e6, 52e6),
        ("14,0 to 14,35 MHz", 14e6, 14.35e6),
        ("5e7:5.2e7", 50e6, 52e6),
        ("1e-1MHz-2MHz", 0.1e6, 2e6),
        ("1.4e+1:1.5e+1MHz", 14e6, 15e6),
    ],
)
def test_typed_spans(text, low_hz, high_hz):
    assert is_span(text)
    assert parse_span_hz(text) == (low_hz, high_hz)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("50", "is not a band"),
        ("", "is not a band"),
        ("50:51:52", "is not a band"),
        ("52:50", "not below"),
        ("50:50", "not below"),
        ("50:", "is not a frequency"),
        ("a:b", "is not a frequency"),
    ],
)
def test_what_is_no_span_is_refused(text, reason):
    with pytest.raises(ValueTextError, match=reason):
        parse_span_hz(text)


def test_names_and_single_frequencies_are_no_spans():
    assert not any(is_span(text) for text in ("6m", "70 cm", "14.2 MHz", "1e-3 MHz", "tomato"))


@pytest.mark.parametrize(("text", "value"), [("2", 2), (" 1,5 ", 1.5), ("-3.25", -3.25)])
def test_typed_numbers(text, value):
    assert parse_number(text, "the limit") == value


@pytest.mark.parametrize("text", ["", "two", "nan", "inf", "1e999", "2:1"])
def test_what_is_no_number_is_refused_by_name(text):
    with pytest.raises(ValueTextError, match="not a number for the limit"):
        parse_number(text, "the limit")


@pytest.mark.parametrize(
    ("step_hz", "decimals"),
    [(1e6, 2), (600e3, 2), (25e3, 3), (20e3, 3), (1e3, 5), (10, 6), (1e-3, 6), (0, 6), (1e9, 0)],
)
def test_decimals_follow_the_step_of_the_sweep(step_hz, decimals):
    assert mhz_decimals(step_hz) == decimals


def test_frequencies_as_text():
    assert format_mhz(50_313_000) == "50.313"
    assert format_mhz(50_313_000, 1) == "50.3"
    assert format_frequency(50_313_000) == "50.313 MHz"
    for missing in (None, math.nan, math.inf):
        assert format_mhz(missing) == format_frequency(missing) == DASH


@pytest.mark.parametrize(
    ("ratio", "text"),
    [(1, "1.00"), (1.236, "1.24"), (9.994, "9.99"), (10, "10.0"), (12.34, "12.3"), (100, "100"),
     (123.4, "123"), (9999, "9999"), (5_246_669.5, "> 9999"), (math.inf, "∞"), (None, DASH),
     (math.nan, DASH)],
)  # fmt: skip
def test_swr_as_text(ratio, text):
    assert format_swr(ratio) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.25, "+1.2"), (-1.25, "−1.2"), (0.04, "0.0"), (-0.04, "0.0"), (None, DASH),
     (math.nan, DASH), (math.inf, DASH)],
)  # fmt: skip
def test_signed_numbers_as_text(value, text):
    assert format_signed(value, 1) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(62.04, "62.0"), (-3.21, "−3.2"), (-0.01, "0.0"), (math.inf, "∞"), (-math.inf, "−∞"),
     (None, DASH), (math.nan, DASH)],
)  # fmt: skip
def test_numbers_as_text(value, text):
    assert format_number(value, 1) == text


@given(st.integers(1, 3_000_000_000))
def test_a_shown_frequency_typed_again_is_the_same(frequency_hz):
    assert parse_frequency_hz(format_frequency(frequency_hz, 6)) == frequency_hz


@given(st.text(max_size=20))
def test_nothing_typed_raises_anything_else(text):
    for parse in (parse_frequency_hz, parse_span_hz, lambda typed: parse_number(typed, "x")):
        with suppress(ValueTextError):
            parse(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("85.5", 85.5),
        ("85,5", 85.5),
        (" 85,50 ", 85.5),
        ("1,25", 1.25),
        ("1.234", 1.234),
        ("0,125", 0.125),
        ("1,2345", 1.2345),
        ("1234,500", 1234.5),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("1,234,567.25", 1234567.25),
        ("-3,5", -3.5),
        ("2e3", 2000.0),
    ],
)
def test_point_and_comma_are_both_decimal_signs(text, expected):
    assert parse_number(text, "a length") == expected


@pytest.mark.parametrize("text", ["1,234", "14,200", "-1,234", "100,000"])
def test_what_may_be_two_numbers_is_refused_with_both(text):
    with pytest.raises(ValueTextError) as caught:
        parse_number(text, "a length")
    assert text.replace(",", "") in caught.value.advice
    assert text.replace(",", ".") in caught.value.advice
    with suppress(ValueTextError):
        parse_frequency_hz(text.lstrip("-") + " MHz")
        pytest.fail("not refused")
    assert parse_frequency_hz(text.lstrip("-") + " GHz") < 1e12


@pytest.mark.parametrize("text", ["1_000", "nan", "inf", "1,2,3", "1.2.3", "1,23.4", "", ",", "٣"])
def test_what_python_takes_or_nobody_means_is_no_number(text):
    with pytest.raises(ValueTextError):
        parse_number(text, "a length")
    with pytest.raises(ValueTextError):
        parse_frequency_hz(text)
