"""A curve of which too little is known becomes no sweep, with the figure and a way out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from test_trace_follow import HEIGHT, WIDTH, dip, drawn

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.sweeps import traced_sweeps
from fairlead.core.picture_trace.trace import Curve, PictureTrace

SWR = ValueAxis("swr", (AxisPoint(200, 230, 1.0, 0.2), AxisPoint(200, 10, 5.0, 0.2)))
FREQUENCY = FrequencyAxis((AxisPoint(0.5, 120, 50e6, 0.2), AxisPoint(399.5, 120, 54e6, 0.2)))
TRACE = PictureTrace(frequency=FREQUENCY, values=(SWR,), region=(0, 0, WIDTH, HEIGHT))


def hidden(low, high):
    picture = drawn(dip)
    picture[:, low:high] = 255
    clicks = tuple((float(x), float(dip(x))) for x in (low - 30, high + 30))
    return picture.astype(np.uint8), replace(TRACE, curves=(Curve(clicks=clicks),))


def test_more_lost_than_seen_is_no_sweep_but_what_is_seen_can_be():
    picture, trace = hidden(80, 320)
    with pytest.raises(FairleadError, match=r"too poor for a sweep: 6\d% of the curve"):
        traced_sweeps(picture, trace)
    clicks = trace.curves[0].clicks
    part = replace(trace, region=(0, 0, 80, HEIGHT), curves=(Curve(clicks=clicks[:1]),))
    assert traced_sweeps(picture, part)[0].sweep.frequency_hz[-1] < 51e6
    by_hand = tuple((float(x), float(dip(x))) for x in range(70, 331, 10))
    helped = replace(trace, curves=(replace(trace.curves[0], hand=(by_hand,)),))
    assert not traced_sweeps(picture, helped)[0].sweep.traced.lost_after


def test_less_lost_than_seen_is_a_sweep_with_a_gap():
    picture, trace = hidden(160, 260)
    assert len(traced_sweeps(picture, trace)[0].sweep.traced.lost_after) == 1


def test_what_a_person_leaves_out_is_not_lost():
    picture, trace = hidden(180, 190)
    curve = replace(trace.curves[0], erased=((60, 0, 340, HEIGHT),))
    (found,) = traced_sweeps(picture, replace(trace, curves=(curve,)))
    assert found.sweep.traced.lost_after


def test_known_points_that_leave_the_frequencies_open_are_refused():
    near = FrequencyAxis((AxisPoint(190, 120, 50e6, 1.0), AxisPoint(210, 120, 51e6, 1.0)))
    trace = replace(TRACE, frequency=near, curves=(Curve(clicks=((180.0, dip(180)),)),))
    with pytest.raises(FairleadError, match="leave its frequencies open by"):
        traced_sweeps(drawn(dip).astype(np.uint8), trace)
