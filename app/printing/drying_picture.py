"""The picture of a drying curve: the best match against minutes, the exponential through it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.plot_axes import axes, frame_lines, grid
from fairlead.app.printing.shapes import Box, Line, Mark, Pen, StraightLine
from fairlead.app.printing.ticks import Tick, ValueAxis
from fairlead.app.printing.trend_picture import TrendPicture
from fairlead.app.printing.type_setting import (
    LABEL_PT,
    SMALLEST_PT,
    TICK_PT,
    TITLE_PT,
    cap_mm,
    clean,
    elide,
    line_height_mm,
    set_text,
    wrap,
)
from fairlead.core.views.scale import Linear

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Shape
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.comparison.repeats.drying import Drying

_MARGIN_MM, _RIGHT_MM, _GAP_MM = 2.0, 4.0, 8.0
_MARK_MM, _LINE_MM, _BAR_MM = 2.0, 0.4, 0.25
_LINE_POINTS = 120
_DASH_MM = (1.6, 1.0)
_ROUND = Linear((0.0, 0.0), (-1e12, 1e12))
_MHZ = 1e6


def lay_out_drying(
    found: Drying,
    size_mm: tuple[float, float],
    ink: Ink,
    colour: str,
    measure: Measure,
    *,
    title: str = "",
    said: Sequence[str] = (),
) -> TrendPicture:
    """The best match of the sweeps against minutes, the curve, and where it leads to.

    Parameters
    ----------
    found : Drying
    size_mm : tuple of float
    ink : Ink
    colour : str
        Of the sweeps; the curve has that of the band.
    measure : Measure
    title : str
        Empty: none.
    said : sequence of str
        What stands below.
    """
    page = Box(0, 0, *size_mm).grown(-_MARGIN_MM)
    shapes: list[Shape] = []
    top = page.top + cap_mm(TICK_PT)
    if title:
        words = elide(measure, clean(title), page.width, TITLE_PT, is_bold=True)
        at = (page.left, page.top + cap_mm(TITLE_PT))
        shapes.append(set_text(measure, words, at, TITLE_PT, colour=ink.text, is_bold=True))
        top = at[1] + 2.0 + cap_mm(TICK_PT) / 2
    lines = wrap(measure, clean(" ".join(said)), page.width, SMALLEST_PT)
    foot = page.bottom - line_height_mm(SMALLEST_PT) * len(lines)
    bottom = foot - line_height_mm(LABEL_PT) - line_height_mm(TICK_PT) - 2.5
    values = [value / _MHZ for value in (*found.values, found.start, found.end)]
    margin = 0.08 * (max(values) - min(values))
    y = ValueAxis(_ROUND, (min(values) - margin, max(values) + margin), top, bottom)
    across = y.ticks(max(3.0, (bottom - top) / 8))
    numbers_mm = max((measure.width_mm(tick.text, TICK_PT) for tick in across), default=0.0)
    left = page.left + numbers_mm + line_height_mm(LABEL_PT) + 2.5
    frame = Box(left, top, page.right - _RIGHT_MM, bottom)
    span = found.minutes[-1] - found.minutes[0]
    low, high = found.minutes[0] - 0.04 * span, found.minutes[-1] + 0.04 * span
    scale_mm = frame.width / (high - low)

    def x(minutes: float) -> float:
        return left + (minutes - low) * scale_mm

    upright = [
        Tick(one.position, x(one.position), one.text)
        for one in _ROUND.ticks((low, high), _GAP_MM / scale_mm)
    ]
    titles = ("Minutes", elide(measure, "Best match (MHz)", frame.height, LABEL_PT))
    shapes += [
        *grid(frame, upright, across, ink),
        *frame_lines(frame, ink),
        *axes(frame, upright, across, [], titles, ink, measure),
    ]
    end = y.y(found.end / _MHZ)
    shapes.append(StraightLine(left, end, frame.right, end, Pen(ink.muted, _BAR_MM, _DASH_MM)))
    minutes = np.linspace(found.minutes[0], found.minutes[-1], _LINE_POINTS)
    curve = np.column_stack([[x(one) for one in minutes.tolist()], y.ys(found.at(minutes) / _MHZ)])
    shapes.append(Line(curve, Pen(ink.band, _LINE_MM)))
    for at_minutes, value, half in zip(found.minutes, found.values, found.halves, strict=True):
        if half:
            ends = [y.y((value + sign * half) / _MHZ) for sign in (-1, 1)]
            pen = Pen(ink.muted, _BAR_MM)
            shapes.append(StraightLine(x(at_minutes), ends[0], x(at_minutes), ends[1], pen))
        shapes.append(Mark("circle", x(at_minutes), y.y(value / _MHZ), _MARK_MM, colour))
    step = line_height_mm(SMALLEST_PT)
    shapes += [
        set_text(measure, line, (page.left, foot + (i + 0.8) * step), SMALLEST_PT, colour=ink.text)
        for i, line in enumerate(lines)
    ]
    return TrendPicture(*size_mm, title, " ".join(said), tuple(shapes))
