"""Lines to compare: from the log of a bench, or from a CSV file."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.figure_table.values import one_line
from fairlead.core.onair.comparison import Heard
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import LogEntry

_NEEDED = ("antenna", "report")


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


def as_given(cell: str) -> str:
    """A cell of CSV without the mark that keeps a spreadsheet from taking it for a formula."""
    cell = cell.strip()
    return cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell


def heard_in(text: str, file: str) -> tuple[Heard, ...]:
    """Lines of a CSV file with the columns antenna, report and, if known, power_w.

    Raises
    ------
    ReadError
        If a column is missing, or a power is none.
    """
    rows = csv.DictReader(io.StringIO(text))
    names = [(name or "").strip().lower() for name in rows.fieldnames or ()]
    rows.fieldnames = names
    missing = [name for name in _NEEDED if name not in names]
    if missing:
        raise ReadError(
            file, f"no column {' and '.join(missing)}", "name the columns antenna,report,power_w"
        )
    found = []
    for row in rows:
        power = (row.get("power_w") or "").strip()
        power_w = parse_number(power, "the power") if power else None
        if power_w is not None and power_w <= 0:
            raise ReadError(file, f"{power} W is no power", "leave it empty", line=rows.line_num)
        if (row["report"] or "").strip():
            antenna = as_given(row["antenna"] or "")
            found.append(Heard(antenna, as_given(row["report"]), power_w))
    return tuple(found)


def first_two(lines: Sequence[Heard]) -> tuple[str, ...]:
    """The antennas that come first in the log."""
    return tuple(dict.fromkeys(line.antenna for line in lines))[:2]
