"""Groups as text, Markdown and JSON: a table of spreads a group, below the table of the sweeps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.group_table import (
    NORMAL,
    coverage_words,
    group_rows,
    number_text,
    spread_specs,
)
from fairlead.core.json_values import json_ends, json_value
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.groups import FigureSpread
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec, Output
    from fairlead.core.group_table import GroupRow

_HEADINGS = ("n", "Mean", "sd", "Median", "Lowest", "Highest", "Worst", "Next one (95 %)")
_NOTE = f'"Next one" is where the next such sweep lies with 95 % probability, {NORMAL}.'


def group_tables(
    bench: Bench, rows: Sequence[Row], output: Output
) -> list[tuple[list[list[str]], list[str]]]:
    """For each group a table as rows of cells, headings first, and the lines below it."""
    tables = []
    for found in group_rows(bench, rows):
        lines = [[found.title, *_HEADINGS]]
        if found.why_not:
            tables.append(([[found.title]], [f"No spread: {found.why_not}"]))
            continue
        for spec in spread_specs():
            spread = found.spreads[spec.key]
            if output not in spec.left_out and spread.n:
                lines.append([spec.title(bench), *_cells(spec, found, spread)])
        below = [] if found.coverage is None else [f"{coverage_words(found.coverage)}."]
        below.append(f"Members are compared with {found.centre_words}.")
        tables.append((lines, [*below, _NOTE]))
    return tables


def _cells(spec: FigureSpec, found: GroupRow, spread: FigureSpread) -> list[str]:
    def shown(value: float | None) -> str:
        return DASH if value is None else number_text(spec, found, value, spread.sd)

    of_next = spread.of_next
    return [
        str(spread.n),
        shown(spread.mean),
        DASH if spread.sd is None else number_text(spec, found, spread.sd, spread.sd, is_size=True),
        shown(spread.median),
        shown(spread.lowest),
        shown(spread.highest),
        found.name_of(spread.worst_key) or DASH,
        DASH if of_next is None else f"{shown(of_next.low)} to {shown(of_next.high)}",
    ]


def group_objects(bench: Bench, rows: Sequence[Row]) -> list[dict[str, object]]:
    """The groups for JSON; see `fairlead.core.report.as_json`."""
    return [_object(found) for found in group_rows(bench, rows)]


def _object(found: GroupRow) -> dict[str, object]:
    group, coverage = found.group, found.coverage
    shown = [spec for spec in spread_specs() if spec.key in found.spreads]
    spreads = {spec.key: found.spreads[spec.key] for spec in shown if "json" not in spec.left_out}
    return {
        "label": group.label,
        "kind": group.kind,
        "members": [row.entry.label for row in found.rows],
        "reference": found.name_of(group.reference_key) or None,
        "why_not": found.why_not or None,
        "figures": {
            key: {
                "n": one.n,
                "mean": one.mean,
                "sd": one.sd,
                "median": json_value(one.median),
                "lowest": json_value(one.lowest),
                "highest": json_value(one.highest),
                "worst": found.name_of(one.worst_key) or None,
                "mean_interval": json_ends(one.of_mean),
                "why_not": one.why_not or None,
            }
            for key, one in spreads.items()
        },
        "covers": None
        if coverage is None
        else {
            "yes": coverage.yes,
            "no": coverage.no,
            "cannot_tell": coverage.cannot_tell,
            "share_low": coverage.share.low,
            "share_high": coverage.share.high,
        },
        "next_unit": {key: json_ends(one.of_next) for key, one in spreads.items()},
    }
