"""The table of figures as text for other programs: all rows, or some of them."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from fairlead.core.report import as_csv, as_markdown, as_tabbed

if TYPE_CHECKING:
    from collections.abc import Collection

    from fairlead.core.document.bench import Bench


def tabbed(bench: Bench, keys: Collection[int] = ()) -> str:
    """With tabs; only the sweeps with these keys, or all if none is named."""
    return _some_rows(as_tabbed(bench), bench, keys)


def markdown(bench: Bench, keys: Collection[int] = ()) -> str:
    """As Markdown; only the sweeps with these keys, or all if none is named."""
    return _some_rows(as_markdown(bench), bench, keys)


def csv_table(bench: Bench, keys: Collection[int] = ()) -> str:
    """As CSV with numbers in full; only the sweeps with these keys, or all if none is named."""
    # Taken apart as CSV: a cell may hold a line break.
    head, *rows = csv.reader(io.StringIO(as_csv(bench), newline=""))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    for row, entry in zip(rows, bench.entries, strict=True):
        if not keys or entry.key in keys:
            writer.writerow(row)
    return out.getvalue()


def _some_rows(text: str, bench: Bench, keys: Collection[int]) -> str:
    """The report's lines; its last ones are the sweeps, one line each, in the bench's order."""
    lines = text.splitlines(keepends=True)
    split = len(lines) - len(bench.entries)
    kept = [
        line
        for line, entry in zip(lines[split:], bench.entries, strict=True)
        if not keys or entry.key in keys
    ]
    return "".join(lines[:split] + kept)
