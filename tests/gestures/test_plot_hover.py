"""Pointing at curves: both plots show the same point of the same sweep."""

from __future__ import annotations

import numpy as np
import pytest
from plots import circuit_sweep, scalar_sweep
from PySide6.QtCore import QPointF

from fairlead.app.document.view_state import Hover
from fairlead.core.sweep import Sweep

pytest_plugins = ["plot_fixtures"]


def swr_of(sweep, index):
    rho = abs(sweep.reflection[index])
    return (1 + rho) / (1 - rho)


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize("index", [12, 150])
def test_the_point_under_the_mouse_is_found_on_the_swr_plot(filled, number, index):
    entry = filled.bench.entries[number]
    at = filled.on_swr(entry.sweep.frequency_hz[index], swr_of(entry.sweep, index))
    filled.swr_mouse.move(at + QPointF(1, -2))
    assert filled.view_state.hover == Hover(entry.key, index)


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize("index", [12, 150])
def test_the_point_under_the_mouse_is_found_on_the_smith_chart(filled, number, index):
    entry = filled.bench.entries[number]
    filled.smith_mouse.move(filled.on_smith(entry.sweep.reflection[index]))
    assert filled.view_state.hover == Hover(entry.key, index)


def test_a_published_point_of_the_chart_is_found_where_it_belongs(plots):
    """Z = 1 + j1 lies at 0.2 + j0.4 (worked in Kulkarni, example 3.5, and Liao, example 3.5.1)."""
    frequency_hz = np.linspace(144e6, 146e6, 3)
    z = np.array([0.2 + 0.2j, 1 + 1j, 5 + 1j])
    plots.add(Sweep(frequency_hz, (z - 1) / (z + 1)))
    plots.smith_mouse.move(plots.on_smith(0.2 + 0.4j))
    # Three points leave open what lies between.
    assert plots.view_state.hover == Hover(plots.bench.entries[0].key, 1, in_gap=True)


def test_between_two_far_points_the_nearer_one_is_meant(plots):
    (key,) = plots.add(circuit_sweep(points=5))
    sweep = plots.bench.entries[0].sweep
    share = 0.4
    hz = (1 - share) * sweep.frequency_hz[1] + share * sweep.frequency_hz[2]
    rho = (1 - share) * abs(sweep.reflection[1]) + share * abs(sweep.reflection[2])
    # On the line, some 60 pixels from either point.
    plots.swr_mouse.move(plots.swr.position_of(hz, rho))
    assert plots.view_state.hover == Hover(key, 1)


def test_far_from_every_curve_nothing_is_hovered(filled):
    entry = filled.bench.entries[0]
    filled.swr_mouse.move(filled.on_swr(entry.sweep.frequency_hz[50], swr_of(entry.sweep, 50)))
    assert filled.view_state.hover is not None
    filled.swr_mouse.move(filled.on_swr(145.2e6, 3.4))
    assert filled.view_state.hover is None


def test_leaving_the_plot_ends_the_hover(filled):
    entry = filled.bench.entries[0]
    filled.smith_mouse.move(filled.on_smith(entry.sweep.reflection[50]))
    assert filled.view_state.hover is not None
    filled.smith_mouse.leave()
    assert filled.view_state.hover is None


def test_hidden_sweeps_cannot_be_hovered_in_either_plot(filled):
    entry = filled.bench.entries[0]
    filled.edits.set_visible([entry.key], is_visible=False)
    # At 140 MHz the two curves lie far apart.
    filled.swr_mouse.move(filled.on_swr(entry.sweep.frequency_hz[0], swr_of(entry.sweep, 0)))
    assert filled.view_state.hover is None or filled.view_state.hover.key != entry.key
    filled.smith_mouse.move(filled.on_smith(entry.sweep.reflection[0]))
    assert filled.view_state.hover is None or filled.view_state.hover.key != entry.key


def test_hiding_the_hovered_sweep_ends_the_hover(filled):
    entry = filled.bench.entries[0]
    filled.smith_mouse.move(filled.on_smith(entry.sweep.reflection[50]))
    filled.edits.set_visible([entry.key], is_visible=False)
    assert filled.view_state.hover is None


def test_a_scalar_sweep_is_hovered_on_the_swr_plot_only(plots):
    (key,) = plots.add(scalar_sweep())
    sweep = plots.bench.entries[0].sweep
    plots.swr_mouse.move(plots.swr.position_of(sweep.frequency_hz[30], sweep.magnitude[30]))
    assert plots.view_state.hover == Hover(key, 30)
    assert plots.swr._marker.isVisible()
    assert not plots.smith._marker.isVisible()


def test_both_plots_mark_the_point_hovered_in_one(filled):
    entry = filled.bench.entries[1]
    filled.swr_mouse.move(filled.on_swr(entry.sweep.frequency_hz[30], swr_of(entry.sweep, 30)))
    on_smith = filled.smith._marker.scenePos()
    assert filled.smith._marker.isVisible()
    assert (on_smith - filled.on_smith(entry.sweep.reflection[30])).manhattanLength() < 1


def test_a_point_above_one_is_marked_on_the_smith_chart_and_nowhere_on_the_swr_plot(plots):
    frequency_hz = np.linspace(140e6, 150e6, 101)
    gamma = np.full(101, 0.5 + 0j)
    gamma[50] = 1.05j
    (key,) = plots.add(Sweep(frequency_hz, gamma))
    plots.smith_mouse.move(plots.on_smith(1.05j))
    assert plots.view_state.hover == Hover(key, 50)
    assert plots.smith._marker.isVisible()
    assert not plots.swr._marker.isVisible()


def test_while_a_handle_is_under_the_mouse_no_point_is_hovered(filled):
    entry = filled.bench.entries[0]
    index = int(np.searchsorted(entry.sweep.frequency_hz, 144e6))
    filled.swr_mouse.move(filled.on_swr(144e6, swr_of(entry.sweep, index)))
    assert filled.view_state.hover is None


def test_the_readout_says_the_figures_of_the_point(filled):
    """The closed form of the circuit: at f0 the SWR is 50 / 40 and the impedance 40 ohm."""
    entry = filled.bench.entries[0]
    filled.view_state.set_hover(Hover(entry.key, 100))
    assert filled.swr._marker._lines == ("145.000 MHz, SWR 1.25",)
    assert filled.smith._marker._lines == ("145.000 MHz", "40.0 + j0.0 Ω")
