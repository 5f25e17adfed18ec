"""Readings typed from a meter become a scalar sweep; what cannot be one names its cell."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.reading.tables.plan import Kind
from fairlead.core.reading.typed import HEADINGS, TypedError, pasted_rows, typed_sweep


def error_of(rows, kind=Kind.SWR):
    with pytest.raises(TypedError) as caught:
        typed_sweep(rows, kind)
    assert caught.value.advice
    return caught.value


def test_frequency_and_swr():
    # SWR and |G|: LZ1LEN's table, qslnet.de/member/lz1len/txlinecond.html.
    rows = [("14.35", "2.0"), ("14 MHz", "1,5"), ("14200 kHz", "3:1"), ("14,1M", "inf")]
    sweep = typed_sweep(rows)
    assert sweep.frequency_hz.tolist() == [14e6, 14.1e6, 14.2e6, 14.35e6]
    np.testing.assert_allclose(sweep.magnitude, [0.20, 1, 0.50, 0.33], atol=0.005)
    assert sweep.z0_ohm == 50
    assert not sweep.has_phase


def test_forward_and_reflected_power():
    # Blake, Electronic Communication Systems, example 14.20: 150 W and 20 W, SWR 2.150.
    rows = [("14.0", "150 W", "20 W"), ("14.1", "150", "0,02 kW"), ("14.2", "20 dBm", "10dBm")]
    magnitude = typed_sweep(rows, Kind.POWER, 75.0).magnitude
    np.testing.assert_allclose((1 + magnitude) / (1 - magnitude), [2.150, 2.150, 1.925], atol=5e-4)
    assert typed_sweep(rows, Kind.POWER, 75.0).z0_ohm == 75


def test_empty_rows_of_the_grid_do_not_count():
    assert len(typed_sweep([("", ""), ("14", "1.5"), (" ", ""), ("15", "1.4"), ()])) == 2


@pytest.mark.parametrize(
    ("rows", "row", "column", "message"),
    [
        ([], None, 0, "fewer than 2 readings; type at least 2 rows"),
        ([("14", "1.5")], None, 0, "fewer than 2 readings; type at least 2 rows"),
        ([("14", "1.5"), ("15", "")], 1, 1, "row 2: SWR is empty; type it, or clear the row"),
        ([("14", "1.5"), ("", "1.5")], 1, 0, "row 2: Frequency is empty; type it, or clear"),
        ([("14", "1.5"), ("15",)], 1, 1, "row 2: SWR is empty; type it, or clear the row"),
        ([("14", "0.9"), ("15", "1")], 0, 1, "row 1, SWR: 0.9 is not an SWR; an SWR is at least 1"),
        ([("14", "rain"), ("15", "1")], 0, 1, 'row 1, SWR: "rain" is not a number for the SWR'),
        ([("14", "nan"), ("15", "1")], 0, 1, 'row 1, SWR: "nan" is not a number for the SWR'),
        ([("high", "2"), ("15", "1")], 0, 0, 'row 1, Frequency: "high" is not a frequency; '),
        ([("14", "2"), ("14 V", "1")], 1, 0, 'row 2, Frequency: "V" is not a unit of frequency'),
        (
            [("14", "2"), ("15", "1"), ("14000 kHz", "2")],
            2,
            0,
            "row 3: 14.000 MHz is already in row 1; keep one of the two readings",
        ),
        ([("14", "2", "x"), ("15", "1")], 0, 2, "row 1: more than 2 cells; type Frequency, SWR"),
    ],
)
def test_what_is_wrong_with_a_reading_of_swr(rows, row, column, message):
    error = error_of(rows)
    assert (error.row, error.column) == (row, column)
    assert str(error).startswith(message)


@pytest.mark.parametrize(
    ("cells", "column", "message"),
    [
        (("14", "100", ""), 2, "row 1: Reflected power is empty"),
        (
            ("14", "100 V", "5"),
            1,
            'row 1, Forward power: "100 V" is not a power; write for example',
        ),
        (("14", "W", "5"), 1, 'row 1, Forward power: "" is not a number for forward power'),
        (("14", "100", "W5"), 2, 'row 1, Reflected power: "W5" is not a power; write for example'),
        (("14", "100", "-5"), 2, "row 1, Reflected power: -5 is below 0; a power is 0 or more"),
        (
            ("14", "100", "9999 dBm"),
            2,
            "row 1, Reflected power: 9999 dBm is not a power; 20 dBm is",
        ),
        (("14", "0", "0"), 1, "row 1: no forward power; without power there is nothing to read"),
        (("14", "5", "100"), 2, "row 1: more power is reflected than forward; check whether"),
    ],
)
def test_what_is_wrong_with_a_reading_of_power(cells, column, message):
    error = error_of([cells, ("15", "100", "1")], Kind.POWER)
    assert (error.row, error.column) == (0, column)
    assert str(error).startswith(message)


def test_the_cells_have_names():
    assert {kind: len(names) for kind, names in HEADINGS.items()} == {Kind.SWR: 2, Kind.POWER: 3}


# -- pasted ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "14.0\t1.5\n14.1\t1.4",
        "14,0\t1,5\r\n14,1\t1,4\r\n",
        "14,0;1,5\n14,1;1,4",
        "14.0, 1.5\n14.1, 1.4",
        "14.0 1.5\n\n14.1 1.4\n",
        "MHz\tSWR\n14.0\t1.5\n14.1\t1.4",
        "Frequency SWR\n14.0 MHz 1.5:1\n14.1 MHz 1.4:1",
        "14.0 MHz\t1.5\n14.1\t1.4",
        "  14.0   1.5 \n 14.1   1.4",
        "14.0;1.5\n14.1\t1.4",
    ],
)
def test_pasted_text_becomes_rows(text):
    sweep = typed_sweep(pasted_rows(text))
    assert sweep.frequency_hz.tolist() == [14e6, 14.1e6]
    np.testing.assert_allclose(sweep.magnitude, [0.2, 1 / 6])


def test_pasted_powers():
    rows = pasted_rows("f\tfwd\trefl\n14 MHz\t100 W\t4 W\n14.1 MHz\t100 W\t9 W\n")
    assert rows == [("14MHz", "100W", "4W"), ("14.1MHz", "100W", "9W")]
    np.testing.assert_allclose(typed_sweep(rows, Kind.POWER).magnitude, [0.2, 0.3])


def test_what_is_pasted_need_not_be_complete():
    assert pasted_rows("") == []
    assert pasted_rows("14.0\n14.1") == [("14.0",), ("14.1",)]
    assert pasted_rows("14.0\t\n14.1\t1.5") == [("14.0",), ("14.1", "1.5")]
    assert pasted_rows("\n\n") == []


@given(st.lists(st.tuples(st.text(max_size=8), st.text(max_size=8), st.text(max_size=8))))
def test_any_cells_are_a_sweep_or_an_error_that_names_one(rows):
    for kind in HEADINGS:
        try:
            sweep = typed_sweep(rows, kind)
        except TypedError as error:
            assert error.row is None or 0 <= error.row < len(rows)  # noqa: PT017
        else:
            assert len(sweep) >= 2


@given(st.text(max_size=60))
def test_any_text_can_be_pasted(text):
    assert all(isinstance(cell, str) for row in pasted_rows(text) for cell in row)
