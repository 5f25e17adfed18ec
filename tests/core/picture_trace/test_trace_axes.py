"""Axes fitted to clicks: upright, turned, at an angle, from corners, and what is no axis."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.axes_fit import fit_axes, moved_fits
from fairlead.core.picture_trace.colour import oklab
from fairlead.core.picture_trace.monotone import Monotone
from fairlead.core.picture_trace.straighten import (
    carried,
    check_corners,
    homography,
    rectangle_of,
    sampled,
    straightened,
)

CORNERS = ((40.0, 30.0), (620.0, 70.0), (600.0, 420.0), (60.0, 470.0))
PLOT = np.array([[0, 0], [600, 0], [600, 400], [0, 400]], dtype=float)


def axes(place, hertz=(50e6, 51e6, 52e6, 53e6, 54e6), ratios=(1, 2, 3, 4, 5), **scales):
    """Both axes clicked along the lower and the left edge, and twice inside."""
    low, high = hertz[0], hertz[-1]
    top, base = ratios[-1], ratios[0]

    def at(hz, ratio):
        point = np.array([[600 * (hz - low) / (high - low), 400 * (top - ratio) / (top - base)]])
        return place(point)[0].tolist()

    across = [AxisPoint(*at(hz, base + 0.2 * (index % 2)), hz) for index, hz in enumerate(hertz)]
    across += [AxisPoint(*at(hertz[1], top), hertz[1]), AxisPoint(*at(hertz[3], top), hertz[3])]
    down = [AxisPoint(*at(low, ratio), ratio) for ratio in ratios]
    down += [AxisPoint(*at(high, ratios[1]), ratios[1]), AxisPoint(*at(high, top), top)]
    return FrequencyAxis(tuple(across)), ValueAxis("swr", tuple(down), **scales)


def turned(points, degrees=5.0):
    angle = np.radians(degrees)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return points @ turn.T + 30


@pytest.mark.parametrize(
    ("place", "model"),
    [
        (lambda points: points + 20, "upright"),
        (turned, "turned"),
        (lambda points: carried(homography(PLOT, np.array(CORNERS)), points), "angled"),
    ],
)
def test_the_simplest_view_that_explains_the_clicks_is_taken(place, model):
    fit = fit_axes(*axes(place))
    assert fit.model == model
    assert fit.residual_px < 1e-6
    middle = place(np.array([[300.0, 200.0]]))
    assert fit.frequency_hz(middle) == pytest.approx([52e6])
    assert fit.value(middle) == pytest.approx([3.0])
    assert fit.pixels(np.array([52e6]), np.array([3.0])) == pytest.approx(middle)


def test_corners_decide_the_view_with_two_points_an_axis():
    def place(points):
        return carried(homography(PLOT, np.array(CORNERS)), points)

    frequency, swr = axes(place)
    few = FrequencyAxis(frequency.points[::4][:2]), replace(swr, points=swr.points[::4][:2])
    fit = fit_axes(*few, CORNERS)
    assert fit.model == "corners"
    assert fit.residual_px == 0
    assert fit.value(place(np.array([[300.0, 200.0]]))) == pytest.approx([3.0])
    moved = moved_fits(*few, CORNERS, fit)
    assert len(moved) == 2 * 4 + 8
    assert {one.model for one in moved} == {"corners"}


def test_logarithmic_axes():
    frequency = FrequencyAxis((AxisPoint(0, 9, 1e6), AxisPoint(200, 9, 100e6)), "log")
    swr = ValueAxis("swr", (AxisPoint(9, 100, 1), AxisPoint(9, 0, 10)), "log")
    fit = fit_axes(frequency, swr)
    middle = np.array([[100.0, 50.0]])
    assert fit.frequency_hz(middle) == pytest.approx([10e6])
    assert fit.value(middle) == pytest.approx([10**0.5])
    assert fit.pixels(np.array([10e6]), np.array([10**0.5])) == pytest.approx(middle)


def test_a_free_axis_runs_through_its_points_and_back():
    frequency = FrequencyAxis((AxisPoint(0, 9, 1e6), AxisPoint(200, 9, 3e6)))
    rows = (100.0, 60.0, 30.0, 10.0, 0.0)
    ratios = (1.0, 1.5, 2.0, 3.0, 5.0)
    points = tuple(AxisPoint(9, y, s) for y, s in zip(rows, ratios, strict=True))
    fit = fit_axes(frequency, ValueAxis("swr", points, "free"))
    places = np.stack([np.full(5, 50.0), rows], axis=1)
    assert fit.value(places) == pytest.approx(ratios)
    assert fit.pixels(np.full(3, 1.5e6), np.array([1.2, 2.5, 4.0]))[:, 0] == pytest.approx([50] * 3)
    again = fit.value(fit.pixels(np.full(3, 1.5e6), np.array([1.2, 2.5, 4.0])))
    assert again == pytest.approx([1.2, 2.5, 4.0])


def test_the_monotone_curve_is_the_published_one():
    """Scipy's PCHIP has the same slopes between its ends (Fritsch and Butland, 1984)."""
    places = np.array([0.0, 3, 4, 8, 9, 15])
    values = np.array([1.0, 1.1, 3, 3.2, 6, 7])
    ours = Monotone.through(places[::-1], values[::-1])
    at = np.linspace(3, 9, 50)
    assert ours.forth(at) == pytest.approx(PchipInterpolator(places, values)(at))
    beyond = ours.forth(np.array([-1.0, 16.0]))
    assert beyond == pytest.approx([1 - 0.1 / 3, 7 + 1 / 6])


