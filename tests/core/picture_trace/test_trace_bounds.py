"""Without a search area a curve ends at the plot's frame, even at one of its own colour."""

from __future__ import annotations

import numpy as np
import pytest
from test_trace_follow import drawn

from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.bounds import Bounds
from fairlead.core.picture_trace.trace import Curve, PictureTrace, follow

INK = (20, 20, 20)
LEFT, RIGHT, TOP, BOTTOM = 40, 360, 20, 200


def curve(x):
    """SWR 1 is at row 190; the curve leaves the frame on its left and right."""
    return 180 - ((x - 200) / 16) ** 2


def picture(grid=(), *, has_numbers=False, is_tilted=False):
    """The curve inside a frame, with upright lines and numbers of its own colour."""
    whole = drawn(curve, colour=INK)
    whole[:, :LEFT] = whole[:, RIGHT:] = 255
    for x in (LEFT, RIGHT - 2, *grid):
        whole[TOP:BOTTOM, x : x + 2] = INK
    for y in (TOP, BOTTOM - 2):
        whole[y : y + 2, LEFT:RIGHT] = INK
    if is_tilted:
        # As in a scan: the sides lean by three pixels.
        for y in range(TOP, BOTTOM):
            lean = round(3 * (y - TOP) / (BOTTOM - TOP))
            whole[y, LEFT : LEFT + 2] = whole[y, RIGHT - 2 : RIGHT] = 255
            whole[y, [LEFT + lean - 1, LEFT + lean, RIGHT - lean - 1, RIGHT - lean]] = INK
    if has_numbers:
        for x in (RIGHT + 4, RIGHT + 12, RIGHT + 20, LEFT - 24, LEFT - 16, LEFT - 8):
            whole[BOTTOM + 6 : BOTTOM + 14, x : x + 6] = INK
            whole[TOP + 4 : TOP + 6, x : x + 6] = INK
    return whole.astype(np.uint8)


def found_in(pixels, at=(80, 320), region=None):
    low, high = at
    frequency = FrequencyAxis((AxisPoint(low, 190, 51e6, 0.2), AxisPoint(high, 190, 53e6, 0.2)))
    swr = ValueAxis("swr", (AxisPoint(low, 190, 1.0, 0.2), AxisPoint(low, 40, 4.0, 0.2)))
    clicked = Curve(clicks=((150.0, float(curve(150.0))),))
    return follow(pixels, PictureTrace("", 0, 0, frequency, (swr,), (clicked,), None, region), 0)


@pytest.mark.parametrize("at", [(80, 320), (41, 359)], ids=["inside the frame", "on the frame"])
@pytest.mark.parametrize("is_tilted", [False, True], ids=["upright", "leaning"])
def test_nothing_is_found_beyond_a_frame_of_the_curve_s_colour(at, is_tilted):
    found = found_in(picture(has_numbers=True, is_tilted=is_tilted), at)
    x, y = found.places.T
    assert (x.min(), x.max()) == pytest.approx((LEFT + 2, RIGHT - 2), abs=2.5)
    assert np.abs(y - curve(x)).max() < 1
    assert not found.is_lost_after.any()


def test_a_search_area_is_the_person_s_own_word():
    pixels = drawn(curve, colour=INK).astype(np.uint8)
    pixels[TOP:BOTTOM, RIGHT : RIGHT + 2] = INK
    assert found_in(pixels).places[:, 0].max() < RIGHT
    assert found_in(pixels, region=(0, 0, 400, 240)).places[:, 0].max() > 390


def test_a_grid_of_the_curve_s_colour_ends_nothing():
    found = found_in(picture(grid=(120, 200, 280)), (120, 280))
    # Searched are the known points and 35 % of their width on either side.
    assert found.places[[0, -1], 0] == pytest.approx((64.5, 335.5), abs=1)


def bounds(low, high):
    known = np.array([[low, 10.0], [high, 90.0]])
    return Bounds(known, np.ones(100, dtype=np.bool_))


def test_a_path_down_an_upright_line_is_lost_from_there_on():
    lines, slopes = np.array([5, 50, 90]), np.zeros(100)
    slopes[88:91], slopes[49:52], slopes[4:7] = 12.0, 12.0, -12.0
    lost = np.flatnonzero(bounds(20.0, 80.0).along_lines(lines, slopes, 100))
    assert lost.tolist() == [*range(7), *range(88, 100)]
    # A steep curve that only crosses the line.
    slopes[:] = 1.0
    assert not bounds(20.0, 80.0).along_lines(lines, slopes, 100).any()


def test_a_frame_with_known_points_in_one_row_is_still_a_line():
    plain = np.zeros((100, 60))
    plain[:, 50] = 1.0
    level = Bounds(np.array([[10.0, 99.9], [40.0, 99.9]]), np.ones(100, dtype=np.bool_))
    assert level.upright_lines(plain).tolist() == [49, 50, 51]
    assert bounds(10.0, 40.0).upright_lines(plain).tolist() == [49, 50, 51]
