"""The picture of a trend: one figure over its dates, and below it what was noted beside them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.drawing.date_axis import date_span, date_ticks
from fairlead.app.look.palette import MARKERS
from fairlead.app.printing.plot_axes import axes, frame_lines, grid
from fairlead.app.printing.shapes import (
    Area,
    Box,
    CircleArc,
    Clipped,
    Line,
    Mark,
    Pen,
    StraightLine,
)
from fairlead.app.printing.ticks import Tick, ValueAxis
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
from fairlead.core.over_time.words import (
    condition_notes,
    left_out_notes,
    mark_rule,
    trend_sentences,
)
from fairlead.core.views.scale import Linear

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Shape, Text
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.trends import Dated, OverTime, Trend

_MARGIN_MM, _GAP_MM, _DATE_GAP_MM = 2.0, 2.5, 3.0
_RIGHT_MM = 6.0
_MARK_MM, _RING_MM, _CAP_MM = 2.0, 2.3, 0.8
_BAR_MM, _LINE_MM, _RING_LINE_MM = 0.25, 0.4, 0.3
_LINE_POINTS = 60
_BAND_OPACITY = 0.16
_BESIDE_SHARE = 0.3
_MOST_CAPTION_SHARE = 0.35
_ROUND = Linear((0.0, 0.0), (-1e12, 1e12))


@dataclass(frozen=True, slots=True)
class TrendPicture:
    """A picture, laid out and ready to be painted; see `fairlead.app.printing.shapes.Sheet`."""

    width_mm: float
    height_mm: float
    title: str
    description: str
    shapes: tuple[Shape, ...]


def lay_out_trend(
    bench: Bench,
    spec: FigureSpec,
    found: OverTime,
    size_mm: tuple[float, float],
    ink: Ink,
    curve_colour: str,
    measure: Measure,
    *,
    title: str | None = None,
    caption: str = "",
    has_words: bool = True,
) -> TrendPicture:
    """One figure over the dates of its sweeps, with its trend.

    Parameters
    ----------
    bench : Bench
    spec : FigureSpec
    found : OverTime
    size_mm : tuple of float
    ink : Ink
    curve_colour : str
        Of the values; the line has the colour of the band.
    measure : Measure
    title : str, optional
        None: made from the figure; empty: none.
    caption : str
        A line of the user's own.
    has_words : bool
        Whether what is said of it stands below.
    """
    page = Box(0, 0, *size_mm).grown(-_MARGIN_MM)
    title = f"{spec.title(bench)} over time" if title is None else clean(title)
    trend = found.trends.get(spec.key)
    said = _words(bench, spec, found, trend)
    shapes: list[Shape] = []
    top = page.top
    if title:
        base = page.top + cap_mm(TITLE_PT)
        words = elide(measure, title, page.width, TITLE_PT, is_bold=True)
        shapes.append(
            set_text(measure, words, (page.left, base), TITLE_PT, colour=ink.text, is_bold=True)
        )
        top = base + 2.0
    lines = _caption_lines(said, caption, page, measure) if has_words else []
    foot = page.bottom - line_height_mm(SMALLEST_PT) * len(lines)
    if trend is not None and trend.points:
        plots = _Plots(bench, spec, found, trend, ink, curve_colour, measure)
        shapes += plots.shapes(Box(page.left, top, page.right, foot - 1.0))
    shapes += _caption(lines, page, foot, ink, measure)
    return TrendPicture(*size_mm, title, " ".join(said), tuple(shapes))


def _words(bench: Bench, spec: FigureSpec, found: OverTime, trend: Trend | None) -> list[str]:
    said = trend_sentences(bench, spec, found)
    if trend is not None and trend.line is not None:
        half = trend.slope is not None and trend.slope.half is not None
        if half:
            said.append("Shaded: 95 % band of the line.")
        if any(one.interval is not None for one in trend.points):
            said.append("Bars: what is known of each sweep by itself.")
        if trend.marked:
            said.append(f"Ringed: {mark_rule(len(trend.points))}.")
    return [*said, *left_out_notes(found), *condition_notes(found)]


def _caption_lines(said: Sequence[str], caption: str, page: Box, measure: Measure) -> list[str]:
    own = wrap(measure, clean(caption), page.width, SMALLEST_PT)
    most = max(1, int(_MOST_CAPTION_SHARE * page.height / line_height_mm(SMALLEST_PT)))
    return [*own, *wrap(measure, clean(" ".join(said)), page.width, SMALLEST_PT)][:most]


def _caption(
    lines: Sequence[str], page: Box, top: float, ink: Ink, measure: Measure
) -> list[Shape]:
    step = line_height_mm(SMALLEST_PT)
    return [
        set_text(measure, line, (page.left, top + (i + 0.8) * step), SMALLEST_PT, colour=ink.text)
        for i, line in enumerate(lines)
    ]


@dataclass(frozen=True, slots=True)
class _Plots:
    """The plot of the figure and, where something is noted beside, a lower one under it."""

    bench: Bench
    spec: FigureSpec
    found: OverTime
    trend: Trend
    ink: Ink
    colour: str
    measure: Measure

    @property
    def scale(self) -> float:
        """Of the figure's number."""
        return 1.0 if self.spec.number is None else self.spec.number.scale

    @property
    def conditions(self) -> list[str]:
        """What differs, in the order of the dates."""
        return list(dict.fromkeys(one.row.entry.condition for one in self.trend.points))

    def shapes(self, area: Box) -> list[Shape]:
        """Everything in an area."""
        beside = [one for one in self.trend.points if one.beside is not None]
        legend = self._legend(area)
        top = area.top + (line_height_mm(TICK_PT) if legend else 0.0)
        upper = Box(area.left, top, area.right, area.bottom)
        lower = None
        if beside:
            middle = area.bottom - _BESIDE_SHARE * (area.bottom - top)
            upper, lower = (
                Box(area.left, top, area.right, middle - _GAP_MM),
                Box(area.left, middle + line_height_mm(TICK_PT) / 2, area.right, area.bottom),
            )
        days = [one.day for one in self.trend.points]
        low, high = date_span(days[0], days[-1])
        axis = _values_axis(self._extent(), upper)
        below = None if lower is None else _values_axis(_around(beside), lower)
        left = area.left + max(self._room(one) for one in (axis, below) if one is not None)
        x = _DateScale(low, high, left, area.right - _RIGHT_MM)
        found = legend + self._upper(upper, axis, x, is_lowest=lower is None)
        if lower is not None and below is not None:
            found += self._lower(lower, below, x, beside)
        return found

    def _room(self, axis: ValueAxis) -> float:
        widths = [
            self.measure.width_mm(tick.text, TICK_PT) for tick in axis.ticks(_number_gap_mm(axis))
        ]
        return max(widths, default=0.0) + line_height_mm(LABEL_PT) + 2.5

    def _extent(self) -> list[float]:
        """Values that have to be seen: points, bars as far as they are finite, and the line."""
        points = self.trend.points
        found = [one.value for one in points]
        spread = max(found) - min(found)
        for one in points:
            if one.interval is not None:
                # A bar without an end does not hide the points.
                ends = (one.interval.low, one.interval.high)
                reach = max(spread, 1e-9 * abs(one.value)) * 3
                found += [end for end in ends if abs(end - one.value) <= reach]
        if self.trend.line is not None:
            found += self.trend.line.at(self.trend.days)[0].tolist()
        return [value / self.scale for value in found]

    def _upper(self, area: Box, axis: ValueAxis, x: _DateScale, *, is_lowest: bool) -> list[Shape]:
        frame = _frame(area, x, is_lowest=is_lowest)
        axis = _within(axis, frame)
        inside: list[Shape] = []
        line = self.trend.line
        if line is not None:
            days = np.linspace(x.low, x.high, _LINE_POINTS)
            values, half = line.at(days[:, None])
            xs = np.array([x.x(day) for day in days.tolist()])
            ys = axis.ys(values / self.scale)
            if half is not None:
                low, high = (axis.ys((values + sign * half) / self.scale) for sign in (-1, 1))
                edge = np.column_stack([np.r_[xs, xs[::-1]], np.r_[low, high[::-1]]])
                inside.append(Area(_bounded(edge, frame), self.ink.band, _BAND_OPACITY))
            line_points = _bounded(np.column_stack([xs, ys]), frame)
            inside.append(Line(line_points, Pen(self.ink.band, _LINE_MM)))
        inside += [shape for one in self.trend.points for shape in self._bar(one, axis, x, frame)]
        marks: list[Shape] = []
        for one in self.trend.points:
            at = x.x(one.day), axis.y(one.value / self.scale)
            marks.append(self._mark(one, at))
            if one.row.entry.key in self.trend.marked:
                ring = Pen(self.ink.limit, _RING_LINE_MM)
                marks.append(CircleArc(*at, _RING_MM, 0, 360, ring))
                marks.append(self._name(one, at, frame))
        title = self.spec.title(self.bench)
        around = self._around(frame, axis, x, title, is_lowest=is_lowest)
        return [*around, Clipped(frame, tuple(inside)), *marks]

    def _bar(self, one: Dated, axis: ValueAxis, x: _DateScale, frame: Box) -> list[Shape]:
        if one.interval is None:
            return []
        pen, at = Pen(self.ink.muted, _BAR_MM), x.x(one.day)
        ends = []
        for value in (one.interval.low, one.interval.high):
            y = axis.y(value / self.scale)
            ends.append(min(max(y, frame.top - 1), frame.bottom + 1))
        caps = [StraightLine(at - _CAP_MM, y, at + _CAP_MM, y, pen) for y in ends]
        return [StraightLine(at, ends[0], at, ends[1], pen), *caps]

    def _mark(self, one: Dated, at: tuple[float, float]) -> Mark:
        shape = MARKERS[self.conditions.index(one.row.entry.condition) % len(MARKERS)]
        return Mark(shape, *at, _MARK_MM, self.colour)

    def _name(self, one: Dated, at: tuple[float, float], frame: Box) -> Text:
        name = elide(self.measure, clean(one.row.entry.label), 40.0, TICK_PT)
        is_left = at[0] > (frame.left + frame.right) / 2
        place = (at[0] + (-1 if is_left else 1) * (_RING_MM + 0.6), at[1] + cap_mm(TICK_PT) / 2)
        return set_text(
            self.measure,
            name,
            place,
            TICK_PT,
            colour=self.ink.limit,
            align="right" if is_left else "left",
        )

    def _lower(
        self, area: Box, axis: ValueAxis, x: _DateScale, known: Sequence[Dated]
    ) -> list[Shape]:
        frame = _frame(area, x, is_lowest=True)
        axis = _within(axis, frame)
        places = [(x.x(one.day), axis.y(one.beside or 0.0)) for one in known]
        line = Line(np.array(places), Pen(self.ink.muted, _BAR_MM))
        marks = [Mark("circle", *place, 0.7 * _MARK_MM, self.ink.muted) for place in places]
        title = "" if self.found.beside is None else self.found.beside.title
        # Upright it would be longer than the plot is high.
        named = set_text(
            self.measure, title, (frame.left, frame.top - 0.8), TICK_PT, colour=self.ink.text
        )
        return [*self._around(frame, axis, x, "", is_lowest=True), named, line, *marks]

    def _around(
        self, frame: Box, axis: ValueAxis, x: _DateScale, title: str, *, is_lowest: bool
    ) -> list[Shape]:
        """Grid, frame, numbers and names; dates only under the lowest plot."""
        dates, words = date_ticks(
            x.low,
            x.high,
            x.right - x.left,
            lambda text: self.measure.width_mm(text, TICK_PT),
            _DATE_GAP_MM,
        )
        upright = [Tick(one.day, x.x(one.day), one.text) for one in dates]
        across = axis.ticks(_number_gap_mm(axis))
        titles = (words if is_lowest else "", elide(self.measure, title, frame.height, LABEL_PT))
        named = upright if is_lowest else []
        return [
            *grid(frame, upright, across, self.ink),
            *frame_lines(frame, self.ink),
            *axes(frame, named, across, [], titles, self.ink, self.measure),
        ]

    def _legend(self, area: Box) -> list[Shape]:
        """Which marker stands for which condition, where they differ."""
        if len(self.conditions) < 2:
            return []
        shapes: list[Shape] = []
        x, base = area.left + 2.0, area.top + cap_mm(TICK_PT)
        for i, condition in enumerate(self.conditions):
            words = elide(self.measure, clean(condition) or "not stated", 40.0, TICK_PT)
            text = set_text(self.measure, words, (x + 2.0, base), TICK_PT, colour=self.ink.text)
            if text.box.right > area.right:
                break
            at = (x, base - cap_mm(TICK_PT) / 2)
            shapes += [Mark(MARKERS[i % len(MARKERS)], *at, _MARK_MM, self.colour), text]
            x = text.box.right + 4.0
        return shapes


