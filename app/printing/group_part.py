"""Groups on paper: the envelope shaded below the curves, the mean as a heavy line above them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.dashes import dashed
from fairlead.app.printing.polylines import simplify
from fairlead.app.printing.shapes import Area, Line, Pen
from fairlead.app.printing.trace_style import tolerance_mm, trace_style
from fairlead.core.arrays import runs
from fairlead.core.comparison.group_curves import GroupCurves, group_curves
from fairlead.core.group_table import GroupRow, group_rows

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.printing.shapes import Shape
    from fairlead.app.printing.ticks import FrequencyScale, ValueAxis
    from fairlead.app.printing.trace_style import TraceStyle
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.views.quantity import Quantity

MEAN_MM = 0.7
_EDGE_MM, _MEMBER_MM = 0.12, 0.1
_OPACITY = 0.16
REMARK = "Shaded: the range of a group; heavy line: its mean; sd: standard deviation."


@dataclass(frozen=True, slots=True, eq=False)
class PrintedGroup:
    """One visible group."""

    row: GroupRow
    curves: GroupCurves
    style: TraceStyle

    @property
    def keys(self) -> tuple[int, ...]:
        """Keys of its members."""
        return self.row.group.members


def printed_groups(bench: Bench, rows: Sequence[Row], *, grey: bool) -> tuple[PrintedGroup, ...]:
    """The visible groups of a bench; ``rows`` are those of all its sweeps.

    What the legend says in place of the condition is no condition of the members: ``bench`` is the
    one that the user sees.
    """
    if not bench.groups:
        return ()
    entries = {entry.key: entry for entry in bench.entries}
    as_noted = [replace(row, entry=entries[row.entry.key]) for row in rows]
    return tuple(
        PrintedGroup(
            found,
            GroupCurves(why_not=found.why_not)
            if found.why_not
            else group_curves([row.analysis for row in found.rows]),
            trace_style(found.group.style, grey=grey),
        )
        for found in group_rows(bench, as_noted)
        if found.group.is_visible
    )


def envelopes(
    groups: Sequence[PrintedGroup], quantity: Quantity, frequency: FrequencyScale, axis: ValueAxis
) -> list[Shape]:
    """The areas between the least and the largest value, with thin edges."""
    shapes: list[Shape] = []
    for group in groups:
        envelope = group.curves.envelope(quantity)
        if envelope is None:
            continue
        x = frequency.xs(group.curves.frequency_hz)
        low, high = axis.ys(envelope.low), axis.ys(envelope.high)
        for part in _existing(low, high):
            edges = np.column_stack((x[part], low[part])), np.column_stack((x[part], high[part]))
            outline = np.concatenate((edges[0], edges[1][::-1]))
            shapes.append(Area(outline, group.style.colour, _OPACITY))
            pen = Pen(group.style.colour, _EDGE_MM)
            shapes += [Line(simplify(edge, tolerance_mm(_EDGE_MM)), pen) for edge in edges]
    return shapes


def means(
    groups: Sequence[PrintedGroup], quantity: Quantity, frequency: FrequencyScale, axis: ValueAxis
) -> list[Shape]:
    """The mean curves over frequency."""
    shapes: list[Shape] = []
    for group in groups:
        envelope = group.curves.envelope(quantity)
        if envelope is not None:
            x, y = frequency.xs(group.curves.frequency_hz), axis.ys(envelope.mean)
            shapes += _mean(group, np.column_stack((x, y)))
    return shapes


def chart_members(
    groups: Sequence[PrintedGroup], places: Callable[[ComplexArray], FloatArray]
) -> list[Shape]:
    """All members in the reflection plane as hairlines; ``places`` gives mm, shape (n, 2)."""
    shapes: list[Shape] = []
    for group in groups:
        reflections = group.curves.reflections
        for own in () if reflections is None else reflections:
            points = places(own)
            pen = Pen(group.style.colour, _MEMBER_MM)
            shapes += [
                Line(simplify(points[part], tolerance_mm(_MEMBER_MM)), pen)
                for part in _existing(points[:, 0])
            ]
    return shapes


def chart_means(
    groups: Sequence[PrintedGroup], places: Callable[[ComplexArray], FloatArray]
) -> list[Shape]:
    """The mean reflections."""
    shapes: list[Shape] = []
    for group in groups:
        reflections = group.curves.reflections
        if reflections is not None:
            shapes += _mean(group, places(reflections.mean(axis=0)))
    return shapes


def sample(found: GroupRow, left: float, y: float, width_mm: float, *, grey: bool) -> list[Shape]:
    """A group in the legend: its mean in the middle of its envelope."""
    style, half_mm = trace_style(found.group.style, grey=grey), 0.9
    top, bottom = (
        np.array([[left, y + side], [left + width_mm, y + side]]) for side in (-half_mm, half_mm)
    )
    middle = np.array([[left, y], [left + width_mm, y]])
    edge = Pen(style.colour, _EDGE_MM)
    return [
        Area(np.concatenate((top, bottom[::-1])), style.colour, _OPACITY),
        Line(top, edge),
        Line(bottom, edge),
        *dashed(middle, Pen(style.colour, MEAN_MM, style.dash_mm)),
    ]


def _mean(group: PrintedGroup, points: FloatArray) -> list[Shape]:
    pen = Pen(group.style.colour, MEAN_MM, group.style.dash_mm)
    shapes: list[Shape] = []
    for part in _existing(points[:, 0], points[:, 1]):
        shapes += dashed(simplify(points[part], tolerance_mm(MEAN_MM)), pen)
    return shapes


def _existing(*values: FloatArray) -> list[slice]:
    """The stretches in which all values exist and have a neighbour."""
    exists = np.logical_and.reduce([np.isfinite(one) for one in values])
    return [slice(start, last + 1) for start, last in runs(exists[1:] & exists[:-1])]
