"""Curves that a what-if moves are where laying them out anew would put them, only sooner."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from plots import Pixels, circuit_sweep

from fairlead.app.document.edits import Edits
from fairlead.app.document.keyed_model import KeyedModel
from fairlead.app.plots.pens import curve_pen, mix
from fairlead.core.document.entry import Style
from fairlead.core.document.planes import line_step
from fairlead.core.feed_line import FeedLine

pytest_plugins = ["plot_fixtures"]


@pytest.fixture
def moving(plots):
    """Both plots within a what-if gesture, the sweep drawn dashed already."""
    plots.add(circuit_sweep(144e6, 20.0, 9.0, 801, 0.002, 1))
    keys = [entry.key for entry in plots.bench.entries]
    plots.edits.begin_gesture()
    plots.edits.drag_shift(keys, 0.5)
    plots.edits.drag_shift(keys, 0.7)
    return plots


def move(plots, percent):
    plots.edits.drag_shift([entry.key for entry in plots.bench.entries], percent)


def test_a_moved_line_is_where_the_sweep_would_be_drawn(moving):
    curves = moving.swr._curves
    for before, after in pairwise((0.7, -0.9, 1.4)):
        move(moving, after)
        assert curves.only_moved, (before, after)
        (curve,) = curves
        line = curves.line(curve)
        x, y = curves.pixels(curve, line.index)
        np.testing.assert_allclose(line.x, x, atol=1e-6)
        np.testing.assert_allclose(line.y, y, atol=1e-6)
        np.testing.assert_allclose(line.lots[0].min(), line.x.min())


def test_the_chart_is_painted_in_parts_as_it_would_be_as_a_whole(moving):
    for percent in (0.75, 0.4, -0.6, -0.2):
        move(moving, percent)
        moving.smith.viewport().repaint()
    parts = Pixels(moving.smith).image
    moving.smith._in_band.renew()
    moving.smith.viewport().repaint()
    assert Pixels(moving.smith).image == parts


def test_anything_else_that_changes_is_no_mere_move(moving):
    move(moving, 0.3)
    assert moving.swr._curves.only_moved
    moving.edits.end_gesture()
    moving.edits.change_style([moving.bench.entries[0].key])
    assert not moving.swr._curves.only_moved


def test_the_plot_is_exact_again_when_the_hand_rests(moving, qtbot):
    move(moving, 0.3)
    assert not moving.swr._curves.is_fine
    qtbot.waitUntil(lambda: moving.swr._curves.is_fine, timeout=5000)


def test_a_curve_seen_through_a_line_is_rough_in_motion_and_exact_at_rest(plots, qtbot):
    """It is another curve at every step: the delay of the line does not move with the antenna."""
    plots.add(circuit_sweep(144e6, 20.0, 9.0, 801, 0.002, 1))
    key = plots.bench.entries[0].key
    line = line_step("feed", FeedLine(""), 3.0)
    plots.document.apply(plots.bench.with_step(key, line))
    plots.edits.begin_gesture()
    for percent in (0.5, 0.7):
        move(plots, percent)
        both = (plots.swr._curves, plots.smith._curves)
        assert not any(curves.only_moved or curves.is_fine for curves in both)
    qtbot.waitUntil(lambda: all(curves.is_fine for curves in both), timeout=5000)
    (curve,) = plots.smith._curves
    x, y = plots.smith._curves.pixels(curve, plots.smith._curves.line(curve).index)
    np.testing.assert_allclose(plots.smith._curves.line(curve).x, x)
    np.testing.assert_allclose(plots.smith._curves.line(curve).y, y)


def test_a_hasty_pen_is_a_pixel_wide_with_dashes_as_long():
    colour = mix("#000000", "#ffffff", 1.0)
    usual, hasty = (curve_pen(colour, 2.5, Style(0, 1, 0), is_hasty=one) for one in (False, True))
    assert (hasty.widthF(), hasty.isCosmetic()) == (1.0, True)
    lengths = [[part * pen.widthF() for part in pen.dashPattern()] for pen in (usual, hasty)]
    assert lengths[0] == pytest.approx(lengths[1])


def test_a_table_follows_a_hurried_change_later_and_any_other_at_once(moving, qtbot):
    model = KeyedModel(moving.document)
    key = moving.bench.entries[0].key
    move(moving, 1.1)
    assert model.entry_at(0) is not moving.bench.entry(key)
    qtbot.waitUntil(lambda: model.entry_at(0) is moving.bench.entry(key), timeout=5000)
    move(moving, 1.2)
    moving.edits.end_gesture()
    Edits(moving.document).rename(key, "other")
    assert model.entry_at(0) is moving.bench.entry(key)
