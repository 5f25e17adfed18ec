"""Which columns are read where there are several, what is assumed, and what is asked."""

from __future__ import annotations

import numpy as np
import pytest
from table_text import asked, codes, error_of, mhz, read, read_one, swr_of, text_of

from fairlead.core.reading.tables import ColumnPlan, NeedsColumnsError


def plan_of(text):
    """The plan that a table is offered with, or was read by."""
    return asked(text).preview.guess.text()


# -- unit of frequency -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "expected", "unit"),
    [
        (("14000000", "14350000"), [14.0, 14.35], "Hz"),
        (("1800000", "54000000"), [1.8, 54.0], "Hz"),
        (("50", "52.5"), [50.0, 52.5], "MHz"),
        (("1.8", "30"), [1.8, 30.0], "MHz"),
        (("430.0", "440"), [430.0, 440.0], "MHz"),
    ],
)
def test_a_unit_that_numbers_can_only_mean_is_assumed_and_said(cells, expected, unit):
    reading = read_one(f"Frequency,SWR\n{cells[0]},1.5\n{cells[1]},1.4\n")
    assert mhz(reading) == expected
    assert text_of(reading, "frequency-unit-assumed") == (
        f"column 1 'Frequency': no unit of frequency is given, {unit} is assumed from the numbers"
    )


@pytest.mark.parametrize(
    ("cells", "guess"),
    [
        (("1.8", "2.0"), "MHz"),
        (("3.4", "3.8"), "MHz"),
        (("0.8", "2.2"), "GHz"),
        (("0.5", "30"), "MHz"),
        (("7000", "7200"), "kHz"),
        (("1200", "1300"), "kHz"),
        (("144000", "146000"), "Hz"),
        (("1e13", "2e13"), "Hz"),
    ],
)
def test_a_unit_that_may_be_several_is_asked(cells, guess):
    error = asked(f"Frequency,SWR\n{cells[0]},1.5\n{cells[1]},1.4\n")
    assert error.reason == "column 1 'Frequency': the unit of frequency is not stated and not clear"
    assert error.line == 1
    assert error.preview.guess.unit == guess


def test_a_plan_without_a_unit_leaves_it_to_the_table():
    assert mhz(read_one("kHz,SWR\n7000,1.5\n7100,1.4\n", "frequency=1,swr=2")) == [7.0, 7.1]
    assert mhz(read_one("7e6,1.5\n7.1e6,1.4\n", "frequency=1,swr=2")) == [7.0, 7.1]
    assert error_of("7000,1.5\n7100,1.4\n", "frequency=1,swr=2") == (
        "roof.csv:1: column 1: the unit of frequency is not stated and not clear; "
        "say it: frequency=1:MHz"
    )


def test_a_plan_goes_before_the_headings():
    reading = read_one("MHz,SWR,x\n7000,9,1.5\n7100,9,1.4\n", "frequency=1:kHz,swr=3")
    assert mhz(reading) == [7.0, 7.1]
    assert swr_of(reading) == [1.5, 1.4]


# -- unit of angles ----------------------------------------------------------------------------


def test_angles_beyond_a_turn_in_radians_are_degrees():
    reading = read_one("MHz,|S11|,phase\n50,0.5,90\n51,0.5,-5\n")
    np.testing.assert_allclose(reading.sweep.reflection[0], 0.5j, atol=1e-15)
    assert codes(reading) == []


def test_small_angles_are_asked_for():
    error = asked("MHz,|S11|,phase\n50,0.5,3\n51,0.5,-5\n")
    assert error.reason == "column 3 'phase': degrees or radians is not stated"
    assert error.preview.guess.text() == "frequency=1:MHz,magnitude+angle=2+3:rad"


def test_a_unit_behind_the_angles_serves():
    reading = read_one("MHz,|S11|,phase\n50,0.5,3°\n51,0.5,-5°\n")
    np.testing.assert_allclose(np.angle(reading.sweep.reflection, deg=True), [3, -5])


