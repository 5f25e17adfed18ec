"""Layout of legend and table in one: line sample, name, and the figures of each sweep."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.group_part import sample
from fairlead.app.printing.shapes import Line, Mark, Pen, StraightLine
from fairlead.app.printing.table_columns import print_columns
from fairlead.app.printing.trace_style import (
    curve_width_mm,
    mark_size_mm,
    trace_style,
    trace_width_mm,
)
from fairlead.app.printing.type_setting import (
    SMALLEST_PT,
    TICK_PT,
    cap_mm,
    clean,
    line_height_mm,
    set_text,
)
from fairlead.core.group_table import GroupRow
from fairlead.core.names import parts_of, shortened

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.app.printing.shapes import Box, Shape
    from fairlead.app.printing.table_columns import PrintColumn, TableRow
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest
    from fairlead.core.names import Parts

_SAMPLE_MM = 11.0
_SAMPLE_GAP_MM = 1.5
_COLUMN_GAP_MM = 2.6
_BLOCK_GAP_MM = 6.0
_NARROWEST_BLOCK_MM = 70.0
_NARROWEST_NAMES_MM = 34.0
_WIDEST_EXTRA_MM = 10.0
_LEAST_NAME_MM = 26.0
_LEAST_NAME_SHARE = 0.22
_RULE_MM, _THIN_RULE_MM = 0.25, 0.12
_MOST_BLOCKS = 3
# Rows in one block at each type size; more would leave the plots too little room.
MOST_ROWS = {TICK_PT: 6, SMALLEST_PT: 12}
# On a page of its own all figures of many sweeps are worth more than large plots.
MOST_ROWS_OF_PAGE = {TICK_PT: 14, SMALLEST_PT: 34}


@dataclass(frozen=True, slots=True)
class TablePlan:
    """How the table is divided, before it is positioned.

    Attributes
    ----------
    columns : tuple of PrintColumn
        Those that fit.
    rows : tuple of Row or GroupRow
        Those that have room, the reference always among them.
    blocks : int
        Parts side by side.
    rows_per_block : int
    size_pt : float
    block_mm, name_mm, height_mm : float
    left_out_columns : tuple of PrintColumn
    left_out_rows : int
    """

    columns: tuple[PrintColumn, ...]
    rows: tuple[TableRow, ...]
    blocks: int
    rows_per_block: int
    size_pt: float
    block_mm: float
    name_mm: float
    height_mm: float
    left_out_columns: tuple[PrintColumn, ...]
    left_out_rows: int


def plan_table(
    bench: Bench,
    rows: Sequence[TableRow],
    width_mm: float,
    most_height_mm: float,
    measure: Measure,
    *,
    has_band: bool,
    most_rows: Mapping[float, int] = MOST_ROWS,
) -> TablePlan:
    """The fullest table for a width and a height: columns are dropped before rows.

    ``most_rows`` stand in one block at each type size.
    """
    blocks_wide = _blocks_in(width_mm, _NARROWEST_BLOCK_MM)
    for blocks in range(1, blocks_wide + 1):
        for size_pt in (TICK_PT, SMALLEST_PT):
            fitting = min(_rows_fitting(most_height_mm, size_pt), most_rows[size_pt])
            if fitting * blocks >= len(rows):
                return _plan(
                    bench, rows, rows, width_mm, blocks, size_pt, measure, has_band=has_band
                )
    # Too many: as many names as fit, with whatever figures fit beside them.
    fitting = max(1, _rows_fitting(most_height_mm, SMALLEST_PT))
    blocks = max(blocks_wide, _blocks_in(width_mm, _NARROWEST_NAMES_MM))
    blocks = min(blocks, math.ceil(len(rows) / fitting))
    shown = _most_important(rows, fitting * blocks)
    return _plan(bench, rows, shown, width_mm, blocks, SMALLEST_PT, measure, has_band=has_band)


def _plan(
    bench: Bench,
    rows: Sequence[TableRow],
    shown: Sequence[TableRow],
    width_mm: float,
    blocks: int,
    size_pt: float,
    measure: Measure,
    *,
    has_band: bool,
) -> TablePlan:
    block_mm = (width_mm - (blocks - 1) * _BLOCK_GAP_MM) / blocks
    columns = print_columns(bench, shown, has_band=has_band)
    names_mm = max(
        measure.width_mm(_name(row), size_pt, is_bold=_is_bold(row, len(rows))) for row in shown
    )
    room_mm = block_mm - _SAMPLE_MM - _SAMPLE_GAP_MM
    least_name_mm = min(names_mm, max(_LEAST_NAME_MM, _LEAST_NAME_SHARE * block_mm), room_mm)
    kept = list(columns)
    while kept and least_name_mm + sum(_width(c, size_pt, measure) for c in kept) > room_mm:
        kept.remove(max(kept, key=lambda column: column.rank))
    figures_mm = sum(_width(column, size_pt, measure) for column in kept)
    rows_per_block = math.ceil(len(shown) / blocks)
    return TablePlan(
        columns=tuple(kept),
        rows=tuple(shown),
        blocks=blocks,
        rows_per_block=rows_per_block,
        size_pt=size_pt,
        block_mm=block_mm,
        name_mm=min(names_mm, room_mm - figures_mm),
        height_mm=_head_mm(size_pt, lines=2 if kept else 1)
        + rows_per_block * _row_mm(size_pt)
        + 0.6,
        left_out_columns=tuple(column for column in columns if column not in kept),
        left_out_rows=len(rows) - len(shown),
    )


@dataclass(frozen=True, slots=True)
class TablePart:
    """The table, laid out.

    Attributes
    ----------
    plan : TablePlan
    names : tuple of str
        As printed, elided where needed.
    shapes : tuple of Shape
    """

    plan: TablePlan
    names: tuple[str, ...]
    shapes: tuple[Shape, ...]


def lay_out_table(
    plan: TablePlan, area: Box, count: int, request: PictureRequest, ink: Ink, measure: Measure
) -> TablePart:
    """The table with its upper left corner in an area; ``count`` sweeps are in the plots."""
    shapes: list[Shape] = []
    names: list[str] = []
    parts = parts_of(_name(row) for row in plan.rows)
    for block in range(plan.blocks):
        first = block * plan.rows_per_block
        rows = plan.rows[first : first + plan.rows_per_block]
        if not rows:
            break
        left = area.left + block * (plan.block_mm + _BLOCK_GAP_MM)
        rights = _right_edges(plan, left, measure)
        shapes += _head(plan, left, area.top, rights, ink, measure)
        y = area.top + _head_mm(plan.size_pt, lines=_head_lines(plan))
        for offset, row in enumerate(rows):
            base = y + (offset + 0.5) * _row_mm(plan.size_pt) + cap_mm(plan.size_pt) / 2
            name = _fitted_name(row, parts, plan, count, measure)
            names.append(name)
            shapes += _sample(row, left, base - cap_mm(plan.size_pt) / 2, count, request)
            shapes.append(
                set_text(
                    measure,
                    name,
                    (left + _SAMPLE_MM + _SAMPLE_GAP_MM, base),
                    plan.size_pt,
                    colour=ink.text,
                    is_bold=_is_bold(row, count),
                )
            )
            shapes += [
                set_text(
                    measure,
                    column.cells[first + offset],
                    (right, base),
                    plan.size_pt,
                    colour=ink.text,
                    align="right",
                )
                for column, right in zip(plan.columns, rights, strict=True)
            ]
        end = y + len(rows) * _row_mm(plan.size_pt) + 0.3
        shapes.append(_rule(left, end, plan.block_mm, _RULE_MM, ink))
    return TablePart(plan, tuple(names), tuple(shapes))


def _fitted_name(
    row: TableRow, parts: Mapping[str, Parts], plan: TablePlan, count: int, measure: Measure
) -> str:
    """The name, cut in what it shares with others first."""
    is_bold = _is_bold(row, count)
    return shortened(
        _name(row),
        parts,
        lambda text: measure.width_mm(text, plan.size_pt, is_bold=is_bold) <= plan.name_mm + 1e-6,
    )


def _is_bold(row: TableRow, count: int) -> bool:
    """Whether it is the reference among several sweeps."""
    return _is_reference(row) and count > 1


def key_of(row: TableRow) -> int:
    """Key of a row's sweep or group."""
    return row.group.key if isinstance(row, GroupRow) else row.entry.key


