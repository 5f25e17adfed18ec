"""The comparison as text, Markdown, CSV and JSON, each from the one table of figures.

CSV has one row per sweep and, where there are groups, below them one for each statistic.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.arrays import median
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.findings import findings_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.parts.result import Parts
from fairlead.core.figure_table import FigureColumn, FigureSpec, cells, shown
from fairlead.core.group_csv import (
    GROUP_HEADERS,
    SWEEP,
    csv_groups,
    csv_statistics,
    group_of_sweeps,
)
from fairlead.core.group_report import group_objects, group_tables
from fairlead.core.json_values import json_ends, json_unread, json_value
from fairlead.core.marker_table import (
    marker_headers,
    marker_objects,
    marker_tables,
    marker_values,
)
from fairlead.core.table_lines import heading_line, interval_line, undecided_lines
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.dc_loss import DcLoss
    from fairlead.core.comparison.parts.result import Part as ChangePart
    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError
    from fairlead.core.figure_table import Output
    from fairlead.core.traced import Traced
    from fairlead.core.uncertainty.interval import Interval, Intervals

FORMAT = 1
"""Version of the JSON object: raised when a key changes its meaning, not when one is added."""


def sentences(changes: Mapping[int, ChangeSummary]) -> list[str]:
    """What changed, one sentence per sweep."""
    return [summary.sentence for summary in changes.values()]


def sentences_as_markdown(changes: Mapping[int, ChangeSummary]) -> list[str]:
    """The same as a Markdown list."""
    return [f"- {escaped(sentence)}" for sentence in sentences(changes)]


def repeats_as_markdown(answer: Answer) -> list[str]:
    """The effect that came and went, as a Markdown list."""
    from fairlead.core.comparison.repeats.output import lines_of  # noqa: PLC0415 - few ask

    return [f"- {escaped(line)}" for line in lines_of(answer)]


def as_text(
    bench: Bench,
    rows: Sequence[Row] | None = None,
    changes: Mapping[int, ChangeSummary] | None = None,
    *,
    width: int | None = None,
) -> str:
    """The table as plain text, transposed so that each sweep is a column.

    Sweeps that do not fit into ``width`` characters follow in further blocks below; None: all fit.

    Here and below: ``rows`` of the bench, or None to work out all of them now, with intervals;
    ``changes`` of the rows, whose sentences follow below the table.
    """
    rows = compare_known(bench) if rows is None else rows
    titles, found, notes = _texts(bench, rows, "text")
    notes += sentences(changes or {})
    turned = [[title, *(row[i] or DASH for row in found)] for i, title in enumerate(titles)]
    lines = [heading_line(bench), *_in_blocks(turned, width), *notes]
    for table, below in (*marker_tables(bench, rows), *group_tables(bench, rows, "text")):
        lines += ["", *aligned(table), *below]
    return "\n".join(lines) + "\n"


def _in_blocks(table: Sequence[Sequence[str]], width: int | None) -> list[str]:
    """Aligned columns, as many side by side as fit, the first one before each block."""
    most = [max(map(len, column)) for column in zip(*table, strict=True)]
    lines: list[str] = []
    start = 1
    while start < len(most):
        stop, used = start + 1, most[0] + 2 + most[start]
        while stop < len(most) and (width is None or used + 2 + most[stop] <= width):
            used += 2 + most[stop]
            stop += 1
        if lines:
            lines.append("")
        lines += aligned([[row[0], *row[start:stop]] for row in table])
        start = stop
    return lines


def aligned(table: Sequence[Sequence[str]]) -> list[str]:
    """Cells as plain text in aligned columns."""
    widths = [max(len(line[i]) for line in table) for i in range(len(table[0]))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in table
    ]


def as_markdown(
    bench: Bench,
    rows: Sequence[Row] | None = None,
    changes: Mapping[int, ChangeSummary] | None = None,
) -> str:
    """The table in Markdown, one row per sweep."""
    rows = compare_known(bench) if rows is None else rows
    titles, found, notes = _texts(bench, rows, "markdown")
    notes = [*map(escaped, notes), *sentences_as_markdown(changes or {})]
    body = [[value or DASH for value in row] for row in found]
    text = f"{heading_line(bench)}\n\n{markdown_table([titles, *body], notes)}"
    for table, below in (*marker_tables(bench, rows), *group_tables(bench, rows, "markdown")):
        text += f"\n{markdown_table(table, list(map(escaped, below)))}"
    return text


def markdown_table(table: Sequence[Sequence[str]], below: Sequence[str]) -> str:
    """The first line as the header, and the notes below the table."""
    lines = ["| " + " | ".join(escaped(cell) for cell in line) + " |\n" for line in table]
    rule = "|" + "|".join(" --- " for _ in table[0]) + "|\n"
    return "".join([lines[0], rule, *lines[1:], *(f"\n{text}\n" for text in below)])


def _texts(
    bench: Bench, rows: Sequence[Row], output: Output
) -> tuple[list[str], list[tuple[str, ...]], list[str]]:
    """Titles with units, the texts of every row, and the notes below the table."""
    specs = shown(output)
    texts = [cells(specs, row) for row in rows]
    # Without a ± in the table there is none to explain.
    is_signed = any("±" in text for row in texts for text in row)
    notes = [interval_line(rows)] if is_signed else []
    return [spec.title(bench) for spec in specs], texts, [*notes, *undecided_lines(rows)]


def as_csv(bench: Bench, rows: Sequence[Row] | None = None) -> str:
    """Numbers in full precision with units in the header, empty where a figure does not exist.

    The columns of intervals, and of a second and further resonance or segment, are at the end, and
    only if a sweep has them; after them the values at the markers. With groups, two more columns
    say what each row is: ``row`` is "sweep", or the statistic of the ``group``.
    """
    rows = compare_known(bench) if rows is None else rows
    specs = shown("csv")
    columns = [part for spec in specs for part in spec.columns()]
    for spec in specs:
        columns += interval_columns(spec, rows)
    for spec in specs:
        columns += _further_columns(spec, rows)
    groups = csv_groups(bench, rows)
    own = group_of_sweeps(groups)
    headers = [column.header for column in columns]
    table = [[_csv_figure(column, row) for column in columns] for row in rows]
    for marker in bench.markers:
        headers += marker_headers(marker)
        for row, line in zip(rows, table, strict=True):
            line += [_csv_at(*found) for found in marker_values(marker, row.analysis)]
    if groups:
        headers += GROUP_HEADERS
        empty = [""] * (len(GROUP_HEADERS) - 2)
        for row, cells in zip(rows, table, strict=True):
            cells += [csv_cell(own.get(row.entry.key, "")), SWEEP, *empty]
        for found in groups:
            table += [
                [csv_cell(line.get(header)) for header in headers] for line in csv_statistics(found)
            ]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headers)
    writer.writerows(table)
    return out.getvalue()


def interval_columns(spec: FigureSpec, rows: Sequence[Row]) -> list[FigureColumn]:
    """Low and high ends of a figure's intervals, for those kinds that any row has."""
    unit = f" ({spec.unit})" if spec.unit else ""
    return [
        column
        for part in spec.columns()
        for column in _ends_of(
            part.header, part.title or spec.heading, "" if part.title else unit, part.scale, rows
        )
    ]