# -- decibels or magnitudes --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heading", "cells", "magnitudes", "what"),
    [
        ("S11", (-20, -10), [0.1, 10**-0.5], "decibels"),
        ("S11", (0.1, 0.5), [0.1, 0.5], "magnitudes"),
        ("Reflection coefficient", (0.1, 0.5), [0.1, 0.5], "magnitudes"),
        ("Magnitude", (-20, -10), [0.1, 10**-0.5], "decibels"),
    ],
)
def test_what_numbers_can_only_be_is_assumed_and_said(heading, cells, magnitudes, what):
    reading = read_one(f"MHz,{heading}\n50,{cells[0]}\n51,{cells[1]}\n")
    np.testing.assert_allclose(reading.sweep.magnitude, magnitudes)
    assert text_of(reading, "quantity-assumed") == (
        f"column 2 '{heading}' is read as {what} because of its numbers"
    )


def test_magnitudes_that_are_called_so_need_no_word():
    assert codes(read_one("MHz,|S11|\n50,0.5\n51,0.25\n")) == []


@pytest.mark.parametrize(
    ("heading", "cells"), [("S11", (5, 20)), ("S11", (-1, -1.5)), ("Magnitude", (5, 20))]
)
def test_what_numbers_do_not_tell_is_asked(heading, cells):
    error = asked(f"MHz,{heading}\n50,{cells[0]}\n51,{cells[1]}\n")
    assert error.reason == (
        f"column 2 '{heading}': neither clearly magnitudes from 0 to 1 nor decibels"
    )
    assert error.preview.guess.text() == "frequency=1:MHz,return-loss=2"


def test_the_same_with_an_angle():
    reading = read_one("MHz,S11,deg\n50,-20,90\n51,-20,0\n")
    np.testing.assert_allclose(reading.sweep.reflection, [0.1j, 0.1], atol=1e-16)
    assert codes(reading) == ["quantity-assumed"]
    assert plan_of("MHz,S11,deg\n50,20,90\n51,20,0\n") == "frequency=1:MHz,db+angle=2+3:deg"


# -- several columns for the same --------------------------------------------------------------


def columns(**given):
    """A table of these columns at 50 and 51 MHz; both rows are 80 - j40 ohm."""
    names = ["MHz", *(name.replace("_", " ") for name in given)]
    rows = [["50", *map(str, given.values())], ["51", *map(str, given.values())]]
    return "\n".join(",".join(row) for row in [names, *rows]) + "\n"


@pytest.mark.parametrize(
    ("text", "has_phase"),
    [
        (columns(SWR=2.16, R=80, X=-40), True),
        (columns(R=80, X=-40, RL=8.69), True),
        (columns(S11_dB=-8.69, S11_deg=-36, SWR=2.16), True),
        (columns(S11_re=0.2973, S11_im=-0.2162, R=80, X=-40), True),
        (columns(Z=89.44, theta_deg=-26.565, SWR=2.16), True),
        (columns(RL=8.69, phase_deg=-36.03, Z=89.44, theta_deg=-26.57), True),
        (columns(Z=89.44, theta_deg=-26.57, RL=8.69, phase_deg=-36.03), True),
        (columns(phase_deg=-36.03, RL=8.69), True),
        (columns(SWR=2.16, RL=8.69), False),
        (columns(SWR=2.16, RL=8.69, R=80), False),
        (columns(reflected_percent=13.5, SWR=2.16), False),
        (columns(SWR=2.16, S21_dB=-3), False),
        (columns(SWR_wet=2.16, R=80, X=-40), True),
        (columns(Resistance_loop=80, Reactance_dipole=-40), True),
    ],
)
def test_one_sweep_comes_out_of_columns_that_say_the_same(text, has_phase):
    (reading,) = read(text)
    assert reading.sweep.has_phase is has_phase
    assert swr_of(reading)[0] == pytest.approx(2.16, abs=0.01)
    if has_phase:
        assert reading.sweep.reflection[0] == pytest.approx(0.2973 - 0.2162j, abs=1e-3)


