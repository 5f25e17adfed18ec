"""A table as people are shown it to say which column is what, and the error that asks them."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.reading.tables.guess import best_guess

if TYPE_CHECKING:
    from fairlead.core.reading.tables.blocks import Table
    from fairlead.core.reading.tables.plan import ColumnPlan

SHOWN_ROWS = 20
_EXAMPLE = "frequency=1:MHz,swr=3"
_DIGITS = re.compile(r"[0-9]+")


@dataclass(frozen=True, slots=True)
class TablePreview:
    """What is shown of a table.

    Attributes
    ----------
    file : str
    headings : tuple of str
        One a column; empty texts where nothing stands above it.
    rows : tuple of tuple of str
        Cells of the first rows, at most `SHOWN_ROWS`.
    columns : int
    row_count : int
        Of all blocks.
    fingerprint : str
        Equal for files with equal headings (without headings: with an equal number of columns,
        equally separated): what was chosen for one can be offered for the others.
    guess : ColumnPlan or None
        What to offer first.
    table : Table
        The whole, for `fairlead.core.reading.preview_sweeps`.
    """

    file: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    columns: int
    row_count: int
    fingerprint: str
    guess: ColumnPlan | None
    table: Table = field(repr=False, compare=False)

    @property
    def has_headings(self) -> bool:
        """Whether anything stands above the columns: only then equal fingerprints mean much."""
        return any(self.headings)


class NeedsColumnsError(ReadError):
    """A table whose headings and numbers do not settle which column is what.

    Parameters
    ----------
    preview : TablePreview
        For asking.
    reason : str
        Which column is unclear, one line.
    line : int
    """

    asks_for_columns = True

    def __init__(self, preview: TablePreview, reason: str, line: int) -> None:
        example = preview.guess.text() if preview.guess is not None else _EXAMPLE
        advice = f'say which column is what, for example --columns "{example}"'
        super().__init__(preview.file, reason, advice, line)
        self.preview = preview


def preview_of(table: Table, guess: ColumnPlan | None = None) -> TablePreview:
    """Preview of the longest block of a table.

    Parameters
    ----------
    table : Table
    guess : ColumnPlan, optional
        What to offer first; without one, the likeliest plan.
    """
    block = max(table.blocks, key=lambda block: block.rows.lines.size)
    count = block.rows.lines.size
    shown = (tuple(block.rows.cells(row)) for row in range(min(count, SHOWN_ROWS)))
    return TablePreview(
        file=table.file,
        headings=block.headings,
        rows=tuple(shown),
        columns=block.rows.width,
        row_count=sum(one.rows.lines.size for one in table.blocks),
        fingerprint=_fingerprint(block.headings, table.separator),
        guess=guess or best_guess(block),
        table=table,
    )


def _fingerprint(headings: tuple[str, ...], separator: str) -> str:
    # Numbers in headings are mostly dates and counts: they may differ from file to file.
    words = [_DIGITS.sub("0", " ".join(heading.casefold().split())) for heading in headings]
    text = "\x1f".join([separator, *words])
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:16]
