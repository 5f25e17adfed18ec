"""Curves are brought down to what print can show, and no further."""

from __future__ import annotations

import itertools

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from fairlead.app.printing.polylines import cut, simplify, simplify_mask, thin_by_width
from fairlead.app.printing.shapes import Box
from fairlead.core.arrays import runs

places = st.floats(-50, 50, allow_nan=False)
polylines = st.lists(st.tuples(places, places), min_size=2, max_size=40).map(np.array)


def distance_to_polyline(point, line):
    """Straight from the definition, one chord after the other."""
    best = np.inf
    for a, b in itertools.pairwise(line):
        chord = b - a
        length = chord @ chord
        along = 0.0 if length == 0 else np.clip((point - a) @ chord / length, 0, 1)
        best = min(best, np.hypot(*(point - a - along * chord)))
    return best


@given(polylines, st.floats(0.01, 5))
def test_no_point_is_further_from_the_simplified_curve_than_the_tolerance(points, tolerance):
    kept = simplify(points, tolerance)
    assert (kept[0] == points[0]).all()
    assert (kept[-1] == points[-1]).all()
    assert max(distance_to_polyline(point, kept) for point in points) <= tolerance * (1 + 1e-9)


def test_a_straight_line_keeps_only_its_ends():
    points = np.column_stack((np.linspace(0, 10, 5001), np.linspace(0, 3, 5001)))
    assert simplify_mask(points, 0.01).sum() == 2


def test_a_smooth_curve_of_ten_thousand_points_becomes_small():
    x = np.linspace(0, 100, 10_001)
    assert len(simplify(np.column_stack((x, 20 * np.cos(x / 20))), 0.03)) < 120


def test_a_spike_of_one_point_survives():
    x = np.linspace(0, 100, 10_001)
    y = np.zeros_like(x)
    y[5000] = 3.0
    points = np.column_stack((x, y))
    assert simplify(thin_by_width(points, 0.1), 0.03)[:, 1].max() == 3.0


def test_thinning_keeps_the_outline_of_every_column():
    generator = np.random.default_rng(4)
    points = np.column_stack((np.linspace(0, 10, 5000), generator.normal(size=5000)))
    thin = thin_by_width(points, 0.5)
    assert len(thin) <= 4 * 21
    assert (np.diff(thin[:, 0]) > 0).all()
    for column in range(20):
        full = points[np.floor(points[:, 0] / 0.5) == column][:, 1]
        left = thin[np.floor(thin[:, 0] / 0.5) == column][:, 1]
        assert (left.min(), left.max()) == (full.min(), full.max())


def test_few_points_are_not_thinned():
    points = np.column_stack((np.arange(10.0), np.arange(10.0)))
    assert thin_by_width(points, 0.5) is points
    assert thin_by_width(points[:3], 100.0) is not None


def test_a_curve_is_cut_where_it_leaves_the_box_and_not_folded_back():
    box = Box(0, 0, 10, 10)
    points = np.array([[-5, 5], [5, 5], [5, -5], [15, -5], [15, 5], [8, 5]], dtype=float)
    first, second = cut(points, box)
    assert first.tolist() == [[0, 5], [5, 5], [5, 0]]
    assert second.tolist() == [[10, 5], [8, 5]]


def test_a_curve_that_grazes_a_corner_twice_stays_in_two_parts():
    box = Box(0, 0, 10, 10)
    parts = cut(np.array([[1, 1], [1, -1], [2, -1], [2, 1]], dtype=float), box)
    assert [part.tolist() for part in parts] == [[[1, 1], [1, 0]], [[2, 0], [2, 1]]]


@given(polylines)
def test_every_part_lies_in_the_box_and_on_the_curve(points):
    box = Box(-10, -20, 15, 5)
    for part in cut(points, box):
        assert (part[:, 0] >= box.left - 1e-9).all()
        assert (part[:, 0] <= box.right + 1e-9).all()
        assert (part[:, 1] >= box.top - 1e-9).all()
        assert (part[:, 1] <= box.bottom + 1e-9).all()
        assert max(distance_to_polyline(point, points) for point in part) < 1e-9


@given(polylines)
def test_nothing_is_cut_from_a_curve_inside(points):
    (whole,) = cut(points, Box(-60, -60, 60, 60)) or [points]
    if (points[0] != points).any():
        kept = [row for i, row in enumerate(points) if i == 0 or (row != points[i - 1]).any()]
        unique = [row for i, row in enumerate(whole) if i == 0 or (row != whole[i - 1]).any()]
        assert np.allclose(unique, kept)


def test_one_point_is_no_line():
    assert cut(np.array([[1.0, 1.0]]), Box(0, 0, 2, 2)) == []


@given(st.lists(st.booleans(), max_size=30).map(lambda values: np.array(values, dtype=bool)))
def test_runs_are_the_true_stretches(mask):
    rebuilt = np.zeros_like(mask)
    for start, stop in runs(mask):
        assert start < stop
        rebuilt[start:stop] = True
        assert start == 0 or not mask[start - 1]
        assert stop == mask.size or not mask[stop]
    assert (rebuilt == mask).all()
