"""Numbers become points: one frequency and the pairs of one network matrix each.

How many ports a file has is read off the rows. A point starts with its frequency, so its first
row holds an odd count of numbers; rows that continue a matrix hold pairs, an even count. The
whole point holds 1 + 2 n² numbers for n ports.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray, IntArray
    from fairlead.core.reading.rows import Numbers

_LONGEST_LINE = 9  # one or two ports: a point is one line
_ONE_PORT = 3  # frequency and two numbers
_NOISE_ROW = 5  # frequency, minimum noise figure, magnitude and angle of the source, resistance


@dataclass(frozen=True, slots=True)
class Points:
    """Network data, one row a frequency.

    Attributes
    ----------
    frequency : FloatArray, shape (m,)
        In the unit of the file, as ordered there.
    pairs : FloatArray, shape (m, 2 k)
        The k entries of the matrix that are written, as pairs, in the order of the file.
    lines : IntArray, shape (m,)
        Line where each point starts.
    ports : int
    noise_rows : int
        Rows of a noise block that were left out.
    """

    frequency: FloatArray
    pairs: FloatArray
    lines: IntArray
    ports: int
    noise_rows: int = 0


def to_points(
    numbers: Numbers,
    file: str,
    *,
    ports: int | None = None,
    triangular: bool = False,
    name_ports: int | None = None,
) -> Points:
    """Group rows into points.

    Parameters
    ----------
    numbers : Numbers
        At least one row.
    file : str
        Name for error messages.
    ports : int, optional
        What [Number of Ports] says. Without it the rows tell, and a noise block may follow the
        data of two ports (version 1).
    triangular : bool
        Only one triangle of the matrix is written: n (n + 1) numbers follow a frequency.
    name_ports : int, optional
        What the file's name says; used only where the rows speak for several numbers alike.

    Raises
    ------
    ReadError
        For the first row that does not fit, naming its line.
    """
    counts, lines = numbers.counts, np.asarray(numbers.lines, dtype=np.intp)
    if ports is None and _is_transposed(numbers):
        raise ReadError(
            file,
            "the rows look transposed: this one contains all frequencies",
            "write one line per frequency: transpose the rows and export again",
            int(lines[0]),
        )
    starts = np.flatnonzero(counts % 2)
    if starts.size == 0 or starts[0] != 0:
        raise _row_error(file, int(lines[0]), int(counts[0]), _size_of(ports or 1, triangular))
    sizes = np.add.reduceat(counts, starts)
    if ports is None:
        ports = _ports_of(sizes, name_ports)
    size = _size_of(ports, triangular)
    noise_at = _noise_start(numbers, starts, sizes) if ports == 2 and not triangular else None
    end = starts.size if noise_at is None else noise_at
    wrong = np.flatnonzero(sizes[:end] != size)
    if wrong.size:
        point = int(wrong[0])
        last = starts[point + 1] if point + 1 < starts.size else counts.size
        raise _size_error(file, counts[starts[point] : last], lines[starts[point] : last], size)
    table = numbers.values[: end * size].reshape(end, size)
    return Points(table[:, 0], table[:, 1:], lines[starts[:end]], ports, starts.size - end)


def _size_of(ports: int, triangular: bool) -> int:
    return 1 + (ports * (ports + 1) if triangular else 2 * ports * ports)


def _ports_of(sizes: IntArray, name_ports: int | None) -> int:
    """Ports that most points speak for; 1 where no point has a possible size."""
    if (sizes == _ONE_PORT).all():
        # Most files; what follows would say the same.
        return 1
    votes: Counter[int] = Counter()
    for size, votes_of_size in Counter(sizes.tolist()).items():
        ports = math.isqrt((size - 1) // 2)
        if ports and _size_of(ports, triangular=False) == size:
            votes[ports] = votes_of_size
    if not votes:
        return name_ports or 1
    return max(votes, key=lambda ports: (votes[ports], ports == name_ports))


def _noise_start(numbers: Numbers, starts: IntArray, sizes: IntArray) -> int | None:
    """First point of the noise block behind the data of two ports, or None.

    The block starts where the frequency does not rise (specification 1.1) and rows of 5 begin.
    """
    small = np.flatnonzero(sizes == _NOISE_ROW)
    if small.size == 0 or small[0] == 0 or (sizes[small[0] :] != _NOISE_ROW).any():
        return None
    first = int(small[0])
    offsets = np.cumsum(numbers.counts) - numbers.counts
    frequency = numbers.values[offsets[starts]]
    return first if frequency[first] <= frequency[first - 1] else None


def _is_transposed(numbers: Numbers) -> bool:
    """Whether the first row rises all along and no column does: frequencies written across."""
    width, rows = int(numbers.counts[0]), numbers.counts.size
    if width <= 3 or rows < 3 or (numbers.counts != width).any():
        return False
    table = numbers.values.reshape(rows, width)
    rises = (np.diff(table[0]) > 0).all() and table[0, 0] >= 0
    return bool(rises and (np.diff(table[:, 0]) <= 0).any())


def _size_error(file: str, counts: IntArray, lines: IntArray, size: int) -> ReadError:
    """Error for the row of a point where it goes wrong: too long, or the last one, too short."""
    total = np.cumsum(counts)
    too_long = np.flatnonzero(total > size)
    at = int(too_long[0] if too_long.size else np.flatnonzero(counts)[-1])
    expected = size - (int(total[at - 1]) if at else 0)
    if expected == 0 and size <= _LONGEST_LINE:
        # An even count looks like the rest of the point before, but that one is complete.
        expected = size
    return _row_error(file, int(lines[at]), int(counts[at]), expected)


def _row_error(file: str, line: int, count: int, expected: int) -> ReadError:
    found = "1 number" if count == 1 else f"{count} numbers"
    wanted = "none" if expected == 0 else f"{expected}"
    return ReadError(
        file,
        f"{found} in this row where {wanted} belong",
        "correct or remove the row; a one-port row holds a frequency and two numbers",
        line,
    )
