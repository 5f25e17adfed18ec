"""Smith chart geometry: circles and points as published, and closed form where marked.

Zhang and Li, Electromagnetic Theory for Microwaves and Optoelectronics, p. 131, eq. 3.64;
B. Adamczyk, "Smith chart", In Compliance Magazine, part 2; P. H. Smith, Electronics, January
1939 and 1944 (from memory).
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from fairlead.core import smith

# r; centre and radius (r/(1+r), 1/(1+r)): closed form of the published rule
RESISTANCE_CIRCLES = [
    (0, 0, 1),
    (0.2, 0.16667, 0.83333),
    (0.5, 0.33333, 0.66667),
    (1, 0.5, 0.5),
    (2, 0.66667, 0.33333),
    (5, 0.83333, 0.16667),
]


@pytest.mark.parametrize(("r", "centre", "radius"), RESISTANCE_CIRCLES)
def test_circle_of_constant_resistance(r, centre, radius):
    arc = smith.resistance_circle(r)
    assert arc.center == pytest.approx(centre, abs=5e-6)
    assert arc.radius == pytest.approx(radius, abs=5e-6)
    assert arc.span_deg == 360


@pytest.mark.parametrize(("x", "radius"), [(0.2, 5), (0.5, 2), (1, 1), (2, 0.5), (5, 0.2)])
@pytest.mark.parametrize("sign", [1, -1])
def test_arc_of_constant_reactance(x, radius, sign):
    arc = smith.reactance_arc(sign * x)
    assert arc.center == pytest.approx(complex(1, sign / x))
    assert arc.radius == pytest.approx(radius)


@pytest.mark.parametrize(
    ("x", "rim"), [(1, 1j), (0.5, -0.6 + 0.8j), (2, 0.6 + 0.8j), (-1, -1j), (-2, 0.6 - 0.8j)]
)
def test_where_a_reactance_arc_meets_the_rim(x, rim):
    """Closed form: (jx - 1) / (jx + 1)."""
    arc = smith.reactance_arc(x)
    start = arc.center + arc.radius * cmath.exp(1j * math.radians(arc.start_deg))
    end = arc.center + arc.radius * cmath.exp(1j * math.radians(arc.start_deg + arc.span_deg))
    assert start == pytest.approx(rim)
    assert end == pytest.approx(1)


@pytest.mark.parametrize("x", [0.05, 0.2, 1, 3, 20, -0.05, -1, -20])
def test_a_reactance_arc_stays_inside_the_rim_and_keeps_its_reactance(x):
    arc = smith.reactance_arc(x)
    inner = np.linspace(0.001, 0.99, 60)
    points = arc.center + arc.radius * np.exp(1j * np.deg2rad(arc.start_deg + inner * arc.span_deg))
    assert (np.abs(points) < 1).all()
    z = (1 + points) / (1 - points)
    np.testing.assert_allclose(z.imag, x, rtol=1e-6)
    assert (z.real > 0).all()


def test_part_of_a_reactance_arc_between_two_resistances():
    arc = smith.reactance_arc(1.0, 0.5, 2.0)
    ends = [
        arc.center + arc.radius * cmath.exp(1j * math.radians(arc.start_deg + part))
        for part in (0, arc.span_deg)
    ]
    assert ends == pytest.approx([smith.reflection(0.5 + 1j), smith.reflection(2 + 1j)])


@pytest.mark.parametrize(
    ("z", "gamma"),
    [
        (0, -1),
        (1, 0),
        (complex(math.inf, 0), 1),
        (1 + 1j, 0.2 + 0.4j),  # Kulkarni Ex. 3.5, Liao Ex. 3.5.1
        (1j, 1j),
        (-1j, -1j),
        (0.5 + 0.5j, -0.2 + 0.4j),  # University of Rhode Island, ELE541
        (2, 1 / 3),
        (0.5, -1 / 3),
    ],
)
def test_points_of_the_chart(z, gamma):
    assert smith.reflection(z) == pytest.approx(gamma)


def test_published_equation_for_a_point():
    """Zhang and Li eq. 3.64: [(a^2 + b^2 - 1) + j 2b] / [(a + 1)^2 + b^2]."""
    for a, b in ((0.3, -0.7), (1.8, 0.2), (5.0, 4.0)):
        expected = complex(a * a + b * b - 1, 2 * b) / ((a + 1) ** 2 + b * b)
        assert smith.reflection(complex(a, b)) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("ratio", "radius"), [(1, 0), (1.5, 0.2), (2, 1 / 3), (3, 0.5), (math.inf, 1)]
)
def test_circle_of_constant_swr(ratio, radius):
    arc = smith.swr_circle(ratio)
    assert arc.center == 0
    assert arc.radius == pytest.approx(radius)
    assert arc.span_deg == 360
