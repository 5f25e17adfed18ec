"""A layer with nothing on it is neither kept as pixels nor copied at every step of a drag."""

from __future__ import annotations

from plots import Pixels, circuit_sweep

pytest_plugins = ["plot_fixtures"]


def layers(plots):
    swr, smith = plots.swr, plots.smith
    return [swr._envelopes, swr._means, smith._members, smith._means, smith._path]


def test_without_groups_and_network_their_layers_hold_no_pixels(plots):
    plots.add(circuit_sweep(144e6, 20.0, 9.0, 801, 0.002, 1))
    for plot in (plots.swr, plots.smith):
        plot.viewport().repaint()
    assert all(layer.is_empty and layer._pixmap.isNull() for layer in layers(plots))


def test_a_group_that_comes_is_painted_and_gone_when_it_is_dissolved(plots):
    for seed in (1, 2, 3):
        plots.add(circuit_sweep(144e6 + 5e5 * seed, 20.0, 9.0, 801, 0.002, seed))
    before = Pixels(plots.swr).image
    plots.edits.group([entry.key for entry in plots.bench.entries], "units")
    assert not plots.swr._envelopes.is_empty
    assert Pixels(plots.swr).image != before
    plots.edits.undo()
    assert plots.swr._envelopes.is_empty
    assert Pixels(plots.swr).image == before
