"""Lines to compare: from the log of a bench, or from a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.figure_table.values import one_line
from fairlead.core.onair.comparison import Heard
from fairlead.core.onair.reports import parse_report
from fairlead.core.onair.table import ANTENNA, COLUMNS, POWER, REPORT
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import LogEntry
    from fairlead.core.onair.table import LogTable


def names_of(bench: Bench) -> dict[int, str]:
    """A name of its own for each sweep and group, by key: their labels, numbered where they repeat.

    A log tells antennas apart by their names, and labels may be the same.
    """
    names: dict[int, str] = {}
    taken: set[str] = set()
    labels = [(one.key, one.label) for one in bench.entries]
    for key, text in [*labels, *((one.key, one.label) for one in bench.groups)]:
        label = name = one_line(text)
        number = 1
        while name.casefold() in taken:
            number += 1
            name = f"{label} ({number})"
        taken.add(name.casefold())
        names[key] = name
    return names


def heard_of(bench: Bench) -> tuple[Heard, ...]:
    """The lines of a bench's log that name a sweep or a group and have a report."""
    return heard_among(bench.log, names_of(bench))


def heard_among(log: Iterable[LogEntry], names: Mapping[int, str]) -> tuple[Heard, ...]:
    """The same of lines that are not on a bench yet, with `names_of` it."""
    return tuple(
        Heard(names[line.about_key], line.report, line.power_w)
        for line in log
        if line.about_key is not None and line.report.strip()
    )


def heard_in(table: LogTable, file: str) -> tuple[Heard, ...]:
    """Lines of a table with headings: antenna, report and, if known, power.

    Raises
    ------
    ReadError
        If a column is missing, or a power or report cannot be read.
    """
    missing = [COLUMNS[place] for place in (ANTENNA, REPORT) if place not in table.columns]
    reason = f"no column {' and '.join(missing)}" if missing else ""
    if not table.has_headings:
        reason = "the first line does not name the columns of a log"
    if reason:
        raise ReadError(file, reason, "name them antenna,report,power_w")
    found = []
    for cells, line in zip(table.rows, table.lines, strict=True):
        if not cells[REPORT]:
            continue
        try:
            power_w = positive(cells[POWER], "the power", "W")
            parse_report(cells[REPORT])
        except FairleadError as error:
            raise ReadError(file, error.reason, error.advice, line=line) from None
        found.append(Heard(cells[ANTENNA], cells[REPORT], power_w))
    return tuple(found)


def positive(text: str, what: str, unit: str) -> float | None:
    """A positive number, perhaps with its unit; None where there is no text.

    Raises
    ------
    FairleadError
        If it is none.
    """
    if not text:
        return None
    bare = text[: -len(unit)] if text.lower().endswith(unit.lower()) else text
    value = parse_number(bare, what)
    if value <= 0:
        raise FairleadError(f"{what} has to be positive", "leave it empty if it is not known")
    return value


def first_two(lines: Sequence[Heard]) -> tuple[str, ...]:
    """The antennas that come first in the log."""
    return tuple(dict.fromkeys(line.antenna for line in lines))[:2]
