"""The rules and examples of the Touchstone specification itself.

Sources: [1.1] Touchstone File Format Specification 1.1, EIA/IBIS Open Forum 2002; [2.0] the same,
version 2.0, IBIS Open Forum 2009; TSIRD 4.1 and 5.1 (ibis.org/tsirds) for what 2.1 changed.
"""

from __future__ import annotations

import numpy as np
import pytest
from touchstone_text import codes, error_of, read, s11_of_oracle, text_of

from fairlead.core.reading.option_line import parse_option_line

# [1.1] example 1 (one point; a second one is added since a sweep needs two).
EXAMPLE_A = """! 1-port S-parameter file, single frequency point
# MHz S MA R 50
!freq magS11 angS11
2.000 0.894 -12.136
3.000 0.894 -12.136
"""
# [1.1] example 2, [2.0] example 9.
EXAMPLE_B = """! 1-port Z-parameter file, multiple frequency points
# MHz Z MA R 75
!freq magZ11 angZ11
100 0.99 -4
200 0.80 -22
300 0.707 -45
400 0.40 -62
500 0.01 -89
"""
# [2.0] example 10.
EXAMPLE_C = """!1-port Z-parameter file, multiple frequency points
[Version] 2.0
# MHz Z MA
[Number of Ports] 1
[Number of Frequencies] 5
[Reference] 20.0
[Network Data]
!freq magZ11 angZ11
100 74.25 -4
200 60 -22
300 53.025 -45
400 30 -62
500 0.75 -89
"""
# The impedances and reflections that these numbers stand for, computed from them in closed form.
Z_OHM = np.array(
    [
        74.069131 - 5.179418j,
        55.631031 - 22.476396j,
        37.494337 - 37.494337j,
        14.084147 - 26.488428j,
        0.013089 - 0.749886j,
    ]
)
B_AT_75_OHM = [
    -0.005031 - 0.034920j,
    -0.115256 - 0.191891j,
    -0.200085 - 0.399988j,
    -0.547026 - 0.459995j,
    -0.999451 - 0.019988j,
]
C_AT_20_OHM = [
    0.576066 - 0.023342j,
    0.514036 - 0.144421j,
    0.511873 - 0.318327j,
    0.268332 - 0.568615j,
    -0.995890 - 0.074786j,
]


def impedance(sweep):
    return sweep.z0_ohm * (1 + sweep.reflection) / (1 - sweep.reflection)


def test_example_a_is_read_as_its_numbers_say():
    sweep = read(EXAMPLE_A).sweep
    assert sweep.z0_ohm == 50
    assert sweep.frequency_hz.tolist() == [2e6, 3e6]
    assert sweep.reflection[0] == pytest.approx(0.874020295 - 0.187948195j, abs=1e-9)
    assert impedance(sweep)[0] == pytest.approx(196.076171 - 367.119229j, abs=1e-5)


def test_a_single_point_is_refused_with_advice():
    single = EXAMPLE_A.replace("3.000 0.894 -12.136\n", "")
    assert error_of(single, "a.s1p") == (
        "a.s1p: only 1 point above 0 Hz; a sweep needs at least 2 frequencies: measure more points"
    )


def test_example_b_is_normalised_to_its_75_ohm():
    reading = read(EXAMPLE_B)
    assert reading.sweep.z0_ohm == 75
    assert codes(reading) == ["reference-not-50"]
    np.testing.assert_allclose(reading.sweep.reflection, B_AT_75_OHM, atol=1e-6)
    np.testing.assert_allclose(impedance(reading.sweep), Z_OHM, atol=1e-6)


def test_example_c_is_in_ohm_whatever_the_reference():
    reading = read(EXAMPLE_C)
    assert reading.sweep.z0_ohm == 20
    np.testing.assert_allclose(reading.sweep.reflection, C_AT_20_OHM, atol=1e-6)
    np.testing.assert_allclose(impedance(reading.sweep), Z_OHM, atol=1e-6)


@pytest.mark.parametrize("text", [EXAMPLE_A, EXAMPLE_B, EXAMPLE_C])
def test_scikit_rf_reads_the_examples_alike(text):
    name = "x.ts" if "[" in text else "x.s1p"
    frequency_hz, reflection, z0_ohm = s11_of_oracle(text, name)
    sweep = read(text, name).sweep
    np.testing.assert_array_equal(sweep.frequency_hz, frequency_hz)
    np.testing.assert_allclose(sweep.reflection, reflection, rtol=1e-12)
    assert sweep.z0_ohm == z0_ohm


# -- rules ------------------------------------------------------------------------------------

PLAIN = "# MHz S RI R 50\n50 0.5 0.25\n51 -0.5 -0.25\n"