def test_the_column_with_more_numbers_goes_before():
    reading = read_one("MHz,RL,SWR\n50,10,1.92\n51,,1.5\n52,,1.2\n53,20,1.22\n")
    assert len(reading.sweep) == 4
    assert codes(reading) == []
    reading = read_one("MHz,SWR,RL\n50,1.92,10\n51,,14\n52,,16\n53,1.22,20\n")
    assert len(reading.sweep) == 4
    np.testing.assert_allclose(reading.sweep.magnitude[0], 10**-0.5)


def test_an_angle_belongs_to_the_magnitude_before_it():
    dry, wet = read("MHz,|S11| dry,|S11| wet,phase (deg)\n50,0.5,0.4,90\n51,0.5,0.4,80\n")
    assert [dry.sweep.has_phase, wet.sweep.has_phase] == [False, True]
    assert wet.sweep.reflection[0] == pytest.approx(0.4j)
    after = read_one("MHz,phase (deg),|S11|\n50,90,0.4\n51,80,0.4\n")
    assert after.sweep.reflection[0] == pytest.approx(0.4j)


def test_columns_that_contradict_each_other_are_asked_about():
    error = asked(columns(R=80, X=-40, SWR=4))
    assert error.reason == (
        "columns 2 'R' and 3 'X' give an SWR of 2.16 at 50 ohm in line 2, column 4 'SWR' one of 4"
    )
    assert error.preview.guess.text() == "frequency=1:MHz,r+x=2+3"
    # R and X at 75 ohm: 3 is meant.
    assert swr_of(read_one("Z0=75\n" + columns(R=225, X=0, SWR=3))) == [3, 3]
    assert asked(columns(R=-80, X=0, SWR=3)).reason.startswith(
        "columns 2 'R' and 3 'X' give an SWR of above infinity (|reflection| above 1) at 50 ohm"
    )


def test_columns_that_cannot_be_compared_contradict_nothing():
    assert len(read_one("MHz,R,X,SWR\n50,80,-40,\n51,80,-40,\n52,,,9\n").sweep) == 2
    reading = read_one("MHz,R,X,SWR\n50,80,-40,0.5\n51,80,-40,0.5\n")
    assert reading.sweep.has_phase


def test_a_sweep_of_its_own_with_and_without_phase():
    first, second = read("MHz,R dry,X dry,SWR wet\n50,80,-40,5\n51,80,-40,5\n")
    assert [first.label, second.label] == ["roof dry", "roof wet"]
    assert [first.sweep.has_phase, second.sweep.has_phase] == [True, False]


def test_an_angle_without_a_magnitude_is_left_alone():
    reading = read_one("MHz,SWR,phase (deg)\n50,1.5,20\n51,1.4,30\n")
    assert not reading.sweep.has_phase
    assert swr_of(reading) == [1.5, 1.4]


def test_a_half_pair_next_to_a_whole_one():
    (reading,) = read("MHz,R dry,X dry,R wet\n50,80,-40,5\n51,80,-40,5\n")
    assert reading.sweep.reflection[0] == pytest.approx(0.2973 - 0.2162j, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (columns(R=80), "column 2 'R': resistance alone gives no SWR"),
        (
            columns(Z=80, S11_im=-40),
            (
                "columns 2 'Z' and 3 'S11 im': magnitude of the impedance and imaginary part alone "
                "gives no SWR"
            ),
        ),
        (columns(Reflected_W=5), "column 2 'Reflected W': reflected power alone gives no SWR"),
        (columns(Forward_W=5), "column 2 'Forward W': forward power alone gives no SWR"),
        (columns(gain_dBi=5, height_m=3), "no heading speaks of SWR, return loss, reflection or"),
    ],
)
def test_what_is_not_enough_is_said(text, reason):
    assert asked(text).reason.startswith(reason)


# -- no headings, other headings ---------------------------------------------------------------


