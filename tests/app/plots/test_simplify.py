"""Leaving out points: never further from any point than allowed."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from fairlead.app.plots.simplify import function_weights, plane_weights, thin_by_pixel

coordinates = st.floats(-2, 2, width=32)
sizes = st.integers(2, 70)


def distance_from_line(points, kept):
    """Largest distance of any point from the polyline through the kept ones, piece by piece."""
    worst = 0.0
    for first, last in pairwise(kept):
        a, b = points[first], points[last]
        for p in points[first : last + 1]:
            size = abs(b - a) ** 2
            share = ((p - a) * (b - a).conjugate()).real / size if size else 0.0
            worst = max(worst, abs(p - (a + min(max(share, 0.0), 1.0) * (b - a))))
    return worst


@given(
    sizes.flatmap(lambda n: st.tuples(*[arrays(float, n, elements=coordinates)] * 2)),
    st.sampled_from([0.0, 0.01, 0.3, 1.0]),
)
def test_no_point_of_a_plane_curve_is_further_off_than_the_tolerance(parts, tolerance):
    points = parts[0] + 1j * parts[1]
    weights = plane_weights(points)
    kept = np.flatnonzero(weights > tolerance)
    assert kept[0] == 0
    assert kept[-1] == points.size - 1
    # Weights are single precision.
    assert distance_from_line(points, kept) <= tolerance + 1e-6


@given(
    sizes.flatmap(lambda n: arrays(float, n, elements=coordinates)),
    st.sampled_from([0.0, 0.01, 0.3, 1.0]),
)
def test_no_value_of_a_function_is_further_off_than_the_tolerance(y, tolerance):
    x = np.cumsum(np.linspace(1, 2, y.size))
    kept = np.flatnonzero(function_weights(x, y) > tolerance)
    assert np.abs(np.interp(x, x[kept], y[kept]) - y).max() <= tolerance + 1e-6


def test_a_straight_line_needs_its_ends_only():
    x = np.linspace(0, 1, 1000)
    assert np.count_nonzero(function_weights(x, 3 * x - 1) > 1e-6) == 2
    assert np.count_nonzero(plane_weights(x * (2 + 1j)) > 1e-6) == 2


def test_a_smooth_circle_needs_few_points():
    """A chord over an angle a misses the unit circle by 1 - cos(a / 2): 0.001 is 5.1 degrees."""
    points = np.exp(2j * np.pi * np.linspace(0, 1, 4097))
    kept = np.count_nonzero(plane_weights(points) > 0.001)
    # Halving finds at most twice the 71 chords that would do.
    assert 71 < kept < 2 * 71


def test_a_lone_spike_is_kept():
    y = np.zeros(1001)
    y[617] = 1.0
    kept = np.flatnonzero(function_weights(np.arange(1001.0), y) > 0.5)
    assert 617 in kept


@pytest.mark.parametrize("size", [2, 3, 4, 5, 8, 9, 1000])
def test_every_size_gives_a_weight_for_each_point(size):
    weights = plane_weights(np.exp(1j * np.arange(size)))
    assert weights.shape == (size,)
    assert np.isinf(weights[[0, -1]]).all()


@given(
    st.lists(st.integers(0, 6), min_size=1, max_size=60).map(sorted).map(np.array),
    st.data(),
)
def test_every_pixel_column_keeps_its_first_last_least_and_largest(columns, data):
    y = np.array(data.draw(st.lists(coordinates, min_size=columns.size, max_size=columns.size)))
    keep = thin_by_pixel(columns, y)
    for column in set(columns.tolist()):
        own = np.flatnonzero(columns == column)
        kept = own[keep[own]]
        assert kept[0] == own[0]
        assert kept[-1] == own[-1]
        assert y[kept].min() == y[own].min()
        assert y[kept].max() == y[own].max()


def test_values_that_do_not_exist_do_not_hide_the_others_of_their_column():
    y = np.array([0.0, np.nan, 5.0, -5.0, 1.0])
    assert thin_by_pixel(np.zeros(5, dtype=int), y).tolist() == [True, False, True, True, True]
