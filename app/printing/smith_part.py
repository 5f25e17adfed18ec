"""Layout of the Smith chart: rim, grid with numbers, limit circle, curves heavy in the band."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.drawing.chart_rules import whole_chart
from fairlead.app.drawing.marks import OUTLIER, OUTLIER_SIZE
from fairlead.app.printing.chart_labels import (
    LABEL_GAP_MM,
    Chart,
    axis_labels,
    limit_label,
    rim_labels,
    widest_label_mm,
)
from fairlead.app.printing.dashes import dashed
from fairlead.app.printing.group_part import chart_means, chart_members
from fairlead.app.printing.match_part import match_shapes
from fairlead.app.printing.polylines import cut, simplify
from fairlead.app.printing.shapes import Box, CircleArc, Clipped, Mark, Pen, StraightLine
from fairlead.app.printing.trace_style import (
    curve_width_mm,
    mark_size_mm,
    tolerance_mm,
    trace_width_mm,
)
from fairlead.app.printing.type_setting import (
    SMALLEST_PT,
    TICK_PT,
    cap_mm,
    line_height_mm,
    set_text,
)
from fairlead.core.arrays import runs
from fairlead.core.smith import swr_circle
from fairlead.core.views.smith import NO_EXTENT, centre_text, extent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.group_part import PrintedGroup
    from fairlead.app.printing.shapes import Shape, Text
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.traces import Trace
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench

_RIM_MM, _GRID_MM, _LIMIT_MM = 0.25, 0.1, 0.25
_OUTSIDE_MM = 0.16
_GAP_DOTS_MM = (0.3, 0.6)
# |G| beyond 1 that is still drawn to scale.
_MOST_EXTENT = 1.3


@dataclass(frozen=True, slots=True)
class SmithPart:
    """The Smith chart, laid out.

    Attributes
    ----------
    x, y : float
        Centre in mm.
    radius_mm : float
        Of the rim, |G| = 1.
    window : Box
        The part of the reflection plane that is drawn.
    labels : tuple of Text
        Numbers on the chart and around it, and the limit.
    shapes : tuple of Shape
        All shapes, in painting order.
    """

    x: float
    y: float
    radius_mm: float
    window: Box
    labels: tuple[Text, ...]
    shapes: tuple[Shape, ...]

    def place(self, gamma: complex) -> tuple[float, float]:
        """Position of a reflection coefficient in mm."""
        return self.x + self.radius_mm * gamma.real, self.y - self.radius_mm * gamma.imag


def chart_extent(traces: Sequence[Trace]) -> float:
    """How far from its centre the chart has to reach, as |G|: 1 to 1.3."""
    largest = max(
        (float(t.magnitude.max()) for t in traces if t.reflection is not None and t.magnitude.size),
        default=0.0,
    )
    return extent(largest, _MOST_EXTENT)


def points_beyond(traces: Sequence[Trace]) -> int:
    """Measured points in view with |G| too large for the chart's extent."""
    reach = max(chart_extent(traces), NO_EXTENT)
    return sum(
        int(np.count_nonzero(trace.analysis.power_at(trace.above_one_hz) > reach**2 * (1 + 1e-9)))
        for trace in traces
        if trace.reflection is not None and trace.above_one_hz.size
    )


def lay_out_smith(
    area: Box,
    bench: Bench,
    band: Band | None,
    traces: Sequence[Trace],
    ink: Ink,
    measure: Measure,
    groups: Sequence[PrintedGroup] = (),
    path: tuple[ComplexArray, ...] = (),
) -> SmithPart:
    """The Smith chart inside an area; ``band`` is None where none is shown.

    ``path`` is the way of a matching network, as in `PrintedMatch`.
    """
    with_phase = [trace for trace in traces if trace.reflection is not None]
    chart, window = _chart(area, with_phase, bench.z0_ohm, measure)
    curves = [
        chart.positions(trace.reflection) for trace in with_phase if trace.reflection is not None
    ]
    points = np.concatenate(curves) if curves else np.empty((0, 2))
    texts = rim_labels(chart, bench.z0_ohm, ink, measure)
    if with_phase:
        texts += axis_labels(chart, bench.z0_ohm, points, texts, ink, measure)
    texts += limit_label(chart, bench, points, texts, ink, measure)
    shapes: list[Shape] = [
        chart.arc(rule.arc, Pen(ink.grid, _GRID_MM)) for rule in whole_chart(bench.z0_ohm)
    ]
    rim = Pen(ink.axis, _RIM_MM)
    shapes += [
        StraightLine(
            chart.x - chart.radius_mm,
            chart.y,
            chart.x + chart.radius_mm,
            chart.y,
            Pen(ink.grid, _RIM_MM),
        ),
        CircleArc(chart.x, chart.y, chart.radius_mm, 0, 360, rim),
        chart.arc(swr_circle(bench.limit_swr), Pen(ink.limit, _LIMIT_MM)),
        *texts,
    ]
    drawn = chart_members(groups, chart.positions)
    for index, (trace, places) in enumerate(zip(with_phase, curves, strict=True)):
        drawn += _curve(trace, places, band, window, len(traces))
        drawn += _marks(trace, places, band, window, (index + 0.5) / len(with_phase), len(traces))
        drawn += _crosses(trace, chart, mark_size_mm(len(traces)))
    drawn += chart_means(groups, chart.positions)
    drawn += match_shapes(path, chart.positions, ink, measure)
    shapes.append(Clipped(window, tuple(drawn)))
    shapes += _notes(area, chart, bench, band, with_phase, ink, measure)
    return SmithPart(
        chart.x,
        chart.y,
        chart.radius_mm,
        window,
        tuple(texts),
        tuple(shapes),
    )


