"""What a reader assumes, leaves out or finds odd is said in a notice with a stable code."""

from __future__ import annotations

import numpy as np
import pytest
from touchstone_text import codes, read, text_of

HEAD = "# MHz S RI R 50\n"
GOOD = "50 0.5 0.25\n51 0.5 0.25\n"


def test_a_plain_file_needs_no_notice():
    assert read(HEAD + GOOD).notices == ()


# -- no option line ----------------------------------------------------------------------------


def test_without_option_line_the_defaults_hold_and_are_said():
    reading = read("! unit 1\n0.050 0.5 90\n0.051 0.5 90\n", "unit 1.txt")
    assert reading.sweep.frequency_hz.tolist() == [50e6, 51e6]
    np.testing.assert_allclose(reading.sweep.reflection, [0.5j, 0.5j], atol=1e-16)
    assert codes(reading) == ["defaults-applied"]
    assert text_of(reading, "defaults-applied") == (
        "no option line: read as GHz S MA R 50, the standard's defaults"
    )


def test_implausible_frequencies_are_said_loudly():
    reading = read("50000000 -9.5 90\n51000000 -9.6 90\n")
    assert codes(reading) == [
        "defaults-applied",
        "magnitude-negative",
        "frequency-implausible",
        "reflection-above-one",
    ]
    assert text_of(reading, "frequency-implausible") == (
        "frequencies from 5e+07 GHz to 5.1e+07 GHz are implausible "
        "(no option line: GHz is the standard's default)"
    )
    assert text_of(reading, "magnitude-negative") == (
        "2 of 2 magnitudes are negative, first in line 1: the numbers may be decibels"
    )
    assert text_of(reading, "reflection-above-one") == (
        "|reflection| above 1 at 2 of 2 points, largest 9.6 at 5.1e+07 GHz: "
        "the numbers may be in another format than the file says"
    )


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("# GHz S RI R 50", "the option line says GHz"),
        ("# S RI R 50", "the option line has no unit: GHz is the standard's default"),
    ],
)
def test_frequencies_in_hertz_behind_an_option_line_in_gigahertz(line, why):
    reading = read(f"{line}\n5e7 .1 .2\n5.1e7 .1 .2\n")
    assert text_of(reading, "frequency-implausible") == (
        f"frequencies from 5e+07 GHz to 5.1e+07 GHz are implausible ({why})"
    )


def test_megahertz_behind_an_option_line_in_hertz():
    reading = read("# Hz S RI R 50\n50 .1 .2\n51 .1 .2\n")
    assert text_of(reading, "frequency-implausible") == (
        "frequencies from 50 Hz to 51 Hz are implausible (the option line says Hz)"
    )


def test_a_wrapped_block_that_names_its_format_is_read_in_hertz():
    # Blocks of rows in Hz, dB and degrees between BEGIN, DB and END come from instruments.
    text = "BEGIN\nDB\n50000000.0 -6.020599913279624 90\n51000000.0 -6.020599913279624 90\nEND\n"
    reading = read(text)
    assert reading.sweep.frequency_hz.tolist() == [50e6, 51e6]
    np.testing.assert_allclose(reading.sweep.reflection, [0.5j, 0.5j], atol=1e-15)
    assert codes(reading) == ["unit-assumed"]
    assert text_of(reading, "unit-assumed") == (
        "no option line: read as Hz S DB R 50, because a line says DB and frequencies reach 5.1e+07"
    )


def test_a_format_word_alone_says_nothing_about_low_numbers():
    reading = read("BEGIN\nRI\n50.0 .5 .25\n51.0 .5 .25\nEND\n")
    assert reading.sweep.frequency_hz.tolist() == [50e9, 51e9]
    assert reading.sweep.reflection[0] == 0.5 + 0.25j
    assert text_of(reading, "defaults-applied") == (
        "no option line: read as GHz S RI R 50, the standard's defaults"
    )


def test_a_wrapped_block_in_hertz_may_still_be_implausible():
    reading = read("DB\n5e7 -6 90\n9e12 -6 90\n")
    assert text_of(reading, "frequency-implausible") == (
        "frequencies from 50 MHz to 9000 GHz are implausible (no option line: read as Hz)"
    )


