"""Layout of the SWR plot: frame, ticks, band, limit, curves, markers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.dashes import dashed
from fairlead.app.printing.line_sizes import (
    curve_width_mm,
    mark_size_mm,
    tolerance_mm,
    trace_width_mm,
)
from fairlead.app.printing.polylines import cut, simplify, thin_columns
from fairlead.app.printing.shapes import Clipped, Line, Mark, Pen, Segment
from fairlead.app.printing.swr_axes import (
    axes,
    band_label,
    band_shapes,
    frame_lines,
    grid,
    limit_label,
    limit_line,
    plot_frame,
)
from fairlead.app.printing.ticks import FrequencyScale, frequency_ticks, swr_scale, swr_ticks
from fairlead.app.printing.type_setting import TICK_PT, line_height_mm
from fairlead.app.printing.view_range import highest_swr
from fairlead.core.arrays import runs
from fairlead.core.reflection import UNITY_TOLERANCE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Box, Shape, Text
    from fairlead.app.printing.ticks import SwrScale, Tick
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.traces import Trace
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest

_STEM_MM = 0.15
# As in the window: a sweep with fewer points shows each of them.
_FEW_POINTS = 30
_MARK_SPACING_MM = 30.0
_NO_SWR_MARK_MM = 1.5
_MOST_STEMS = 8
_SLACK_MM = 0.01


@dataclass(frozen=True, slots=True)
class SwrPart:
    """The SWR plot, laid out.

    Attributes
    ----------
    frame : Box
    frequency, swr : scales
    x_ticks, y_ticks : tuple of Tick
    band_label, limit_label : tuple of Text
        Outside the frame.
    shapes : tuple of Shape
        Everything, in the order of painting.
    """

    frame: Box
    frequency: FrequencyScale
    swr: SwrScale
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    band_label: tuple[Text, ...]
    limit_label: tuple[Text, ...]
    shapes: tuple[Shape, ...]


def lay_out_swr(
    area: Box,
    bench: Bench,
    band: Band | None,
    view_hz: tuple[float, float],
    traces: Sequence[Trace],
    request: PictureRequest,
    ink: Ink,
    measure: Measure,
) -> SwrPart:
    """The SWR plot inside an area; ``band`` is None where none is shown."""
    frame = plot_frame(area, bench, measure, has_band=band is not None)
    frequency = FrequencyScale(view_hz[0], view_hz[1], frame.left, frame.right)
    between = view_hz if band is None else (band.low_hz, band.high_hz)
    largest = [trace.largest_between(*between) for trace in traces]
    scale = swr_scale(
        highest_swr(bench.limit_swr, [value for value in largest if value is not None]), frame
    )
    x_ticks, small = frequency_ticks(frequency, lambda text: measure.width_mm(text, TICK_PT))
    y_ticks = swr_ticks(scale, 1.15 * line_height_mm(TICK_PT))
    limit_texts = limit_label(bench, frame, scale, ink, measure)
    band_texts = () if band is None else band_label(band, frame, frequency, ink, measure)
    shapes: list[Shape] = []
    if band is not None:
        shapes += band_shapes(band, frame, frequency, ink)
    shapes += grid(frame, x_ticks, y_ticks, ink)
    shapes += axes(frame, x_ticks, y_ticks, small, ink, measure)
    shapes.append(limit_line(bench, frame, scale, ink))
    curves: list[Shape] = []
    if request.mark_best_match and len(traces) <= _MOST_STEMS:
        for trace in traces:
            curves += _stem(trace, frame, frequency, scale)
    width_mm = curve_width_mm(len(traces))
    for trace in traces:
        curves += _curve(trace, frame, frequency, scale, width_mm)
    shapes.append(Clipped(frame, tuple(curves)))
    for index, trace in enumerate(traces):
        shapes += _marks(trace, index, len(traces), frame, frequency, scale)
        shapes += _above_one(trace, frame, frequency)
    shapes += frame_lines(frame, ink)
    shapes += [*limit_texts, *band_texts]
    return SwrPart(
        frame,
        frequency,
        scale,
        tuple(x_ticks),
        tuple(y_ticks),
        band_texts,
        limit_texts,
        tuple(shapes),
    )


def _curve(
    trace: Trace, frame: Box, frequency: FrequencyScale, scale: SwrScale, width_mm: float
) -> list[Shape]:
    """The curve without its points of |G| > 1, which have no SWR."""
    width_mm = trace_width_mm(width_mm, is_emphasised=trace.is_emphasised)
    pen = Pen(trace.style.colour, width_mm, trace.style.dash_mm)
    points = np.column_stack((frequency.xs(trace.frequency_hz), scale.ys(trace.magnitude)))
    shapes: list[Shape] = []
    for start, stop in runs(trace.magnitude <= 1 + UNITY_TOLERANCE):
        thinned = simplify(thin_columns(points[start:stop], width_mm / 4), tolerance_mm(width_mm))
        shapes += [line for part in cut(thinned, frame) for line in dashed(part, pen)]
    return shapes


def _stem(trace: Trace, frame: Box, frequency: FrequencyScale, scale: SwrScale) -> list[Shape]:
    """A thin line from the best match down to the frequency axis."""
    figures = trace.row.figures
    if (
        figures.best_match_hz is None
        or figures.best_match_swr is None
        or math.isinf(figures.best_match_swr)
        or figures.best_match_at_end
        or not frequency.holds(figures.best_match_hz)
    ):
        return []
    x, y = frequency.x(figures.best_match_hz), scale.y(figures.best_match_swr)
    return [Segment(x, y, x, frame.bottom, Pen(trace.style.colour, _STEM_MM))]


def _marks(
    trace: Trace, index: int, count: int, frame: Box, frequency: FrequencyScale, scale: SwrScale
) -> list[Shape]:
    """Markers at a spacing, those of each sweep shifted against the others.

    Where there are few readings each of them is marked: between them nothing was measured.
    """
    if trace.frequency_hz.size == 0:
        return []
    own_hz = trace.analysis.frequency_hz
    first, last = frequency.xs(trace.frequency_hz[[0, -1]])
    if own_hz.size < _FEW_POINTS:
        places = frequency.xs(own_hz).tolist()
    else:
        pieces = max(2, round(frame.width / _MARK_SPACING_MM))
        spacing = frame.width / pieces
        places = [frame.left + spacing * (i + (index + 0.5) / count) for i in range(pieces)]
    found = [
        (x, y)
        for x in places
        if first <= x <= last
        and frame.top - _SLACK_MM
        <= (y := _height(trace, frequency.frequency_hz(x), scale))
        <= frame.bottom
    ]
    if not found:
        found = _lowest_point(trace, frame, frequency, scale)
    style = trace.style
    return [
        Mark(style.marker, x, y, mark_size_mm(count), style.colour, style.is_hollow)
        for x, y in found
    ]


def _height(trace: Trace, frequency_hz: float, scale: SwrScale) -> float:
    magnitude = trace.magnitude_at(frequency_hz)
    return scale.y_of_magnitude(magnitude) if magnitude <= 1 + UNITY_TOLERANCE else -np.inf


def _lowest_point(
    trace: Trace, frame: Box, frequency: FrequencyScale, scale: SwrScale
) -> list[tuple[float, float]]:
    """Where the curve is lowest, for one that the marker places miss; nowhere if it is above."""
    index = int(np.argmin(trace.magnitude))
    x = frequency.x(float(trace.frequency_hz[index]))
    y = scale.y_of_magnitude(float(trace.magnitude[index]))
    return [(x, y)] if frame.top <= y <= frame.bottom else []


def _above_one(trace: Trace, frame: Box, frequency: FrequencyScale) -> list[Shape]:
    """Arrow heads at the top edge where |G| > 1, one for those that would touch."""
    places: list[float] = []
    for x in frequency.xs(trace.above_one_hz).tolist():
        if not places or x - places[-1] >= _NO_SWR_MARK_MM:
            places.append(x)
    half, tip = _NO_SWR_MARK_MM / 2 - 0.2, frame.top + 0.35
    pen = Pen(trace.style.colour, 0.3)
    return [
        Line(np.array([[x - half, tip + half], [x, tip], [x + half, tip + half]]), pen)
        for x in places
    ]
