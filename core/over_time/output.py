"""Trends as JSON and CSV: every point, and null or nothing where a number does not exist."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from fairlead.core.json_values import json_ends, json_unread, json_value
from fairlead.core.over_time.trends import trend_specs
from fairlead.core.over_time.words import notes, trend_sentences
from fairlead.core.report import csv_cell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.line import Slope
    from fairlead.core.over_time.trends import OverTime, Trend

_HEADERS = (
    *("figure", "label", "date", "condition", "beside", "value", "value_low", "value_high"),
    *("trend", "trend_half", "studentised_residual", "stands_out"),
    *("slope_per_day", "slope_half", "slope_half_with_accuracy"),
)


def trends_as_json(
    bench: Bench, found: OverTime, unread: Sequence[ReadError] = (), *, program: str = "fairlead"
) -> dict[str, object]:
    """The trends with their points; slopes for a day, in the unit of the figure's key."""
    beside = found.beside
    return {
        "format": 1,
        "program": program,
        "band": {
            "name": bench.band.name,
            "low_hz": bench.band.low_hz,
            "high_hz": bench.band.high_hz,
        },
        "limit_swr": bench.limit_swr,
        "z0_ohm": bench.z0_ohm,
        "sweeps": len(found.rows),
        "left_out": {
            "no_date": [row.entry.label for row in found.undated],
            "unreadable_date": [row.entry.label for row in found.unclear],
        },
        "beside": None if beside is None else {"name": beside.name, "unit": beside.unit},
        "why_not": found.why_not or None,
        "figures": {spec.key: _trend(bench, spec, found) for spec in trend_specs() if found.trends},
        "notes": notes(found),
        "unread": json_unread(unread),
    }


def _trend(bench: Bench, spec: FigureSpec, found: OverTime) -> dict[str, object]:
    trend = found.trends[spec.key]
    return {
        "n": len(trend.points),
        "slope_per_day": None if trend.slope is None else _slope(trend.slope),
        "held": None
        if trend.held is None
        else {
            "slope_per_day": _slope(trend.held.slopes[0]),
            "slope_per_unit": _slope(trend.held.slopes[1]),
        },
        "date_correlation": trend.alike,
        "why_not": trend.why_not or None,
        "sentences": trend_sentences(bench, spec, found),
        "points": [
            {
                "label": one.row.entry.label,
                "date": one.row.entry.circumstances.taken_at,
                "condition": one.row.entry.condition or None,
                "beside": one.beside,
                "value": one.value,
                "interval": json_ends(one.interval),
                "studentised_residual": json_value(residual),
                "stands_out": one.row.entry.key in trend.marked,
            }
            for one, residual in zip(trend.points, _residuals(trend), strict=True)
        ],
    }


def _residuals(trend: Trend) -> tuple[float | None, ...]:
    return trend.residuals or (None,) * len(trend.points)


def _slope(slope: Slope) -> dict[str, object]:
    return {
        "value": slope.value,
        "half": slope.half,
        "half_with_accuracy": slope.half_with_bound,
        "resolved": slope.is_resolved,
    }


def trends_as_csv(found: OverTime) -> str:
    """A row for each figure of each dated sweep, beside it the trend there and its slope."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_HEADERS)
    for spec in trend_specs():
        trend = found.trends.get(spec.key)
        if trend is not None:
            writer.writerows([csv_cell(one) for one in line] for line in _lines(spec, trend))
    return out.getvalue()


def _lines(spec: FigureSpec, trend: Trend) -> list[list[object]]:
    values: list[object] = [None] * len(trend.points)
    halves: list[object] = [None] * len(trend.points)
    slope: list[object] = [None] * 3
    if trend.line is not None and trend.slope is not None:
        fitted, within = trend.line.at(trend.days)
        values = list(fitted.tolist())
        halves = halves if within is None else list(within.tolist())
        slope = [trend.slope.value, trend.slope.half, trend.slope.half_with_bound]
    lines = []
    for one, value, half, residual in zip(
        trend.points, values, halves, _residuals(trend), strict=True
    ):
        entry, known = one.row.entry, one.interval
        lines.append(
            [
                *(spec.key, entry.label, entry.circumstances.taken_at, entry.condition),
                *(one.beside, one.value),
                *((None, None) if known is None else (known.low, known.high)),
                *(value, half, residual, entry.key in trend.marked, *slope),
            ]
        )
    return lines
