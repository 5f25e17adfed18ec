"""Panning and zooming change what is looked at and never the document."""

from __future__ import annotations

import pytest
from mouse import MIDDLE
from plots import circuit_sweep
from PySide6.QtCore import QPointF, Qt

pytest_plugins = ["plot_fixtures"]

CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def unchanged(filled):
    """The plots; afterwards it is made sure that the document was left alone."""
    before = filled.bench
    yield filled
    assert filled.bench is before
    assert filled.undo_steps == 0
    assert not filled.edits.is_in_gesture


def test_dragging_the_ground_takes_the_frequency_along(unchanged):
    start = unchanged.on_swr(148e6, 3.2)
    unchanged.swr_mouse.drag([start, start + QPointF(-20, 5), start + QPointF(-90, 30)])
    moved = unchanged.on_swr(148e6, 3.2)
    assert moved.x() == pytest.approx(start.x() - 90, abs=0.01)
    # SWR 1 stays at the lower border.
    assert moved.y() == pytest.approx(start.y(), abs=0.01)


def test_dragging_inside_the_band_pans_too(unchanged):
    start = unchanged.on_swr(145e6, 3.2)
    unchanged.swr_mouse.drag([start, start + QPointF(50, 0)])
    assert unchanged.on_swr(145e6, 3.2).x() == pytest.approx(start.x() + 50, abs=0.01)


def test_the_middle_button_pans_even_over_an_edge(unchanged):
    start = unchanged.edge_at("low")
    unchanged.swr_mouse.drag([start, start + QPointF(40, 0)], MIDDLE)
    assert unchanged.edge_at("low").x() == pytest.approx(start.x() + 40, abs=0.01)


def test_the_wheel_zooms_around_the_frequency_under_the_mouse(unchanged):
    at = unchanged.on_swr(147e6, 2.5)
    scale = unchanged.swr._screen.x_scale
    unchanged.swr_mouse.wheel(at, 2)
    # A quarter more a notch.
    assert unchanged.swr._screen.x_scale == pytest.approx(scale * 1.25**2)
    assert unchanged.on_swr(147e6, 2.5).x() == pytest.approx(at.x(), abs=0.01)
    unchanged.swr_mouse.wheel(at, -2)
    assert unchanged.swr._screen.x_scale == pytest.approx(scale)


def test_ctrl_and_the_wheel_change_the_top_of_the_swr_axis_and_never_its_foot(unchanged):
    screen = unchanged.swr._screen
    unchanged.swr_mouse.wheel(unchanged.on_swr(147e6, 2.5), 3, CTRL)
    now = unchanged.swr._screen
    assert now.top < screen.top
    for _ in range(30):
        unchanged.swr_mouse.wheel(unchanged.on_swr(147e6, 1.05), -4, CTRL)
    now = unchanged.swr._screen
    # |G| = 1 is infinite SWR and stays above the plot.
    assert screen.top < now.top < 1
    assert (now.bottom, now.x_scale) == (0, screen.x_scale)


def test_a_double_click_shows_everything_again(unchanged):
    screen = unchanged.swr._screen
    unchanged.swr_mouse.wheel(unchanged.on_swr(147e6, 2.5), 5)
    unchanged.swr_mouse.double_click(unchanged.on_swr(147.2e6, 3.2))
    assert unchanged.swr._screen == screen


def test_the_sweeps_cannot_be_lost_by_panning(unchanged):
    start = unchanged.on_swr(148e6, 3.2)
    unchanged.swr_mouse.drag([start, start + QPointF(5000, 0)])
    assert unchanged.swr._screen.left < 150e6
    assert unchanged.swr._screen.right > 140e6


def test_the_smith_chart_pans_and_zooms_around_the_mouse_and_stays_round(unchanged):
    at = unchanged.on_smith(0.3 - 0.4j)
    unchanged.smith_mouse.wheel(at, 4)
    assert (unchanged.on_smith(0.3 - 0.4j) - at).manhattanLength() < 0.01
    screen = unchanged.smith._screen
    assert screen.x_scale == pytest.approx(screen.y_scale)
    unchanged.smith_mouse.drag([at, at + QPointF(33, -21)])
    moved = unchanged.on_smith(0.3 - 0.4j) - at
    assert (moved.x(), moved.y()) == (pytest.approx(33, abs=0.01), pytest.approx(-21, abs=0.01))
    unchanged.smith_mouse.double_click(at)
    assert unchanged.smith._screen.x_value(unchanged.smith._screen.width / 2) == pytest.approx(0)