def _ends_of(
    key: str, title: str, unit: str, scale: float, rows: Sequence[Row]
) -> list[FigureColumn]:
    found = []
    for name in ("repeatability", "accuracy"):

        def ends(row: Row, name: str = name) -> Interval | None:
            known = row.intervals.get(key)
            interval: Interval | None = None if known is None else getattr(known, name)
            return interval

        if any(ends(row) is not None for row in rows):
            found += [
                FigureColumn(
                    f"{key}_{name}_{end}", _end(ends, end), f"{title}, {name} {end}{unit}", scale
                )
                for end in ("low", "high")
            ]
    return found


def _end(interval: Callable[[Row], Interval | None], end: str) -> Callable[[Row], object]:
    return lambda row: None if (found := interval(row)) is None else getattr(found, end)


def _further_columns(spec: FigureSpec, rows: Sequence[Row]) -> list[FigureColumn]:
    further = spec.further
    if further is None:
        return []
    values = {row.entry.key: further.values(row) for row in rows}
    most = max(map(len, values.values()), default=0)

    def value(n: int, place: int) -> Callable[[Row], object]:
        return lambda row: (
            values[row.entry.key][n][place] if n < len(values[row.entry.key]) else None
        )

    headers = [
        (header.format(n=n + 2), value(n, place))
        for n in range(most)
        for place, header in enumerate(further.headers)
    ]
    columns = [FigureColumn(header, of) for header, of in headers]
    return columns + [one for header, _ in headers for one in _ends_of(header, "", "", 1.0, rows)]


def _csv_figure(column: FigureColumn, row: Row) -> str:
    text = csv_cell(column.value(row))
    # A lower bound as a bare number would be taken for a value.
    return f"> {text.removesuffix('.0')}" if column.header in row.figures.at_least else text


def _csv_at(value: float | None, sign: str) -> str:
    text = csv_cell(value)
    return f"{sign} {text.removesuffix('.0')}" if sign else text


def csv_cell(value: object) -> str:
    """A value as CSV has it: nothing for None, numbers with all their digits."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    return repr(float(value)) if isinstance(value, float) else harmless(str(value))


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula, and no CSV reader for a line break."""
    text = text.replace("\r", " ")
    return f"'{text}" if text.lstrip(" ")[:1] in ("=", "+", "-", "@", "\t") else text


def escaped(text: str) -> str:
    """Text escaped for a Markdown cell: no link, no picture, no HTML."""
    text = re.sub(r"([\\|<\[\]*_`~&@])", r"\\\1", text)
    # A bare address becomes a link in many dialects.
    return re.sub(r"(?i)(?<=www)\.|(?<=:)//", r"\\\g<0>", text)