@dataclass(frozen=True, slots=True)
class _DateScale:
    """Days since 1970 to x in mm."""

    low: float
    high: float
    left: float
    right: float

    def x(self, day: float) -> float:
        return self.left + (day - self.low) / (self.high - self.low) * (self.right - self.left)


def _frame(area: Box, x: _DateScale, *, is_lowest: bool) -> Box:
    below = line_height_mm(LABEL_PT) + line_height_mm(TICK_PT) + 1.5 if is_lowest else 1.0
    return Box(x.left, area.top + cap_mm(TICK_PT) / 2, x.right, area.bottom - below)


def _around(known: Sequence[Dated]) -> list[float]:
    return [one.beside for one in known if one.beside is not None]


def _values_axis(values: Sequence[float], area: Box) -> ValueAxis:
    """An axis that holds values with a margin on either side."""
    low, high = min(values), max(values)
    margin = 0.08 * (high - low) or 0.01 * abs(high) or 1.0
    return ValueAxis(_ROUND, (low - margin, high + margin), area.top, area.bottom)


def _within(axis: ValueAxis, frame: Box) -> ValueAxis:
    return ValueAxis(axis.scale, axis.span, frame.top, frame.bottom)


def _bounded(points: np.ndarray, frame: Box) -> np.ndarray:
    """Points no further out than a page: pens and files cannot follow."""
    far = 10 * frame.height
    points[:, 1] = points[:, 1].clip(frame.top - far, frame.bottom + far)
    return points


def _number_gap_mm(axis: ValueAxis) -> float:
    """Fewer numbers where there is much room."""
    return max(3.0, (axis.bottom - axis.top) / 8)
