"""What a picture leaves open is the range of a traced sweep's points, whatever else is known."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.analysis.analysis import analyse
from fairlead.core.sweep import ScalarSweep
from fairlead.core.traced import Traced
from fairlead.core.uncertainty.point_range import PointRange, range_of

HZ = np.linspace(50e6, 52e6, 41)


def test_the_range_is_the_picture_s_own_at_95_percent():
    sigma = np.linspace(0.01, 0.02, HZ.size)
    sweep = ScalarSweep(HZ, np.abs(HZ - 51e6) / 4e6 + 0.1, traced=Traced(sigma))
    found = range_of(analyse(sweep, 50.0), None)
    # 95 % of a Gaussian lie within 1.96 standard deviations: from memory, any table.
    assert found.half == pytest.approx(1.96 * sigma)
    assert found.kind == "picture"
    assert not found.is_accuracy


def test_the_three_statements_have_names():
    half = np.full(3, 0.1)
    assert PointRange(half, is_accuracy=True).kind == "accuracy"
    assert PointRange(half, is_accuracy=False).kind == "repeatability"
