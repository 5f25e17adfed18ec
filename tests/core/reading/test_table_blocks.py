"""Several sweeps in one table: where one ends and the next begins, and what they are called."""

from __future__ import annotations

import numpy as np
import pytest
from table_text import asked, codes, error_of, mhz, read, read_one, swr_of, text_of

from fairlead.core.reading import tidy
from fairlead.core.reading.tables import blocks
from fairlead.core.reading.tables.blocks import Break
from fairlead.core.reading.tables.splitting import split_by_breaks, split_by_names

DRY = "14.0,1.5\n14.1,1.4\n14.2,1.6\n"
WET = "14.0,1.8\n14.1,1.7\n14.2,1.9\n"
HEAD = "MHz,SWR\n"


def labels(readings):
    return [reading.label for reading in readings]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        (f"{HEAD}{DRY}\n{WET}", ["1", "2"]),
        (f"{HEAD}{DRY}\n\n\n{WET}", ["1", "2"]),
        (f"{HEAD}{DRY}{WET}", ["1", "2"]),
        (f"{HEAD}{DRY}{HEAD}{WET}", ["1", "2"]),
        (f"{HEAD}{DRY}\n{HEAD}{WET}", ["1", "2"]),
        (f"dry\n{HEAD}{DRY}\nwet\n{HEAD}{WET}", ["dry", "wet"]),
        (f"# dry\n{HEAD}{DRY}\n# wet\n{WET}", ["dry", "wet"]),
        (f"{HEAD}# dry\n{DRY}\n\n# wet\n{WET}", ["dry", "wet"]),
        (f"{HEAD}dry\n{DRY}wet\n{WET}", ["dry", "wet"]),
        (f"Antenna: dry\n{HEAD}{DRY}Antenna: wet\n{HEAD}{WET}", ["dry", "wet"]),
        (f"Trace = dry\n{HEAD}{DRY}Trace = wet\n{WET}", ["dry", "wet"]),
        (f"BEGIN dry\n{HEAD}{DRY}END\nBEGIN wet\n{HEAD}{WET}END\n", ["dry", "wet"]),
        (f"{HEAD}BEGIN\n{DRY}END\nBEGIN\n{WET}END\n", ["1", "2"]),
        (f"Z0: 50\n{HEAD}{DRY}\nZ0: 50\n{HEAD}{WET}", ["1", "2"]),
        (f"{'long ' * 20}\n{HEAD}{DRY}\n{HEAD}{WET}", ["1", "2"]),
    ],
)
def test_two_sweeps_one_below_the_other(text, names):
    readings = read(text)
    assert labels(readings) == [f"roof {name}" for name in names]
    assert [swr_of(reading) for reading in readings] == [[1.5, 1.4, 1.6], [1.8, 1.7, 1.9]]


def test_that_rows_were_parted_is_said_where_nothing_names_the_parts():
    first, _ = read(f"{HEAD}{DRY}{WET}")
    assert text_of(first, "sweeps-split") == "the rows are read as 2 sweeps"
    dry, _ = read(f"dry\n{HEAD}{DRY}\nwet\n{WET}")
    assert codes(dry) == []


@pytest.mark.parametrize(
    "text",
    [
        f"{HEAD}14.0,1.5\n\n14.1,1.4\n\n14.2,1.6\n",
        f"{HEAD}\n\n14.0,1.5\n14.1,1.4\n\n14.2,1.6\n",
        f"{HEAD}14.0,1.5\nhalf way\n14.1,1.4\n14.2,1.6\n",
        f"{HEAD}14.2,1.6\n\n14.1,1.4\n\n14.0,1.5\n",
    ],
)
def test_blank_lines_alone_part_nothing(text):
    reading = read_one(text)
    assert mhz(reading) == [14.0, 14.1, 14.2]
    assert swr_of(reading) == [1.5, 1.4, 1.6]


def test_a_jump_behind_a_blank_line_leads_to_another_sweep():
    first, second = read(f"{HEAD}14.0,1.5\n14.1,1.4\n\n21.0,1.2\n21.1,1.3\n")
    assert (mhz(first), mhz(second)) == ([14.0, 14.1], [21.0, 21.1])
    # Segments of one sweep go on at about the same step.
    assert len(read_one(f"{HEAD}14.0,1.5\n14.1,1.4\n\n14.3,1.2\n14.4,1.3\n").sweep) == 4


def test_runs_of_other_frequencies_are_not_parted_without_a_reason():
    reading = read_one(f"{HEAD}14.0,1.5\n14.1,1.4\n14.05,1.2\n14.15,1.3\n")
    assert mhz(reading) == [14.0, 14.05, 14.1, 14.15]
    assert codes(reading) == ["points-out-of-order"]


