"""Thousands of repaints: no abort, no leak of None, no growing cache.

PySide6 6.12.0 on Python 3.11 lost a reference of None at each void call and aborted after some 80
repaints of a plain plot.
"""

from __future__ import annotations

import math
import sys

import pytest
from mouse import run_events
from plots import circuit_sweep

from fairlead.core.bands import Band

pytest_plugins = ["plot_fixtures"]

pytestmark = pytest.mark.slow

REPAINTS = 2000


def test_two_thousand_repaints_leave_none_alone(filled):
    filled.add(circuit_sweep(144e6, 60.0, points=31))
    run_events(4)
    before = sys.getrefcount(None)
    for number in range(REPAINTS // 2):
        low_hz = 143e6 + 1e6 * math.sin(number / 20)
        filled.document.apply(filled.bench.with_band(Band(low_hz, 147e6)))
        # Not update(): every one of them must be painted.
        filled.swr.viewport().repaint()
        filled.smith.viewport().repaint()
    assert filled.bench.band.high_hz == 147e6
    if sys.version_info < (3, 12):
        # None is immortal from 3.12 on. A handful come and go with caches; 6.12.0 lost tens of
        # thousands.
        assert abs(sys.getrefcount(None) - before) < 500