def _chart(
    area: Box, traces: Sequence[Trace], z0_ohm: float, measure: Measure
) -> tuple[Chart, Box]:
    """The largest chart that leaves room for the numbers around it and the line below."""
    below_mm = line_height_mm(TICK_PT) * 1.6
    side_mm = widest_label_mm(z0_ohm, measure) * 0.75 + LABEL_GAP_MM
    upper_mm = cap_mm(SMALLEST_PT) + LABEL_GAP_MM
    reach = chart_extent(traces)
    half_width = area.width / 2
    half_height = (area.height - below_mm) / 2
    radius_mm = min(
        half_width - side_mm,
        half_height - upper_mm,
        half_width / reach,
        half_height / reach,
    )
    x = area.right - half_width
    y = area.top + half_height
    half = max(radius_mm * reach, radius_mm + 0.5)
    return Chart(x, y, radius_mm), Box(x - half, y - half, x + half, y + half)


def _in_band(trace: Trace, band: Band | None) -> BoolArray:
    if band is None:
        return np.ones(trace.frequency_hz.shape, dtype=np.bool_)
    inside: BoolArray = (trace.frequency_hz >= band.low_hz) & (trace.frequency_hz <= band.high_hz)
    return inside


def _curve(
    trace: Trace, places: FloatArray, band: Band | None, window: Box, count: int
) -> list[Shape]:
    """Thin outside the band, heavy inside; the band's edges belong to both parts."""
    inside = _in_band(trace, band)
    strong_mm = trace_width_mm(1.15 * curve_width_mm(count), is_emphasised=trace.is_emphasised)
    style = trace.style
    in_gap = trace.in_gap
    is_strong = inside[1:] & inside[:-1] & ~in_gap
    shapes: list[Shape] = []
    for mask, pen in (
        (~is_strong & ~in_gap, Pen(style.colour, _OUTSIDE_MM, style.dash_mm)),
        (is_strong, Pen(style.colour, strong_mm, style.dash_mm)),
        (in_gap, Pen(style.colour, _OUTSIDE_MM, _GAP_DOTS_MM)),
    ):
        for start, stop in runs(mask):
            thinned = simplify(places[start : stop + 1], tolerance_mm(pen.width_mm))
            shapes += [line for part in cut(thinned, window) for line in dashed(part, pen)]
    return shapes


def _crosses(trace: Trace, chart: Chart, size_mm: float) -> list[Shape]:
    """Small open crosses at the points that the curve does not join."""
    gamma = trace.outliers.reflection
    if gamma is None:
        return []
    half, pen = OUTLIER_SIZE * size_mm / 2, Pen(trace.style.colour, 0.2)
    return [
        StraightLine(
            x + half * start[0], y + half * start[1], x + half * end[0], y + half * end[1], pen
        )
        for x, y in chart.positions(gamma).tolist()
        for start, end in OUTLIER
    ]


def _marks(
    trace: Trace,
    places: FloatArray,
    band: Band | None,
    window: Box,
    share: float,
    count: int,
) -> list[Shape]:
    """One marker in the band, shifted along the curve from sweep to sweep."""
    inside = _in_band(trace, band)
    own = places[inside] if inside.any() else places
    if len(own) == 0:
        return []
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(own, axis=0).T))))
    wanted = along[-1] * (0.1 + 0.8 * share)
    x, y = (float(np.interp(wanted, along, own[:, axis])) for axis in (0, 1))
    size_mm = mark_size_mm(count)
    if not window.holds(Box(x, y, x, y)):
        return []
    return [Mark(trace.style.marker, x, y, size_mm, trace.style.colour, trace.style.is_hollow)]


def _notes(
    area: Box,
    chart: Chart,
    bench: Bench,
    band: Band | None,
    with_phase: Sequence[Trace],
    ink: Ink,
    measure: Measure,
) -> list[Shape]:
    """The line below the chart; without any phase, a note inside it."""
    if not with_phase:
        lines = ("No phase was measured:", "SWR only, no impedance")
        step = line_height_mm(TICK_PT)
        return [
            set_text(
                measure,
                line,
                (chart.x, chart.y - step * (0.4 - i) + 0.3),
                TICK_PT,
                colour=ink.text,
                align="centre",
                halo=True,
            )
            for i, line in enumerate(lines)
        ]
    base = centre_text(bench.z0_ohm)
    texts = [f"{base}; heavy lines: in the band", f"{base}; heavy: in band"]
    shortest = f"centre {bench.z0_ohm:.4g} Ω"
    line = next(
        (
            text
            for text in (*(texts if band is not None else ()), base)
            if measure.width_mm(text, TICK_PT) <= area.width
        ),
        shortest,
    )
    half_mm = measure.width_mm(line, TICK_PT) / 2
    middle = min(max(chart.x, area.left + half_mm), area.right - half_mm)
    at = (middle, area.bottom - (line_height_mm(TICK_PT) - cap_mm(TICK_PT)) / 2)
    return [set_text(measure, line, at, TICK_PT, colour=ink.text, align="centre")]
