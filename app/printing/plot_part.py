"""Layout of the plot over frequency: frame, ticks, band, limit, curves, markers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.drawing.marks import FEW_POINTS, MOST_SHADED, OUTLIER, OUTLIER_SIZE
from fairlead.app.printing.dashes import dashed
from fairlead.app.printing.group_part import envelopes, means
from fairlead.app.printing.marker_part import marker_lines
from fairlead.app.printing.plot_axes import (
    axes,
    band_label,
    band_shapes,
    frame_lines,
    grid,
    limit_label,
    limit_line,
    plot_frame,
)
from fairlead.app.printing.polylines import cut, simplify, thin_by_width
from fairlead.app.printing.shapes import Area, Clipped, Line, Mark, Pen, StraightLine
from fairlead.app.printing.ticks import FrequencyScale, ValueAxis, frequency_ticks
from fairlead.app.printing.trace_style import (
    curve_width_mm,
    mark_size_mm,
    tolerance_mm,
    trace_width_mm,
)
from fairlead.app.printing.type_setting import TICK_PT, line_height_mm
from fairlead.core.arrays import runs
from fairlead.core.views.points import in_gap, joined_points
from fairlead.core.views.shape import MATCH_HZ

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.group_part import PrintedGroup
    from fairlead.app.printing.shapes import Box, Shape, Text
    from fairlead.app.printing.ticks import Tick
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.traces import Trace
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench
    from fairlead.core.views.quantity import Quantity

_MARK_SPACING_MM = 30.0
_NO_VALUE_MARK_MM = 1.5
_MOST_STEMS = 8
_SLACK_MM = 0.01
_ROUNDING_MM = 1e-7
_GAP_WIDTH_MM, _GAP_DOTS_MM = 0.2, (0.3, 0.6)
_SHADE_OPACITY, _SHADE_STEP_MM = 0.16, 0.1
# An infinite return loss is drawn this many frame heights away.
_FAR_FRAMES = 10
_STEM_MM, _TICK_MM = 0.15, 2.0


@dataclass(frozen=True, slots=True)
class PlotPart:
    """The plot over frequency, laid out.

    Attributes
    ----------
    frame : Box
    frequency : FrequencyScale
    axis : ValueAxis
    x_ticks, y_ticks : tuple of Tick
    band_label, limit_label : tuple of Text
        Outside the frame.
    shapes : tuple of Shape
        All shapes, in painting order.
    """

    frame: Box
    frequency: FrequencyScale
    axis: ValueAxis
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    band_label: tuple[Text, ...]
    limit_label: tuple[Text, ...]
    shapes: tuple[Shape, ...]


def lay_out_plot(
    area: Box,
    bench: Bench,
    band: Band | None,
    view_hz: tuple[float, float],
    traces: Sequence[Trace],
    quantity: Quantity,
    ink: Ink,
    measure: Measure,
    *,
    groups: Sequence[PrintedGroup] = (),
    marks_best_match: bool,
    shows_markers: bool = False,
    is_log: bool = False,
) -> PlotPart:
    """The plot of a quantity inside an area; ``band`` is None where none is shown."""
    between = view_hz if band is None else (band.low_hz, band.high_hz)
    found = [trace.seen_between(*between) for trace in traces]
    found += [group.curves.seen(quantity, *between) for group in groups]
    seen = [span for span in found if span is not None]
    limit = quantity.limit_position(bench.limit_swr)
    limit_text = quantity.limit_text(bench.limit_swr)
    span = quantity.scale.rounded(
        (min(low for low, _ in seen), max(high for _, high in seen)) if seen else None,
        limit,
        bench.z0_ohm,
    )
    numbers = [tick.text for tick in quantity.scale.ticks(span, (span[1] - span[0]) / 6)]
    frame = plot_frame(area, numbers, limit_text, measure, has_band=band is not None)
    # More numbers may fit than guessed, and wider ones among them.
    axis = ValueAxis(quantity.scale, span, frame.top, frame.bottom)
    numbers += [tick.text for tick in axis.ticks(1.15 * line_height_mm(TICK_PT))]
    frame = plot_frame(area, numbers, limit_text, measure, has_band=band is not None)
    frequency = FrequencyScale(*view_hz, frame.left, frame.right, is_log=is_log)
    axis = ValueAxis(quantity.scale, span, frame.top, frame.bottom)
    x_ticks, small = frequency_ticks(frequency, lambda text: measure.width_mm(text, TICK_PT))
    y_ticks = axis.ticks(1.15 * line_height_mm(TICK_PT))
    limit_y = None if limit is None else axis.y_of_position(limit)
    limit_texts = () if limit_y is None else limit_label(limit_text, limit_y, frame, ink, measure)
    band_texts = () if band is None else band_label(band, frame, frequency, ink, measure)
    shapes: list[Shape] = []
    if band is not None:
        shapes += band_shapes(band, frame, frequency, ink)
    shapes += grid(frame, x_ticks, y_ticks, ink)
    titles = quantity.frequency_title, quantity.axis_title
    shapes += axes(frame, x_ticks, y_ticks, small, titles, ink, measure)
    if limit_y is not None:
        shapes.append(limit_line(limit_y, frame, ink))
    shown = [trace for trace in traces if quantity.occurs_in(trace.analysis)]
    curves = envelopes(groups, quantity, frequency, axis)
    curves += [area for trace in shaded(shown) for area in _shade(trace, frame, frequency, axis)]
    if marks_best_match and len(traces) <= _MOST_STEMS:
        for trace in shown:
            curves += _stem(trace, frame, frequency, axis)
    width_mm = curve_width_mm(len(traces))
    for trace in shown:
        curves += _curve(trace, frame, frequency, axis, width_mm)
    curves += means(groups, quantity, frequency, axis)
    shapes.append(Clipped(frame, tuple(curves)))
    for index, trace in enumerate(traces):
        if trace in shown:
            shapes += _marks(trace, index, len(traces), frame, frequency, axis)
            shapes += _crosses(trace, frame, frequency, axis, mark_size_mm(len(traces)))
            shapes += _beyond_edge(trace, frame, frequency)
    if shows_markers:
        shapes += marker_lines(bench.markers, frame, frequency, ink, measure)
    shapes += frame_lines(frame, ink)
    shapes += [*limit_texts, *band_texts]
    return PlotPart(
        frame,
        frequency,
        axis,
        tuple(x_ticks),
        tuple(y_ticks),
        band_texts,
        limit_texts,
        tuple(shapes),
    )


def _curve(
    trace: Trace, frame: Box, frequency: FrequencyScale, axis: ValueAxis, width_mm: float
) -> list[Shape]:
    """The curve where its values exist, dotted where its points are too far apart."""
    width_mm = trace_width_mm(width_mm, is_emphasised=trace.is_emphasised)
    quantity, style = trace.quantity, trace.style
    values = quantity.values(trace.sample)
    points = np.column_stack(
        (frequency.xs(trace.frequency_hz), axis.ys(quantity.scale.positions(values)))
    )
    joined, in_gap = ~quantity.breaks(values), trace.in_gap
    shapes: list[Shape] = []
    for mask, pen in (
        (joined & ~in_gap, Pen(style.colour, width_mm, style.dash_mm)),
        (joined & in_gap, Pen(style.colour, _GAP_WIDTH_MM, _GAP_DOTS_MM)),
    ):
        for start, stop in runs(mask):
            piece = thin_by_width(points[start : stop + 1], width_mm / 4)
            thinned = simplify(piece, tolerance_mm(width_mm))
            # A line along the frame, as at infinite SWR, must not be lost by rounding.
            parts = cut(thinned, frame.grown(_ROUNDING_MM))
            shapes += [line for part in parts for line in dashed(part, pen)]
    return shapes


def shaded(traces: Sequence[Trace]) -> list[Trace]:
    """The curves to shade with where their points may lie: all if few, else the reference."""
    known = [trace for trace in traces if trace.quantity.can_shade(trace.points, trace.beside)]
    return known if len(known) <= MOST_SHADED else [one for one in known if one.is_emphasised]


def _shade(trace: Trace, frame: Box, frequency: FrequencyScale, axis: ValueAxis) -> list[Shape]:
    """A pale band around the curve: where its points may lie."""
    analysis = trace.analysis
    joined = joined_points(analysis)
    index = np.arange(analysis.power.size) if joined is None else joined
    own_hz = analysis.frequency_hz[index]
    # Including a point on either side of the view.
    first = max(int(np.searchsorted(own_hz, frequency.low_hz)) - 1, 0)
    stop = int(np.searchsorted(own_hz, frequency.high_hz)) + 1
    index, own_hz = index[first:stop], own_hz[first:stop]
    found = None
    if trace.points is not None:
        found = trace.quantity.shaded_of(analysis, trace.points, trace.beside, index)
    if found is None:
        return []
    far_mm = _FAR_FRAMES * frame.height
    x = frequency.xs(own_hz)
    low, high = (axis.ys(places).clip(-far_mm, far_mm) for places in found)
    exists = np.isfinite(low) & np.isfinite(high)
    known = exists[1:] & exists[:-1] & ~in_gap(analysis, own_hz)
    shapes: list[Shape] = []
    for start, last in runs(known):
        sides = [
            simplify(
                thin_by_width(np.column_stack((x, y))[start : last + 1], _SHADE_STEP_MM),
                _SHADE_STEP_MM / 2,
            )
            for y in (low, high)
        ]
        outline = np.concatenate((sides[0], sides[1][::-1]))
        shapes.append(Area(outline, trace.style.colour, _SHADE_OPACITY))
    return shapes


def _crosses(
    trace: Trace, frame: Box, frequency: FrequencyScale, axis: ValueAxis, size_mm: float
) -> list[Shape]:
    """Small open crosses at the points that the curve does not join."""
    outliers = trace.outliers
    half, pen = OUTLIER_SIZE * size_mm / 2, Pen(trace.style.colour, 0.2)
    places = zip(
        frequency.xs(outliers.frequency_hz).tolist(),
        axis.ys(trace.quantity.positions(outliers)).tolist(),
        strict=True,
    )
    return [
        StraightLine(
            x + half * start[0], y + half * start[1], x + half * end[0], y + half * end[1], pen
        )
        for x, y in places
        if frame.left <= x <= frame.right and frame.top <= y <= frame.bottom
        for start, end in OUTLIER
    ]


def _stem(trace: Trace, frame: Box, frequency: FrequencyScale, axis: ValueAxis) -> list[Shape]:
    """A thin line from the curve at its best match down to the frequency axis.

    Where the best match cannot be seen in the curve, a tick on the axis.
    """
    figures = trace.row.figures
    if (
        figures.best_match_hz is None
        or figures.best_match_swr is None
        or math.isinf(figures.best_match_swr)
        or figures.best_match_at_end
    ):
        return []
    at_hz = MATCH_HZ if trace.quantity.is_scaled else figures.best_match_hz
    if not frequency.holds(at_hz):
        return []
    x, y = frequency.x(at_hz), axis.y_of_position(trace.position_at(at_hz))
    if not math.isfinite(y):
        return []
    top = min(y, frame.bottom) if trace.quantity.limit else frame.bottom - _TICK_MM
    return [StraightLine(x, top, x, frame.bottom, Pen(trace.style.colour, _STEM_MM))]


def _marks(
    trace: Trace, index: int, count: int, frame: Box, frequency: FrequencyScale, axis: ValueAxis
) -> list[Shape]:
    """Markers at a spacing, those of each sweep shifted against the others.

    If there are few readings, each is marked: nothing was measured between them.
    """
    if trace.frequency_hz.size == 0:
        return []
    own_hz = trace.analysis.frequency_hz
    first, last = frequency.xs(trace.frequency_hz[[0, -1]])
    if own_hz.size < FEW_POINTS:
        outliers_hz = trace.outliers.frequency_hz
        is_joined = ~(own_hz[:, np.newaxis] == outliers_hz).any(axis=1)
        places = frequency.xs(own_hz[is_joined]).tolist()
    else:
        pieces = max(2, round(frame.width / _MARK_SPACING_MM))
        spacing = frame.width / pieces
        places = [frame.left + spacing * (i + (index + 0.5) / count) for i in range(pieces)]
    found = [
        (x, y)
        for x in places
        if first <= x <= last
        and frame.top - _SLACK_MM
        <= (y := axis.y_of_position(trace.position_at(frequency.frequency_hz(x))))
        <= frame.bottom
    ]
    if not found:
        found = _lowest_point(trace, frame, frequency, axis)
    style = trace.style
    return [
        Mark(style.marker, x, y, mark_size_mm(count), style.colour, style.is_hollow)
        for x, y in found
    ]


def _lowest_point(
    trace: Trace, frame: Box, frequency: FrequencyScale, axis: ValueAxis
) -> list[tuple[float, float]]:
    """Where the curve is lowest inside the frame, for a curve that no marker falls on."""
    y = axis.ys(trace.quantity.positions(trace.sample))
    inside = np.flatnonzero((y >= frame.top) & (y <= frame.bottom))
    if not inside.size:
        return []
    lowest = inside[np.argmax(y[inside])]
    return [(frequency.x(float(trace.frequency_hz[lowest])), float(y[lowest]))]


def _beyond_edge(trace: Trace, frame: Box, frequency: FrequencyScale) -> list[Shape]:
    """Arrow heads at the top edge instead of values beyond it, merged where they would touch."""
    places: list[float] = []
    for x in frequency.xs(trace.edge_hz).tolist():
        if not places or x - places[-1] >= _NO_VALUE_MARK_MM:
            places.append(x)
    half, tip = _NO_VALUE_MARK_MM / 2 - 0.2, frame.top + 0.35
    pen = Pen(trace.style.colour, 0.3)
    return [
        Line(np.array([[x - half, tip + half], [x, tip], [x + half, tip + half]]), pen)
        for x in places
    ]
