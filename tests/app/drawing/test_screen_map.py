"""From values to pixels and back, and round steps."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.app.drawing.screen_map import ScreenMap, round_step


def test_corners_and_middle():
    screen = ScreenMap.between((140e6, 150e6), (0.0, 0.5), (500, 200))
    assert (screen.x(140e6), screen.x(150e6)) == (0, 500)
    # Pixels count downwards.
    assert (screen.y(0.0), screen.y(0.5), screen.y(0.25)) == (200, 0, 100)
    assert (screen.right, screen.top) == (150e6, 0.5)
    assert (screen.x_value(250), screen.y_value(100)) == (145e6, 0.25)


def test_a_plot_without_size_has_a_map_all_the_same():
    screen = ScreenMap.between((0, 1), (0, 1), (0, 0))
    assert screen.x(0.5) == 0.5


@pytest.mark.parametrize(
    ("size", "step"),
    [
        *((1, 1), (1.99, 1), (2, 2), (4.99, 2), (5, 5), (9.99, 5), (10, 10), (14_700, 10_000)),
        *((0.002, 0.002), (0.0049, 0.002), (0.03, 0.02), (0.1, 0.1), (20_800, 20_000)),
    ],
)
def test_round_steps(size, step):
    assert round_step(size) == pytest.approx(step, rel=1e-12)


@given(st.floats(1e-6, 1e9))
def test_a_round_step_is_never_above_and_never_far_below(size):
    assert size / 2.6 < round_step(size) <= size * (1 + 1e-8)
