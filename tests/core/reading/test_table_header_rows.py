"""Headings are found wherever they stand: in several lines, in comments, cut in another way."""

from __future__ import annotations

import pytest
from table_text import asked, codes, error_of, mhz, read, read_one, swr_of

from fairlead.core.reading.tables.header_rows import Text, find_headings, fit

ROW = ["14.0", "1.5", "30"]


@pytest.mark.parametrize(
    ("text", "separator", "cells"),
    [
        ("MHz,SWR,R", ",", ("MHz", "SWR", "R")),
        ("MHz,SWR,R,,", ",", ("MHz", "SWR", "R")),
        (",MHz,SWR,R", ",", ("MHz", "SWR", "R")),
        ("MHz;SWR;R", ",", ("MHz", "SWR", "R")),
        ("MHz SWR R", ",", ("MHz", "SWR", "R")),
        ("Frequency (MHz),S11 real,what else", ",", ("Frequency (MHz)", "S11 real", "what else")),
        ("MHz, dB(S(1,1)), deg(S(1,1))", ",", ("MHz", "dB(S(1,1))", "deg(S(1,1))")),
        ("MHz mag(S(1,1)) deg(S(1,1))", "", ("MHz", "mag(S(1,1))", "deg(S(1,1))")),
        ("Freq (MHz)   Return loss   SWR", "", ("Freq (MHz)", "Return loss", "SWR")),
        ("Freq (MHz) Return Loss (dB) SWR", "", ("Freq (MHz)", "Return Loss (dB)", "SWR")),
        ("Frequency MHz Return Loss SWR", "", ("Frequency MHz", "Return Loss", "SWR")),
        ("MHz SWR dry SWR wet", "", ("MHz", "SWR dry", "SWR wet")),
        ("GHz S11 real S11 imag", "", ("GHz", "S11 real", "S11 imag")),
        ("Frequency [ MHz ] R [ ohm ] X", "", ("Frequency [ MHz ]", "R [ ohm ]", "X")),
        ('"Freq MHz" "Return loss" SWR', "", ("Freq MHz", "Return loss", "SWR")),
        ("one two three four", ",", None),
        ("Dear club, the antenna is up", ",", None),
        ("x" * 5000, ",", None),
        ("w " * 50, "", None),
    ],
)
def test_a_line_is_cut_into_as_many_cells_as_the_rows_have(text, separator, cells):
    assert fit(text, ROW, separator) == cells


@pytest.mark.parametrize(
    ("text", "row", "cells"),
    [
        # A counter or a name in front of each row has no heading; a remark behind it neither.
        ("MHz,SWR", ["0", "14.0", "1.5"], ("", "MHz", "SWR")),
        ("MHz,SWR", ["dipole", "14.0", "1.5"], ("", "MHz", "SWR")),
        ("MHz,SWR", ["14.0", "1.5", "windy"], ("MHz", "SWR", "")),
        ("MHz,SWR", ["14.0", "1.5", "windy", ""], ("MHz", "SWR", "", "")),
        ("MHz,SWR", ["14.0", "1.5", "30"], None),
        ("one,two", ["14.0", "1.5", "windy"], None),
    ],
)
def test_columns_without_a_heading_of_their_own(text, row, cells):
    assert fit(text, row, ",") == cells


@pytest.mark.parametrize(
    "text",
    ["Sweep from 1 to 30 MHz, SWR on 50 ohm, at noon", "1 MHz SWR", "frequency 5 MHz SWR"],
)
def test_prose_in_a_comment_is_no_heading(text):
    assert fit(text, ROW, ",", is_comment=True) is None


def test_no_lines_no_headings():
    assert find_headings([], ROW, ",") is None
    assert find_headings([Text(1, "Dear club", is_comment=True)], ROW, ",") is None
    assert find_headings([Text(1, "a,b,c", is_comment=True)], ROW, ",") is None


def test_a_comment_serves_where_no_line_decides():
    texts = [Text(1, "MHz,SWR,R", is_comment=True), Text(2, "a,b,c", is_comment=False)]
    found = find_headings(texts, ROW, ",")
    assert found.texts == ("MHz", "SWR", "R")
    assert found.lines == (1,)


