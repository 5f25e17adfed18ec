"""The Smith chart on paper: its position, and numbers where they hide no curve or other number."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.shapes import DESCENT, MM_PER_PT, CircleArc
from fairlead.app.printing.type_setting import SMALLEST_PT, cap_mm, set_text
from fairlead.core.smith import labels, swr_circle
from fairlead.core.views.smith import ohm_text
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Pen, Text
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Align, Measure
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.document.bench import Bench
    from fairlead.core.smith import Arc, Label

LABEL_GAP_MM = 0.8
_HALO_MM = 0.3
# Beyond this distance from every curve one position is as good as another.
_FAR_MM = 3.0
_LIMIT_ANGLES = tuple(math.radians(angle) for angle in (*range(225, 330, 15), *range(45, 150, 15)))


@dataclass(frozen=True, slots=True)
class Chart:
    """Centre and radius in mm."""

    x: float
    y: float
    radius_mm: float

    def positions(self, gamma: ComplexArray) -> FloatArray:
        """Positions of many reflection coefficients, shape (n, 2)."""
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


def rim_labels(chart: Chart, z0_ohm: float, ink: Ink, measure: Measure) -> list[Text]:
    """Numbers of the reactance arcs around the rim; on a tiny chart only those that fit."""
    texts: list[Text] = []
    for label in sorted(labels(), key=lambda label: abs(math.log(abs(label.value)))):
        if label.kind == "reactance":
            number = ohm_text("reactance", label.value * z0_ohm)
            angle = cmath.phase(label.at)
            text = _beside(chart, chart.radius_mm, angle, number, ink.muted, measure)
            texts += [] if _clashes(text, texts) else [text]
    return texts


def axis_labels(
    chart: Chart,
    z0_ohm: float,
    points: FloatArray,
    taken: Sequence[Text],
    ink: Ink,
    measure: Measure,
) -> list[Text]:
    """Numbers of the resistance circles, each on the side of the axis with fewer curve points."""
    texts: list[Text] = []
    for label in sorted(labels(), key=lambda label: abs(math.log(abs(label.value)))):
        if label.kind == "resistance":
            places = _axis_places(chart, label, z0_ohm, ink, measure)
            texts += _quietest(places, points, [*taken, *texts])
    return texts


def _axis_places(
    chart: Chart, label: Label, z0_ohm: float, ink: Ink, measure: Measure
) -> list[Text]:
    x = chart.x + chart.radius_mm * label.at.real
    sides: tuple[tuple[float, Align], ...] = ((-0.4, "right"), (0.4, "left"))
    below, above = chart.y + 0.5 + cap_mm(SMALLEST_PT), chart.y - 0.6
    return [
        set_text(
            measure,
            ohm_text("resistance", label.value * z0_ohm),
            (x + shift, y),
            SMALLEST_PT,
            colour=ink.muted,
            align=align,
            halo=True,
        )
        for y in (below, above)
        for shift, align in sides
    ]


def limit_label(
    chart: Chart,
    bench: Bench,
    points: FloatArray,
    taken: Sequence[Text],
    ink: Ink,
    measure: Measure,
) -> list[Text]:
    """The limit ("SWR 2.0") outside its circle, at the angle where it hides least."""
    radius_mm = chart.radius_mm * swr_circle(bench.limit_swr).radius
    text = f"SWR {SWR.limit_text(bench.limit_swr)}"
    places = [_beside(chart, radius_mm, angle, text, ink.limit, measure) for angle in _LIMIT_ANGLES]
    return _quietest(places, points, taken)


def _beside(
    chart: Chart, radius_mm: float, angle: float, text: str, colour: str, measure: Measure
) -> Text:
    """A text just outside a circle around the chart's centre."""
    width_mm, height_mm = measure.width_mm(text, SMALLEST_PT), cap_mm(SMALLEST_PT)
    descent_mm = SMALLEST_PT * MM_PER_PT * DESCENT
    across, up = math.cos(angle), math.sin(angle)
    # The centre of the text, far enough out for its box to clear the circle.
    reach_mm = radius_mm + LABEL_GAP_MM + (abs(across) * width_mm + abs(up) * height_mm) / 2
    reach_mm += max(0.0, up) * descent_mm
    at = (chart.x + reach_mm * across, chart.y - reach_mm * up + height_mm / 2)
    return set_text(measure, text, at, SMALLEST_PT, colour=colour, align="centre", halo=True)


def _quietest(places: Sequence[Text], points: FloatArray, taken: Sequence[Text]) -> list[Text]:
    """The position furthest from any curve among those that touch no other text, if any.

    Beyond a few millimetres one position is as good as another, and the first is taken.
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


def widest_label_mm(z0_ohm: float, measure: Measure) -> float:
    """Width of the widest number around the rim."""
    return max(
        measure.width_mm(ohm_text("reactance", label.value * z0_ohm), SMALLEST_PT)
        for label in labels()
        if label.kind == "reactance"
    )
