"""Points of a sweep as rows of numbers, as text, and back.

The numbers are written as Python's ``repr`` does: the shortest text that gives the same number.
Both directions work on a few thousand rows at a time: each step holds Python's global lock, and the
window must not wait for all of them.
"""

from __future__ import annotations

from itertools import chain
from json import loads
from typing import TYPE_CHECKING, Any

import numpy as np

from fairlead.core.errors import SweepError
from fairlead.core.sweep import ScalarSweep, Sweep

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.sweep import AnySweep

_ROWS_AT_ONCE = 1000
_BYTES_AT_ONCE = 64 * 1024
_INDENT = "    "
_IN_NUMBERS = b"0123456789.eE+- "


def to_rows(sweep: AnySweep) -> FloatArray:
    """Rows of frequency and reflection.

    Returns
    -------
    FloatArray, shape (n, 3) or (n, 2)
        Frequency in Hz, real and imaginary part; or frequency and magnitude. -0.0, which equals
        0.0, becomes 0.0: equal sweeps have equal bytes.
    """
    if isinstance(sweep, Sweep):
        values = [sweep.reflection.real, sweep.reflection.imag]
    else:
        values = [sweep.magnitude]
    rows: FloatArray = np.column_stack([sweep.frequency_hz, *values]) + 0.0
    return rows


def to_sweep(rows: FloatArray, z0_ohm: float, bounds: Sequence[int] = ()) -> AnySweep:
    """The sweep that `to_rows` took apart: three columns have phase, two have none.

    Parameters
    ----------
    rows : FloatArray, shape (n, 3) or (n, 2)
    z0_ohm : float
    bounds : sequence of int
        Points without phase of which only a lower bound is known.

    Raises
    ------
    SweepError
        If the numbers are not a sweep.
    """
    if any(index >= len(rows) for index in bounds) or (bounds and rows.shape[1] != 2):
        raise SweepError("bounds are stated of points that it does not have", "remove the bounds")
    if rows.shape[1] == 2:
        is_bound = np.zeros(len(rows), dtype=np.bool_)
        is_bound[list(bounds)] = True
        return ScalarSweep(rows[:, 0], rows[:, 1], z0_ohm, is_bound)
    return Sweep(rows[:, 0], rows[:, 1:].copy().view(np.complex128)[:, 0], z0_ohm)


def to_text(rows: FloatArray) -> Iterator[bytes]:
    """Rows as JSON, one per line, without the brackets around all of them."""
    for start in range(0, len(rows), _ROWS_AT_ONCE):
        text = repr(rows[start : start + _ROWS_AT_ONCE].tolist())[1:-1]
        # 50000000.0 is as exact without its last two characters, and read faster.
        text = text.replace(".0,", ",").replace(".0]", "]")
        before = ",\n" if start else ""
        yield (before + _INDENT + text.replace("], [", f"],\n{_INDENT}[")).encode()


def from_text(text: bytes) -> FloatArray:
    """Rows from the text that `to_text` writes.

    Raises
    ------
    ValueError
        For any other text, although it may be good JSON; also OverflowError.
    """
    row = text[: text.find(b"\n") + 1].translate(None, _IN_NUMBERS)
    width = row.count(b",")
    count = text.count(b"\n") + 1
    if row != b"[" + b"," * (width - 1) + b"],\n":
        raise ValueError("not a row of numbers")
    if text.translate(None, _IN_NUMBERS) + b",\n" != row * count:
        raise ValueError("rows of other numbers or another layout")
    values = np.empty(count * width)
    filled = start = 0
    while start < len(text):
        end = text.find(b"\n", start + _BYTES_AT_ONCE)
        end = len(text) if end < 0 else end
        # Rows have equal lengths, so the brackets are redundant; a flat list is read faster.
        part = loads(b"[" + text[start:end].rstrip(b",").translate(None, b"[]") + b"]")
        values[filled : filled + len(part)] = np.fromiter(part, np.float64, len(part))
        filled, start = filled + len(part), end + 1
    return _normalised(values.reshape(count, width))


def from_lists(rows: Any) -> FloatArray | None:
    """Rows from parsed JSON of any layout; None if they are not a table of numbers."""
    if not isinstance(rows, list) or not all(isinstance(row, list) for row in rows):
        return None
    widths = set(map(len, rows))
    # numpy would also take True, and texts that look like numbers.
    if len(widths) != 1 or not set(map(type, chain.from_iterable(rows))) <= {int, float}:
        return None
    try:
        return _normalised(np.array(rows, dtype=np.float64))
    except OverflowError:
        return None


def _normalised(rows: FloatArray) -> FloatArray:
    rows += 0.0
    return rows


# The layout of a file: the points, and the rest, called the outline, which is small. The outline is
# read by a strict parser in one go, the points in pieces. JSON texts contain no line breaks, so
# these marks cannot be part of a note.
_BEGIN = b'\n   "points": [\n'
_END = b"\n   ]\n  "
_NONE = b'\n   "points": []'
_AFTER = b"\n  "


def split(text: bytes) -> tuple[bytes, list[bytes]]:
    """Separate the points from the rest of a file.

    Returns
    -------
    outline : bytes
        The file with empty lists of points.
    blocks : list of bytes
        The points of each sweep, where they are laid out as we write them.
    """
    outline: list[bytes] = []
    blocks: list[bytes] = []
    start = 0
    while (begin := text.find(_BEGIN, start)) >= 0:
        # The brace that closes the sweep does not occur in the points, so it is found at once.
        after = text.find(b"}", begin)
        if not text.endswith(_END, begin, max(after, begin)):
            break
        outline += (text[start:begin], _NONE, _AFTER)
        blocks.append(text[begin + len(_BEGIN) : after - len(_END)])
        start = after
    outline.append(text[start:])
    return b"".join(outline), blocks


def join(outline: bytes, blocks: Iterable[Iterable[bytes]]) -> Iterator[bytes]:
    """Insert points, themselves in pieces, into the empty lists of an outline."""
    first, *rest = outline.split(_NONE + _AFTER)
    yield first
    for block, after in zip(blocks, rest, strict=True):
        yield _BEGIN
        yield from block
        yield _END
        yield after