def test_zoom_to_band_shows_the_band_in_both_plots(unchanged):
    unchanged.swr.zoom_to_band()
    screen = unchanged.swr._screen
    assert 143e6 < screen.left < 144e6
    assert 146e6 < screen.right < 147e6
    unchanged.smith.zoom_to_band()
    screen = unchanged.smith._screen
    for entry in unchanged.bench.entries:
        sweep = entry.sweep
        inside = (sweep.frequency_hz >= 144e6) & (sweep.frequency_hz <= 146e6)
        gamma = sweep.reflection[inside]
        assert ((gamma.real > screen.left) & (gamma.real < screen.right)).all()
        assert ((gamma.imag > screen.bottom) & (gamma.imag < screen.top)).all()
    assert screen.right - screen.left < 1


@pytest.mark.parametrize("name", ["swr", "smith"])
def test_zoom_in_and_out_are_each_others_inverse(unchanged, name):
    plot = getattr(unchanged, name)
    scale = plot._screen.x_scale
    plot.zoom_in()
    assert plot._screen.x_scale == pytest.approx(1.3 * scale)
    plot.zoom_out()
    assert plot._screen.x_scale == pytest.approx(scale)


@pytest.mark.parametrize("name", ["swr", "smith"])
def test_zooming_stops_somewhere_in_both_directions(unchanged, name):
    plot, mouse = getattr(unchanged, name), getattr(unchanged, f"{name}_mouse")
    middle = QPointF(plot.viewport().width() / 2, plot.viewport().height() / 2)
    for notches in (40, -80):
        for _ in range(6):
            mouse.wheel(middle, notches)
        scale = plot._screen.x_scale
        mouse.wheel(middle, notches / 40)
        assert plot._screen.x_scale == pytest.approx(scale)


def test_a_zoomed_view_is_kept_when_sweeps_come_and_an_unzoomed_one_follows(filled):
    filled.swr_mouse.wheel(filled.on_swr(147e6, 2.5), 2)
    screen = filled.swr._screen
    filled.add(circuit_sweep(144e6))
    assert filled.swr._screen == screen
    filled.swr.zoom_to_fit()
    filled.edits.remove([entry.key for entry in filled.bench.entries])
    assert filled.swr._screen.left < 144e6
    assert filled.swr._screen.right > 146e6


def half_of(plot):
    """Half the shorter side of what the chart shows, as |reflection|."""
    screen = plot._screen
    return min(screen.width, screen.height) / 2 / screen.y_scale


def test_the_chart_fits_curves_and_limit_circle_around_its_centre(plots):
    plots.add(circuit_sweep(145e6, 48.0, 1.5))
    largest = abs(plots.bench.entries[0].sweep.reflection).max()
    assert largest < 1 / 3  # the circle of SWR 2
    assert half_of(plots.smith) == pytest.approx(1.12 / 3)
    assert plots.smith.position_of(0, 0).x() == pytest.approx(plots.smith.width() / 2, abs=1)
    # A circle that is still in view moves nothing; one that is not brings itself into view.
    plots.edits.set_limit(2.1)
    assert half_of(plots.smith) == pytest.approx(1.12 / 3)
    plots.edits.set_limit(3.0)
    assert half_of(plots.smith) == pytest.approx(1.12 / 2)


def test_the_whole_chart_is_one_command_away_and_shown_where_curves_reach_the_rim(plots):
    plots.add(circuit_sweep(145e6, 48.0, 1.5))
    plots.smith.show_whole_chart()
    assert half_of(plots.smith) > 1
    assert not plots.smith.is_fitted
    plots.smith.zoom_to_fit()
    assert half_of(plots.smith) < 0.5
    plots.add(circuit_sweep(149e6, 10.0, 30.0))
    assert half_of(plots.smith) > 1