def test_real_and_imaginary_parts_in_hertz_need_no_headings():
    reading = read_one("5e7,0.5,-0.25\n5.1e7,-0.5,0.25\n")
    assert reading.sweep.reflection.tolist() == [0.5 - 0.25j, -0.5 + 0.25j]
    assert text_of(reading, "columns-assumed") == (
        "no headings: read as frequency in Hz, real and imaginary part of the reflection, "
        "because of the numbers"
    )


@pytest.mark.parametrize(
    ("rows", "guess"),
    [
        ("50,0.5,-0.25\n51,-0.5,0.25\n", "frequency=1:MHz,real+imaginary=2+3"),
        ("5e7,0.5,0.25\n5.1e7,0.6,0.3\n", "frequency=1:Hz,magnitude=2"),
        ("5e7,-0.5,-9\n5.1e7,-0.6,9\n", "frequency=1:Hz,db+angle=2+3"),
        ("5e7,-12,-170\n5.1e7,-16,170\n", "frequency=1:Hz,db+angle=2+3"),
        ("5e7,0.2,-170\n5.1e7,0.3,170\n", "frequency=1:Hz,magnitude+angle=2+3"),
        ("5e7,12,-170\n5.1e7,16,170\n", "frequency=1:Hz,swr=2"),
        ("5e7,-12,1000\n5.1e7,-16,2000\n", "frequency=1:Hz,db=2"),
        ("5e7,0.5,-0.25,1\n5.1e7,-0.5,0.25,1\n", "frequency=1:Hz,real+imaginary=2+3"),
        ("a,5e7,1.5\nb,5.1e7,1.4\n", "frequency=2:Hz,swr=3"),
        ("7000,1.5\n7100,1.4\n", "frequency=1:kHz,swr=2"),
    ],
)
def test_rows_without_headings_are_asked_about_with_a_likely_plan(rows, guess):
    error = asked(rows)
    assert error.reason == "the columns have no headings"
    assert not error.preview.has_headings
    assert error.preview.guess.text() == guess
    assert read(rows, guess)


@pytest.mark.parametrize(
    "rows",
    ["1,2\n1,2\n", "5,1\n3,2\n4,3\n9,2\n1,2\n", "a,5\nb,6\n"],
)
def test_numbers_that_no_frequency_is_among(rows):
    assert error_of(rows).startswith("roof.csv:1: no")


def test_headings_of_other_words_are_asked_about():
    error = asked("step;value\n50;1.5\n51;1.4\n")
    assert error.reason == "no column is called frequency: 'step', 'value'"
    assert error.preview.guess.text() == "frequency=1:MHz,swr=2"
    error = asked("MHz;left;right\n50;1.5;-3\n51;1.4;-4\n")
    assert error.preview.guess.text() == "frequency=1:MHz,swr=2"
    many = ";".join(f"mast{i}" for i in range(12))
    error = asked(f"MHz;{many}\n50{';1.5' * 12}\n51{';1.4' * 12}\n")
    assert len(error.preview.guess.quantities) == 8
    assert error.reason.startswith("columns 2 'mast0', 3 'mast1', 4 'mast2', 5 'mast3', ")
    assert error.reason.split(": ")[0].endswith("7 'mast5' and 6 more")


@pytest.mark.parametrize("text", ["50,1.5\n", "x,1,2,x,x\ny,x,x,3,4\n", "1,2,x,x\nx,x,1,2\n"])
def test_too_little_to_be_a_table(text):
    assert error_of(text).startswith("roof.csv:1: no")


def test_other_words_above_rows_that_end_in_a_separator():
    error = asked("step;value\n50;1,5;\n51;1,4;\n")
    assert error.preview.headings == ("step", "value")


def test_a_frequency_below_zero_has_no_plain_unit():
    assert asked("Frequency,SWR\n-50,1.5\n51,1.4\n").preview.guess.unit == "MHz"