def test_blocks_with_other_columns():
    first, second = read(
        "MHz,SWR\n14.0,1.5\n14.1,1.4\n\nkHz;R;X\n7000;50;0\n7100;100;0\n".replace(";", ",")
    )
    assert mhz(first) == [14.0, 14.1]
    assert mhz(second) == [7.0, 7.1]
    assert second.sweep.has_phase


def test_a_block_that_is_no_sweep_is_left_out_and_said():
    text = f"MHz,SWR\n14.1,1.4\n\n{HEAD}{DRY}"
    reading = read_one(text)
    assert mhz(reading) == [14.0, 14.1, 14.2]
    assert text_of(reading, "block-left-out") == (
        "1 row from line 2 on left out: only 1 point with a frequency above 0 Hz and a value"
    )
    broken = "MHz,gain (dBi),SWR\n14.1,2,bad\n14.2,2,1.5\n"
    text = f"{broken}\nMHz,x,SWR\n14.0,0,1.5\n14.1,0,1.4\n14.2,0,1\n"
    reading = read_one(text)
    assert text_of(reading, "block-left-out") == (
        "2 rows from line 2 on left out: 'bad' in column 3 'SWR' is not a number"
    )


def test_a_lone_point_apart_from_the_sweeps_is_left_out_and_said():
    text = f"{HEAD}{DRY}\nlast\n14.0,9\n"
    reading = read_one(text)
    assert len(reading.sweep) == 3
    assert text_of(reading, "points-left-out") == (
        "1 point apart from the sweeps left out, in line 7"
    )


@pytest.mark.parametrize(
    ("column", "names"),
    [
        ("antenna", ["loop", "dipole"]),
        ("Messung", ["loop", "dipole"]),
        ("unit", ["1", "2"]),
        ("trace", ["1", "2"]),
    ],
)
@pytest.mark.parametrize("is_interleaved", [True, False])
def test_a_column_that_names_the_sweep(column, names, is_interleaved):
    one = [f"{names[0]},14.0,1.5", f"{names[0]},14.1,1.4"]
    two = [f"{names[1]},14.0,1.2", f"{names[1]},14.1,1.3"]
    rows = [one[0], two[0], one[1], two[1]] if is_interleaved else one + two
    readings = read("\n".join([f"{column},MHz,SWR", *rows, ""]))
    assert labels(readings) == [f"roof {name}" for name in names]
    assert [swr_of(reading) for reading in readings] == [[1.5, 1.4], [1.2, 1.3]]


def test_a_naming_column_in_a_plan():
    text = "14.0,1.5,a\n14.1,1.4,a\n14.0,1.2,b\n14.1,1.3,b\n"
    readings = read(text, "frequency=1:MHz,swr=2,trace=3")
    assert labels(readings) == ["roof a", "roof b"]
    short = read("14.0,1.5,a\n14.1,1.4,a\n14.2,1.2\n14.3,1.3\n", "frequency=1:MHz,swr=2,trace=3")
    assert labels(short) == ["roof a (1)", "roof 2"]


def test_equal_names_are_numbered():
    readings = read("MHz,SWR dry,SWR wet,SWR dry\n14.0,1.5,1.2,1.3\n14.1,1.4,1.1,1.2\n")
    assert labels(readings) == ["roof dry (1)", "roof wet (2)", "roof dry (3)"]


def test_a_column_of_words_that_parts_nothing():
    assert len(read_one("MHz,SWR,sky\n14.0,1.5,sun\n14.1,1.4,rain\n14.2,1.3,sun\n").sweep) == 3
    # Every row has a word of its own, though the frequencies start again.
    readings = read("MHz,SWR,sky\n14.0,1.5,a\n14.1,1.4,b\n14.0,1.3,c\n14.1,1.2,d\n")
    assert labels(readings) == ["roof 1", "roof 2"]


def test_sweeps_side_by_side():
    text = "MHz;SWR;MHz;SWR\n14,0;1,5;21,0;1,2\n14,1;1,4;21,2;1,3\n;;21,4;1,4\n"
    first, second = read(text)
    assert labels((first, second)) == ["roof 1", "roof 2"]
    assert mhz(first) == [14.0, 14.1]
    assert mhz(second) == [21.0, 21.2, 21.4]


def test_frequencies_side_by_side_whose_columns_are_unclear():
    error = asked("Hz,MHz,SWR\n14000000,14.0,1.5\n14100000,14.3,1.4\n")
    assert error.reason == (
        "columns 1 'Hz' and 2 'MHz' are frequencies: it is not clear which belongs to which column"
    )


