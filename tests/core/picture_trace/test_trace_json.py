"""The axes file: all that is kept comes back, what is left out is usual, what is wrong is told."""

from __future__ import annotations

import json

import pytest

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.trace import Curve, PictureTrace
from fairlead.core.picture_trace.trace_json import trace_from_json, trace_to_json

FULL = PictureTrace(
    picture_sha256="ab" * 32,
    width=640,
    height=480,
    frequency=FrequencyAxis((AxisPoint(10, 20, 50e6), AxisPoint(600, 20, 54e6, 0.2)), "log"),
    values=(ValueAxis("swr", (AxisPoint(10, 20, 3.0),), "free"), ValueAxis("phase_deg")),
    curves=(Curve("dry", "swr", ((1.5, 2),), (((1, 2), (30, 4)),), ((5, 6, 7, 8),), 1.5),),
    corners=((0, 0), (600, 0), (600, 400), (0, 400)),
    region=(0, 0, 600, 400),
    z0_ohm=75.0,
)


@pytest.mark.parametrize("trace", [PictureTrace(), FULL])
def test_a_tracing_comes_back_through_text(trace):
    assert trace_from_json(json.loads(json.dumps(trace_to_json(trace)))) == trace


def test_what_is_left_out_is_usual():
    short = {"curves": [{"clicks": [[1, 2]]}], "frequency": {"points": [{"x": 1, "y": 2, "hz": 3}]}}
    found = trace_from_json(short)
    assert found.curves == (Curve(clicks=((1, 2),)),)
    assert found.frequency == FrequencyAxis((AxisPoint(1, 2, 3),))
    assert found.z0_ohm == 50


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ([], "the axes file is not an object"),
        ({"color": 1}, 'the key "color" of the axes file is unknown'),
        ({"method": 9}, "made by method 9"),
        ({"curves": [{}] * 21}, "more than 20 curves"),
        ({"curves": {}}, '"curves" is not a list'),
        ({"curves": [{"kind": "gain"}]}, '"kind" is none of swr'),
        ({"curves": [{"tolerance": 50}]}, '"tolerance" is 50'),
        ({"curves": [{"clicks": 3}]}, '"clicks" is not a list of places'),
        ({"curves": [{"clicks": [[1]]}]}, '"clicks" does not have 2 numbers'),
        ({"curves": [{"name": 3}]}, '"name" is not a text'),
        ({"curves": [{"erased": [[1, 2]]}]}, '"erased" does not have 4 numbers'),
        ({"frequency": {"scale": "square"}}, '"scale" is not linear'),
        ({"frequency": {"points": [{"x": 1, "y": 1}]}}, '"hz" is not a number'),
        ({"frequency": {"points": [{"x": True, "y": 1, "hz": 1}]}}, '"x" is not a number'),
        ({"frequency": {"points": [{"x": 1e300, "y": 1, "hz": 1}]}}, '"x" is too large'),
        ({"corners": [[0, 0]]}, '"corners" has 1 places'),
        ({"z0_ohm": float("nan")}, '"z0_ohm" is too large'),
    ],
)
def test_what_is_wrong_is_told_by_its_key_in_one_line(document, words):
    with pytest.raises(FairleadError, match=words) as caught:
        trace_from_json(document)
    assert "\n" not in str(caught.value)
