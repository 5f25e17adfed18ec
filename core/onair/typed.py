"""The log as rows of text: how it is typed, pasted from a spreadsheet, and read back."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.document.session import LogEntry
from fairlead.core.errors import FairleadError
from fairlead.core.onair.lines import as_given, names_of
from fairlead.core.onair.reports import parse_report
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.document.bench import Bench

TITLES = ("Date and time", "Sweep or group", "Power, W", "Path, km", "Report", "Notes")
COLUMNS = ("date", "antenna", "power_w", "path_km", "report", "notes")
"""The same in CSV."""
ANTENNA, REPORT = 1, 4
_POWER, _PATH, _NOTES = 2, 3, 5
_HEADINGS = {
    **{name.lower(): place for names in (TITLES, COLUMNS) for place, name in enumerate(names)},
    "time": 0,
    "sweep": ANTENNA,
    "group": ANTENNA,
    "power": _POWER,
    "path": _PATH,
    "note": _NOTES,
}
_FEWEST_HEADINGS = 2


@dataclass(frozen=True, slots=True)
class BadCell:
    """A cell that cannot be read, counted from 0, and why."""

    row: int
    column: int
    reason: str

    def __str__(self) -> str:
        """One line that names the row as people count."""
        return f"row {self.row + 1}: {self.reason}"


def rows_of(bench: Bench) -> list[tuple[str, ...]]:
    """The log of a bench as it would be typed: `log_of` reads it back."""
    names = names_of(bench)
    return [
        (
            line.at,
            "" if line.about_key is None else names[line.about_key],
            _plain(line.power_w),
            _plain(line.path_km),
            line.report,
            line.notes,
        )
        for line in bench.log
    ]


def log_of(
    rows: Sequence[Sequence[str]], names: Mapping[int, str]
) -> tuple[tuple[LogEntry, ...], tuple[BadCell, ...]]:
    """Lines of a log from rows of text, and the cells that cannot be read.

    Parameters
    ----------
    rows : sequence of sequence of str
        In the order of `TITLES`; empty ones are skipped, and so are those with a bad cell.
    names : mapping of int to str
        Name of each sweep and group by its key.

    Returns
    -------
    tuple of LogEntry and tuple of BadCell
        Of the lines, the keys are all 0: `Bench.with_log` gives them theirs.
    """
    keys = {name.casefold(): key for key, name in names.items()}
    lines, bad = [], []
    for number, row in enumerate(rows):
        cells = [text.strip() for text in row]
        if not any(cells):
            continue
        try:
            column, about = ANTENNA, cells[ANTENNA]
            about_key = _key(about, keys) if about else None
            column = _POWER
            power_w = _positive(cells[_POWER], "the power", "W")
            column = _PATH
            path_km = _positive(cells[_PATH], "the path", "km")
            column = REPORT
            if cells[REPORT]:
                parse_report(cells[REPORT])
        except FairleadError as error:
            bad.append(BadCell(number, column, str(error)))
            continue
        lines.append(
            LogEntry(0, cells[0], about_key, power_w, path_km, cells[REPORT], cells[_NOTES])
        )
    return tuple(lines), tuple(bad)


def pasted_log(text: str) -> list[tuple[str, ...]]:
    """Rows of cells of pasted text: tabs from a spreadsheet, or semicolons or commas from CSV.

    If the first row has headings, the cells are put into the order of `TITLES`, whatever theirs is.
    """
    marks = [mark for mark in ("\t", ";", ",") if mark in text]
    try:
        read = csv.reader(text.splitlines(keepends=True), delimiter=marks[0] if marks else "\t")
        rows = [tuple(as_given(cell) for cell in row) for row in read if any(row)]
    except csv.Error:  # a quotation mark that is never closed, in a very long text
        return []
    places = [_HEADINGS.get(cell.lower()) for cell in rows[0]] if rows else []
    if len(set(places) - {None}) < _FEWEST_HEADINGS:
        return rows
    return [
        tuple(
            next((cell for cell, own in zip(row, places, strict=False) if own == place), "")
            for place in range(len(TITLES))
        )
        for row in rows[1:]
    ]


def _key(name: str, keys: Mapping[str, int]) -> int:
    key = keys.get(name.casefold())
    if key is None:
        raise FairleadError(
            f'"{name}" is no sweep or group of the bench', "choose one from the cell's list"
        )
    return key


def _positive(text: str, what: str, unit: str) -> float | None:
    if not text:
        return None
    bare = text[: -len(unit)] if text.lower().endswith(unit.lower()) else text
    value = parse_number(bare, what)
    if value <= 0:
        raise FairleadError(f"{what} has to be positive", "leave it empty if it is not known")
    return value


def _plain(value: float | None) -> str:
    """With all its digits, or a log that is only looked at would be changed."""
    return "" if value is None else repr(float(value)).removesuffix(".0")
