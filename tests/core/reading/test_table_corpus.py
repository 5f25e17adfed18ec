"""Tables as they come, each with one or more oddities; all invented, all of series circuits."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from table_text import codes, series_circuit

from fairlead.core.errors import ReadError
from fairlead.core.reading import expand_paths, open_sweeps
from fairlead.core.reading.tables import ColumnPlan, NeedsColumnsError

FOLDER = Path(__file__).parents[2] / "data" / "tables"
GRID_HZ = np.linspace(50e6, 52e6, 9)

# With phase: the reflection of 40 ohm, 51 MHz, Q 8 is read.
COMPLEX = {
    "byte_order_mark.csv": [],
    "columns_in_a_comment.txt": [],
    "impedance_and_angle.txt": [],
    "many_columns.csv": [],
    "plain.csv": [],
    "quoted.csv": [],
    "three_digit_exponents.txt": [],
    "units_in_their_own_line.csv": [],
    "wrapped.csv": ["columns-assumed"],
}
SCALAR = {
    "carriage_returns.csv": [],
    "counted_rows.csv": [],
    "dated.csv": ["reference-not-50"],
    "decimal_comma.csv": [],
    "double_spaced.csv": [],
    "falling.csv": ["zero-frequency-left-out", "points-out-of-order", "duplicate-frequencies"],
    "footers.csv": [],
    "gaps.csv": ["points-left-out"],
    "latin_1.csv": [],
    "powers.csv": [],
    "quoted_decimal_comma.csv": [],
    "ragged.csv": ["mixed-row-lengths"],
    "thousands.csv": [],
    "trailing_separators.csv": [],
    "units_in_cells.txt": [],
    "utf_16_tabs.tsv": [],
}
# Two sweeps: the circuit, and one of 30 ohm, 50.6 MHz, Q 6.
TWO = {
    "blank_lines_between.csv": ("1", "2"),
    "heading_over_two_columns.csv": ("dry", "wet"),
    "named_rows.csv": ("dry", "wet"),
    "side_by_side.csv": ("dry", "wet"),
    "titles_between.txt": ("dry", "wet"),
    "two_wrapped.csv": ("dry", "wet"),
}
ASKED = {
    "angle_unclear.csv": (
        "1: column 3 'angle': degrees or radians is not stated",
        "frequency=1:MHz,magnitude+angle=2+3:rad",
    ),
    "contradicting.csv": (
        (
            "1: columns 2 'R (ohm)' and 3 'X (ohm)' give an SWR of 1.25 at 50 ohm in line 6, "
            "column 4 'SWR' one of 3.25"
        ),
        "frequency=1:MHz,r+x=2+3",
    ),
    "no_headings.csv": ("1: the columns have no headings", "frequency=1:MHz,swr=2"),
    "one_a_band.csv": (
        (
            "1: column 2 'freq_mhz': frequencies are far apart and each row has a name of its own: "
            "single values, not a sweep"
        ),
        "frequency=2:MHz,swr=3",
    ),
    "unit_unclear.csv": (
        "1: column 1 'frequency': the unit of frequency is not stated and not clear",
        "frequency=1:MHz,swr=2",
    ),
    "unknown_words.csv": (
        (
            "1: columns 2 'dry' and 3 'wet': no heading speaks of SWR, return loss, reflection or "
            "impedance"
        ),
        "frequency=1:MHz,swr=2,swr=3",
    ),
}
REFUSED = {
    "bad_cell.csv": "3: 'rain' in column 2 'SWR' is not a number; correct or remove the row",
    "double_commas.csv": "1: commas seem to be both decimal commas and separators of cells; ",
    "doubtful_commas.tsv": "2: '50,500' in column 1 'kHz' is not a number; write decimal points",
    "letter.txt": "1: not a sweep: neither Touchstone nor a table of numbers; it begins 'Dear",
    "mixed_marks.csv": "2: decimal points and decimal commas in one table: '50.5' and '1,5'; ",
    "no_frequency.csv": "1: no column is called frequency: 'time (s)', 'height (m)'; open a table",
    "one_frequency.csv": "1: the frequency is 51 MHz in every row: single values, not a sweep; ",
    "one_row.csv": "1: only 1 point with a frequency above 0 Hz and a value; a sweep needs",
    "spot_values.csv": (
        "1: columns 2 'first_mhz' and 4 'second_mhz' are frequencies, and none rises from "
        "row to row: single values, not a sweep; open a table"
    ),
    "swr_of_a_half.csv": "3: column 2 'SWR': 0.5 is not an SWR, which is at least 1; correct",
    "transmission_only.csv": (
        "1: no heading speaks of SWR, return loss, reflection or impedance; open a table"
    ),
    "transposed.csv": "1: the rows look transposed: this one contains all frequencies; write",
}
OTHERS = ["three_points.csv"]


def circuit(z0_ohm=50.0):
    z_ohm = series_circuit(GRID_HZ)
    return (z_ohm - z0_ohm) / (z_ohm + z0_ohm)


def test_every_file_of_the_folder_is_in_a_table():
    files, errors = expand_paths([FOLDER])
    assert sorted(path.name for path in files) == sorted(
        [*COMPLEX, *SCALAR, *TWO, *ASKED, *REFUSED, *OTHERS]
    )
    assert errors == []


@pytest.mark.parametrize("name", COMPLEX)
def test_a_sweep_with_phase_is_read(name):
    (reading,) = open_sweeps(FOLDER / name)
    assert codes(reading) == COMPLEX[name]
    assert reading.label == Path(name).stem
    assert reading.sweep.has_phase
    assert reading.sweep.z0_ohm == 50
    np.testing.assert_array_equal(reading.sweep.frequency_hz, GRID_HZ)
    # Five digits and more are in the files.
    np.testing.assert_allclose(reading.sweep.reflection, circuit(), atol=2e-6)


@pytest.mark.parametrize("name", SCALAR)
def test_a_scalar_sweep_is_read(name):
    (reading,) = open_sweeps(FOLDER / name)
    assert codes(reading) == SCALAR[name]
    assert not reading.sweep.has_phase
    np.testing.assert_array_equal(reading.sweep.frequency_hz, GRID_HZ)
    expected = np.abs(circuit(reading.sweep.z0_ohm))
    np.testing.assert_allclose(reading.sweep.magnitude, expected, atol=2e-6)


@pytest.mark.parametrize("name", TWO)
def test_two_sweeps_are_read(name):
    readings = open_sweeps(FOLDER / name)
    stem = Path(name).stem
    assert [reading.label for reading in readings] == [f"{stem} {word}" for word in TWO[name]]
    wet_ohm = series_circuit(GRID_HZ, 30.0, 50.6e6, 6.0)
    for reading, expected in zip(
        readings, (circuit(), (wet_ohm - 50) / (wet_ohm + 50)), strict=True
    ):
        np.testing.assert_array_equal(reading.sweep.frequency_hz, GRID_HZ)
        np.testing.assert_allclose(reading.sweep.magnitude, np.abs(expected), atol=2e-6)


@pytest.mark.parametrize("name", ASKED)
def test_an_open_question_is_asked_with_a_plan_to_offer(name):
    reason, plan = ASKED[name]
    with pytest.raises(NeedsColumnsError) as caught:
        open_sweeps(FOLDER / name)
    assert str(caught.value) == (
        f'{FOLDER / name}:{reason}; say which column is what, for example --columns "{plan}"'
    )
    assert caught.value.preview.guess == ColumnPlan.parse(plan)
    # What is offered can be read.
    assert open_sweeps(FOLDER / name, ColumnPlan.parse(plan))


@pytest.mark.parametrize("name", REFUSED)
def test_is_refused_in_one_line(name):
    with pytest.raises(ReadError) as caught:
        open_sweeps(FOLDER / name)
    assert not isinstance(caught.value, NeedsColumnsError)
    message = str(caught.value)
    start = f"{FOLDER / name}:{REFUSED[name]}"
    assert message.startswith(start)
    assert "\n" not in message
    assert caught.value.advice


def test_the_plan_settles_what_headings_leave_open():
    readings = open_sweeps(
        FOLDER / "unknown_words.csv", ColumnPlan.parse("frequency=1:MHz,swr=2,swr=3")
    )
    assert [reading.label for reading in readings] == ["unknown_words dry", "unknown_words wet"]
    np.testing.assert_allclose(readings[0].sweep.magnitude, np.abs(circuit()), atol=3e-4)


@pytest.mark.parametrize(
    ("name", "delimiter", "columns"),
    [("plain.csv", ",", (0, 1, 2)), ("carriage_returns.csv", ";", (0, 1))],
)
def test_numpy_reads_the_same_numbers(name, delimiter, columns):
    """Oracle: numpy.genfromtxt."""
    data = np.genfromtxt(
        (FOLDER / name).read_text().splitlines(),
        delimiter=delimiter,
        skip_header=1,
        usecols=columns,
    )
    (reading,) = open_sweeps(FOLDER / name)
    if len(columns) == 3:
        np.testing.assert_array_equal(reading.sweep.frequency_hz, data[:, 0])
        np.testing.assert_array_equal(reading.sweep.reflection, data[:, 1] + 1j * data[:, 2])
    else:
        np.testing.assert_array_equal(reading.sweep.frequency_hz, data[:, 0] * 1e6)
        np.testing.assert_allclose(
            (1 + reading.sweep.magnitude) / (1 - reading.sweep.magnitude), data[:, 1], rtol=1e-12
        )


@pytest.mark.parametrize(
    ("name", "encoding", "delimiter", "scale"),
    [
        ("decimal_comma.csv", "utf-8", ";", 1e6),
        ("utf_16_tabs.tsv", "utf-16", "\t", 1e3),
        ("quoted_decimal_comma.csv", "utf-8", ",", 1e6),
        ("trailing_separators.csv", "utf-8", ";", 1e6),
        ("double_spaced.csv", "utf-8", ",", 1e6),
    ],
)
def test_the_csv_module_reads_the_same_numbers(name, encoding, delimiter, scale):
    """Oracle: Python's csv module, row by row."""
    text = (FOLDER / name).read_bytes().decode(encoding)
    rows = [row for row in csv.reader(text.splitlines(), delimiter=delimiter) if row][1:]
    numbers = np.array([[float(cell.replace(",", ".")) for cell in row[:2]] for row in rows])
    (reading,) = open_sweeps(FOLDER / name)
    np.testing.assert_allclose(reading.sweep.frequency_hz, numbers[:, 0] * scale, rtol=1e-15)
    ratio = (1 + reading.sweep.magnitude) / (1 - reading.sweep.magnitude)
    np.testing.assert_allclose(ratio, numbers[:, 1], rtol=1e-12)


def test_a_date_and_a_reference_impedance_above_the_table():
    (reading,) = open_sweeps(FOLDER / "dated.csv")
    assert reading.taken_at == "2026-05-14T18:30"
    assert reading.sweep.z0_ohm == 75
