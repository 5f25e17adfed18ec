"""Clicks move onto grid lines to a part of a pixel, and only onto lines."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.picture_trace.snap import snapped


def grid(x=60.3, y=80.8, paper=250.0, ink=120.0):
    """One upright and one level line, antialiased, in a picture of 120 by 160."""
    picture = np.full((160, 120, 3), paper)
    down, across = np.mgrid[:160, :120] + 0.5
    for distance in (np.abs(across - x), np.abs(down - y)):
        share = np.clip(1.0 - distance, 0, 1)[..., None]
        picture = picture * (1 - share) + ink * share
    return np.rint(picture).astype(np.uint8)


def test_both_coordinates_go_to_their_line():
    found = snapped(grid(), 57.0, 84.0)
    assert (found.is_x_snapped, found.is_y_snapped) == (True, True)
    assert (found.x, found.y) == (pytest.approx(60.3, abs=0.06), pytest.approx(80.8, abs=0.06))


def test_each_coordinate_alone():
    found = snapped(grid(), 57.0, 30.0)
    assert (found.is_x_snapped, found.is_y_snapped) == (True, False)
    assert found.y == 30.0


def test_near_the_picture_s_edge_half_a_window_is_enough():
    assert snapped(grid(), 58.0, 4.0).is_x_snapped


def test_nothing_near_moves_nothing():
    assert snapped(grid(), 20.0, 30.0) == snapped(np.full((50, 50, 3), 9, np.uint8), 20.0, 30.0)
    assert snapped(grid(), 500.0, 30.0).x == 500.0


def test_the_corner_of_a_frame_is_a_corner():
    picture = grid()
    picture[:80, :] = 250
    picture[:, :60] = 250
    found = snapped(picture, 62.0, 79.0)
    assert found.is_x_snapped
    assert found.is_y_snapped
    assert (found.x, found.y) == (pytest.approx(60.3, abs=0.5), pytest.approx(80.8, abs=0.5))


def test_a_shaded_area_is_no_line():
    picture = np.full((160, 120, 3), 250, np.uint8)
    picture[:, 50:80] = 200
    assert not snapped(picture, 52.0, 30.0).is_x_snapped
