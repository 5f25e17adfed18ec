"""The chart's lines at every zoom, held against the published geometry.

Zhang and Li, Electromagnetic Theory for Microwaves and Optoelectronics, eq. 3.64: the circle of
resistance r, the circle of reactance x. Here every drawn point is turned back into an impedance
instead, z = (1 + G) / (1 - G): it must have the r or x that its line stands for.
"""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.app.drawing.chart_rules import arc_points, rules
from fairlead.app.drawing.screen_map import ScreenMap
from fairlead.core.views.smith import ohm_text

SIZE = (540, 620)


def view(centre, half):
    tall = half * SIZE[1] / SIZE[0]
    return ScreenMap.between(
        (centre.real - half, centre.real + half), (centre.imag - tall, centre.imag + tall), SIZE
    )


VIEWS = [
    view(0j, 1.15),
    view(0.1 + 0.2j, 0.5),
    view(0.3 - 0.4j, 0.15),
    view(-0.7 + 0.1j, 0.1),
    view(0.6 + 0.5j, 0.02),
    view(0.98 + 0.05j, 0.02),
]


@pytest.mark.parametrize("screen", VIEWS)
@pytest.mark.parametrize("z0_ohm", [50.0, 75.0])
def test_every_drawn_point_has_the_value_of_its_line(screen, z0_ohm):
    found = rules(screen, z0_ohm)
    assert len(found) >= 10
    for rule in found:
        x, y = arc_points(rule.arc, screen)
        gamma = (
            screen.left
            + x / screen.x_scale
            + 1j * (screen.bottom + (screen.height - y) / screen.y_scale)
        )
        # Where all lines meet, at G = 1, no impedance exists.
        gamma = gamma[np.abs(gamma - 1) > 1e-3]
        z_ohm = z0_ohm * (1 + gamma) / (1 - gamma)
        got = z_ohm.real if rule.kind == "resistance" else z_ohm.imag
        assert got == pytest.approx(rule.ohm, rel=1e-6, abs=1e-5)
        assert (z_ohm.real > -1e-6).all(), "no line leaves the rim"


def test_the_whole_chart_has_the_usual_few_lines():
    ohms = {(rule.kind, rule.ohm) for rule in rules(VIEWS[0], 50.0)}
    assert ohms == {("resistance", r) for r in (10, 25, 50, 100, 250)} | {
        ("reactance", sign * x) for x in (10, 25, 50, 100, 250) for sign in (1, -1)
    }


def test_zooming_in_adds_finer_lines():
    counts = [len(rules(screen, 50.0)) for screen in VIEWS[:2]]
    assert counts[1] > 2 * counts[0]


@pytest.mark.parametrize("screen", VIEWS[2:5])
def test_a_close_look_is_ruled_at_round_ohms_that_can_be_told_apart(screen):
    for kind in ("resistance", "reactance"):
        ohms = sorted(rule.ohm for rule in rules(screen, 50.0) if rule.kind == kind)
        steps = np.unique(np.round(np.diff(ohms), 9))
        # One step, and twice that across the zero which is the axis or the rim.
        step = steps[0]
        mantissa = step / 10 ** np.floor(np.log10(step) + 1e-9)
        assert mantissa == pytest.approx(min((1, 2, 4), key=lambda m: abs(m - mantissa)))


def test_straight_pieces_miss_an_arc_by_less_than_can_be_seen():
    screen = view(0.3 - 0.4j, 0.15)
    for rule in rules(screen, 50.0):
        x, y = arc_points(rule.arc, screen)
        middle_x, middle_y = (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2
        centre_x, centre_y = screen.x(rule.arc.center.real), screen.y(rule.arc.center.imag)
        radius = np.hypot(middle_x - centre_x, middle_y - centre_y)
        assert rule.arc.radius * screen.y_scale - radius.min() < 0.11


@pytest.mark.parametrize(
    ("kind", "ohm", "text"),
    [("resistance", 37.5, "37.5"), ("reactance", 25.0, "+j25"), ("reactance", -7.5, "−j7.5")],
)
def test_numbers_are_written_plainly(kind, ohm, text):
    assert ohm_text(kind, ohm) == text
