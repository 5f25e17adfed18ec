"""The log as rows of text: how it is typed, and read back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.document.session import LogEntry
from fairlead.core.errors import FairleadError
from fairlead.core.onair.lines import names_of, positive
from fairlead.core.onair.reports import parse_report
from fairlead.core.onair.table import ANTENNA, DATE, NOTES, PATH, POWER, REPORT
from fairlead.core.over_time.when import day_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.document.bench import Bench

_NO_DATE = '"{}" is not a date; write 2026-05-14 or 2026-05-14 18:30 (kept as it is)'


@dataclass(frozen=True, slots=True)
class BadCell:
    """A cell that cannot be read, counted from 0, and why.

    ``is_kept``: it stays in the log as it was typed, because nothing is worked out from it.
    """

    row: int
    column: int
    reason: str
    is_kept: bool = False

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
        In the order of `table.TITLES`; empty ones are skipped, and so are those with a bad cell
        unless it is kept.
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
            column = POWER
            power_w = positive(cells[POWER], "the power", "W")
            column = PATH
            path_km = positive(cells[PATH], "the path", "km")
            column = REPORT
            if cells[REPORT]:
                parse_report(cells[REPORT])
        except FairleadError as error:
            bad.append(BadCell(number, column, str(error)))
            continue
        if cells[DATE] and day_of(cells[DATE]) is None:
            bad.append(BadCell(number, DATE, _NO_DATE.format(cells[DATE]), is_kept=True))
        lines.append(
            LogEntry(0, cells[DATE], about_key, power_w, path_km, cells[REPORT], cells[NOTES])
        )
    return tuple(lines), tuple(bad)


def _key(name: str, keys: Mapping[str, int]) -> int:
    key = keys.get(name.casefold())
    if key is None:
        raise FairleadError(
            f'"{name}" is no sweep or group of the bench', "choose one from the cell's list"
        )
    return key


def _plain(value: float | None) -> str:
    """With all its digits, or a log that is only looked at would be changed."""
    return "" if value is None else repr(float(value)).removesuffix(".0")