def same_values(reading):
    sweep = reading.sweep
    return sweep.frequency_hz.tolist() == [50e6, 51e6] and sweep.reflection.tolist() == [
        0.5 + 0.25j,
        -0.5 - 0.25j,
    ]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("case", [str, str.lower, str.upper])
def test_case_line_ends_tabs_and_blank_lines_do_not_matter(end, case):
    # [2.0]: ASCII, case-insensitive, tabs and blank lines allowed, LF, CR or CR LF.
    text = case(PLAIN).replace(" ", "\t").replace("\n", f"{end} {end}")
    assert same_values(read(text))


def test_a_comment_may_stand_anywhere():
    # [1.1]: an exclamation mark starts a comment up to the end of the line.
    text = "! first\n  ! indented\n# MHz S RI R 50 ! options\n50 .5 .25 ! good\n!\n51 -.5 -.25!bad"
    assert same_values(read(text))


@pytest.mark.parametrize(
    ("line", "unit_hz", "parameter", "form", "r"),
    [
        # [1.1], its examples of valid option lines
        ("#", 1e9, "s", "ma", 50),
        ("# GHz S RI R 100", 1e9, "s", "ri", 100),
        ("# KHz Y RI R 100", 1e3, "y", "ri", 100),
        ("# Hz Z MA R 1", 1, "z", "ma", 1),
        ("# KHz H RI R 1", 1e3, "h", "ri", 1),
        ("# Hz G MA R 1", 1, "g", "ma", 1),
        # any order, any case, glued
        ("# R 75 ri s mhz", 1e6, "s", "ri", 75),
        ("#dB MHZ", 1e6, "s", "db", 50),
        ("# MHz S RI R75", 1e6, "s", "ri", 75),
        ("# MHz S RI R=75.5", 1e6, "s", "ri", 75.5),
        ("# R 5.0D1 DB", 1e9, "s", "db", 50),
        ("# s S mhz MHz", 1e6, "s", "ma", 50),
    ],
)
def test_option_lines_in_any_order_with_defaults(line, unit_hz, parameter, form, r):
    options = parse_option_line(line, "f", 1)
    assert (options.unit_hz, options.parameter, options.form) == (unit_hz, parameter, form)
    assert options.references_ohm == (r,)


def test_what_an_option_line_leaves_out_is_said():
    options = parse_option_line("# s", "f", 1)
    assert options.missing == ("GHz", "MA", "R 50")
    reading = read("# s R 50\n1 .5 0\n2 .5 0\n")
    assert text_of(reading, "defaults-applied") == (
        "not in the option line, so the standard's defaults hold: GHz, MA"
    )
    assert codes(read(PLAIN)) == []


def test_only_the_first_option_line_counts():
    # [1.1]: further option lines are ignored.
    reading = read(PLAIN + "# GHz Z MA R 75\n# GHz S MA R 75\n")
    assert same_values(reading)
    assert reading.sweep.z0_ohm == 50
    assert text_of(reading, "option-line-repeated") == (
        "further option lines are ignored: lines 4, 5"
    )


@pytest.mark.parametrize(("unit", "hz"), [("Hz", 1), ("kHz", 1e3), ("MHz", 1e6), ("GHz", 1e9)])
def test_units_of_frequency(unit, hz):
    reading = read(f"# {unit} S RI R 50\n5000 .5 0\n6000 .5 0\n")
    assert reading.sweep.frequency_hz.tolist() == [5000 * hz, 6000 * hz]


def test_decibels_are_20_log_of_the_magnitude_and_angles_are_degrees():
    reading = read("# MHz S DB R 50\n50 -6.020599913279624 90\n51 0 180\n")
    np.testing.assert_allclose(reading.sweep.reflection, [0.5j, -1], atol=1e-15)


def test_normalised_admittance_is_divided_by_r_in_version_1():
    # Y of 25 ohm at R 100 is 0.04 S = 4 / 100 ohm, so the file says 4: G = (25 - 100) / 125.
    text = "# MHz Y RI R 100\n50 4 0\n51 4 0\n"
    np.testing.assert_allclose(read(text).sweep.reflection, [-0.6, -0.6], rtol=1e-15)


def test_admittance_is_in_siemens_in_version_2():
    text = (
        "[Version] 2.0\n# MHz Y RI R 100\n[Number of Ports] 1\n[Number of Frequencies] 2\n"
        "[Network Data]\n50 0.04 0\n51 0.04 0\n[End]\n"
    )
    reading = read(text)
    np.testing.assert_allclose(reading.sweep.reflection, [-0.6, -0.6], rtol=1e-15)
    assert codes(reading) == ["reference-not-50"]