def test_residuals_tell_which_click_is_off():
    frequency, swr = axes(lambda points: points + 20)
    wrong = replace(swr.points[2], y=swr.points[2].y + 4)
    swr = replace(swr, points=(*swr.points[:2], wrong, *swr.points[3:]))
    fit = fit_axes(frequency, swr)
    assert np.abs(fit.residuals_px).argmax() == len(frequency.points) + 2
    assert 0.5 < fit.residual_px < 3


TWO = (AxisPoint(0, 0, 50e6), AxisPoint(100, 0, 54e6))
SWRS = (AxisPoint(0, 90, 1.0), AxisPoint(0, 0, 3.0))


@pytest.mark.parametrize(
    ("frequency", "values", "words"),
    [
        (FrequencyAxis(TWO, "free"), ValueAxis("swr", SWRS), "linear or logarithmic"),
        (FrequencyAxis((AxisPoint(0, 0, 0.0), TWO[1])), ValueAxis("swr", SWRS), "zero or negative"),
        (FrequencyAxis(TWO[:1]), ValueAxis("swr", SWRS), "1 points of known frequency are too few"),
        (FrequencyAxis((TWO[0], TWO[0])), ValueAxis("swr", SWRS), "repeat each other's values"),
        (
            FrequencyAxis((TWO[0], AxisPoint(0.5, 0, 54e6))),
            ValueAxis("swr", SWRS),
            "two points of different frequency are at one place",
        ),
        (
            FrequencyAxis(TWO),
            ValueAxis("swr", (AxisPoint(0, 0, 0.9), SWRS[1])),
            "SWR below 1 does not exist",
        ),
        (
            FrequencyAxis(TWO),
            ValueAxis("reactance_ohm", (AxisPoint(0, 9, -1), SWRS[1]), "log"),
            "a logarithmic axis has no reactance of zero or less",
        ),
        (FrequencyAxis(TWO), ValueAxis("swr", SWRS, "free"), "2 points of known SWR are too few"),
        (
            FrequencyAxis(TWO),
            ValueAxis("swr", (*SWRS, AxisPoint(0, 40, 5.0)), "free"),
            "the values along the axis rise and fall",
        ),
        (
            FrequencyAxis(TWO),
            ValueAxis("swr", (*SWRS, AxisPoint(50, 90.5, 1.5)), "free"),
            "two points of different value are at one place",
        ),
        (
            FrequencyAxis((TWO[0], AxisPoint(0, 50, 54e6))),
            ValueAxis("swr", SWRS),
            "lie on a line across it",
        ),
        (FrequencyAxis(TWO * 60), ValueAxis("swr", SWRS), "more than 100 points"),
        (
            FrequencyAxis((AxisPoint(float("nan"), 0, 1e6), TWO[1])),
            ValueAxis("swr", SWRS),
            "not a finite number",
        ),
        (
            FrequencyAxis((AxisPoint(0, 0, 1e6, 0.0), TWO[1])),
            ValueAxis("swr", SWRS),
            "the uncertainty of a point",
        ),
        (
            FrequencyAxis((*TWO, AxisPoint(50, 0, 53.9e6))),
            ValueAxis("swr", SWRS),
            "contradict each other by",
        ),
    ],
)
def test_what_is_no_axis_is_refused_in_one_line(frequency, values, words):
    with pytest.raises(FairleadError, match=words) as caught:
        fit_axes(frequency, values)
    assert caught.value.advice
    assert "\n" not in str(caught.value)


