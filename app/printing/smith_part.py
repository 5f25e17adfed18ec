"""Layout of the Smith chart: rim, grid with numbers, limit circle, curves strong in the band."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from app.printing.dashes import dashed
from app.printing.polylines import cut, runs, simplify
from app.printing.shapes import (
    DESCENT,
    MM_PER_PT,
    Box,
    CircleArc,
    Clipped,
    Mark,
    Pen,
    Segment,
)
from app.printing.swr_part import (
    curve_width_mm,
    limit_text,
    mark_size_mm,
    tolerance_mm,
    trace_width_mm,
)
from app.printing.type_setting import (
    SMALLEST_PT,
    TICK_PT,
    cap_mm,
    line_height_mm,
    set_text,
)
from core.smith import grid, labels, swr_circle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from app.printing.shapes import Shape, Text
    from app.printing.trace_style import Ink
    from app.printing.traces import Trace
    from app.printing.type_setting import Align, Measure
    from core.arrays import BoolArray, ComplexArray, FloatArray
    from core.bands import Band
    from core.bench import Bench
    from core.smith import Arc, Label

_RIM_MM, _GRID_MM, _LIMIT_MM = 0.25, 0.1, 0.25
_OUTSIDE_MM = 0.16
_LABEL_GAP_MM = 0.8
# |G| beyond 1 that is still drawn to scale; noise of a per cent does not shrink the chart.
_MOST_EXTENT = 1.3
_NO_EXTENT = 1.02
_HALO_MM = 0.3
_FAR_MM = 3.0
_LIMIT_ANGLES = tuple(math.radians(angle) for angle in (*range(225, 330, 15), *range(45, 150, 15)))


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
        What is drawn of the reflection plane.
    labels : tuple of Text
        Numbers on the chart and around it, and the limit.
    shapes : tuple of Shape
        Everything, in the order of painting.
    """

    x: float
    y: float
    radius_mm: float
    window: Box
    labels: tuple[Text, ...]
    shapes: tuple[Shape, ...]

    def place(self, gamma: complex) -> tuple[float, float]:
        """Place of a reflection coefficient in mm."""
        return self.x + self.radius_mm * gamma.real, self.y - self.radius_mm * gamma.imag


@dataclass(frozen=True, slots=True)
class _Chart:
    """Centre and radius in mm."""

    x: float
    y: float
    radius_mm: float

    def places(self, gamma: ComplexArray) -> FloatArray:
        """Places of many reflection coefficients, shape (n, 2)."""
        return np.column_stack(
            (self.x + self.radius_mm * gamma.real, self.y - self.radius_mm * gamma.imag)
        )

    def arc(self, arc: Arc, pen: Pen) -> CircleArc:
        """An arc of the reflection plane on paper."""
        return CircleArc(
            self.x + self.radius_mm * arc.center.real,
            self.y - self.radius_mm * arc.center.imag,
            self.radius_mm * arc.radius,
            arc.start_deg,
            arc.span_deg,
            pen,
        )


def chart_extent(traces: Sequence[Trace]) -> float:
    """How far from its centre the chart has to reach, as |G|: 1 to 1.3."""
    largest = max(
        (float(t.magnitude.max()) for t in traces if t.reflection is not None and t.magnitude.size),
        default=0.0,
    )
    return 1.0 if largest <= _NO_EXTENT else min(largest, _MOST_EXTENT)


