"""JSON has no infinity and no NaN: what stands there instead."""

from __future__ import annotations

import math

from fairlead.core.errors import ReadError
from fairlead.core.json_values import json_ends, json_unread, json_value
from fairlead.core.uncertainty.interval import Interval


def test_a_number_that_is_none_is_null_and_infinity_a_word():
    values = [1.5, math.inf, -math.inf, math.nan, None, "word", 3]
    assert [json_value(value) for value in values] == [1.5, "inf", "-inf", None, None, "word", 3]


def test_an_interval_has_two_ends_or_is_none():
    assert json_ends(Interval(2.0, math.inf)) == [2.0, "inf"]
    assert json_ends(None) is None


def test_a_file_that_could_not_be_read_keeps_its_line():
    error = ReadError("a.s1p", "is empty", "sweep again", line=3)
    assert json_unread([error]) == [
        {"file": "a.s1p", "line": 3, "reason": "is empty", "advice": "sweep again"}
    ]