def test_many_headings_are_cut_short():
    names = ",".join("abcdeghi")
    rows = "".join(f"{i},{'9,' * 6}9\n" for i in (5, 3, 4, 1))
    assert error_of(f"{names}\n{rows}").startswith(
        "roof.csv:1: no column is called frequency: 'a', 'b', 'c', 'd', 'e', 'g', ...; "
    )


def test_a_frequency_column_of_words():
    assert error_of("no,frequency,SWR\n1,low,1.5\n2,high,1.4\n") == (
        "roof.csv:2: 'low' in column 2 'frequency' is not a number; "
        "correct or remove the row, or choose other columns"
    )
    assert asked("no,frequency,SWR\n1,,1.5\n2,,1.4\n").reason.startswith("no column is called fre")


def test_a_file_called_touchstone_without_headings_lacks_its_option_line():
    text = "# my antenna\n50 0.5 10\n51 0.4 9\n"
    assert error_of(text, None, "roof.s1p").startswith(
        "roof.s1p:1: no option line: '# my antenna' contains no unit, parameter or format; "
    )
    assert asked(text, "roof.txt").preview.guess.text() == "frequency=1:MHz,magnitude+angle=2+3"


def test_bare_rows_are_touchstone_only_where_the_file_is_called_so():
    rows = "0.050 0.5 10\n0.051 0.4 9\n"
    for name in ("roof.s1p", "roof.S2P", "roof.ts"):
        assert codes(read_one(rows, None, name)) == [
            "defaults-applied",
            *(["ports-differ-from-name"] if "2" in name else []),
        ]
    with pytest.raises(NeedsColumnsError):
        read(rows, None, "roof.txt")
    plan = "frequency=1:GHz,magnitude+angle=2+3:deg"
    assert codes(read_one(rows, plan, "roof.s1p")) == []


@pytest.mark.parametrize(
    "text",
    [
        "# MHz SWR\n50 1.5\n51 1.4\n",
        "# GHz dB deg\n50 -9 -170\n51 -9 100\n",
        "# MHz mag phase\n50 0.5 -170\n51 0.5 170\n",
        "# Hz re im\n5e7 0.5 -0.7\n5.1e7 0.5 0.9\n",
    ],
)
def test_columns_named_behind_a_hash_are_a_table(text):
    assert codes(read_one(text, None, "roof.txt")) in ([], ["reflection-above-one"])


def test_rows_behind_a_lone_format_word_are_touchstone():
    reading = read_one("BEGIN\nDB\n5e7 -20 90\n5.1e7 -20 80\nEND\n", None, "roof.txt")
    assert codes(reading) == ["unit-assumed"]
    assert reading.sweep.reflection[0] == pytest.approx(0.1j)


def test_option_lines_remain_option_lines():
    sweep = read_one("# MHz S DB R 75\n50 -20 90\n51 -20 90\n", None, "roof.csv").sweep
    assert sweep.z0_ohm == 75
    plan = ColumnPlan.parse("frequency=1:MHz,swr=2").text()
    assert read_one("# MHz S RI R 75\n50 .1 .2\n51 .1 .2\n", plan).sweep.z0_ohm == 75


@pytest.mark.parametrize("word", ["[Version] 2.0", "[number_of ports] 1", "[Network Data]"])
def test_keywords_make_a_touchstone_file(word):
    reading = read_one(f"{word}\n50 .1 .2\n51 .1 .2\n")
    assert "defaults-applied" in codes(reading)


def test_sections_of_other_files_do_not():
    reading = read_one("[readings]\nMHz,SWR\n50,1.5\n51,1.4\n")
    assert swr_of(reading) == [1.5, 1.4]


# -- spot values -------------------------------------------------------------------------------


def test_one_reading_a_band_is_no_sweep_where_rows_have_names():
    text = "band,MHz,SWR\n80m,3.6,2\n40m,7.1,1.5\n20m,14.2,1.2\n"
    error = asked(text)
    assert error.reason == (
        "column 2 'MHz': frequencies are far apart and each row has a name of its own: single "
        "values, not a sweep"
    )
    reading = read_one(text, error.preview.guess.text())
    assert codes(reading) == ["points-far-apart"]


