"""How lines are cut into cells, and how cells become numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from table_text import asked, codes, error_of, mhz, read_one, swr_of, text_of

from fairlead.core.reading.tables.cells import comment_of, find_layout, split, wrapper_of
from fairlead.core.reading.tables.numerals import Numerals, is_missing, looks_numeric, marks_of

# -- separators --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "separator"),
    [
        ("14.0,1.5", ","),
        ("14,1", ","),
        ("14.0, 1.5", ","),
        ("14.0 , 1.5", ","),
        ("14.0;1.5", ";"),
        ("14,0;1,5", ";"),
        ("14,0; 1,5;", ";"),
        ("14.0\t1.5", "\t"),
        ("14,0\t1,5", "\t"),
        ("14.0 1.5", ""),
        ("  14.0   1.5  ", ""),
        ("14,0 1,5", ""),
        ("14 1,5", ""),
        ("Dipole 1;14,0;1,5", ";"),
        ("2026-05-14 18:30,14.0,1.5", ","),
        ('"14,0","1,5"', ","),
        ("14 000;1,5", ";"),
    ],
)
def test_the_separator_is_found(line, separator):
    layout = find_layout([line, line])
    assert layout is not None
    assert layout.separator == separator


@pytest.mark.parametrize(
    "lines", [[], [""], ["MHz,SWR"], ["14.0"], ["a 1", "b 2"], ["# 14.0 1.5"], ["9" * 40_000]]
)
def test_no_rows_of_numbers_no_layout(lines):
    assert find_layout(lines) is None


def test_most_rows_decide():
    lines = ["from 1 to 30 in 5 steps", "14.0;1.5", "14.1;1.4", "14.2;1.3"]
    layout = find_layout(lines)
    assert layout is not None
    assert layout.separator == ";"
    assert layout.first_numeric == 0


@pytest.mark.parametrize(
    ("line", "separator", "cells"),
    [
        ('"Return Loss" SWR', "", ["Return Loss", "SWR"]),
        ('"a,b",c', ",", ["a,b", "c"]),
        ("'50.5';'1.4'", ";", ["'50.5'", "'1.4'"]),
        ('"a""b";c', ";", ['a"b', "c"]),
        ('"open;c', ";", ["open;c"]),
        (' "a" ; b ', ";", ["a", "b"]),
        ('a\r"b";c', ";", ['a\r"b', "c"]),
        ('"' + "x" * 200_000 + '";c', ";", ["x" * 200_000, "c"]),
    ],
)
def test_quotes(line, separator, cells):
    assert split(line, separator) == cells


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("# a b", "a b"),
        ("  ! a", "a"),
        ("%a", "a"),
        ("// a", "a"),
        ("* a", "a"),
        ("; a b", "a b"),
        ("; a; b", None),
        ("/ a", None),
        ("a # b", None),
        ("", None),
    ],
)
def test_comments(line, text):
    assert comment_of(line) == text


@pytest.mark.parametrize(
    ("line", "text"),
    [("BEGIN", ""), ("end", ""), ("Begin: dry", "dry"), ("BEGIN=1", "1"), ("Beginning", None)],
)
def test_wrappers(line, text):
    assert wrapper_of(line) == text


# -- numbers -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cell", "decimal", "value"),
    [
        ("14.0", ".", 14.0),
        ("-.5", ".", -0.5),
        ("5.", ".", 5.0),
        ("+1e3", ".", 1000.0),
        ("1.0E+007", ".", 1e7),
        ("1.5D+01", ".", 15.0),
        ("−3.5", ".", -3.5),
        ("14,0", ",", 14.0),
        ("-,5", ",", -0.5),
        ("1,5e1", ",", 15.0),
        ("1,234", ",", 1.234),
        ("1.234,5", ",", 1234.5),
        ("1.234.567", ",", 1234567.0),
        ("1,234.5", ".", 1234.5),
        ("14,000,000", ".", 14e6),
        ("14 000 000", ".", 14e6),
        ("14\u00a0000,5", ",", 14000.5),
        ("14'000.5", ".", 14000.5),
        ("14’000", ",", 14000.0),
    ],
)
def test_numbers(cell, decimal, value):
    assert Numerals(decimal).parse(cell) == (value, "")
    assert looks_numeric(cell)


@pytest.mark.parametrize(
    ("cell", "value", "unit"),
    [
        ("14.0 MHz", 14.0, "MHz"),
        ("14.0MHz", 14.0, "MHz"),
        ("1.5:1", 1.5, ":1"),
        ("1.5 : 1", 1.5, ":1"),
        ("25 %", 25.0, "%"),
        ("-12dB", -12.0, "dB"),
        ("50 Ω", 50.0, "Ω"),
        ("-17.5°", -17.5, "°"),
        ("1e6 Hz", 1e6, "Hz"),
        ("14 000 kHz", 14000.0, "kHz"),
    ],
)
def test_numbers_with_units(cell, value, unit):
    assert Numerals().parse(cell) == (value, unit)
    assert looks_numeric(cell)


@pytest.mark.parametrize(
    "cell",
    [
        *("", "NaN", "-nan(ind)", "n/a", "NA", "#N/A", "#DIV/0!", "-", "---", "—", "*****"),
        *("null", "None", "1.#QNAN", "-1.#IND", "O.L", "OVL", "overflow", "> 10", ">25.0", "≥ 9"),
        *("?", "error"),
    ],
)
def test_no_value(cell):
    value, unit = Numerals().parse(cell)
    assert math.isnan(value)
    assert unit == ""
    assert is_missing(cell)
    assert not looks_numeric(cell)


@pytest.mark.parametrize(
    ("cell", "value"),
    [("inf", math.inf), ("-Inf", -math.inf), ("∞", math.inf), ("1.#INF", math.inf)],
)
def test_infinite(cell, value):
    assert Numerals().parse(cell) == (value, "")
    assert is_missing(cell)


@pytest.mark.parametrize(
    ("cell", "decimal"),
    [
        ("rain", "."),
        ("1_000", "."),
        ("١٤", "."),
        ("0x10", "."),
        ("14 V", "."),
        ("1.5:2", "."),
        ("1.5.2", "."),
        ("14,0", "."),
        ("14.0", ","),
        ("14,200", "."),
        ("14.200", ","),
        ("1,234,5", "."),
        ("1'234,5", "."),
        ("1.234.567", "."),
        ("14,200 kHz", "."),
        ("(0.5+0.2j)", "."),
        ("2026-05-14", "."),
        ("9" * 65, "."),
    ],
)
def test_text_is_no_number(cell, decimal):
    assert Numerals(decimal).parse(cell) is None
    assert not is_missing(cell)


@pytest.mark.parametrize(
    ("cells", "decimal", "is_assumed"),
    [
        (["1", "2"], ".", False),
        (["1.5", "2"], ".", False),
        (["1,5"], ",", False),
        (["1,500", "14,000"], ",", True),
        (["1,500", "0,25"], ",", False),
        (["1,500", "2.5"], ".", False),
        (["14,000,000"], ".", False),
        (["14.000.000"], ",", False),
        (["1.234,5"], ",", False),
        (["1,234.5"], ".", False),
        (["14 000,5"], ",", False),
        (["14 000.5"], ".", False),
        (["1,5:1"], ",", False),
        (["9," * 100], ".", False),
        (["a,b", "c.d"], ".", False),
    ],
)
def test_the_decimal_mark_is_found(cells, decimal, is_assumed):
    numerals, conflict = marks_of(cells)
    assert (numerals.decimal, numerals.is_assumed) == (decimal, is_assumed)
    assert conflict is None


def test_both_decimal_marks_are_a_conflict():
    assert marks_of(["1.5", "2,5"])[1] == ("1.5", "2,5")
    assert marks_of(["1.234,5", "2.5"])[1] == ("2.5", "1.234,5")


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_is_read_as_python_reads_it(value):
    assert Numerals().parse(repr(value)) == (value, "")
    assert Numerals(",").parse(repr(value).replace(".", ",")) == (value, "")


# -- in a table --------------------------------------------------------------------------------


def test_commas_that_may_be_anything_are_said():
    reading = read_one("MHz;SWR\n14,000;1,500\n14,100;1,400\n")
    assert mhz(reading) == [14.0, 14.1]
    assert text_of(reading, "decimal-mark-assumed") == (
        "commas are taken as decimal marks; they might be marks of thousands"
    )


def test_one_clear_comma_anywhere_settles_the_others():
    unclear = "".join(f"14,{i}00;1,{i}00\n" for i in range(1, 9))
    assert codes(read_one(f"MHz;SWR\n{unclear}")) == ["decimal-mark-assumed"]
    assert codes(read_one(f"MHz;SWR\n{unclear}15,5;1,5\n")) == []


def test_commas_that_would_make_khz_audible_are_refused():
    assert error_of("kHz;SWR\n14,000;1,500\n14,100;1,400\n") == (
        "roof.csv:2: commas in column 1 'kHz' could be decimal commas or thousands separators; "
        "write decimal points, and no thousands separators"
    )


def test_units_of_the_cells_serve_where_the_heading_has_none():
    reading = read_one("frequency\tSWR\n7000 kHz\t1.5\n7100 kHz\t1.4\n")
    assert mhz(reading) == [7.0, 7.1]
    assert codes(reading) == []


def test_a_cell_in_another_unit_is_refused():
    assert error_of("frequency;SWR\n999 kHz;1.5\n1 MHz;1.4\n1.1 MHz;1.3\n") == (
        "roof.csv:2: '999 kHz' in column 1 'frequency' has a different unit from the others; "
        "write all cells of a column in one unit"
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
def test_line_ends_and_encodings(end, encoding):
    text = "Größe;Frequenz (MHz);Rückflussdämpfung\nx;50;20\ny;51;20\nz;52;20\n".replace("\n", end)
    reading = read_one(text.encode(encoding))
    assert mhz(reading) == [50, 51, 52]
    assert reading.sweep.magnitude.tolist() == pytest.approx([0.1] * 3)


def test_exponents_of_three_digits():
    reading = read_one("Hz;SWR\n1,4000E+007;1,5E+000\n1,4100E+007;1,4E+000\n")
    assert mhz(reading) == [14.0, 14.1]
    assert swr_of(reading) == [1.5, 1.4]


@pytest.mark.parametrize(
    "rows",
    [
        "14.0,1.5\n14.1,1.4\n",
        "14.0,1.5,\n14.1,1.4,\n",
        "14.0,1.5,,\n14.1,1.4,,\n",
        '"14.0","1.5"\n"14.1","1.4"\n',
        "14.0 ,\t1.5\n14.1 ,\t1.4\n",
        "14.0,1.5,a\n14.1,1.4,b\n",
        "\n14.0,1.5\n# half way\n14.1,1.4\n\n",
        "14.0,1.5\n14.1,1.4\nEND",
        "14.0,1.5\n14.1,1.4\nmean,1.45\n",
    ],
)
def test_ways_to_write_the_same_table(rows):
    reading = read_one(f"MHz,SWR\n{rows}")
    assert mhz(reading) == [14.0, 14.1]
    assert swr_of(reading) == [1.5, 1.4]
    assert codes(reading) == []


def test_a_semicolon_in_front_of_the_rows():
    reading = read_one(";MHz;SWR\n;14,0;1,5\n;14,1;1,4\n")
    assert mhz(reading) == [14.0, 14.1]


def test_decimal_commas_without_headings_are_offered():
    error = asked("14,0;1,5\n14,1;1,4\n")
    assert error.preview.rows == (("14,0", "1,5"), ("14,1", "1,4"))
    assert error.preview.guess.text() == "frequency=1:MHz,swr=2"


def test_numbers_beyond_all_numbers():
    assert "no value" in text_of(read_one("MHz,SWR\n50,2\n1e999,2\n51,2\n"), "points-left-out")
    assert error_of("GHz,SWR\n1e298,1.5\n1e305,1.4\n").startswith(
        "roof.csv:3: frequency beyond all numbers; "
    )
