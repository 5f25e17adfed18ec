"""Very many curves are painted piece by piece, and look as if they were painted at once."""

from __future__ import annotations

import numpy as np
from plots import circuit_sweep

from fairlead.app.document.view_state import Hover
from fairlead.app.plots import curve_layer

pytest_plugins = ["plot_fixtures"]


def pictures(plots):
    return [widget.grab().toImage() for widget in (plots.swr, plots.smith)]


def all_done(plots):
    layers = [plots.swr._layer, plots.smith._pale, plots.smith._in_band]
    return all(layer._rest is None and layer._stale == [] for layer in layers)


def test_the_same_picture_comes_out(plots, qtbot, monkeypatch):
    sweeps = [circuit_sweep(f0) for f0 in np.linspace(140e6, 150e6, 30)]
    plots.add(*sweeps, names=[f"unit {number}" for number in range(30)])
    qtbot.waitUntil(lambda: all_done(plots))
    at_once = pictures(plots)
    monkeypatch.setattr(curve_layer, "_MANY", 10)
    monkeypatch.setattr("fairlead.app.plots.pixmap_layer._PIECES_S", 1e-6)
    for plot in (plots.swr, plots.smith):
        plot._curves_changed()
    plots.swr.viewport().repaint()
    plots.smith.viewport().repaint()
    assert not all_done(plots)
    qtbot.waitUntil(lambda: all_done(plots))
    assert pictures(plots) == at_once
    plots.view_state.set_hover(Hover(plots.bench.entries[3].key, 10))
    plots.view_state.set_hover(None)


def test_a_change_in_the_middle_begins_anew(plots, qtbot, monkeypatch):
    monkeypatch.setattr(curve_layer, "_MANY", 10)
    monkeypatch.setattr("fairlead.app.plots.pixmap_layer._PIECES_S", 1e-6)
    sweeps = [circuit_sweep(f0) for f0 in np.linspace(140e6, 150e6, 20)]
    plots.add(*sweeps, names=[f"unit {number}" for number in range(20)])
    plots.swr.viewport().repaint()
    plots.smith.viewport().repaint()
    assert not all_done(plots)
    plots.edits.remove([entry.key for entry in plots.bench.entries[5:]])
    qtbot.waitUntil(lambda: all_done(plots))
    few = pictures(plots)
    monkeypatch.setattr(curve_layer, "_MANY", 100)
    for plot in (plots.swr, plots.smith):
        plot._curves_changed()
    assert pictures(plots) == few