def points_beyond(traces: Sequence[Trace]) -> int:
    """Measured points in view with |G| too large for the chart's extent."""
    extent = max(chart_extent(traces), _NO_EXTENT)
    return sum(
        int(np.count_nonzero(trace.analysis.power_at(trace.above_one_hz) > extent**2 * (1 + 1e-9)))
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
) -> SmithPart:
    """The Smith chart inside an area; ``band`` is None where none is shown."""
    with_phase = [trace for trace in traces if trace.reflection is not None]
    chart, window = _chart(area, with_phase, measure)
    curves = [
        chart.places(trace.reflection) for trace in with_phase if trace.reflection is not None
    ]
    points = np.concatenate(curves) if curves else np.empty((0, 2))
    texts = _rim_labels(chart, ink, measure)
    if with_phase:
        texts += _axis_labels(chart, points, texts, ink, measure)
    texts += _limit_label(chart, bench, points, texts, ink, measure)
    shapes: list[Shape] = [
        chart.arc(line.arc, Pen(ink.grid, _GRID_MM)) for line in grid() if line.is_major
    ]
    rim = Pen(ink.axis, _RIM_MM)
    shapes += [
        Segment(
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
    drawn: list[Shape] = []
    for index, (trace, places) in enumerate(zip(with_phase, curves, strict=True)):
        drawn += _curve(trace, places, band, window, len(traces))
        drawn += _marks(trace, places, band, window, (index + 0.5) / len(with_phase), len(traces))
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


def _chart(area: Box, traces: Sequence[Trace], measure: Measure) -> tuple[_Chart, Box]:
    """The largest chart that leaves room for the numbers around it and the line below."""
    below_mm = line_height_mm(TICK_PT) * 1.6
    side_mm = measure.width_mm("−j0.2", SMALLEST_PT) * 0.75 + _LABEL_GAP_MM
    upper_mm = cap_mm(SMALLEST_PT) + _LABEL_GAP_MM
    extent = chart_extent(traces)
    half_width = area.width / 2
    half_height = (area.height - below_mm) / 2
    radius_mm = min(
        half_width - side_mm,
        half_height - upper_mm,
        half_width / extent,
        half_height / extent,
    )
    x = area.right - half_width
    y = area.top + half_height
    half = max(radius_mm * extent, radius_mm + 0.5)
    return _Chart(x, y, radius_mm), Box(x - half, y - half, x + half, y + half)


def _rim_labels(chart: _Chart, ink: Ink, measure: Measure) -> list[Text]:
    """Numbers of the reactance arcs around the rim; on a tiny chart only those with room."""
    texts: list[Text] = []
    for label in sorted(labels(), key=lambda label: abs(math.log(abs(label.value)))):
        if label.kind == "reactance":
            number = f"{'−' if label.value < 0 else ''}j{abs(label.value):g}"
            angle = cmath.phase(label.at)
            text = _beside(chart, chart.radius_mm, angle, number, ink.muted, measure)
            texts += [] if _clashes(text, texts) else [text]
    return texts


def _axis_labels(
    chart: _Chart, points: FloatArray, taken: Sequence[Text], ink: Ink, measure: Measure
) -> list[Text]:
    """Numbers of the resistance circles, each on the side of the axis with fewer curve points."""
    texts: list[Text] = []
    for label in sorted(labels(), key=lambda label: abs(math.log(abs(label.value)))):
        if label.kind == "resistance":
            places = _axis_places(chart, label, ink, measure)
            texts += _quietest(places, points, [*taken, *texts])
    return texts


def _axis_places(chart: _Chart, label: Label, ink: Ink, measure: Measure) -> list[Text]:
    x = chart.x + chart.radius_mm * label.at.real
    sides: tuple[tuple[float, Align], ...] = ((-0.4, "right"), (0.4, "left"))
    below, above = chart.y + 0.5 + cap_mm(SMALLEST_PT), chart.y - 0.6
    return [
        set_text(
            measure,
            f"{label.value:g}",
            (x + shift, y),
            SMALLEST_PT,
            colour=ink.muted,
            align=align,
            halo=True,
        )
        for y in (below, above)
        for shift, align in sides
    ]


def _limit_label(
    chart: _Chart,
    bench: Bench,
    points: FloatArray,
    taken: Sequence[Text],
    ink: Ink,
    measure: Measure,
) -> list[Text]:
    """The limit ("SWR 2") outside its circle, at the angle where it hides least."""
    radius_mm = chart.radius_mm * swr_circle(bench.limit_swr).radius
    text = f"SWR {limit_text(bench)}"
    places = [_beside(chart, radius_mm, angle, text, ink.limit, measure) for angle in _LIMIT_ANGLES]
    return _quietest(places, points, taken)


def _beside(
    chart: _Chart, radius_mm: float, angle: float, text: str, colour: str, measure: Measure
) -> Text:
    """A text just outside a circle around the chart's centre."""
    width_mm, height_mm = measure.width_mm(text, SMALLEST_PT), cap_mm(SMALLEST_PT)
    descent_mm = SMALLEST_PT * MM_PER_PT * DESCENT
    across, up = math.cos(angle), math.sin(angle)
    # The middle of the text, far enough out that its box clears the circle.
    reach_mm = radius_mm + _LABEL_GAP_MM + (abs(across) * width_mm + abs(up) * height_mm) / 2
    reach_mm += max(0.0, up) * descent_mm
    at = (chart.x + reach_mm * across, chart.y - reach_mm * up + height_mm / 2)
    return set_text(measure, text, at, SMALLEST_PT, colour=colour, align="centre", halo=True)


def _quietest(places: Sequence[Text], points: FloatArray, taken: Sequence[Text]) -> list[Text]:
    """The place furthest from any curve among those that touch no other text; none if all do.

    Beyond a few millimetres one place is as good as another, and the first is taken.
    """

    def distance_mm(text: Text) -> float:
        if not len(points):
            return _FAR_MM
        box = text.box.grown(_HALO_MM)
        away_x = np.maximum(np.maximum(box.left - points[:, 0], points[:, 0] - box.right), 0.0)
        away_y = np.maximum(np.maximum(box.top - points[:, 1], points[:, 1] - box.bottom), 0.0)
        return min(round(float(np.hypot(away_x, away_y).min()), 1), _FAR_MM)

    free = [text for text in places if not _clashes(text, taken)]
    return [max(free, key=distance_mm)] if free else []


def _clashes(text: Text, taken: Sequence[Text]) -> bool:
    box = text.box.grown(_HALO_MM)
    return any(box.overlaps(other.box) for other in taken)


def _in_band(trace: Trace, band: Band | None) -> BoolArray:
    if band is None:
        return np.ones(trace.frequency_hz.shape, dtype=np.bool_)
    inside: BoolArray = (trace.frequency_hz >= band.low_hz) & (trace.frequency_hz <= band.high_hz)
    return inside


def _curve(
    trace: Trace, places: FloatArray, band: Band | None, window: Box, count: int
) -> list[Shape]:
    """Thin outside the band, strong in it; the band's edges are points of both."""
    inside = _in_band(trace, band)
    strong_mm = trace_width_mm(1.15 * curve_width_mm(count), is_emphasised=trace.is_emphasised)
    style = trace.style
    shapes: list[Shape] = []
    # The thin pieces reach to the first strong point on either side.
    outside = ~inside
    reaching = outside.copy()
    reaching[:-1] |= outside[1:]
    reaching[1:] |= outside[:-1]
    for mask, width_mm in ((reaching, _OUTSIDE_MM), (inside, strong_mm)):
        pen = Pen(style.colour, width_mm, style.dash_mm)
        for start, stop in runs(mask):
            thinned = simplify(places[start:stop], tolerance_mm(width_mm))
            shapes += [line for part in cut(thinned, window) for line in dashed(part, pen)]
    return shapes


def _marks(
    trace: Trace,
    places: FloatArray,
    band: Band | None,
    window: Box,
    share: float,
    count: int,
) -> list[Shape]:
    """One marker on the stretch in the band, its place along it shifted from sweep to sweep."""
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
    chart: _Chart,
    bench: Bench,
    band: Band | None,
    with_phase: Sequence[Trace],
    ink: Ink,
    measure: Measure,
) -> list[Shape]:
    """The line under the chart; without any phase, a note in it."""
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
    base = f"Normalised to {bench.z0_ohm:.4g} Ω"
    texts = [f"{base}; heavy lines: in the band", f"{base}; heavy: in band"]
    line = next(
        (
            text
            for text in (texts if band is not None else [])
            if measure.width_mm(text, TICK_PT) <= area.width
        ),
        base,
    )
    at = (chart.x, area.bottom - (line_height_mm(TICK_PT) - cap_mm(TICK_PT)) / 2)
    return [set_text(measure, line, at, TICK_PT, colour=ink.text, align="centre")]
