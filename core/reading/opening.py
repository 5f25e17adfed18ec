"""Opens a file by content and hands over the sweeps in it."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.file_bytes import file_bytes
from fairlead.core.notice import Notice
from fairlead.core.originals import ORIGINALS
from fairlead.core.reading import touchstone
from fairlead.core.reading.kind import Content, check_kind, content_of, refuse_other
from fairlead.core.reading.label import claims_touchstone, label_of
from fairlead.core.reading.text import ARCHIVE, to_lines
from fairlead.core.reading.traced import as_traced

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.reading.reading import Reading
    from fairlead.core.reading.tables import ColumnPlan, TablePreview

# About two million one-port points; more is no sweep but a mistake that would fill the memory.
LARGEST_BYTES = 128 * 1024 * 1024


def open_sweeps(
    path: str | os.PathLike[str], columns: ColumnPlan | None = None
) -> tuple[Reading, ...]:
    """Read all sweeps of one file; its content decides how.

    Parameters
    ----------
    path : str or path-like
        A file.
    columns : ColumnPlan, optional
        Which column of a table is what; Touchstone files do not need it.

    Returns
    -------
    tuple of Reading
        At least one.

    Raises
    ------
    NeedsColumnsError
        Where the columns of a table cannot be identified.
    ReadError
        Where the file cannot be opened or holds no sweep that can be read.
    """
    file = os.fsdecode(path)
    readings = read_sweeps(_content(file), file, columns)
    ORIGINALS.note(file)
    return readings


def read_sweeps(data: bytes, file: str, columns: ColumnPlan | None = None) -> tuple[Reading, ...]:
    """Read all sweeps in the bytes of a file; see `open_sweeps`.

    The name matters only where the content is silent: rows of bare numbers are Touchstone, with
    the defaults of the standard, in a file that is called so (.s1p), and a table in any other.

    Raises
    ------
    ReadError
        Where they hold no sweep that can be read; `NeedsColumnsError` where columns must be told.
    """
    if data.startswith(ARCHIVE):
        return _read_packed(data, file, columns)
    return _read_lines(to_lines(data, file), file, columns)


def _read_packed(data: bytes, file: str, columns: ColumnPlan | None) -> tuple[Reading, ...]:
    """The sweeps of all parts that can be read; what cannot is a notice with the first of them."""
    from fairlead.core.reading import packed  # noqa: PLC0415 - rare

    readings: list[Reading] = []
    failed: list[ReadError] = []
    parts = packed.members_of(data, file)
    for part in parts:
        inner = f"{file}/{part.name}"
        try:
            found = _read_lines(part.lines, file if part.is_sheet else inner, columns)
        except ReadError as error:
            failed.append(error if error.asks_for_columns else part.told(error, file))
            continue
        if part.is_sheet and len(parts) > 1:
            stem = label_of(file)
            found = tuple(
                replace(one, label=f"{stem} {part.name}{one.label.removeprefix(stem)}")
                for one in found
            )
        readings += (replace(one, file=file) for one in found)
    if not readings:
        # What the user can answer comes before what cannot be mended.
        raise next((error for error in failed if error.asks_for_columns), failed[0])
    if failed:
        text = f"{len(failed)} of {len(parts)} parts of the file are not read: {failed[0].reason}"
        notice = Notice("part-left-out", text)
        readings[0] = replace(readings[0], notices=(*readings[0].notices, notice))
    return tuple(readings)


def _read_lines(lines: Sequence[str], file: str, columns: ColumnPlan | None) -> tuple[Reading, ...]:
    content = content_of(lines)
    is_named = claims_touchstone(file)
    if content is Content.TOUCHSTONE or (
        content is Content.NUMBERS and is_named and columns is None
    ):
        return as_traced(touchstone.parse_lines(lines, file), lines)
    from fairlead.core.reading.tables import NeedsColumnsError, table  # noqa: PLC0415 - see the package

    try:
        readings = table.parse(lines, file, columns)
    except NeedsColumnsError as error:
        if is_named and not error.preview.has_headings:
            # What is called Touchstone and has no headings lacks its option line.
            check_kind(lines, file)
        raise
    if readings is None:
        refuse_other(lines, file)
    return as_traced(readings, lines)


def open_preview(path: str | os.PathLike[str]) -> TablePreview | None:
    """What to show of a file to choose its columns; None where it is no table.

    Raises
    ------
    ReadError
        Where the file cannot be opened, or its table cannot be taken apart.
    """
    file = os.fsdecode(path)
    return read_preview(_content(file), file)


def read_preview(data: bytes, file: str) -> TablePreview | None:
    """See `open_preview`, for the bytes of a file."""
    if data.startswith(ARCHIVE):
        from fairlead.core.reading import packed  # noqa: PLC0415 - rare

        previews = (_preview(part.lines, file) for part in packed.members_of(data, file))
        return next((one for one in previews if one is not None), None)
    return _preview(to_lines(data, file), file)


def _preview(lines: Sequence[str], file: str) -> TablePreview | None:
    if content_of(lines) is Content.TOUCHSTONE:
        return None
    from fairlead.core.reading.tables import table  # noqa: PLC0415 - see the package

    return table.preview(lines, file)


def preview_sweeps(
    source: TablePreview | bytes, columns: ColumnPlan, file: str = ""
) -> tuple[Reading, ...]:
    """The sweeps that a plan finds in a table, for a plot while columns are chosen.

    Parameters
    ----------
    source : TablePreview or bytes
        A preview, which is quick, or the bytes of a file.
    columns : ColumnPlan
    file : str
        Name for messages, with bytes.

    Raises
    ------
    ReadError
        Where the plan does not fit the table.
    """
    if isinstance(source, bytes):
        return read_sweeps(source, file, columns)
    from fairlead.core.reading.tables import table  # noqa: PLC0415 - see the package

    return table.sweeps_of(source.table, columns)


def _content(file: str) -> bytes:
    too_large = ReadError(
        file,
        f"larger than {LARGEST_BYTES // 1024 // 1024} MiB",
        "export fewer points, or only the first port",
    )
    return file_bytes(file, "copy the sweep into a file", too_large, LARGEST_BYTES)
