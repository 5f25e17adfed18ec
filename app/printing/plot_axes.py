"""The plot over frequency without its curves: frame, grid, numbers, band and limit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.printing.shapes import Box, Fill, Pen, StraightLine
from fairlead.app.printing.type_setting import (
    LABEL_PT,
    TICK_PT,
    cap_mm,
    line_height_mm,
    set_text,
    set_upright,
)
from fairlead.core.table_lines import plain_mhz

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Shape, Text
    from fairlead.app.printing.ticks import FrequencyScale, Tick
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.bands import Band

_AXIS_MM, _GRID_MM, _EDGE_MM, _LIMIT_MM = 0.2, 0.1, 0.25, 0.25
_TICK_MM, _SMALL_TICK_MM = 1.1, 0.6


def plot_frame(
    area: Box, numbers: Sequence[str], limit: str, measure: Measure, *, has_band: bool
) -> Box:
    """The area of the plot itself, leaving room for its numbers and labels.

    Parameters
    ----------
    numbers : sequence of str
        Numbers that may appear beside the axis.
    limit : str
        Label of the limit line; empty if there is none.
    """
    numbers_mm = max(measure.width_mm(text, TICK_PT) for text in numbers)
    left = area.left + line_height_mm(LABEL_PT) + numbers_mm + _TICK_MM + 1.0
    limit_mm = max(measure.width_mm(text, TICK_PT) for text in ("limit", limit)) if limit else 0.0
    bottom = area.bottom - line_height_mm(LABEL_PT) - line_height_mm(TICK_PT) - _TICK_MM
    top = area.top + (line_height_mm(TICK_PT) if has_band else cap_mm(TICK_PT) / 2)
    return Box(left, top, area.right - limit_mm - 1.0, bottom)


def band_shapes(band: Band, frame: Box, frequency: FrequencyScale, ink: Ink) -> list[Shape]:
    """The band shaded, its edges as lines that extend a little beyond the frame."""
    low, high = frequency.x(band.low_hz), frequency.x(band.high_hz)
    pen = Pen(ink.band, _EDGE_MM)
    return [
        Fill(Box(low, frame.top, high, frame.bottom), ink.band_fill),
        StraightLine(low, frame.top - 0.8, low, frame.bottom, pen),
        StraightLine(high, frame.top - 0.8, high, frame.bottom, pen),
    ]


def band_label(
    band: Band, frame: Box, frequency: FrequencyScale, ink: Ink, measure: Measure
) -> tuple[Text, ...]:
    """The edges' frequencies above the frame, with the band's name between them if it fits."""
    y = frame.top - 1.3
    low, high = (plain_mhz(edge) for edge in (band.low_hz, band.high_hz))
    low_x, high_x = frequency.x(band.low_hz), frequency.x(band.high_hz)
    half_low = measure.width_mm(low, TICK_PT) / 2
    half_high = measure.width_mm(high, TICK_PT) / 2
    # Centred over their lines if that leaves a gap, else moved outwards.
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


def limit_label(text: str, y: float, frame: Box, ink: Ink, measure: Measure) -> tuple[Text, ...]:
    """The word "limit" and its value, right of the frame, clear of the curves."""
    x = frame.right + 1.0
    return (
        set_text(measure, "limit", (x, y - 0.5), TICK_PT, colour=ink.limit),
        set_text(measure, text, (x, y + 0.5 + cap_mm(TICK_PT)), TICK_PT, colour=ink.limit),
    )


def grid(frame: Box, x_ticks: Sequence[Tick], y_ticks: Sequence[Tick], ink: Ink) -> list[Shape]:
    """Thin grid lines at the numbers."""
    pen = Pen(ink.grid, _GRID_MM)
    upright: list[Shape] = [
        StraightLine(tick.at_mm, frame.top, tick.at_mm, frame.bottom, pen) for tick in x_ticks
    ]
    return upright + [
        StraightLine(frame.left, tick.at_mm, frame.right, tick.at_mm, pen) for tick in y_ticks
    ]


def axes(
    frame: Box,
    x_ticks: Sequence[Tick],
    y_ticks: Sequence[Tick],
    small: Sequence[float],
    titles: tuple[str, str],
    ink: Ink,
    measure: Measure,
) -> list[Shape]:
    """Ticks, numbers and names of both axes; ``titles`` stand below and beside the frame."""
    pen = Pen(ink.axis, _AXIS_MM)
    bottom, left = frame.bottom, frame.left
    shapes: list[Shape] = [
        StraightLine(x, bottom, x, bottom + _SMALL_TICK_MM, Pen(ink.axis, 0.75 * _AXIS_MM))
        for x in small
    ]
    base = bottom + _TICK_MM + 0.5 + cap_mm(TICK_PT)
    for tick in x_ticks:
        shapes.append(StraightLine(tick.at_mm, bottom, tick.at_mm, bottom + _TICK_MM, pen))
        shapes.append(
            set_text(
                measure, tick.text, (tick.at_mm, base), TICK_PT, colour=ink.text, align="centre"
            )
        )
    for tick in y_ticks:
        shapes.append(StraightLine(left - _TICK_MM, tick.at_mm, left, tick.at_mm, pen))
        at = (left - _TICK_MM - 0.6, tick.at_mm + cap_mm(TICK_PT) / 2)
        shapes.append(set_text(measure, tick.text, at, TICK_PT, colour=ink.text, align="right"))
    middle = ((frame.left + frame.right) / 2, base + line_height_mm(LABEL_PT))
    shapes.append(set_text(measure, titles[0], middle, LABEL_PT, colour=ink.text, align="centre"))
    numbers_mm = max((measure.width_mm(tick.text, TICK_PT) for tick in y_ticks), default=0.0)
    side = (left - _TICK_MM - 0.6 - numbers_mm - 1.2, (frame.top + frame.bottom) / 2)
    shapes.append(set_upright(measure, titles[1], side, LABEL_PT, colour=ink.text))
    return shapes


def frame_lines(frame: Box, ink: Ink) -> list[Shape]:
    """The two axes heavy, the other two sides thin."""
    axis, thin = Pen(ink.axis, _AXIS_MM), Pen(ink.grid, _AXIS_MM)
    return [
        StraightLine(frame.left, frame.top, frame.right, frame.top, thin),
        StraightLine(frame.right, frame.top, frame.right, frame.bottom, thin),
        StraightLine(frame.left, frame.top, frame.left, frame.bottom, axis),
        StraightLine(frame.left - _AXIS_MM / 2, frame.bottom, frame.right, frame.bottom, axis),
    ]


def limit_line(y: float, frame: Box, ink: Ink) -> StraightLine:
    """The limit across the frame."""
    return StraightLine(frame.left, y, frame.right, y, Pen(ink.limit, _LIMIT_MM))
