"""Scales and numbers on the axes."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.app.printing.shapes import Box
from fairlead.app.printing.ticks import FrequencyScale, ValueAxis, frequency_ticks
from fairlead.core.views.scale import swr_position
from fairlead.core.views.swr import SWR

FRAME = Box(10, 5, 90, 65)


def swr_scale(highest):
    """The narrowest axis that shows an SWR."""
    span = SWR.scale.rounded((0.0, swr_position(highest)), None, 50.0)
    return ValueAxis(SWR.scale, span, FRAME.top, FRAME.bottom)


@pytest.mark.parametrize(
    ("swr", "share"),
    # |G| of an SWR: LZ1LEN's transmission line table (2 decimals), 1/3 and 1/2 also by the IIT
    # Bombay course page on antenna bandwidth.
    [(1.0, 0.0), (1.5, 0.20), (2.0, 0.33), (3.0, 0.50), (5.0, 0.67), (10.0, 0.82)],
)
def test_height_goes_with_the_reflection(swr, share):
    scale = swr_scale(math.inf)
    height = (FRAME.bottom - scale.y(swr)) / FRAME.height
    assert height == pytest.approx(share, abs=0.005)


def test_an_infinite_swr_has_a_place_at_the_top():
    scale = swr_scale(math.inf)
    assert scale.y(math.inf) == FRAME.top
    assert scale.ticks(4.0)[-1].text == "∞"


@given(st.floats(1.06, 1e6))
def test_the_scale_reaches_what_it_has_to_show(highest):
    scale = swr_scale(highest)
    assert FRAME.top <= scale.y(highest) <= FRAME.bottom
    assert scale.y(1.0) == FRAME.bottom
    assert scale.y_of_position(scale.span[1]) == pytest.approx(FRAME.top)


@given(st.floats(1.06, 100), st.floats(1.0, 12.0))
def test_numbers_of_the_swr_axis_rise_and_keep_their_distance(highest, gap):
    ticks = swr_scale(highest).ticks(gap)
    assert ticks[0].value == 1.0
    assert ticks[0].text == "1"
    values = [tick.value for tick in ticks]
    assert values == sorted(set(values))
    assert all(a.at_mm - b.at_mm >= gap for a, b in itertools.pairwise(ticks))


@given(st.floats(1e3, 1e11), st.floats(1e-5, 0.9999), st.floats(30, 300))
def test_numbers_of_the_frequency_axis_are_round_true_and_apart(high_hz, share, width_mm):
    scale = FrequencyScale(high_hz * (1 - share), high_hz, 20.0, 20.0 + width_mm)
    ticks, small = frequency_ticks(scale, lambda text: 1.2 * len(text))
    assert ticks
    for tick in ticks:
        assert scale.left - 1e-6 <= tick.at_mm <= scale.right + 1e-6
        assert float(tick.text) * 1e6 == pytest.approx(tick.value * 1e6, rel=1e-12)
        assert scale.x(float(tick.text) * 1e6) == pytest.approx(tick.at_mm, abs=0.01)
    for a, b in itertools.pairwise(ticks):
        assert b.at_mm - a.at_mm >= 1.2 * (len(a.text) + len(b.text)) / 2
    assert len(small) >= len(ticks)


@given(st.floats(1e3, 1e11), st.floats(1.00001, 1e6), st.floats(30, 300))
def test_numbers_of_a_logarithmic_axis_are_true_and_apart(high_hz, ratio, width_mm):
    scale = FrequencyScale(high_hz / ratio, high_hz, 20.0, 20.0 + width_mm, is_log=True)
    ticks, small = frequency_ticks(scale, lambda text: 1.2 * len(text))
    for tick in ticks:
        assert scale.left - 1e-6 <= tick.at_mm <= scale.right + 1e-6
        assert float(tick.text) * 1e6 == pytest.approx(tick.value * 1e6, rel=1e-9)
    for a, b in itertools.pairwise(ticks):
        assert b.at_mm - a.at_mm >= 1.2 * (len(a.text) + len(b.text)) / 2
    assert len(small) >= len(ticks)


def test_a_narrow_axis_has_more_than_one_number():
    """The plot of a picture of one newsletter column (85 mm), five sweeps around 6 m."""
    scale = FrequencyScale(46e6, 55.8e6, 0.0, 28.0)
    ticks, _ = frequency_ticks(scale, lambda text: 1.2 * len(text))
    assert [tick.text for tick in ticks] == ["46", "48", "50", "52", "54"]


def test_a_logarithmic_axis_has_the_numbers_one_would_write():
    def texts(low_hz, high_hz, width_mm):
        scale = FrequencyScale(low_hz, high_hz, 0.0, width_mm, is_log=True)
        return [tick.text for tick in frequency_ticks(scale, lambda text: 1.2 * len(text))[0]]

    assert texts(1e6, 60e6, 100) == ["1", "2", "3", "5", "7", "10", "20", "30", "50"]
    assert texts(1e6, 60e6, 52) == ["1", "2", "5", "10", "20", "50"]
    assert texts(1e6, 60e6, 24) == ["1", "3", "10", "30"]
    assert texts(1e3, 1e9, 80) == ["0.001", "0.01", "0.1", "1", "10", "100", "1000"]
    assert texts(49e6, 53e6, 50) == ["49", "50", "51", "52", "53"]


def test_places_and_frequencies_on_a_logarithmic_axis_are_inverse():
    scale = FrequencyScale(1e6, 100e6, 10.0, 90.0, is_log=True)
    assert scale.x(10e6) == pytest.approx(50.0)
    assert scale.frequency_hz(scale.x(7.1e6)) == pytest.approx(7.1e6)
    assert scale.xs(np.array([1e6, 10e6, 100e6])).tolist() == pytest.approx([10.0, 50.0, 90.0])


def test_frequencies_of_a_band_get_the_numbers_one_would_write():
    scale = FrequencyScale(49e6, 53e6, 0.0, 100.0)
    ticks, small = frequency_ticks(scale, lambda text: 1.2 * len(text))
    assert [tick.text for tick in ticks] == ["49", "50", "51", "52", "53"]
    assert np.isclose(np.diff(small), 5.0).all()


def test_places_and_frequencies_are_inverse():
    scale = FrequencyScale(49e6, 53e6, 10.0, 90.0)
    assert scale.frequency_hz(scale.x(50.125e6)) == pytest.approx(50.125e6)
    assert scale.xs(np.array([49e6, 53e6])).tolist() == [10.0, 90.0]
    assert scale.holds(49e6)
    assert not scale.holds(53.1e6)
