"""Markers on paper: dotted lines in the plot, and a small table of what the sweeps read there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.shapes import Line, Mark, Pen, StraightLine
from fairlead.app.printing.trace_style import NOMINAL_WIDTH_MM, trace_style
from fairlead.app.printing.type_setting import (
    SMALLEST_PT,
    TICK_PT,
    cap_mm,
    clean,
    elide,
    line_height_mm,
    set_text,
)
from fairlead.core.marker_table import MarkerTable, heading_of, marker_title
from fairlead.core.names import parts_of, shortened
from fairlead.core.table_lines import plain_mhz
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.app.printing.shapes import Box, Shape, Text
    from fairlead.app.printing.ticks import FrequencyScale
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Marker
    from fairlead.core.names import Parts

_LINE_MM, _DOTS_MM = 0.2, (0.25, 0.75)
_TAG_TOP_MM, _TAG_GAP_MM = 1.0, 0.8
_MOST_TAG_ROWS = 4
_LONGEST_TAG_MM = 26.0
_SAMPLE_MM, _SAMPLE_GAP_MM = 6.0, 1.0
_COLUMN_GAP_MM, _SWEEP_GAP_MM, _FOOT_MM = 1.6, 4.0, 1.6
_WIDEST_TITLE_MM = 40.0
_WIDEST_NAME_MM = 32.0
_MARK_MM = 1.3
_RULE_MM = 0.12
_REASONS_TOLD = 3


@dataclass(frozen=True, slots=True)
class _Column:
    """A quantity of one sweep: its heading, and a text for each marker."""

    heading: str
    cells: tuple[str, ...]
    width_mm: float


@dataclass(frozen=True, slots=True)
class _Sweep:
    """A sweep and its columns."""

    entry: Entry
    columns: tuple[_Column, ...]
    name_mm: float

    @property
    def width_mm(self) -> float:
        """With a shortened name."""
        return sum(column.width_mm for column in self.columns) + _SWEEP_GAP_MM

    @property
    def missing_mm(self) -> float:
        """What its name needs beyond that, as far as names get any."""
        wanted_mm = _SAMPLE_MM + _SAMPLE_GAP_MM + min(self.name_mm, _WIDEST_NAME_MM)
        return max(0.0, wanted_mm - self.width_mm + _SWEEP_GAP_MM)

    def widened(self, more_mm: float) -> _Sweep:
        """With more room for its name."""
        first, *others = self.columns
        return replace(self, columns=(replace(first, width_mm=first.width_mm + more_mm), *others))


@dataclass(frozen=True, slots=True)
class MarkerPlan:
    """The table, divided into blocks of sweeps side by side, before it is positioned.

    Attributes
    ----------
    titles : tuple of str
        Of the markers, one a line.
    blocks : tuple
        Sweeps of each block.
    height_mm : float
    title_mm : float
    remarks : tuple of str
        What has no room, and what a dash stands for.
    """

    titles: tuple[str, ...] = ()
    blocks: tuple[tuple[_Sweep, ...], ...] = ()
    height_mm: float = 0.0
    title_mm: float = 0.0
    remarks: tuple[str, ...] = ()


NO_MARKERS = MarkerPlan()


def plan_markers(
    bench: Bench,
    rows: Sequence[Row],
    analyses: Analyses,
    width_mm: float,
    most_height_mm: float,
    measure: Measure,
) -> MarkerPlan:
    """As many sweeps as have room; those that have none are counted in a remark."""
    markers = bench.markers
    if not markers or not rows:
        return NO_MARKERS
    titles = tuple(clean(marker_title(marker)) for marker in markers)
    title_mm = min(max(measure.width_mm(text, SMALLEST_PT) for text in titles), _WIDEST_TITLE_MM)
    found, reasons = _read(bench, rows, analyses, measure)
    block_mm = _block_mm(len(markers))
    most_blocks = int(most_height_mm / block_mm)
    blocks: list[tuple[_Sweep, ...]] = []
    left = list(found)
    while left and len(blocks) < most_blocks:
        count, used_mm = 0, title_mm
        while count < len(left) and used_mm + left[count].width_mm <= width_mm:
            used_mm += left[count].width_mm
            count += 1
        if not count:
            break
        blocks.append(_with_room(left[:count], width_mm - used_mm))
        left = left[count:]
    remarks = []
    if left:
        what = "1 sweep" if len(left) == 1 else f"{len(left)} sweeps"
        remarks.append(f"No room for what {what} read at the markers.")
    if blocks and reasons:
        remarks.append(f"{DASH} at a marker: {'; '.join(reasons[:_REASONS_TOLD])}.")
    height_mm = len(blocks) * block_mm
    return MarkerPlan(titles, tuple(blocks), height_mm, title_mm, tuple(remarks))


def _with_room(sweeps: Sequence[_Sweep], spare_mm: float) -> tuple[_Sweep, ...]:
    """What is left of the width goes to the names that have too little, each its share."""
    missing_mm = sum(sweep.missing_mm for sweep in sweeps)
    share = min(1.0, spare_mm / missing_mm) if missing_mm > 0 else 0.0
    return tuple(sweep.widened(share * sweep.missing_mm) for sweep in sweeps)


def _read(
    bench: Bench, rows: Sequence[Row], analyses: Analyses, measure: Measure
) -> tuple[list[_Sweep], list[str]]:
    """What every sweep reads, without quantities that none has; and why there are dashes."""
    table = MarkerTable(bench, analyses, bench.picture.quantity)
    cells = {
        (row.entry.key, column.id): [table.cell(row.entry, one, column) for one in bench.markers]
        for row in rows
        for column in table.columns
    }
    shown = [
        column
        for column in table.columns
        if any(cell.text != DASH for row in rows for cell in cells[row.entry.key, column.id])
    ]
    reasons = dict.fromkeys(
        cell.why_not
        for row in rows
        for column in shown
        for cell in cells[row.entry.key, column.id]
        if cell.why_not
    )
    sweeps = []
    for row in rows:
        columns = []
        for column in shown:
            texts = tuple(cell.text for cell in cells[row.entry.key, column.id])
            heading = heading_of(column)
            widest = max(measure.width_mm(text, SMALLEST_PT) for text in (heading, *texts))
            columns.append(_Column(heading, texts, widest + _COLUMN_GAP_MM))
        name_mm = measure.width_mm(clean(row.entry.caption), SMALLEST_PT) + 0.1
        sweeps.append(_Sweep(row.entry, tuple(columns), name_mm))
    return sweeps, list(reasons)


def _block_mm(markers: int) -> float:
    return (2 + markers) * line_height_mm(SMALLEST_PT) + _FOOT_MM


def lay_out_markers(
    plan: MarkerPlan, area: Box, ink: Ink, measure: Measure, *, grey: bool
) -> tuple[Shape, ...]:
    """The table with its upper left corner in an area."""
    shapes: list[Shape] = []
    names = parts_of(clean(sweep.entry.caption) for block in plan.blocks for sweep in block)
    for number, block in enumerate(plan.blocks):
        top = area.top + number * _block_mm(len(plan.titles))
        shapes += _block(plan, block, names, area, top, ink, measure, grey=grey)
    return tuple(shapes)


def _block(
    plan: MarkerPlan,
    block: Sequence[_Sweep],
    names: Mapping[str, Parts],
    area: Box,
    top: float,
    ink: Ink,
    measure: Measure,
    *,
    grey: bool,
) -> list[Shape]:
    step = line_height_mm(SMALLEST_PT)
    bases = [top + (i + 0.8) * step for i in range(2 + len(plan.titles))]
    shapes: list[Shape] = [
        _set(measure, "Marker", area.left, bases[1], ink.muted),
        *(
            _set(
                measure,
                elide(measure, title, plan.title_mm, SMALLEST_PT),
                area.left,
                base,
                ink.text,
            )
            for title, base in zip(plan.titles, bases[2:], strict=True)
        ),
    ]
    x = area.left + plan.title_mm
    for sweep in block:
        left = x + _SWEEP_GAP_MM
        x += sweep.width_mm
        style = trace_style(sweep.entry.drawn_style, grey=grey)
        y = bases[0] - cap_mm(SMALLEST_PT) / 2
        sample = np.array([[left, y], [left + _SAMPLE_MM, y]])
        shapes.append(Line(sample, Pen(style.colour, NOMINAL_WIDTH_MM, style.dash_mm)))
        at = left + _SAMPLE_MM / 2, y
        shapes.append(Mark(style.marker, *at, _MARK_MM, style.colour, style.is_hollow))
        name_mm = x - left - _SAMPLE_MM - _SAMPLE_GAP_MM
        name = _fitted(clean(sweep.entry.caption), names, name_mm, measure)
        name_x = left + _SAMPLE_MM + _SAMPLE_GAP_MM
        shapes.append(_set(measure, name, name_x, bases[0], ink.text))
        right = left
        for column in sweep.columns:
            right += column.width_mm
            texts = zip((column.heading, *column.cells), bases[1:], strict=True)
            shapes += [
                set_text(measure, text, (right, base), SMALLEST_PT, colour=colour, align="right")
                for (text, base), colour in zip(
                    texts, [ink.muted, *[ink.text] * len(plan.titles)], strict=True
                )
            ]
    rule = bases[1] + 0.25 * step
    end = min(x, area.right)
    shapes.append(StraightLine(area.left, rule, end, rule, Pen(ink.axis, _RULE_MM)))
    return shapes


def _fitted(name: str, parts: Mapping[str, Parts], width_mm: float, measure: Measure) -> str:
    """A name cut in what it shares with others first, as in the table of figures."""
    return shortened(
        name, parts, lambda text: measure.width_mm(text, SMALLEST_PT) <= width_mm + 1e-6
    )


def _set(measure: Measure, text: str, x: float, base: float, colour: str) -> Text:
    return set_text(measure, text, (x, base), SMALLEST_PT, colour=colour)


def marker_lines(
    markers: Sequence[Marker], frame: Box, frequency: FrequencyScale, ink: Ink, measure: Measure
) -> list[Shape]:
    """A dotted line at each marker in view, its name at the top, clear of the best matches."""
    lines: list[Shape] = []
    tags: list[Shape] = []
    ends: list[float] = []
    pen = Pen(ink.text, _LINE_MM, _DOTS_MM)
    for marker in markers:
        if not frequency.holds(marker.frequency_hz):
            continue
        x = frequency.x(marker.frequency_hz)
        lines.append(StraightLine(x, frame.bottom, x, frame.top, pen))
        name = clean(marker.name) or plain_mhz(marker.frequency_hz)
        text = elide(measure, name, min(_LONGEST_TAG_MM, frame.width), TICK_PT)
        width_mm = measure.width_mm(text, TICK_PT)
        left = min(max(x - width_mm / 2, frame.left + 0.5), frame.right - width_mm - 0.5)
        free = (i for i, end in enumerate(ends) if end + _TAG_GAP_MM <= left)
        row = next(free, min(len(ends), _MOST_TAG_ROWS - 1))
        ends[row : row + 1] = [left + width_mm]
        y = frame.top + _TAG_TOP_MM + row * line_height_mm(TICK_PT) + cap_mm(TICK_PT)
        tag = set_text(measure, text, (left, y), TICK_PT, colour=ink.text)
        tags.append(replace(tag, halo=True))
    return [*lines, *tags]
