"""Layout of the SWR plot: frame, ticks, band, limit, curves, markers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from app.printing.dashes import dashed
from app.printing.polylines import cut, runs, simplify, thin_columns
from app.printing.shapes import Box, Clipped, Fill, Line, Mark, Pen, Segment
from app.printing.ticks import FrequencyScale, frequency_ticks, swr_scale, swr_ticks
from app.printing.type_setting import (
    LABEL_PT,
    TICK_PT,
    cap_mm,
    line_height_mm,
    set_text,
    set_upright,
)
from app.printing.view_range import highest_swr
from core.reflection import UNITY_TOLERANCE
from core.units import format_mhz

if TYPE_CHECKING:
    from collections.abc import Sequence

    from app.printing.shapes import Shape, Text
    from app.printing.ticks import SwrScale, Tick
    from app.printing.trace_style import Ink
    from app.printing.traces import Trace
    from app.printing.type_setting import Measure
    from core.bands import Band
    from core.bench import Bench
    from core.picture_request import PictureRequest

_AXIS_MM, _GRID_MM, _EDGE_MM, _LIMIT_MM, _STEM_MM = 0.2, 0.1, 0.25, 0.25, 0.15
_TICK_MM, _SMALL_TICK_MM = 1.1, 0.6
_MARK_MM = 1.7
_MARK_SPACING_MM = 30.0
_REFERENCE_WIDER = 1.35
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
    frame = _frame(area, bench, measure, has_band=band is not None)
    frequency = FrequencyScale(view_hz[0], view_hz[1], frame.left, frame.right)
    between = view_hz if band is None else (band.low_hz, band.high_hz)
    largest = [trace.largest_between(*between) for trace in traces]
    scale = swr_scale(
        highest_swr(bench.limit_swr, [value for value in largest if value is not None]), frame
    )
    x_ticks, small = frequency_ticks(frequency, lambda text: measure.width_mm(text, TICK_PT))
    y_ticks = swr_ticks(scale, 1.15 * line_height_mm(TICK_PT))
    limit_label = _limit_label(bench, frame, scale, ink, measure)
    band_label = () if band is None else _band_label(band, frame, frequency, ink, measure)
    shapes: list[Shape] = []
    if band is not None:
        shapes += _band_shapes(band, frame, frequency, ink)
    shapes += _grid(frame, x_ticks, y_ticks, ink)
    shapes += _axes(frame, x_ticks, y_ticks, small, ink, measure)
    limit_y = scale.y(bench.limit_swr)
    shapes.append(Segment(frame.left, limit_y, frame.right, limit_y, Pen(ink.limit, _LIMIT_MM)))
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
    shapes += _frame_lines(frame, ink)
    shapes += [*limit_label, *band_label]
    return SwrPart(
        frame,
        frequency,
        scale,
        tuple(x_ticks),
        tuple(y_ticks),
        band_label,
        limit_label,
        tuple(shapes),
    )


def curve_width_mm(count: int) -> float:
    """Width of a curve's line: thinner where there are many."""
    return 0.4 if count <= 5 else 0.34 if count <= 10 else 0.28


def tolerance_mm(width_mm: float) -> float:
    """How far a simplified curve may be off: a fraction of its line's width."""
    return width_mm / 10


def trace_width_mm(width_mm: float, *, is_emphasised: bool) -> float:
    """The reference stands out a little."""
    return width_mm * (_REFERENCE_WIDER if is_emphasised else 1.0)


def mark_size_mm(count: int) -> float:
    """Size of the markers: smaller where there are many."""
    return _MARK_MM if count <= 10 else 0.85 * _MARK_MM


def limit_text(bench: Bench) -> str:
    """The limit as a label."""
    return f"{bench.limit_swr:.4g}"


def _frame(area: Box, bench: Bench, measure: Measure, *, has_band: bool) -> Box:
    numbers_mm = measure.width_mm("1.5", TICK_PT)
    left = area.left + line_height_mm(LABEL_PT) + numbers_mm + _TICK_MM + 1.0
    limit_mm = max(measure.width_mm("limit", TICK_PT), measure.width_mm(limit_text(bench), TICK_PT))
    bottom = area.bottom - line_height_mm(LABEL_PT) - line_height_mm(TICK_PT) - _TICK_MM
    top = area.top + (line_height_mm(TICK_PT) if has_band else cap_mm(TICK_PT) / 2)
    return Box(left, top, area.right - limit_mm - 1.0, bottom)


def _band_shapes(band: Band, frame: Box, frequency: FrequencyScale, ink: Ink) -> list[Shape]:
    low, high = frequency.x(band.low_hz), frequency.x(band.high_hz)
    pen = Pen(ink.band, _EDGE_MM)
    return [
        Fill(Box(low, frame.top, high, frame.bottom), ink.band_fill),
        Segment(low, frame.top - 0.8, low, frame.bottom, pen),
        Segment(high, frame.top - 0.8, high, frame.bottom, pen),
    ]