def test_one_reading_a_unit_is_no_sweep():
    error = asked("unit,best match (MHz),SWR\nA,50.5,1.2\nB,50.7,1.3\n")
    assert error.reason == (
        "column 1 'unit' names a different sweep in each row: single values, not a sweep"
    )
    assert len(read_one("unit,MHz,SWR\n1,50.5,1.2\n2,50.7,1.3\n").sweep) == 2


@pytest.mark.parametrize("cell", ["(0.1+0.2j)", "1.0e-01-2.0e-01i", "0.1-.2j"])
def test_complex_numbers_in_one_cell(cell):
    assert error_of(f"made today\nfreq,s11\n14000000,{cell}\n14100000,{cell}\n") == (
        "roof.csv:3: complex numbers, each in one cell; "
        "write real and imaginary part in columns of their own"
    )


@pytest.mark.parametrize(
    "text",
    [
        "MHz,SWR\n3.6,2\n7.1,1.5\n14.2,1.2\n",
        "sky,MHz,SWR\nsun,3.6,2\nsun,7.1,1.5\nrain,14.2,1.2\n",
        "sky,MHz,SWR\na,3.6,2\nb,3.7,1.5\nc,14.2,1.2\n",
        "sky,MHz,SWR\na,0,2\nb,3.7,1.5\nc,14.2,1.2\n",
    ],
)
def test_few_points_far_apart_are_read(text):
    assert len(read_one(text).sweep) >= 2


# -- words above the table ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "Z0: 75",
        "# Z0 = 75 Ohm",
        "reference impedance: 75.0 ohm",
        "Reference impedance (ohm): 75",
        "System impedance 75",
        "Bezugswiderstand;75",
    ],
)
def test_the_reference_impedance_above_a_table(line):
    reading = read_one(f"{line}\nMHz;SWR\n50;1,5\n51;1,4\n")
    assert reading.sweep.z0_ohm == 75
    assert text_of(reading, "reference-not-50") == "the reference impedance is 75 ohm"


@pytest.mark.parametrize(
    "lines", ["Z0: 75\nZ0: 50", "Z0: 0", "Z0: 75,5", "impedance 75", "Z0 unknown"]
)
def test_other_words_leave_it_at_50(lines):
    assert read_one(f"{lines}\nMHz;SWR\n50;1,5\n51;1,4\n").sweep.z0_ohm == 50


def test_the_plan_says_it_last():
    text = "Z0: 75\nMHz;SWR\n50;1,5\n51;1,4\n"
    assert read_one(text, "frequency=1:MHz,swr=2,z0=300").sweep.z0_ohm == 300


# -- what else is said -------------------------------------------------------------------------


def test_a_plan_beyond_the_columns():
    assert error_of("MHz,SWR\n50,1.5\n51,1.4\n", "frequency=1:MHz,swr=3") == (
        "roof.csv:1: there is no column 3: the rows have 2; choose other columns"
    )


def test_odd_frequencies():
    assert error_of("MHz,SWR\n50,1.5\n-51,1.4\n").startswith("roof.csv:3: negative frequency; ")
    reading = read_one("GHz,SWR\n50000,1.5\n51000,1.4\n")
    assert text_of(reading, "frequency-implausible") == (
        "frequencies from 50000 GHz to 51000 GHz are implausible (column 1 'GHz' is read as GHz)"
    )


def test_transposed_rows():
    message = "the rows look transposed: this one contains all frequencies; write one line"
    assert message in error_of("frequency,50,51,52\nSWR,1.5,1.4,1.6\n")
    assert message in error_of("14.0 14.1 14.2 14.3 14.4\n1.5 1.4 1.3 1.4 1.5\n")
    assert message not in str(asked("14.0 1.5 1.4 1.3 1.4 1.5\n14.1 1.5 1.4 1.3 1.4 1.5\n"))