def test_ports_of_a_table_with_two_reflections():
    text = '"GHz","dB(S(1,1))","dB(S(2,2))","dB(S(2,1))"\n1,-10,-20,-3\n1.1,-10,-20,-3\n'
    first, second = read(text)
    assert labels((first, second)) == ["roof S11", "roof S22"]
    np.testing.assert_allclose(second.sweep.magnitude, 0.1)


def test_rows_of_other_lengths_are_counted_and_left_out():
    reading = read_one(f"{HEAD}{DRY}14.3\n14.4,1.5,3\n")
    assert text_of(reading, "mixed-row-lengths") == (
        "2 of 5 rows left out, first in line 5: not 2 cells like the others"
    )
    assert len(reading.sweep) == 3


def test_rows_without_a_value_are_counted_and_left_out():
    reading = read_one(f"{HEAD}14.0,1.5\n14.1,\n14.2,1.4\n")
    assert text_of(reading, "points-left-out") == (
        "1 of 3 rows left out, in line 3: no value in column 2 'SWR'"
    )
    reading = read_one(f"{HEAD}14.0,1.5\n,1.3\n14.2,1.4\n")
    assert text_of(reading, "points-left-out") == (
        "1 of 3 rows left out, in line 3: no value in columns 1 'MHz' and 2 'SWR'"
    )


def test_too_many_cells_or_blocks_are_refused(monkeypatch):
    monkeypatch.setattr(blocks, "MOST_CELLS", 5)
    assert error_of(f"{HEAD}{DRY}x\n").startswith("roof.csv:4: more than 5 cells; ")
    monkeypatch.undo()
    monkeypatch.setattr(blocks, "MOST_BLOCKS", 2)
    assert error_of(f"{HEAD}{DRY}" * 3).startswith("roof.csv:10: more than 2 blocks of rows; ")


def test_too_many_sweeps_are_refused(monkeypatch):
    monkeypatch.setattr(tidy, "MOST_SWEEPS", 2)
    assert len(read(f"{HEAD}{DRY}\n{WET}")) == 2
    assert error_of(f"{HEAD}{DRY}\n{WET}\n{DRY}") == (
        "roof.csv:1: more than 2 sweeps in one table; split the file, or choose other columns"
    )


def test_a_row_of_thousands_of_cells_is_no_point():
    wide = ",".join(["1"] * 5000)
    assert error_of(f"{HEAD}{DRY}{wide}\n") == (
        "roof.csv:5: 5000 cells in this row; "
        "write one line per frequency: transpose the rows and export again"
    )


# -- the parting itself ------------------------------------------------------------------------


def parts(frequency, breaks=()):
    values = np.array(frequency, dtype=float)
    found = split_by_breaks(values, np.arange(values.size), [Break(*stop) for stop in breaks], "a")
    return [(part.name, values[part.points].tolist()) for part in found]


@pytest.mark.parametrize(
    ("frequency", "breaks", "expected"),
    [
        ([1, 2, 3], [], [("a", [1, 2, 3])]),
        ([], [], [("a", [])]),
        ([1, 2, 1, 2], [], [("a", [1, 2]), ("", [1, 2])]),
        ([1, 2, 1, 2, 1], [], [("a", [1, 2, 1, 2, 1])]),
        ([1, 2, 1, 3], [], [("a", [1, 2, 1, 3])]),
        ([1, 1, 1], [], [("a", [1, 1, 1])]),
        ([2, 1, 2, 1], [(2, "b")], [("a", [2, 1]), ("b", [2, 1])]),
        ([1, 2, 1, 2], [(0, "x"), (2, "b"), (4, "y")], [("a", [1, 2]), ("b", [1, 2])]),
        ([1, 2, 2.5, 3], [(2, "b")], [("a", [1, 2, 2.5, 3])]),
        ([1, 2, 2, 3], [(2, "b")], [("a", [1, 2]), ("b", [2, 3])]),
        ([1, 2, 3, 9], [(3, "b")], [("a", [1, 2, 3, 9])]),
        ([1, 2, 9, 10], [(2, "b")], [("a", [1, 2]), ("b", [9, 10])]),
        ([1, 2, 1, 2, 1, 2], [(2, "b"), (4, "c")], [("a", [1, 2]), ("b", [1, 2]), ("c", [1, 2])]),
    ],
)
def test_where_a_sweep_ends(frequency, breaks, expected):
    assert parts(frequency, breaks) == expected


def test_names_keep_the_order_in_which_they_come():
    found = split_by_names(["b", "a", "b"])
    assert [(part.name, part.points.tolist()) for part in found] == [("b", [0, 2]), ("a", [1])]
