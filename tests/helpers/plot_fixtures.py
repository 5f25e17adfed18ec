"""Fixtures with both plots: ``pytest_plugins = ["plot_fixtures"]`` in a test module."""

from __future__ import annotations

import pytest
from mouse import delete, run_events
from plots import BAND, PlotWindow, circuit_sweep


def pytest_collection_modifyitems(items):
    """Qt's platform without a screen warns of every window that says how small it may become."""
    for item in items:
        if "plots" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.qt_log_ignore("does not support propagateSizeHints"))


@pytest.fixture
def plots(qtbot):
    """Both plots, empty, shown at 1280 x 620."""
    window = PlotWindow()
    window.resize(1280, 620)
    window.setSizes([740, 540])
    window.show()
    qtbot.waitExposed(window)
    window.activateWindow()
    run_events(4)
    yield window
    # Python may delete the undo commands before the stack that still points at them.
    window.forget_history()
    window.close()
    delete(window)


@pytest.fixture
def filled(plots):
    """Two sweeps, a band from 144 to 146 MHz, and a clean history."""
    plots.add(circuit_sweep(145e6), circuit_sweep(146.5e6, 70.0), names=["dry", "wet"])
    plots.edits.set_band(BAND)
    plots.forget_history()
    run_events(4)
    return plots