def test_a_format_word_fills_in_what_the_option_line_leaves_out():
    reading = read("# MHz S R 50\nDB\n50 0 90\n51 0 90\n")
    np.testing.assert_allclose(reading.sweep.reflection, [1j, 1j], atol=1e-15)
    assert codes(reading) == []


# -- wrappers and comments ---------------------------------------------------------------------


def block(rows, count):
    digits = str(count)
    return f"BEGIN\n#{len(digits)}{digits}!instrument\n! a comment! another\n{HEAD}{rows}\nEND\n"


def test_an_instrument_block_header_in_front_is_skipped():
    reading = read(block(GOOD, 70))
    assert len(reading.sweep) == 2
    assert codes(reading) == []


def test_a_block_that_ends_too_early_is_said():
    assert text_of(read(block(GOOD, 8066)), "block-cut-short") == (
        "the instrument announces a block of 8066 bytes and at most 93 follow: "
        "the sweep may be cut short"
    )


@pytest.mark.parametrize("header", ["#0", "#214", "#219"])
def test_a_block_header_may_be_followed_by_the_option_line(header):
    assert codes(read(header + HEAD + GOOD)) == []


def test_a_block_header_may_be_followed_by_a_keyword():
    text = "#210[Version] 1.1\n" + HEAD + GOOD
    assert codes(read(text)) == []


def test_a_hash_line_without_options_is_a_comment():
    reading = read("# made by a script, 2 m above ground\n#---\n" + HEAD + "#\n" + GOOD)
    assert len(reading.sweep) == 2
    assert text_of(reading, "hash-comment") == (
        "not an option line, taken as a comment: lines 1, 2"
    )


def test_a_hash_comment_may_hold_a_word_that_is_an_option():
    reading = read("# S parameters of unit 1\n# R antenna on the roof\n" + HEAD + GOOD)
    assert codes(reading) == ["hash-comment"]


def test_many_ignored_lines_are_counted_not_listed():
    reading = read(HEAD + GOOD + "# GHz S MA\n" * 5)
    assert text_of(reading, "option-line-repeated") == (
        "further option lines are ignored: lines 4, 5, 6 and 2 more"
    )
    assert text_of(read(HEAD + GOOD + "# GHz S MA\n"), "option-line-repeated").endswith(": line 4")


def test_separators_at_the_ends_of_words_are_ignored():
    reading = read(HEAD + "50 0.5 0.25 ,\n51, 0.5, 0.25;\n52;0.5;0.25\n53 .5 .25 ; \n")
    assert reading.sweep.reflection.tolist() == [0.5 + 0.25j] * 4
    assert text_of(reading, "separators-ignored") == (
        "7 commas or semicolons between numbers ignored"
    )


def test_keywords_without_version_are_read_as_2_0_where_that_cannot_matter():
    reading = read("[Number of Ports] 1\n[Number of Frequencies] 2\n" + HEAD + GOOD)
    assert text_of(reading, "version-missing") == "line 1: keywords without [Version]; read as 2.0"
    assert codes(reading) == ["version-missing", "keyword-missing"]
    without_options = read("[Number of Ports] 1\n1 .5 0\n2 .5 0\n")
    assert "version-missing" in codes(without_options)
    assert "defaults-applied" in codes(without_options)


def test_unknown_keywords_are_said():
    reading = read("[Version] 1.0\n[Some Thing] 5\n" + HEAD + GOOD + "[End Information]\n")
    assert text_of(reading, "unknown-keyword") == "ignored: '[Some Thing]' in line 2"


def test_port_impedances_in_comments_are_reported_not_applied():
    rows = (
        "50 .1 .2\n! Gamma ! 0.1 2.5\n! Port Impedance 272.8 0.0\n"
        "51 .3 .4\n! Gamma ! 0.1 2.5\n! Port Impedance273.5 -1.5\n"
    )
    reading = read(HEAD + rows)
    assert reading.sweep.reflection.tolist() == [0.1 + 0.2j, 0.3 + 0.4j]
    assert reading.sweep.z0_ohm == 50
    assert text_of(reading, "port-impedance-in-comments") == (
        "comments give port impedances of R 272.8 to 273.5 and X -1.5 to 0 ohm; the reflection "
        "is kept as written, and R and X of the sweep assume 50 ohm"
    )