def _band_label(
    band: Band, frame: Box, frequency: FrequencyScale, ink: Ink, measure: Measure
) -> tuple[Text, ...]:
    """The edges' frequencies over the frame, and the band's name between them if it fits."""
    y = frame.top - 1.3
    low, high = (plain_mhz(edge) for edge in (band.low_hz, band.high_hz))
    low_x, high_x = frequency.x(band.low_hz), frequency.x(band.high_hz)
    half_low = measure.width_mm(low, TICK_PT) / 2
    half_high = measure.width_mm(high, TICK_PT) / 2
    # Centred over their lines if that leaves white between, else turned outwards.
    fits = high_x - low_x > half_low + half_high + 1.5
    edges = (
        set_text(
            measure,
            low,
            (low_x if fits else low_x + 0.3, y),
            TICK_PT,
            colour=ink.band,
            align="centre" if fits else "right",
        ),
        set_text(
            measure,
            high,
            (high_x if fits else high_x - 0.3, y),
            TICK_PT,
            colour=ink.band,
            align="centre" if fits else "left",
        ),
    )
    name = band.name or ""
    room_mm = high_x - low_x - half_low - half_high - 3.0
    if not fits or not name or measure.width_mm(name, TICK_PT) > room_mm:
        return edges
    middle = ((low_x + half_low) + (high_x - half_high)) / 2
    return (
        *edges,
        set_text(measure, name, (middle, y), TICK_PT, colour=ink.band, align="centre"),
    )


def plain_mhz(frequency_hz: float) -> str:
    """A frequency in MHz with no more decimals than it needs: "50", "7.1", "5351.5" kHz."""
    text = format_mhz(frequency_hz, 6)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _limit_label(
    bench: Bench, frame: Box, scale: SwrScale, ink: Ink, measure: Measure
) -> tuple[Text, ...]:
    y = scale.y(bench.limit_swr)
    x = frame.right + 1.0
    return (
        set_text(measure, "limit", (x, y - 0.5), TICK_PT, colour=ink.limit),
        set_text(
            measure, limit_text(bench), (x, y + 0.5 + cap_mm(TICK_PT)), TICK_PT, colour=ink.limit
        ),
    )


def _grid(frame: Box, x_ticks: Sequence[Tick], y_ticks: Sequence[Tick], ink: Ink) -> list[Shape]:
    pen = Pen(ink.grid, _GRID_MM)
    upright: list[Shape] = [
        Segment(tick.at_mm, frame.top, tick.at_mm, frame.bottom, pen) for tick in x_ticks
    ]
    return upright + [
        Segment(frame.left, tick.at_mm, frame.right, tick.at_mm, pen) for tick in y_ticks
    ]


def _axes(
    frame: Box,
    x_ticks: Sequence[Tick],
    y_ticks: Sequence[Tick],
    small: Sequence[float],
    ink: Ink,
    measure: Measure,
) -> list[Shape]:
    pen = Pen(ink.axis, _AXIS_MM)
    bottom, left = frame.bottom, frame.left
    shapes: list[Shape] = [
        Segment(x, bottom, x, bottom + _SMALL_TICK_MM, Pen(ink.axis, 0.75 * _AXIS_MM))
        for x in small
    ]
    base = bottom + _TICK_MM + 0.5 + cap_mm(TICK_PT)
    for tick in x_ticks:
        shapes.append(Segment(tick.at_mm, bottom, tick.at_mm, bottom + _TICK_MM, pen))
        shapes.append(
            set_text(
                measure, tick.text, (tick.at_mm, base), TICK_PT, colour=ink.text, align="centre"
            )
        )
    for tick in y_ticks:
        shapes.append(Segment(left - _TICK_MM, tick.at_mm, left, tick.at_mm, pen))
        at = (left - _TICK_MM - 0.6, tick.at_mm + cap_mm(TICK_PT) / 2)
        shapes.append(set_text(measure, tick.text, at, TICK_PT, colour=ink.text, align="right"))
    middle = ((frame.left + frame.right) / 2, base + line_height_mm(LABEL_PT))
    shapes.append(
        set_text(measure, "Frequency (MHz)", middle, LABEL_PT, colour=ink.text, align="centre")
    )
    numbers_mm = max((measure.width_mm(tick.text, TICK_PT) for tick in y_ticks), default=0.0)
    side = (left - _TICK_MM - 0.6 - numbers_mm - 1.2, (frame.top + frame.bottom) / 2)
    shapes.append(set_upright(measure, "SWR", side, LABEL_PT, colour=ink.text))
    return shapes


def _frame_lines(frame: Box, ink: Ink) -> list[Shape]:
    """The two axes strong, the other two sides thin."""
    axis, thin = Pen(ink.axis, _AXIS_MM), Pen(ink.grid, _AXIS_MM)
    return [
        Segment(frame.left, frame.top, frame.right, frame.top, thin),
        Segment(frame.right, frame.top, frame.right, frame.bottom, thin),
        Segment(frame.left, frame.top, frame.left, frame.bottom, axis),
        Segment(frame.left - _AXIS_MM / 2, frame.bottom, frame.right, frame.bottom, axis),
    ]


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
    """Markers at a spacing, those of each sweep shifted against the others."""
    if trace.frequency_hz.size == 0:
        return []
    pieces = max(2, round(frame.width / _MARK_SPACING_MM))
    spacing = frame.width / pieces
    first, last = frequency.xs(trace.frequency_hz[[0, -1]])
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
