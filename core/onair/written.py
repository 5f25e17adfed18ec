"""The log and what it says, as text, Markdown and CSV."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Literal

from fairlead.core.onair.table import COLUMNS, TITLES
from fairlead.core.report import aligned, escaped, harmless, markdown_table
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Sequence

LogForm = Literal["text", "markdown", "csv"]


def log_as(form: LogForm, rows: Sequence[Sequence[str]], said: Sequence[str]) -> str:
    """A log with the sentences below it.

    Parameters
    ----------
    form : {"text", "markdown", "csv"}
        CSV has the rows alone, with the columns that ``fairlead log`` reads.
    rows : sequence of sequence of str
        As typed, in the order of `table.TITLES`; empty ones are left out.
    said : sequence of str
    """
    rows = [row for row in rows if any(row)]
    if form == "csv":
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerows([COLUMNS, *(map(harmless, row) for row in rows)])
        return out.getvalue()
    table = [TITLES, *(tuple(cell or DASH for cell in row) for row in rows)]
    if form == "markdown":
        # A list, as elsewhere, so that the lines do not run into one.
        return markdown_table(table, ["\n".join(f"- {escaped(line)}" for line in said)])
    return "\n".join([*aligned(table), "", *said]) + "\n"
