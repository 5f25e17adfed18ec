"""Lines to compare: from the log of a bench, or from a CSV file."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.onair.comparison import Heard
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench

_NEEDED = ("antenna", "report")


def heard_of(bench: Bench) -> tuple[Heard, ...]:
    """The lines of a bench's log that name a sweep or a group and have a report."""
    names = {entry.key: entry.label for entry in bench.entries}
    names |= {group.key: group.label for group in bench.groups}
    return tuple(
        Heard(names[line.about_key], line.report, line.power_w)
        for line in bench.log
        if line.about_key is not None and line.report.strip()
    )


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
            found.append(Heard((row["antenna"] or "").strip(), row["report"], power_w))
    return tuple(found)


def first_two(lines: Sequence[Heard]) -> tuple[str, ...]:
    """The antennas that come first in the log."""
    return tuple(dict.fromkeys(line.antenna for line in lines))[:2]
