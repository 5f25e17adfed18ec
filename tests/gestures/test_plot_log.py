"""The logarithmic frequency axis: places, edges, hover, zoom, numbers, and back again."""

from __future__ import annotations

import math

import numpy as np
import pytest
from circuits import SeriesCircuit
from mouse import press_key, release_key, run_events, tap_key
from PySide6.QtCore import QPointF, Qt

from fairlead.app.drawing.screen_map import LogScreenMap
from fairlead.core.bands import Band
from fairlead.core.sweep import Sweep

pytest_plugins = ["plot_fixtures"]

HZ = np.geomspace(1e6, 100e6, 401)


@pytest.fixture
def wide(filled):
    """Two decades on a logarithmic axis, the band in the middle decade."""
    filled.edits.remove([entry.key for entry in filled.bench.entries])
    filled.add(Sweep(HZ, SeriesCircuit(10e6, 40.0, 3.0).reflection(HZ)))
    filled.edits.set_band(Band(7e6, 14e6))
    filled.view_state.set_log_frequency(is_log=True)
    run_events()
    filled.forget_history()
    return filled


def x_of(plots, hz):
    return plots.swr._screen.x(hz)


def test_each_octave_has_the_same_width_and_pixels_lead_back(wide):
    screen = wide.swr._screen
    assert isinstance(screen, LogScreenMap)
    octaves = np.diff([x_of(wide, hz) for hz in (2e6, 4e6, 8e6, 16e6, 32e6)])
    assert octaves == pytest.approx(octaves[0])
    assert screen.left < 1e6
    assert screen.right > 100e6
    assert screen.x_value(x_of(wide, 7.1e6)) == pytest.approx(7.1e6)
    assert screen.x(np.array([screen.left, screen.right])) == pytest.approx([0, screen.width])
    assert screen.x(0.0) < -1000


def test_the_numbers_stand_where_their_frequencies_are(wide):
    ticks = wide.swr._item.getAxis("bottom")._tickLevels
    numbered = {text: place for place, text in ticks[0]}
    assert {"1", "10", "100"} <= set(numbered)
    for text, place in numbered.items():
        assert 10**place == pytest.approx(float(text) * 1e6)
    assert len(ticks[1]) > len(numbered)


@pytest.mark.parametrize(("edge", "way"), [("low", -60), ("high", 50)])
def test_an_edge_goes_as_the_mouse_goes(wide, edge, way):
    start = wide.edge_at(edge)
    wide.swr_mouse.drag([start, start + QPointF(way / 2, 0), start + QPointF(way, 0)])
    moved = wide.edge_at(edge)
    assert moved.x() == pytest.approx(start.x() + way, abs=1.0)
    assert wide.undo_steps == 1
    wide.edits.undo()
    assert wide.bench.band == Band(7e6, 14e6)


def test_a_key_moves_an_edge_by_about_a_pixel(wide):
    wide.smith.setFocus()
    wide.swr.setFocus(Qt.FocusReason.TabFocusReason)
    before = x_of(wide, wide.bench.band.low_hz)
    press_key(wide.swr, Qt.Key.Key_Right)
    release_key(wide.swr, Qt.Key.Key_Right)
    # A 500th of the view, rounded down to 1, 2 or 5.
    step = x_of(wide, wide.bench.band.low_hz) - before
    assert wide.swr._screen.width / 1300 < step <= wide.swr._screen.width / 490


def test_a_marker_goes_as_the_mouse_goes(wide):
    wide.swr.marker_dragged.connect(wide.edits.drag_marker)
    wide.edits.add_marker(40e6)
    start = QPointF(x_of(wide, 40e6), 60) + wide.swr._origin()
    wide.swr_mouse.drag([start, start + QPointF(20, 0), start + QPointF(40, 0)])
    moved_hz = wide.bench.markers[0].frequency_hz
    assert x_of(wide, moved_hz) == pytest.approx(x_of(wide, 40e6) + 40, abs=1.0)


def test_the_mouse_finds_the_point_under_it_and_points_at_its_frequency(wide):
    curve = next(iter(wide.swr._curves))
    at = QPointF(*wide.swr._curves.pixel(curve, 190)) + wide.swr._origin()
    assert at.x() - wide.swr._origin().x() == pytest.approx(x_of(wide, HZ[190]))
    wide.swr_mouse.move(at)
    assert wide.view_state.hover.index == 190
    assert wide.view_state.pointed_hz == HZ[190]
    free = QPointF(x_of(wide, 60e6), 12) + wide.swr._origin()
    wide.swr_mouse.move(free)
    assert wide.view_state.hover is None
    assert x_of(wide, wide.view_state.pointed_hz) == pytest.approx(x_of(wide, 60e6), abs=1.5)