@pytest.mark.parametrize(
    "head",
    [
        "Frequency,SWR\nMHz,\n",
        "Frequency,SWR\nMHz,-\n",
        "Frequency,SWR\n(MHz),()\n",
        "Antenna readings\nFrequency,SWR\nMHz,1\n",
        "SWR readings\nMHz,SWR\n",
        "made by,a meter\nFrequency (MHz),SWR\n",
        "# made by a meter\n# Frequency (MHz), SWR\n",
        "# Frequency  SWR\n# (MHz)    ()\n",
        "! MHz SWR\n",
        "% f/MHz, VSWR\n",
        "// MHz;SWR\n",
        "#MHz,SWR\n",
        "MHz,SWR\n# the rows follow\n\n",
    ],
)
def test_ways_to_write_the_same_headings(head):
    reading = read_one(f"{head}14.0,1.5\n14.1,1.4\n")
    assert mhz(reading) == [14.0, 14.1]
    assert swr_of(reading) == [1.5, 1.4]
    assert codes(reading) == []


@pytest.mark.parametrize(
    ("head", "names"),
    [
        ("MHz;SWR dry;SWR wet\n", ["dry", "wet"]),
        ("MHz;dry SWR;wet SWR\n", ["dry", "wet"]),
        (";SWR;\nMHz;dry;wet\n", ["dry", "wet"]),
        (";SWR;SWR\nMHz;dry;wet\n", ["dry", "wet"]),
        (";dry;wet\nMHz;SWR;SWR\n", ["dry", "wet"]),
        ("MHz;SWR;SWR\n;dry;wet\n", ["dry", "wet"]),
        ("Antenna;old;new\nFrequency;SWR;SWR\nMHz;;\n", ["old", "new"]),
        ("MHz;SWR;SWR\n", ["1", "2"]),
    ],
)
def test_several_columns_are_several_sweeps_called_by_their_headings(head, names):
    readings = read(f"{head}14,0;1,5;1,6\n14,1;1,4;1,3\n")
    assert [reading.label for reading in readings] == [f"roof {name}" for name in names]
    assert [swr_of(reading) for reading in readings] == [[1.5, 1.4], [1.6, 1.3]]


def test_one_label_over_a_pair_of_columns():
    dry, wet = read("MHz;R;X;R;X\n;dry;;wet;\n14,0;50;0;25;0\n14,1;100;0;75;0\n")
    assert [dry.label, wet.label] == ["roof dry", "roof wet"]
    assert swr_of(dry) == [1, 2]
    assert swr_of(wet) == [2, 1.5]


def test_pairs_without_any_label():
    first, second = read("MHz,R,X,R,X\n14.0,50,0,25,0\n14.1,100,0,75,0\n")
    assert [first.label, second.label] == ["roof 1", "roof 2"]
    assert swr_of(second) == [2, 1.5]


def test_a_remark_is_no_sweep():
    text = "Frequency;SWR;\nMHz;;remark\n14,0;1,5;fine\n14,1;1,4;windy\n"
    assert swr_of(read_one(text)) == [1.5, 1.4]


def test_a_heading_does_not_spread_over_a_column_with_one_of_its_own():
    reading = read_one("f;SWR;\nMHz;;R (ohm)\n14,0;1,5;75\n14,1;1,4;70\n")
    assert swr_of(reading) == [1.5, 1.4]
    reading = read_one("Frequency;;SWR\nMHz;reading;\n14,0;7;1,5\n14,1;8;1,4\n")
    assert swr_of(reading) == [1.5, 1.4]
    error = asked("Frequency;\nMHz;reading\n14,0;1,5\n14,1;1,4\n")
    assert error.reason.startswith("column 2 'reading': no heading speaks of SWR, ")


def test_the_lowest_line_alone_does_where_an_upper_one_says_another_thing():
    reading = read_one("Loop,Dipole\nMHz,SWR\n14.0,1.5\n14.1,1.4\n")
    assert reading.label == "roof"


def test_a_level_in_decibels_may_be_gain():
    error = asked("MHz,dB\n14.0,-10\n14.1,-12\n")
    assert error.reason == "column 2 'dB': level in dB alone gives no SWR"
    assert error.preview.guess.text() == "frequency=1:MHz,db=2"


@pytest.mark.parametrize("rows", ["50,50,1,48\n51,00,1,25\n", "-50,50,1,48\n51,00,1,25\n"])
def test_commas_for_two_things_are_refused(rows):
    assert error_of("MHz,SWR\n" + rows) == (
        "roof.csv:1: commas seem to be both decimal commas and separators of cells; "
        "export with decimal points, or with semicolons between the cells"
    )


def test_words_are_grouped_into_headings_that_belong_together():
    text = "Frequency (GHz) S11 real S11 imag remark"
    row = ["1.0", "0.1", "0.2", "fine"]
    assert fit(text, row, "") == ("Frequency (GHz)", "S11 real", "S11 imag", "remark")


def test_other_headings_of_half_the_cells_are_only_no_headings():
    assert asked("alpha,beta\n50,50,1,48\n51,60,1,25\n").reason == "the columns have no headings"