def test_a_port_impedance_of_50_ohm_is_worth_a_notice_where_r_is_another():
    reading = read("# MHz S RI R 75\n50 .1 .2\n! Port Impedance 50 0\n51 .1 .2\n")
    assert codes(reading) == ["reference-not-50", "port-impedance-in-comments"]


@pytest.mark.parametrize(
    "comment",
    [
        "! Port Impedance 50.0 0.0",
        "! Port Impedance",
        "! Port Impedance a b",
        "! the impedance 7 8",
    ],
)
def test_comments_that_say_nothing_new_about_impedance_are_left_alone(comment):
    assert codes(read(HEAD + f"50 .1 .2\n{comment}\n51 .1 .2 {comment}\n")) == []


# -- points ------------------------------------------------------------------------------------


def test_reflection_above_one_is_kept_and_counted():
    reading = read(HEAD + "50 .5 .25\n51 1.002 0\n52 0 -1.05\n")
    assert reading.sweep.reflection[2] == -1.05j
    assert text_of(reading, "reflection-above-one") == (
        "|reflection| above 1 at 2 of 3 points, largest 1.05 at 52 MHz"
    )


def test_total_reflection_written_as_an_angle_is_not_above_one():
    assert (
        codes(read("# MHz S MA R 50\n" + "".join(f"{f} 1 {3 * f}\n" for f in range(50, 99)))) == []
    )


def test_points_at_zero_hertz_are_left_out():
    reading = read(HEAD + "0 1 0\n" + GOOD)
    assert reading.sweep.frequency_hz.tolist() == [50e6, 51e6]
    assert text_of(reading, "zero-frequency-left-out") == "the point at 0 Hz in line 2 is left out"


def test_points_out_of_order_are_sorted():
    reading = read(HEAD + "52 .2 0\n51 .1 0\n50 .0 0\n53 .3 0\n")
    assert reading.sweep.frequency_hz.tolist() == [50e6, 51e6, 52e6, 53e6]
    assert reading.sweep.reflection.tolist() == [0, 0.1, 0.2, 0.3]
    assert text_of(reading, "points-out-of-order") == (
        "frequency goes back 2 times, first in line 3: sorted; "
        "if the file holds several sweeps, split it"
    )
    once = read(HEAD + "50 .2 0\n52 .1 0\n51 .0 0\n")
    assert text_of(once, "points-out-of-order").startswith("frequency goes back once, ")


def test_of_equal_frequencies_the_first_stays():
    reading = read(HEAD + "50 .1 0\n51 .2 0\n52 .3 0\n51 .9 0\n50 .8 0\n")
    assert reading.sweep.reflection.tolist() == [0.1, 0.2, 0.3]
    assert text_of(reading, "duplicate-frequencies") == (
        "2 points at a frequency that was there before left out, first in line 5"
    )


@pytest.mark.parametrize("value", ["0 0", "1 0"])
def test_a_port_that_was_not_measured_is_said(value):
    reading = read(HEAD + f"50 {value}\n51 {value}\n52 {value}\n")
    assert text_of(reading, "nothing-measured") == (
        f"the reflection is exactly {value[0]} at every point: nothing was measured"
    )
    assert codes(read(HEAD + f"50 {value}\n51 {value}\n52 .9 0\n")) == []


def test_a_constant_reflection_that_somebody_measured_is_left_alone():
    assert codes(read(HEAD + "50 -1 0\n51 -1 0\n")) == []


def test_whole_hertz_are_whole_hertz_in_any_unit():
    # In binary, 4.1 times 1e6 is 4099999.9999999995, and 8.3 times 1e6 is 8300000.000000001.
    assert (4.1 * 1e6, 8.3 * 1e6) != (4.1e6, 8.3e6)
    in_mhz = "# MHz S RI R 50\n{} 0 .1\n{} 0 .2\n"
    in_hz = "# Hz S RI R 50\n4100000 0 .1\n8300000 0 .2\n"
    assert read(in_mhz.format("4.1", "8.3")).sweep == read(in_hz).sweep
    fraction = read(in_mhz.format("4.10000025", "8.3")).sweep
    assert fraction.frequency_hz[0] == pytest.approx(4100000.25, abs=1e-8)
