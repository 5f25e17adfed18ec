"""Groups in CSV: below the sweeps one row a statistic, told apart by two columns at the end.

They stand under the columns of the figures, so that a mean is found where its figure is. Tables
without a group have neither the rows nor the columns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.group_table import group_rows

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.core.comparison.groups import FigureSpread
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.group_table import GroupRow

GROUP_HEADERS = (
    "group",
    "row",
    "covers_yes",
    "covers_no",
    "covers_cannot_tell",
    "covers_share_low",
    "covers_share_high",
    "group_why_not",
)
"""Columns at the end, only where there is a group."""
SWEEP = "sweep"
"""What the column ``row`` says of a sweep."""

_STATISTICS: tuple[tuple[str, Callable[[FigureSpread], object]], ...] = (
    ("n", lambda one: one.n),
    ("mean", lambda one: one.mean),
    ("sd", lambda one: one.sd),
    ("median", lambda one: one.median),
    ("lowest", lambda one: one.lowest),
    ("highest", lambda one: one.highest),
    ("mean_low", lambda one: one.of_mean and one.of_mean.low),
    ("mean_high", lambda one: one.of_mean and one.of_mean.high),
    ("next_low", lambda one: one.of_next and one.of_next.low),
    ("next_high", lambda one: one.of_next and one.of_next.high),
)


def csv_groups(bench: Bench, rows: Sequence[Row]) -> tuple[GroupRow, ...]:
    """The groups of which all members are among the rows: a part of one has another spread."""
    return tuple(
        found for found in group_rows(bench, rows) if len(found.rows) == len(found.group.members)
    )


def group_of_sweeps(groups: Sequence[GroupRow]) -> dict[int, str]:
    """Names of the groups, by the keys of their members."""
    return {row.entry.key: found.group.label for found in groups for row in found.rows}


def csv_statistics(found: GroupRow) -> list[Mapping[str, object]]:
    """The rows of one group, each a mapping of column to value; a column left out is empty.

    A group without a spread has one row, which says why.
    """
    named = {"label": found.title, "group": found.group.label}
    if found.why_not:
        return [{**named, "row": "none", "group_why_not": found.why_not}]
    table: list[Mapping[str, object]] = []
    for name, value in _STATISTICS:
        spreads = found.spreads.items()
        cells = {key: value(spread) for key, spread in spreads if spread.n}
        table.append({**cells, **named, "row": name, **(_covers(found) if name == "n" else {})})
    return table


def _covers(found: GroupRow) -> dict[str, object]:
    """How many cover, beside how many there are."""
    coverage = found.coverage
    if coverage is None:
        return {}
    return {
        "covers_yes": coverage.yes,
        "covers_no": coverage.no,
        "covers_cannot_tell": coverage.cannot_tell,
        "covers_share_low": coverage.share.low,
        "covers_share_high": coverage.share.high,
    }
