"""The three models of a transmitter, and how they are typed."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.advice.radio import (
    FIXED,
    FOLD_BACK,
    TUNER,
    Radio,
    parse_power_w,
    parse_radio,
)
from fairlead.core.errors import FairleadError


@pytest.mark.parametrize(("text", "radio"), [("tuner", TUNER), (" Fixed", FIXED)])
def test_a_kind_is_named(text, radio):
    assert parse_radio(text) is radio
    assert radio.sent_share(np.array([1.0, 9.0])).tolist() == [1.0, 1.0]
    assert "tuner" in radio.words


def test_the_preset_says_that_it_is_a_rule_of_thumb():
    assert parse_radio("fold-back") is FOLD_BACK
    assert "rule of thumb without a source" in FOLD_BACK.words
    assert FOLD_BACK.sent_share(np.array([1.0, 2.25, np.inf])).tolist() == [1.0, 0.625, 0.1]


def test_a_typed_curve_runs_straight_between_its_points():
    radio = parse_radio("fold-back=1.5:100, 2:70%,3:25")
    assert radio.curve == ((1.5, 1.0), (2.0, 0.7), (3.0, 0.25))
    assert "as typed" in radio.words
    assert radio.sent_share(np.array([1.2, 1.75, 4.0])) == pytest.approx([1.0, 0.85, 0.25])


@pytest.mark.parametrize(
    "text",
    [
        "amplifier",
        "tuner=2:50",
        "fold-back=2",
        "fold-back=2:x",
        "fold-back=0.9:100",
        "fold-back=2:100,2:50",
        "fold-back=2:50,3:60",
        "fold-back=2:120",
    ],
)
def test_what_is_no_radio_is_refused_with_advice(text):
    with pytest.raises(FairleadError) as caught:
        parse_radio(text)
    assert caught.value.advice


def test_a_curve_belongs_to_a_radio_that_folds_back():
    with pytest.raises(FairleadError):
        Radio("tuner", ((2.0, 0.5),))
    with pytest.raises(FairleadError):
        Radio("fold-back")


@pytest.mark.parametrize(
    ("text", "power_w"),
    [("100W", 100), ("0.4 kW", 400), ("5", 5), ("500 mW", 0.5), ("1,5 kw", 1500)],
)
def test_a_power_is_typed_with_or_without_its_unit(text, power_w):
    assert parse_power_w(text) == pytest.approx(power_w)


@pytest.mark.parametrize("text", ["", "lots", "-5 W", "0", "1e9 W"])
def test_what_is_no_power_is_refused(text):
    with pytest.raises(FairleadError):
        parse_power_w(text)