def test_contradicting_clicks_within_corners_name_the_corners():
    points = (*TWO, AxisPoint(50, 0, 53.9e6))
    square = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    with pytest.raises(FairleadError, match="the corners"):
        fit_axes(FrequencyAxis(points), ValueAxis("swr", SWRS), square)


def test_clicks_all_on_one_line_give_no_homography():
    """Eight points and more, but level and upright lines only: the angle stays unknown."""
    frequency = FrequencyAxis(tuple(AxisPoint(x, 100, 1e6 * (1 + x)) for x in range(0, 250, 50)))
    swr = ValueAxis("swr", tuple(AxisPoint(0, y, 6 - y / 50) for y in range(0, 250, 50)))
    assert fit_axes(frequency, swr).model == "upright"


def test_moved_fits_leave_out_what_no_longer_fits():
    frequency = FrequencyAxis((AxisPoint(0, 0, 50e6, 9.0), AxisPoint(10.5, 0, 54e6, 9.0)))
    swr = ValueAxis("swr", SWRS)
    fit = fit_axes(frequency, swr)
    assert len(moved_fits(frequency, swr, None, fit)) < 8


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (((0, 0), (10, 0), (100, 100), (0, 100)), "less than 20 pixels"),
        (((0, 0), (100, 100), (100, 0), (0, 100)), "no rectangle"),
        (((0, 0), (0, 100), (100, 100), (100, 0)), "no rectangle"),
        (((0, 0), (float("inf"), 0), (100, 100), (0, 100)), "not a finite number"),
    ],
)
def test_corners_of_no_rectangle_are_refused(corners, words):
    with pytest.raises(FairleadError, match=words):
        check_corners(corners)


def test_a_picture_is_made_square():
    matrix, width, height = rectangle_of(CORNERS)
    square = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    assert carried(matrix, np.array(CORNERS)) == pytest.approx(square, abs=1e-6)
    picture = np.zeros((500, 700, 3), dtype=np.uint8)
    y, x = np.mgrid[:500, :700] + 0.5
    inside = carried(matrix, np.stack([x.ravel(), y.ravel()], axis=1)).reshape(500, 700, 2)
    is_left = (inside[..., 0] < width / 2) & (inside[..., 0] > 0)
    picture[is_left] = 255
    found = straightened(picture, CORNERS, margin=0.0)
    assert found.shape == (pytest.approx(height, abs=1), pytest.approx(width, abs=1), 3)
    half = found.shape[1] // 2
    assert found[20:-20, 5 : half - 3].min() == 255
    assert found[20:-20, half + 3 :].max() == 0


def test_sampling_is_linear_and_ends_at_the_edge():
    values = np.arange(6.0).reshape(2, 3, 1)
    points = np.array([[0.5, 0.5], [1.0, 0.5], [1.5, 1.0], [99, 99], [-5, 0]])
    assert sampled(values, points)[:, 0] == pytest.approx([0, 0.5, 2.5, 5, 0])


def test_oklab_has_its_published_values():
    """CSS Color Module Level 4 gives oklab(0.628 0.225 0.126) for sRGB red (from memory)."""
    found = oklab(np.array([[255.0, 255, 255], [0, 0, 0], [255, 0, 0]]))
    assert found[0] == pytest.approx([1, 0, 0], abs=1e-4)
    assert found[1] == pytest.approx([0, 0, 0], abs=1e-9)
    assert found[2] == pytest.approx([0.628, 0.225, 0.126], abs=5e-4)
