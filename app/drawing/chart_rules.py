"""Which lines and numbers the Smith chart shows at each zoom: coarse, finer, or for the view."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.drawing.screen_map import ScreenMap, round_step
from fairlead.core import smith
from fairlead.core.arrays import median

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

# Zoom, relative to the whole chart in view, from which finer lines are shown.
_FINE_FROM = 1.7
_SPOT_FROM = 5.0
_MINOR_PX = 28.0
_MAJOR_EVERY = 5
_MOST_LINES = 60
_SAGITTA_PX = 0.1


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of the chart in a view.

    Attributes
    ----------
    kind : "resistance" or "reactance"
    ohm : float
        What it stands for; reactance with its sign.
    arc : Arc
    is_major : bool
    """

    kind: smith.Kind
    ohm: float
    arc: smith.Arc
    is_major: bool


def rules(screen: ScreenMap, z0_ohm: float) -> list[Rule]:
    """Lines for a view, minor ones first."""
    zoom = screen.y_scale / (0.45 * min(screen.width, screen.height))
    if zoom >= _SPOT_FROM:
        found = _spot_rules(screen, z0_ohm)
        if found:
            return found
    return whole_chart(z0_ohm, fine=zoom >= _FINE_FROM)


def whole_chart(z0_ohm: float, *, fine: bool = False) -> list[Rule]:
    """Lines for the whole chart, minor ones (``fine``) first."""
    return sorted(
        (
            Rule(line.kind, line.value * z0_ohm, line.arc, line.is_major)
            for line in smith.grid(fine=fine)
        ),
        key=lambda rule: rule.is_major,
    )


def arc_points(arc: smith.Arc, screen: ScreenMap) -> tuple[FloatArray, FloatArray]:
    """An arc in pixels, x and y of shape (n,), as straight pieces too short to be seen."""
    radius_px = max(arc.radius * screen.y_scale, 1.0)
    step = math.sqrt(8 * _SAGITTA_PX / radius_px)
    span = math.radians(arc.span_deg)
    count = min(max(int(abs(span) / step), 8), 20_000)
    angle = math.radians(arc.start_deg) + np.linspace(0, span, count + 1)
    return (
        screen.x(arc.center.real + arc.radius * np.cos(angle)),
        screen.y(arc.center.imag + arc.radius * np.sin(angle)),
    )


def _spot_rules(screen: ScreenMap, z0_ohm: float) -> list[Rule]:
    """Lines at round ohms, as close as they can be distinguished in the middle of the view."""
    z = _impedances(screen)
    if not z.size:
        return []
    middle = complex(median(z.real), median(z.imag))
    # dG/dz of G = (z - 1) / (z + 1)
    px_a_ohm = screen.y_scale * 2 / abs(middle + 1) ** 2 / z0_ohm
    minor_ohm = 2 * round_step(_MINOR_PX / px_a_ohm)
    found = []
    for kind, values in (("resistance", z.real), ("reactance", z.imag)):
        low = math.floor(max(values.min(), -1e4) * z0_ohm / minor_ohm)
        high = math.ceil(min(values.max(), 1e4) * z0_ohm / minor_ohm)
        if high - low > _MOST_LINES:
            return []
        for number in range(low, high + 1):
            ohm = number * minor_ohm
            is_major = number % _MAJOR_EVERY == 0
            if kind == "resistance" and ohm > 0:
                arc = smith.resistance_circle(ohm / z0_ohm)
                found.append(Rule("resistance", ohm, arc, is_major))
            elif kind == "reactance" and ohm != 0:
                found.append(Rule("reactance", ohm, smith.reactance_arc(ohm / z0_ohm), is_major))
    return sorted(found, key=lambda rule: rule.is_major)


def _impedances(screen: ScreenMap) -> ComplexArray:
    """Normalised impedances of spots spread over the part of the chart in view."""
    x = np.linspace(screen.left, screen.right, 15)
    y = np.linspace(screen.bottom, screen.top, 15)
    gamma = (x[:, np.newaxis] + 1j * y[np.newaxis, :]).ravel()
    gamma = gamma[np.abs(gamma) < 0.995]
    z: ComplexArray = (1 + gamma) / (1 - gamma)
    return z
