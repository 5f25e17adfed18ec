"""Columns of the printed table: which figures, in which order, and which go first for room."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.columns import COLUMNS, stretch_text
from fairlead.core.report import plain_mhz
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench

_TEXT_OF = {column.id: column.text for column in COLUMNS}


@dataclass(frozen=True, slots=True)
class PrintColumn:
    """One column on paper.

    Attributes
    ----------
    id : str
        As in `fairlead.core.report.COLUMNS`.
    name : str
        What it is called where it has no room.
    heading : tuple of str
        Two lines; the second may be empty.
    rank : int
        The column with the highest rank goes first where there is no room.
    cells : tuple of str
        One a row.
    """

    id: str
    name: str
    heading: tuple[str, str]
    rank: int
    cells: tuple[str, ...]


def print_columns(bench: Bench, rows: Sequence[Row], *, has_band: bool) -> list[PrintColumn]:
    """The columns for these rows, from left to right.

    Left out is what cannot be: edges without a band, shift without others to compare with, and a
    column in which no sweep has a figure.
    """
    limit = f"{bench.limit_swr:.4g}"
    low, high = (plain_mhz(edge) for edge in (bench.band.low_hz, bench.band.high_hz))
    plan: list[tuple[str, str, str, str, int]] = [
        ("best_match", "best match", "Best match", "MHz", 1),
        ("best_swr", "its SWR", "SWR", "there", 0),
        ("usable", "usable stretch", f"SWR < {limit}", "MHz", 5),
        ("width", "width", "Width", "kHz", 4),
        ("low_edge", "SWR at the edges", "SWR at", f"{low} MHz", 6),
        ("high_edge", "SWR at the edges", "SWR at", f"{high} MHz", 7),
        ("worst", "worst SWR", "Worst SWR", "in band" if has_band else "in span", 3),
        ("mismatch", "mismatch loss", "Mismatch", "loss, dB", 11),
        ("resonance", "resonance", "Resonance", "MHz", 8),
        ("resistance", "its resistance", "R there", "Ω", 9),
        ("q", "Q", "Q", "", 10),
        ("shift", "shift", "Shift", "kHz", 2),
    ]
    if not has_band:
        plan = [row for row in plan if row[0] not in ("low_edge", "high_edge")]
    if len(rows) == 1:
        plan = [row for row in plan if row[0] != "shift"]
    columns = [
        PrintColumn(key, name, (first, second), rank, tuple(_text(key)(row) for row in rows))
        for key, name, first, second, rank in plan
    ]
    return [
        column
        for column in columns
        if column.rank < 2 or any(cell not in (DASH, "reference") for cell in column.cells)
    ]


def _text(key: str) -> Callable[[Row], str]:
    return _usable if key == "usable" else _TEXT_OF[key]


def _usable(row: Row) -> str:
    """The stretch with the best match, and how many more there are."""
    stretch = row.figures.main_stretch
    others = len(row.figures.usable) - (stretch is not None)
    if stretch is None:
        return f"{others} elsewhere" if others else DASH
    text = stretch_text(row.figures, stretch)
    return f"{text} (+{others})" if others else text