def _is_reference(row: TableRow) -> bool:
    return not isinstance(row, GroupRow) and row.is_reference


def _name(row: TableRow) -> str:
    return clean(row.title if isinstance(row, GroupRow) else row.entry.caption)


def _blocks_in(width_mm: float, narrowest_mm: float) -> int:
    blocks = int((width_mm + _BLOCK_GAP_MM) / (narrowest_mm + _BLOCK_GAP_MM))
    return max(1, min(_MOST_BLOCKS, blocks))


def _head_mm(size_pt: float, lines: int = 2) -> float:
    return lines * line_height_mm(size_pt) + 1.3


def _head_lines(plan: TablePlan) -> int:
    """A list of names needs no second line for units."""
    return 2 if plan.columns else 1


def names_height_mm(count: int, width_mm: float) -> float:
    """Height of the legend that has room for so many names and no figures."""
    rows_per_block = math.ceil(count / _blocks_in(width_mm, _NARROWEST_NAMES_MM))
    return _head_mm(SMALLEST_PT) + rows_per_block * _row_mm(SMALLEST_PT) + 0.6


def _row_mm(size_pt: float) -> float:
    return line_height_mm(size_pt) * 1.08


def _rows_fitting(height_mm: float, size_pt: float) -> int:
    return int((height_mm - _head_mm(size_pt) - 0.6) / _row_mm(size_pt))


