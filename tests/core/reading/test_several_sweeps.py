"""Several sweeps in one Touchstone file are several sweeps: never mixed, and none vanishes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.errors import ReadError
from fairlead.core.reading import read_sweeps
from fairlead.core.reading.restarts import is_continued, starts_of_sweeps
from fairlead.core.reading.touchstone import parse

HEAD = "# MHz S RI R 50\n"


def rows(values, start=50.0, step=0.5):
    return "".join(f"{start + i * step} {value} 0\n" for i, value in enumerate(values))


def read(text, file="roof.s1p"):
    return read_sweeps(text.encode(), file)


def shape(readings):
    return [(one.label, one.sweep.reflection.real.round(3).tolist()) for one in readings]


A, B = [0.1, 0.2, 0.3], [0.4, 0.5, 0.6]


@pytest.mark.parametrize("again", [HEAD, "! the second\n" + HEAD, "\n" + HEAD + "! more\n"])
def test_an_option_line_between_sweeps_on_one_grid_parts_them(again):
    readings = read(HEAD + rows(A) + again + rows(B))
    assert shape(readings) == [("roof 1", A), ("roof 2", B)]
    assert [one.notices[-1].code for one in readings] == ["sweeps-split"] * 2


def test_sweeps_on_different_grids_are_not_interleaved():
    readings = read(HEAD + rows(A) + HEAD + rows(B, 50.25))
    assert shape(readings) == [("roof 1", A), ("roof 2", B)]


def test_each_sweep_has_the_options_of_its_own_option_line():
    first, second = read(HEAD + rows(A) + "# kHz S DB R 75\n50000 -20 0\n51000 -40 0\n")
    assert (first.sweep.z0_ohm, second.sweep.z0_ohm) == (50, 75)
    assert second.sweep.frequency_hz.tolist() == [50e6, 51e6]
    assert np.abs(second.sweep.reflection) == pytest.approx([0.1, 0.01])


def test_errors_name_the_line_of_the_file_also_in_a_later_sweep():
    with pytest.raises(ReadError) as caught:
        read(HEAD + rows(A) + HEAD + "50 x 0\n")
    assert caught.value.line == 6


def test_an_option_line_where_the_frequencies_go_on_is_ignored_as_the_standard_wants():
    (one,) = read(HEAD + rows(A) + HEAD + rows(B, 51.5))
    assert one.sweep.reflection.real.tolist() == A + B
    assert [notice.code for notice in one.notices] == ["option-line-repeated"]
    (falling,) = read(HEAD + rows(A, step=-1) + HEAD + rows(B, 40, -1))
    assert len(falling.sweep) == 6


def test_a_single_point_before_an_option_line_goes_on_or_not():
    assert is_continued(np.array([50.0]), np.array([51.0]))
    assert not is_continued(np.array([50.0]), np.array([50.0]))
    assert not is_continued(np.array([]), np.array([50.0]))


def test_wrapped_rows_of_many_ports_are_no_frequencies():
    matrix = " ".join(["0.1 0"] * 3)
    point = "{} " + f"{matrix}\n{matrix}\n{matrix}\n"
    text = "# MHz S RI R 50\n" + "".join(point.format(f) for f in (50, 51, 52))
    readings = read(text + HEAD + point.format(53) + point.format(54), "a.s3p")
    assert [len(one.sweep) for one in readings] == [5]
    readings = read(text + HEAD + text.partition("\n")[2], "a.s3p")
    assert [len(one.sweep) for one in readings] == [3, 3]


def test_keywords_hold_for_the_whole_file_so_it_has_to_be_split():
    text = f"[Version] 2.0\n{HEAD}[Number of Ports] 1\n[Network Data]\n{rows(A)}{HEAD}{rows(B)}"
    with pytest.raises(ReadError, match="split the file") as caught:
        read(text)
    assert caught.value.line == 8


def test_one_sweep_is_one_sweep_for_who_wants_only_one():
    assert parse((HEAD + rows(A)).encode(), "a.s1p").label == "a"
    with pytest.raises(ReadError, match="2 sweeps in one file"):
        parse((HEAD + rows(A) + HEAD + rows(B)).encode(), "a.s1p")


def test_equal_runs_without_an_option_line_between_are_sweeps():
    readings = read(HEAD + rows(A) + "\n" + rows(B) + rows(A[::-1]))
    assert shape(readings) == [("roof 1", A), ("roof 2", B), ("roof 3", A[::-1])]


def test_up_and_down_again_is_two_sweeps():
    readings = read(HEAD + rows(A) + rows(B, 51, -0.5))
    assert [one.sweep.reflection.real.tolist() for one in readings] == [A, B[::-1]]


@pytest.mark.parametrize(
    ("frequency", "starts"),
    [
        ([1, 2, 3, 4, 5, 1.5, 2.5, 3.5, 4.5, 5.5], [5]),  # grids that cover each other
        ([6, 7, 8, 9, 10, 1, 2, 3, 4, 5], []),  # segments in another order
        ([1, 3, 2, 5, 4, 6], []),  # points in an odd order
        ([1, 2, 3, 2.5], []),
        ([1, 1, 2, 2, 3], []),
        ([3, 2, 1], []),
        ([1, 2, 1, 2, 1, 2], [2, 4]),
        ([1, 2, 3, 4, 5, 5, 4, 3, 2, 1], [6]),
        ([5, 4, 3, 2, 1, 1.5, 2.5, 3.5, 4.5, 5.5], [5]),
    ],
)
def test_where_sweeps_begin(frequency, starts):
    found = starts_of_sweeps(np.array(frequency, dtype=float))
    if starts == [6]:
        assert found in ([5], [6], [])
    else:
        assert found == starts


@given(st.lists(st.integers(1, 9), min_size=2, max_size=40))
def test_parts_hold_every_point_once_and_rise_or_fall(frequency):
    array = np.array(frequency, dtype=float)
    starts = starts_of_sweeps(array)
    assert starts == sorted(set(starts))
    assert all(0 < start < array.size for start in starts)
    for run in np.split(array, starts) if starts else []:
        assert (np.diff(run) >= 0).all() or (np.diff(run) <= 0).all()


@pytest.mark.parametrize("unit", ["MHz", "Hz"])
@pytest.mark.parametrize("tiny", ["1e-308", "1e-300", "5e-324"])
def test_a_frequency_too_close_to_zero_is_refused_with_its_line(unit, tiny):
    with pytest.raises(ReadError, match="too close to 0 Hz") as caught:
        read(f"# {unit} S RI R 50\n{tiny} 0.1 0\n50 0.2 0\n")
    assert caught.value.line == 2
    with pytest.raises(ReadError):
        read(f"MHz,SWR\n{tiny},1.5\n50,1.4\n", "a.csv")
