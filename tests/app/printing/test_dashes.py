"""Noise must not make a dashed curve look solid: in grey the dash tells the sweeps apart."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from fairlead.app.printing.dashes import dashed
from fairlead.app.printing.shapes import Pen

PEN = Pen("#000000", 0.3, (2.0, 1.0))


def test_a_smooth_curve_is_one_line_with_a_dashed_pen():
    points = np.column_stack((np.linspace(0, 60, 50), np.zeros(50)))
    (line,) = dashed(points, PEN)
    assert line.points is points
    assert line.pen is PEN


def test_a_solid_pen_is_left_alone_also_on_noise():
    points = np.column_stack((np.linspace(0, 60, 900), np.tile([0.0, 0.7], 450)))
    (line,) = dashed(points, Pen("#000000", 0.3))
    assert line.points is points


def test_dashes_on_noise_are_as_long_as_on_a_smooth_curve():
    generator = np.random.default_rng(1)
    points = np.column_stack((np.linspace(0, 60, 3000), generator.uniform(-0.6, 0.6, 3000)))
    lines = dashed(points, PEN)
    assert 20 <= len(lines) <= 23
    assert all(line.pen == Pen("#000000", 0.3) for line in lines)
    lengths = [line.points[-1, 0] - line.points[0, 0] for line in lines]
    gaps = [
        after.points[0, 0] - before.points[-1, 0] for before, after in itertools.pairwise(lines)
    ]
    assert np.median(lengths) == pytest.approx(2.0, abs=0.25)
    assert np.median(gaps) == pytest.approx(1.0, abs=0.15)