def test_wheel_and_drag_keep_what_is_under_the_mouse(wide):
    at = wide.on_swr(20e6, 2.5)
    wide.swr_mouse.wheel(at, 2)
    assert wide.on_swr(20e6, 2.5).x() == pytest.approx(at.x(), abs=0.01)
    wide.swr_mouse.drag([at, at + QPointF(-30, 0), at + QPointF(-80, 0)])
    assert wide.on_swr(20e6, 2.5).x() == pytest.approx(at.x() - 80, abs=0.01)
    for _ in range(60):
        wide.swr_mouse.wheel(at, -3)
    assert wide.swr._screen.right / wide.swr._screen.left < 1e8
    for _ in range(90):
        wide.swr_mouse.wheel(at, 4)
    assert wide.swr._screen.right - wide.swr._screen.left > 900


def test_the_band_fills_the_view_with_a_margin_and_everything_comes_back(wide):
    wide.swr.zoom_to_band()
    margin = 2**0.15
    screen = wide.swr._screen
    assert (screen.left, screen.right) == pytest.approx((7e6 / margin, 14e6 * margin))
    wide.swr.zoom_to_fit()
    assert wide.swr._screen.left < 1e6


def test_the_view_stays_when_the_axis_changes_and_a_fit_stays_a_fit(wide):
    wide.swr.zoom_to_band()
    low_hz, high_hz = wide.swr._screen.left, wide.swr._screen.right
    wide.view_state.set_log_frequency(is_log=False)
    assert not isinstance(wide.swr._screen, LogScreenMap)
    assert (wide.swr._screen.left, wide.swr._screen.right) == pytest.approx((low_hz, high_hz))
    assert 1 / wide.swr._screen.x_scale == pytest.approx(
        (high_hz - low_hz) / wide.swr._screen.width
    )
    wide.swr.zoom_to_fit()
    wide.view_state.set_log_frequency(is_log=True)
    assert wide.swr.is_fitted
    assert math.log10(1e6 / wide.swr._screen.left) == pytest.approx(0.02 * 2, rel=0.01)


def test_shares_of_the_best_match_stay_on_a_linear_axis(wide):
    from fairlead.core.views.shape import SHAPE  # noqa: PLC0415
    from fairlead.core.views.swr import SWR  # noqa: PLC0415

    wide.view_state.set_quantity(SHAPE)
    assert not isinstance(wide.swr._screen, LogScreenMap)
    wide.view_state.set_quantity(SWR)
    assert isinstance(wide.swr._screen, LogScreenMap)
    wide.swr.setFocus()
    tap_key(wide.swr, Qt.Key.Key_Right)
    assert wide.view_state.hover is not None


def test_a_what_if_slides_along_the_axis(wide):
    key = wide.bench.entries[0].key
    curve = next(iter(wide.swr._curves))
    before = wide.swr._curves.line(curve)
    wide.edits.begin_gesture()
    wide.edits.drag_shift([key], 10.0)
    moved = wide.swr._curves.line(next(iter(wide.swr._curves)))
    # In a gesture the curve is painted with fewer points: its dip and its ends are the same.
    dip = moved.x[moved.y.argmax()] - before.x[before.y.argmax()]
    ends = moved.x[[0, -1]] - before.x[[0, -1]]
    assert [dip, *ends] == pytest.approx([math.log10(1.1) * wide.swr._screen.x_scale] * 3, abs=0.6)
    wide.edits.cancel_gesture()


def test_no_point_is_far_from_the_line_that_is_drawn(wide):
    """Points are left out where the line passes near them, on this axis and not on the other."""
    curve = next(iter(wide.swr._curves))
    line = wide.swr._curves.line(curve)
    x, y = np.array([wide.swr._curves.pixel(curve, i) for i in range(HZ.size)]).T
    away = np.abs(np.interp(x, line.x, line.y) - y)
    inside = (y > 0) & (y < wide.swr._screen.height)
    assert away[inside].max() < 1.0
