"""Reading takes no more work a byte for a large file than for a small one, whatever is in it.

Work is counted, not timed: lines of Python that run, and elements of arrays that are looked at.
`tests/bench/bench_reading.py` has the times, which also show what the counts cannot see.
"""

from __future__ import annotations

import sys

import numpy as np
import pytest
from nasty_contents import CONTENTS, OPTION

from fairlead.core.errors import ReadError
from fairlead.core.reading import touchstone
from fairlead.core.reading.opening import read_sweeps

SMALL, LARGE = 3_000, 24_000


def work(data, file):
    """How many lines of Python run while bytes are read."""
    count = 0

    def trace(frame, event, _):
        nonlocal count
        frame.f_trace_opcodes = False
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        read_sweeps(data, file)
    except ReadError:
        pass
    finally:
        sys.settrace(before)
    return count


@pytest.mark.unmeasured
@pytest.mark.parametrize("name", CONTENTS)
def test_work_grows_no_faster_than_the_file(name):
    file = "a.csv" if "table" in name else "a.s1p"
    work(CONTENTS[name](SMALL).encode(), file)  # modules that are loaded when they are needed
    small, large = (work(CONTENTS[name](size).encode(), file) for size in (SMALL, LARGE))
    assert large <= 1.1 * LARGE / SMALL * small


class Counted(np.ndarray):
    """An array that counts how many elements are looked at."""

    looked_at = 0

    def __array_ufunc__(self, ufunc, method, *inputs, **options):
        plain = [np.asarray(value) for value in inputs]
        Counted.looked_at += sum(value.size for value in plain)
        return getattr(ufunc, method)(*plain, **options)

    def __getitem__(self, item):
        found = super().__getitem__(item)
        # A slice is a view; an index array or a mask takes elements one by one.
        Counted.looked_at += 0 if isinstance(item, slice) else np.size(item)
        return found


def test_option_lines_between_rows_do_not_look_back_at_all_rows(monkeypatch):
    plain = touchstone._starts_of_points
    monkeypatch.setattr(touchstone, "_starts_of_points", lambda rows: plain(rows).view(Counted))

    def looked_at(rows):
        text = OPTION + "".join(f"{OPTION}{10**6 + i} 0.1 0.2\n" for i in range(rows))
        Counted.looked_at = 0
        (reading,) = read_sweeps(text.encode(), "a.s1p")
        assert reading.sweep.frequency_hz.size == rows
        return Counted.looked_at

    assert looked_at(800) <= 8.5 * looked_at(100)


def test_more_than_a_thousand_sweeps_are_no_file():
    rows = "".join(f"{f} 0.1 0.2\n" for f in (1, 2, 3))
    for again in (rows, OPTION + rows, "# MHz S RI R 50\n" + rows):
        assert len(read_sweeps((OPTION + again * 1000).encode(), "a.s1p")) == 1000
        with pytest.raises(ReadError, match="more than 1000 sweeps in one file; split the file"):
            read_sweeps((OPTION + again * 1001).encode(), "a.s1p")