def _most_important(rows: Sequence[TableRow], count: int) -> list[TableRow]:
    """The first rows, always including the reference, then the groups, which stand for many."""
    ranked = sorted(rows, key=lambda row: 0 if _is_reference(row) else 1 + (not _is_group(row)))
    kept = {key_of(row) for row in ranked[:count]}
    return [row for row in rows if key_of(row) in kept]


def _is_group(row: TableRow) -> bool:
    return isinstance(row, GroupRow)


def _width(column: PrintColumn, size_pt: float, measure: Measure) -> float:
    texts = (*column.heading, *column.cells)
    return max(measure.width_mm(text, size_pt) for text in texts) + _COLUMN_GAP_MM


def _right_edges(plan: TablePlan, left: float, measure: Measure) -> list[float]:
    """Right edge of each column; spare width is shared between them."""
    widths = [_width(column, plan.size_pt, measure) for column in plan.columns]
    used_mm = _SAMPLE_MM + _SAMPLE_GAP_MM + plan.name_mm + sum(widths)
    extra_mm = min(max(0.0, plan.block_mm - used_mm) / max(1, len(widths)), _WIDEST_EXTRA_MM)
    edges, x = [], left + plan.block_mm - sum(widths) - extra_mm * len(widths)
    for width in widths:
        x += width + extra_mm
        edges.append(x)
    return edges


def _head(
    plan: TablePlan, left: float, top: float, rights: Sequence[float], ink: Ink, measure: Measure
) -> list[Shape]:
    first = top + 0.5 + cap_mm(plan.size_pt)
    second = first + (_head_lines(plan) - 1) * line_height_mm(plan.size_pt)
    shapes: list[Shape] = [
        _rule(left, top, plan.block_mm, _RULE_MM, ink),
        _rule(
            left,
            top + _head_mm(plan.size_pt, _head_lines(plan)) - 0.4,
            plan.block_mm,
            _THIN_RULE_MM,
            ink,
        ),
        set_text(measure, "Sweep", (left, second), plan.size_pt, colour=ink.muted),
    ]
    for column, right in zip(plan.columns, rights, strict=True):
        lines = column.heading if column.heading[1] else ("", column.heading[0])
        shapes += [
            set_text(measure, text, (right, y), plan.size_pt, colour=ink.muted, align="right")
            for text, y in zip(lines, (first, second), strict=True)
            if text
        ]
    return shapes


def _rule(left: float, y: float, length_mm: float, width_mm: float, ink: Ink) -> StraightLine:
    return StraightLine(left, y, left + length_mm, y, Pen(ink.axis, width_mm))


def _sample(
    row: TableRow, left: float, y: float, count: int, request: PictureRequest
) -> list[Shape]:
    """The sweep's line as it is drawn in the plots, with its marker."""
    if isinstance(row, GroupRow):
        return sample(row, left, y, _SAMPLE_MM, grey=request.grey)
    style = trace_style(row.entry.drawn_style, grey=request.grey)
    width_mm = trace_width_mm(curve_width_mm(count), is_emphasised=_is_bold(row, count))
    line = np.array([[left, y], [left + _SAMPLE_MM, y]])
    middle = left + _SAMPLE_MM / 2
    return [
        Line(line, Pen(style.colour, width_mm, style.dash_mm)),
        Mark(style.marker, middle, y, mark_size_mm(count), style.colour, style.is_hollow),
    ]