def test_scientific_notation_and_fortran_exponents():
    text = "# Hz S RI R 50\n5.0E+07 5e-1 +2.5E-01\n5.1D+07 -.5d0 -25.D-2\n"
    assert same_values(read(text))


V2 = """[Version] 2.0
# MHz S RI R 75
[Number of Ports] 1
[Number of Frequencies] 2
{}[Network Data]
50 0.5 0.25
51 -0.5 -0.25
[End]
"""


@pytest.mark.parametrize("version", ["2.0", "2.1", "2"])
def test_reference_overrides_r_and_may_stand_on_its_own_line(version):
    for text in ("[Reference] 50\n", "[Reference]\n50.0\n", "[Reference] ! ohm\n\n  50 ! all\n"):
        reading = read(V2.format(text).replace("2.0", version))
        assert same_values(reading)
        assert reading.sweep.z0_ohm == 50
        assert codes(reading) == []


def test_reference_may_run_over_several_lines():
    # [2.0] example 4: four ports, values in the next lines.
    rows = "\n".join(f"{f} " + "0.25 0 " * 16 for f in (1, 2))
    text = (
        "[Version] 2.0\n# GHz S MA R 50\n[Number of Ports] 4\n[Reference]\n50 75\n0.01 0.01\n"
        f"[Number of Frequencies] 2\n[Network Data]\n{rows}\n[End]\n"
    )
    reading = read(text, "x.ts")
    assert reading.sweep.z0_ohm == 50
    assert codes(reading) == ["references-differ", "s11-of-multiport"]
    assert text_of(reading, "references-differ") == (
        "references of 50, 75, 0.01, 0.01 ohm are given: 50 ohm holds for port 1"
    )


def test_several_r_on_the_option_line():
    # TSIRD 5.1: one R a port on the option line.
    text = "# GHz S RI R 75 25\n1 .1 .2 0 0 0 0 .3 .4\n2 .1 .2 0 0 0 0 .3 .4\n"
    reading = read(text, "x.s2p")
    assert reading.sweep.z0_ohm == 75
    assert reading.sweep.reflection[0] == 0.1 + 0.2j
    assert codes(reading) == ["references-differ", "reference-not-50", "s11-of-multiport"]


def test_information_is_skipped_whatever_it_says():
    information = (
        "[Begin Information]\n[Foo] bar\n1 2 3 4 5\n# GHz\nplain text\n[End Information]\n"
    )
    reading = read(V2.format(information + "[Reference] 50\n"))
    assert same_values(reading)
    assert codes(reading) == []


def test_the_printed_misprint_of_version_is_understood():
    # [2.0] example 12 prints the number inside the bracket.
    reading = read(V2.format("[Reference] 50\n").replace("[Version] 2.0", "[Version 2.0]"))
    assert same_values(reading)
    assert text_of(reading, "keyword-misprint") == (
        "line 1: the value is inside the bracket; read as [Version] 2.0"
    )


def test_missing_required_keywords_are_said():
    # TSIRD 4.1: [End] is required; some examples of [2.0] lack it.
    text = "[Version] 2.0\n# MHz S RI R 50\n50 0.5 0.25\n51 -0.5 -0.25\n"
    reading = read(text)
    assert same_values(reading)
    assert text_of(reading, "keyword-missing") == (
        "version 2 requires [Number of Ports], [Number of Frequencies], [Network Data], [End]; "
        "read without"
    )


@pytest.mark.parametrize("tail", ["52 0 0\n", "[Network Data]\n", "[Begin Information]\n"])
def test_nothing_may_follow_the_end(tail):
    # TSIRD 4.1: text after [End] is an error.
    what = "numbers" if tail[0] != "[" else "a keyword"
    assert error_of(V2.format("") + "\n! a comment may\n" + tail).startswith(
        f"unit 1.s1p:11: {what} after [End]; "
    )


def test_a_count_of_frequencies_that_differs_is_said():
    text = V2.format("").replace("Frequencies] 2", "Frequencies] 5")
    assert text_of(read(text), "frequency-count-differs") == (
        "the file announces 5 frequencies and holds 2"
    )


def test_noise_data_are_skipped():
    text = V2.format("").replace("[End]", "[Noise Data]\n4 0.7 0.64 69 0.38\n18 2 .4 -33 .4\n[End]")
    reading = read(text)
    assert len(reading.sweep) == 2
    assert text_of(reading, "noise-left-out") == "rows of noise data left out: 2"


def test_version_1_may_be_stated():
    # Then Z is normalised: 0.5 at 100 ohm is 50 ohm.
    text = "[Version] 1.1\n# MHz Z RI R 100\n50 0.5 0\n51 0.5 0\n"
    np.testing.assert_allclose(read(text).sweep.reflection, -1 / 3, rtol=1e-15)
