"""Smith chart geometry in the reflection plane: circles, arcs and labels; no colours, no Qt.

Published geometry (P. H. Smith, "Transmission-line calculator", Electronics, January 1939, from
memory; Zhang and Li, Electromagnetic Theory for Microwaves and Optoelectronics, eq. 3.64), with
r and x normalised to the reference impedance:

    resistance r: centre (r / (1 + r), 0), radius 1 / (1 + r)
    reactance x:  centre (1, 1 / x), radius 1 / |x|
    SWR s:        centre (0, 0), radius (s - 1) / (s + 1)
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Literal

RESISTANCES = (0.2, 0.5, 1.0, 2.0, 5.0)
REACTANCES = (0.2, 0.5, 1.0, 2.0, 5.0)
_FINE_RESISTANCES = (0.1, 0.3, 0.4, 0.6, 0.7, 0.8, 0.9, 1.2, 1.4, 1.6, 1.8, 3.0, 4.0, 10.0)
_FINE_REACTANCES = (0.1, 0.3, 0.4, 0.6, 0.7, 0.8, 0.9, 1.2, 1.4, 1.6, 1.8, 3.0, 4.0, 10.0)

Kind = Literal["resistance", "reactance"]


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle in the reflection plane.

    Attributes
    ----------
    center : complex
    radius : float
    start_deg, span_deg : float
        From the positive real axis, counter-clockwise; a span of 360 is the whole circle.
    """

    center: complex
    radius: float
    start_deg: float
    span_deg: float


@dataclass(frozen=True, slots=True)
class GridLine:
    """One line of the chart: its arc, what it stands for, and its weight.

    Attributes
    ----------
    kind : "resistance" or "reactance"
    value : float
        r or x, normalised; x with its sign.
    arc : Arc
    is_major : bool
    """

    kind: Kind
    value: float
    arc: Arc
    is_major: bool


@dataclass(frozen=True, slots=True)
class Label:
    """A number on the chart.

    Attributes
    ----------
    kind : "resistance" or "reactance"
    value : float
        r or x, normalised; x with its sign.
    at : complex
        The point of the chart it belongs to.
    """

    kind: Kind
    value: float
    at: complex


def reflection(z_normalised: complex) -> complex:
    """Point of the chart for a normalised impedance other than -1; infinity gives 1."""
    if cmath.isinf(z_normalised):
        return 1 + 0j
    return (z_normalised - 1) / (z_normalised + 1)


def resistance_circle(r: float) -> Arc:
    """Whole circle of constant normalised resistance r >= 0."""
    return Arc(complex(r / (1 + r), 0), 1 / (1 + r), 0, 360)


def reactance_arc(x: float, r_from: float = 0.0, r_to: float = math.inf) -> Arc:
    """Arc of constant normalised reactance x != 0 between two resistances."""
    center = complex(1, 1 / x)
    return _arc_between(
        center, 1 / abs(x), reflection(complex(r_from, x)), reflection(complex(r_to, x))
    )


def swr_circle(ratio: float) -> Arc:
    """Circle of constant SWR >= 1; the rim of the chart for infinity."""
    return Arc(0j, 1 - 2 / (ratio + 1), 0, 360)


def grid(*, fine: bool = False) -> tuple[GridLine, ...]:
    """The chart's lines without the rim and the axis; ``fine`` adds minor ones, for a zoom."""
    lines = [GridLine("resistance", r, resistance_circle(r), is_major=True) for r in RESISTANCES]
    lines += [
        GridLine("reactance", x, reactance_arc(x), is_major=True)
        for size in REACTANCES
        for x in (size, -size)
    ]
    if fine:
        lines += [
            GridLine("resistance", r, resistance_circle(r), is_major=False)
            for r in _FINE_RESISTANCES
        ]
        lines += [
            GridLine("reactance", x, reactance_arc(x), is_major=False)
            for size in _FINE_REACTANCES
            for x in (size, -size)
        ]
    return tuple(lines)


def labels(*, fine: bool = False) -> tuple[Label, ...]:
    """Numbers along the axis (r) and around the rim (x), without 0 and infinity."""
    resistances = RESISTANCES + (_FINE_RESISTANCES if fine else ())
    reactances = REACTANCES + (_FINE_REACTANCES if fine else ())
    result = [Label("resistance", r, reflection(complex(r, 0))) for r in resistances]
    result += [
        Label("reactance", x, reflection(complex(0, x)))
        for size in reactances
        for x in (size, -size)
    ]
    return tuple(result)


def _arc_between(center: complex, radius: float, first: complex, second: complex) -> Arc:
    start_deg = math.degrees(cmath.phase(first - center))
    span_deg = math.degrees(cmath.phase(second - center)) - start_deg
    # The way inside the rim is always the shorter one.
    span_deg = (span_deg + 180) % 360 - 180
    return Arc(center, radius, start_deg, span_deg)
