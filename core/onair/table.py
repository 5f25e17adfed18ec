"""A log as a table of text: pasted from a spreadsheet, or the contents of a CSV file."""

from __future__ import annotations

import csv
from dataclasses import dataclass

TITLES = ("Date and time", "Sweep or group", "Power, W", "Path, km", "Report", "Notes")
COLUMNS = ("date", "antenna", "power_w", "path_km", "report", "notes")
"""The same in CSV."""
DATE, ANTENNA, POWER, PATH, REPORT, NOTES = range(len(TITLES))
_HEADINGS = {
    **{name.lower(): place for names in (TITLES, COLUMNS) for place, name in enumerate(names)},
    "time": DATE,
    "sweep": ANTENNA,
    "group": ANTENNA,
    "power": POWER,
    "power w": POWER,
    "path": PATH,
    "path km": PATH,
    "note": NOTES,
}
_FEWEST_HEADINGS = 2


@dataclass(frozen=True, slots=True)
class LogTable:
    """Rows of cells.

    Attributes
    ----------
    rows : tuple of tuple of str
        In the order of `TITLES`.
    lines : tuple of int
        The line of the text that each row ends on, counted from 1.
    has_headings : bool
        Whether the first row named the columns.
    columns : frozenset of int
        The columns that are there.
    ignored : tuple of str
        Columns that a log does not have, and second ones of a kind: their headings or numbers.
    """

    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[int, ...] = ()
    has_headings: bool = False
    columns: frozenset[int] = frozenset()
    ignored: tuple[str, ...] = ()


def log_table(text: str) -> LogTable:
    """A table with tabs, as from a spreadsheet, or with semicolons or commas, as from CSV.

    If the first row has headings, the cells are put into the order of `TITLES`, whatever theirs is.
    """
    marks = [mark for mark in ("\t", ";", ",") if mark in text]
    reader = csv.reader(text.splitlines(keepends=True), delimiter=marks[0] if marks else "\t")
    rows, lines = [], []
    try:
        for row in reader:
            if any(row):
                rows.append(tuple(as_given(cell) for cell in row))
                lines.append(reader.line_num)
    except csv.Error:  # a quotation mark that is never closed, in a very long text
        return LogTable()
    places = [_HEADINGS.get(cell.lower()) for cell in rows[0]] if rows else []
    if len(set(places) - {None}) < _FEWEST_HEADINGS:
        width = max(map(len, rows), default=0)
        beyond = tuple(f"column {number + 1}" for number in range(len(TITLES), width))
        cut = tuple(row[: len(TITLES)] for row in rows)
        return LogTable(cut, tuple(lines), columns=frozenset(range(width)), ignored=beyond)
    ignored = tuple(
        heading or f"column {number + 1}"
        for number, (heading, place) in enumerate(zip(rows[0], places, strict=True))
        if (place is None or place in places[:number])
        and (heading or any(len(row) > number and row[number] for row in rows))
    )
    ordered = tuple(
        tuple(
            next((cell for cell, own in zip(row, places, strict=False) if own == place), "")
            for place in range(len(TITLES))
        )
        for row in rows[1:]
    )
    columns = frozenset(place for place in places if place is not None)
    return LogTable(ordered, tuple(lines[1:]), True, columns, ignored)


def ignored_words(ignored: tuple[str, ...]) -> str:
    """Which columns were not read; empty where all were."""
    if not ignored:
        return ""
    names = ", ".join(f'"{name}"' for name in ignored)
    return f"Not read, because a log has no such column: {names}."


def as_given(cell: str) -> str:
    """A cell without the mark that keeps a spreadsheet from taking it for a formula."""
    cell = cell.strip()
    return cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell
