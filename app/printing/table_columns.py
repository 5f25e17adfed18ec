"""Columns of the printed table, from the one table of figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.rows import Row
from fairlead.core.figure_table import REFERENCE, segment_text, shown
from fairlead.core.group_table import GroupRow, group_cell
from fairlead.core.table_lines import plain_mhz
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec

# Columns that are shown even if empty.
_ALWAYS = 2
_SAY_NOTHING = (DASH, REFERENCE, "")

TableRow = Row | GroupRow
"""A sweep or a group."""


@dataclass(frozen=True, slots=True)
class PrintColumn:
    """One column on paper.

    Attributes
    ----------
    id : str
        As in `fairlead.core.figure_table.FIGURES`.
    name : str
        Its name in remarks if it has no room.
    heading : tuple of str
        Two lines; the second may be empty.
    rank : int
        The column with the highest rank goes first where there is no room.
    cells : tuple of str
        One per row.
    """

    id: str
    name: str
    heading: tuple[str, str]
    rank: int
    cells: tuple[str, ...]


def print_columns(bench: Bench, rows: Sequence[TableRow], *, has_band: bool) -> list[PrintColumn]:
    """The columns for these rows, from left to right.

    Left out are columns that make no sense: edges without a band, shift with nothing to compare,
    and columns in which no sweep has a figure.
    """
    words = {
        "limit": f"{bench.limit_swr:.4g}",
        "low": plain_mhz(bench.band.low_hz),
        "high": plain_mhz(bench.band.high_hz),
        "place": "band" if has_band else "span",
    }
    columns = [
        PrintColumn(
            spec.id,
            _name(spec, words),
            _heading(spec, words),
            spec.rank,
            tuple(_cell(spec, row) for row in rows),
        )
        for spec in shown("picture")
        if (has_band or not spec.needs_band) and (len(rows) > 1 or not spec.is_change)
    ]
    return [
        column
        for column in columns
        if column.rank < _ALWAYS or any(cell not in _SAY_NOTHING for cell in column.cells)
    ]


def _heading(spec: FigureSpec, words: dict[str, str]) -> tuple[str, str]:
    first, second = spec.paper_lines or spec.lines or (spec.heading, spec.unit)
    return first.format(**words), second.format(**words)


def _name(spec: FigureSpec, words: dict[str, str]) -> str:
    name = spec.heading.format(**words)
    # Within a sentence only an abbreviation keeps its capitals.
    return name if name[:2].isupper() or len(name) == 1 else name[0].lower() + name[1:]


def _cell(spec: FigureSpec, row: TableRow) -> str:
    if isinstance(row, GroupRow):
        return group_cell(spec, row)
    return _usable(row) if spec.id == "usable" else spec.cell(row)


def _usable(row: Row) -> str:
    """The segment with the best match, and how many more there are."""
    segment = row.figures.main_segment
    others = len(row.figures.usable) - (segment is not None)
    if segment is None:
        return f"{others} elsewhere" if others else DASH
    text = segment_text(row, "usable_", segment)
    return f"{text} (+{others})" if others else text
