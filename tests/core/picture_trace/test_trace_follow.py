"""Curves drawn by numpy, so that every pixel of the truth is known, are followed."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.trace import Curve, PictureTrace, follow

WIDTH, HEIGHT = 400, 240


def drawn(y_of_x, colour=(30, 60, 200), paper=(255, 255, 255), width=2.0, picture=None):
    """An antialiased line over every column."""
    if picture is None:
        picture = np.full((HEIGHT, WIDTH, 3), paper, dtype=np.float64)
    x, y = np.meshgrid(np.arange(WIDTH) + 0.5, np.arange(HEIGHT) + 0.5)
    slope = np.gradient(y_of_x(x[0]))
    distance = np.abs(y - y_of_x(x)) / np.sqrt(1 + slope**2)
    share = np.clip(width / 2 + 0.5 - distance, 0, 1)[..., None]
    return picture * (1 - share) + np.array(colour) * share


def dip(x):
    return 200 - ((x - 180) / 16) ** 2


def traced(picture, *clicks, **more):
    frequency = FrequencyAxis((AxisPoint(0.5, 120, 50e6, 0.2), AxisPoint(399.5, 120, 54e6, 0.2)))
    swr = ValueAxis("swr", (AxisPoint(200, 230, 1.0, 0.2), AxisPoint(200, 10, 5.0, 0.2)))
    curve = Curve(clicks=clicks, **more)
    region = (0, 0, WIDTH, HEIGHT)
    trace = PictureTrace(frequency=frequency, values=(swr,), curves=(curve,), region=region)
    return follow(picture.astype(np.uint8), trace, 0)


def swr_at(y):
    return 1 + 4 * (230 - y) / 220


def test_a_clean_line_is_found_to_a_part_of_a_pixel():
    found = traced(drawn(dip), (180, dip(180)))
    x = found.places[:, 0]
    assert found.frequency_hz == pytest.approx(50e6 + (x - 0.5) / 399 * 4e6)
    near = np.abs(x - 180) < 150
    wrong = found.value - swr_at(dip(x))
    assert np.abs(wrong[near]).max() < 0.01
    assert np.mean(np.abs(wrong) < 1.96 * found.sigma) > 0.9
    assert x.size > 0.97 * np.ptp(x)
    assert not found.is_lost_after.any()


def test_what_is_covered_is_left_out_and_told_as_lost():
    picture = drawn(dip)
    picture[:, 160:210] = 255
    found = traced(picture, (100, dip(100)), (300, dip(300)))
    x = found.places[:, 0]
    assert not ((x > 162) & (x < 208)).any()
    lost = np.flatnonzero(found.is_lost_after)
    assert lost.size == 1
    assert (x[lost[0]], x[lost[0] + 1]) == pytest.approx((159.5, 210.5), abs=3)


def test_another_colour_that_crosses_is_passed_over():
    picture = drawn(lambda x: 220 - x / 2, colour=(200, 40, 30), picture=drawn(dip))
    found = traced(picture, (180, dip(180)))
    x = found.places[:, 0]
    assert np.abs(found.value - swr_at(dip(x))).max() < 0.1


def test_where_nothing_is_drawn_a_click_finds_nothing():
    with pytest.raises(FairleadError, match="nothing stands out"):
        traced(drawn(dip), (180, 40))


def test_a_curve_without_a_click_is_none():
    with pytest.raises(FairleadError, match="no point of the curve"):
        traced(drawn(dip))


def test_a_short_gap_is_bridged_where_the_curve_runs_straight_through_and_not_over_a_dip():
    def sharp(x):
        return 200 - np.abs(x - 200) * 0.9

    picture = drawn(sharp)
    picture[:, 100:108] = 255
    picture[:, 196:204] = 255
    picture[:, 392:397] = 255
    found = traced(picture, (60, sharp(60)), (300, sharp(300)))
    lost = found.places[np.flatnonzero(found.is_lost_after), 0]
    assert lost[0] == pytest.approx(195.5, abs=2)
    assert not (np.abs(lost - 100) < 10).any()
