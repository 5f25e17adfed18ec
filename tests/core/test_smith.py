"""The chart's grid and labels. The geometry itself: tests/published."""

from __future__ import annotations

import math

import pytest

from fairlead.core import smith


def test_the_grid_holds_every_value_once_and_both_signs_of_reactance():
    lines = smith.grid()
    assert all(line.is_major for line in lines)
    found = [(line.kind, line.value) for line in lines]
    assert len(found) == len(set(found))
    assert {value for kind, value in found if kind == "resistance"} == set(smith.RESISTANCES)
    reactances = {value for kind, value in found if kind == "reactance"}
    assert reactances == {sign * x for x in smith.REACTANCES for sign in (1, -1)}


def test_the_fine_grid_adds_minor_lines_to_the_same_major_ones():
    coarse, fine = smith.grid(), smith.grid(fine=True)
    assert [line for line in fine if line.is_major] == list(coarse)
    minor = [(line.kind, line.value) for line in fine if not line.is_major]
    assert minor
    assert not set(minor) & {(line.kind, line.value) for line in coarse}
    reactances = {value for kind, value in minor if kind == "reactance"}
    assert reactances == {-value for value in reactances}


@pytest.mark.parametrize("fine", [False, True])
def test_every_line_has_a_label_on_it(fine):
    lines = {(line.kind, line.value): line.arc for line in smith.grid(fine=fine)}
    labels = smith.labels(fine=fine)
    assert {(label.kind, label.value) for label in labels} == set(lines)
    for label in labels:
        arc = lines[label.kind, label.value]
        assert abs(label.at - arc.center) == pytest.approx(arc.radius)
        on_rim = label.kind == "reactance"
        assert abs(label.at) == pytest.approx(1) if on_rim else label.at.imag == 0


def test_lines_meet_where_their_impedance_lies():
    """Resistance 0.5 and reactance 1 cross at the reflection of 0.5 + j1."""
    at = smith.reflection(0.5 + 1j)
    for arc in (smith.resistance_circle(0.5), smith.reactance_arc(1.0)):
        assert abs(at - arc.center) == pytest.approx(arc.radius)


def test_infinity_in_any_direction_is_the_open_circuit():
    for z in (complex(math.inf, 0), complex(0, math.inf), complex(math.inf, math.nan)):
        assert smith.reflection(z) == 1