def as_json(
    bench: Bench,
    unread: Sequence[ReadError] = (),
    *,
    program: str = "fairlead",
    rows: Sequence[Row] | None = None,
    changes: Mapping[int, ChangeSummary] | None = None,
    repeats: Answer | None = None,
) -> dict[str, object]:
    """The object of the headless contract: null for what does not exist, "inf" for infinity.

    ``program`` is its name with its version; ``changes`` are those of the rows, worked out now if
    None; ``repeats`` is the answer about before, during and after, if it was asked for.
    """
    rows = compare_known(bench) if rows is None else rows
    said = findings_of(bench, rows)
    rows = [replace(row, said=said[row.entry.key]) for row in rows]
    summaries = (changes_of(bench, rows) if changes is None else changes) or {}
    reference = bench.reference
    # Without sweeps and without a choice, the band of the bench is a placeholder.
    band_is_known = bench.has_own_band or bool(bench.entries)
    return {
        "format": FORMAT,
        "program": program,
        "band": {
            "name": bench.band.name,
            "low_hz": bench.band.low_hz if band_is_known else None,
            "high_hz": bench.band.high_hz if band_is_known else None,
        },
        "limit_swr": bench.limit_swr,
        "z0_ohm": bench.z0_ohm,
        "reference": None if reference is None else reference.label,
        "sweeps": [sweep_object(row) for row in rows],
        "changes": [
            _change_object(row, summaries.get(row.entry.key))
            for row in rows
            if row.change is not None
        ],
        "markers": marker_objects(bench, rows),
        "groups": group_objects(bench, rows),
        "repeats": None if repeats is None else _repeats(repeats),
        "unread": json_unread(unread),
    }


def sweep_object(row: Row) -> dict[str, object]:
    """One sweep of that object: its figures, their intervals, and why others are missing."""
    own = {spec.key: json_value(spec.value(row)) for spec in shown("json") if not spec.is_change}
    return {
        **own,
        "traced": _traced_object(row.entry.sweep.traced),
        "intervals": {key: _interval_object(found) for key, found in row.intervals.items()},
        "why_not": dict(row.figures.why_not),
        "at_least": sorted(row.figures.at_least),
    }


def _traced_object(traced: Traced | None) -> dict[str, object] | None:
    """How a sweep was traced from a picture; null for a measured one."""
    if traced is None:
        return None
    return {
        "picture_sha256": traced.picture_sha256 or None,
        "method": traced.method,
        "frequency_sigma_hz": traced.frequency_sigma_hz,
        "magnitude_sigma": median(traced.sigma),
        "gaps": len(traced.lost_after),
    }


def _change_object(row: Row, summary: ChangeSummary | None) -> dict[str, object]:
    changes = {spec.key: json_value(spec.value(row)) for spec in shown("json") if spec.is_change}
    found = {"label": row.entry.label, **changes, "unresolved": list(row.unresolved)}
    if row.change is not None and row.change.why_not:
        found["why_not"] = row.change.why_not
    parts = None if summary is None else summary.parts
    found["parts"] = _parts_object(parts) if isinstance(parts, Parts) else None
    found["parts_why_not"] = parts if isinstance(parts, str) else None
    loss = None if summary is None else summary.added_loss
    found["added_loss_db"] = None if loss is None else loss.loss_db
    found["added_loss_half_db"] = None if loss is None else loss.half_db
    found["added_loss"] = None if loss is None else loss.text
    found["dc_loss"] = None if summary is None else dc_object(summary.dc_loss)
    found["sentence"] = None if summary is None else summary.sentence
    return found


def dc_object(loss: DcLoss) -> dict[str, object]:
    """The conductor loss that a DC reading shows; null with the reason in "why_not"."""
    return {
        "least_share": loss.share,
        "least_loss_db": loss.loss_db,
        "conductor_at_feed_ohm": loss.at_feed_ohm,
        "resistance_ohm": loss.of_ohm,
        "frequency_hz": loss.frequency_hz,
        "ac_over_dc": loss.ac_over_dc,
        "assumptions": list(loss.assumptions),
        "sentence": loss.sentence or None,
        "why_not": loss.why_not or None,
    }


def _parts_object(parts: Parts) -> dict[str, object]:
    known: dict[str, ChangePart | None] = {
        "tuning_hz": parts.tuning_hz,
        "match_ohm": parts.match_ohm,
        "damping_q": parts.damping_q,
        "damping_db": parts.damping_db,
        "width_hz": parts.width_hz,
    }
    reasons = {
        "match_ohm": parts.why_not_match,
        "damping_q": parts.why_not_damping,
        "damping_db": parts.why_not_damping,
    }
    why_not = {key: why for key, why in reasons.items() if known[key] is None}
    given = {key: part for key, part in known.items() if part is not None}
    return {
        **{key: None if part is None else part.value for key, part in known.items()},
        "intervals": {key: _interval_object(part.intervals) for key, part in given.items()},
        "noise_half": {key: part.noise_half for key, part in given.items()},
        "left_over": parts.left_over,
        "why_not": why_not,
    }


def _interval_object(found: Intervals) -> dict[str, object]:
    return {
        "repeatability": json_ends(found.repeatability),
        "accuracy": json_ends(found.accuracy),
    }


def _repeats(answer: Answer) -> dict[str, object]:
    from fairlead.core.comparison.repeats.output import as_object  # noqa: PLC0415 - few ask

    return as_object(answer)
