"""Power budgets against closed forms and scikit-rf's lines; published figures: tests/published."""

from __future__ import annotations

import math

import numpy as np
import pytest
import skrf

from fairlead.core.advice.budget import Station, budget, s_units
from fairlead.core.advice.radio import FIXED, FOLD_BACK, TUNER
from fairlead.core.feed_line import FeedLine
from fairlead.core.reflection import magnitude_from_swr

AT_HZ = np.array([51e6])


def line_of_db(loss_db, z0_ohm=50.0):
    """100 m with that loss at 51 MHz."""
    return FeedLine("", z0_ohm, 0.66, k1_db=loss_db / math.sqrt(51))


def station(loss_db, radio=FIXED, power_w=100.0):
    return Station(power_w, radio, line_of_db(loss_db), 100.0)


def steps_of(found):
    return found.at(0)


@pytest.mark.parametrize(("radio", "share"), [(TUNER, 0.7073), (FIXED, 0.5957)])
@pytest.mark.parametrize("kind", [np.float64, np.complex128])
def test_one_decibel_of_line_and_swr_3(radio, share, kind):
    """Closed form: 0.75 x 10^-0.1 without a tuner; with one, that over 1 - 0.397164^2."""
    gamma = magnitude_from_swr(3.0).astype(kind) * np.ones(1)
    found = steps_of(budget(station(1.0, radio), AT_HZ, gamma, 50.0))
    assert found.power_w == pytest.approx(100 * share, abs=0.005)
    assert found.line_db == pytest.approx(1.0)
    assert found.line_db + found.added_db == pytest.approx(1.50385, abs=5e-6)
    assert found.swr_radio == pytest.approx(2.31765, abs=5e-6)
    assert found.total_db == pytest.approx(-10 * math.log10(found.power_w / 100))


@pytest.mark.parametrize(
    ("radio", "difference_db", "units"), [(TUNER, 0.179, 0.030), (FIXED, 0.293, 0.049)]
)
def test_what_rain_costs_behind_two_decibels(radio, difference_db, units):
    """SWR 1.267 against 1.776: closed form, recomputed."""
    powers = [
        steps_of(budget(station(2.0, radio), AT_HZ, magnitude_from_swr([ratio]), 50.0)).power_w
        for ratio in (1.267, 1.776)
    ]
    found_db = 10 * math.log10(powers[0] / powers[1])
    assert found_db == pytest.approx(difference_db, abs=5e-4)
    assert s_units(found_db) == pytest.approx(units, abs=5e-4)


def test_a_line_of_another_impedance_against_scikit_rf():
    """Power from scikit-rf's two-port of a lossy 75 ohm line, terminated, at 50 ohm."""
    frequency = skrf.Frequency(50, 52, 5, "MHz")
    line = FeedLine("", 75.0, 0.82, k1_db=1.1, k2_db=0.01)
    constant, _ = line.constants(frequency.f)
    media = skrf.media.DefinedGammaZ0(frequency, z0=75.0, gamma=constant, z0_port=50.0)
    piece = media.line(20.0, "m").s
    gamma = np.array([0.3 + 0.2j, -0.5, 0.6j, 0.1 - 0.7j, 0.0])
    found = budget(Station(10.0, FIXED, line, 20.0), frequency.f, gamma, 50.0)
    forward = piece[:, 1, 0] / (1 - piece[:, 1, 1] * gamma)
    into_w = 10.0 * np.abs(forward) ** 2 * (1 - np.abs(gamma) ** 2)
    np.testing.assert_allclose(found.power_w, into_w, rtol=1e-9)
    seen = piece[:, 0, 0] + piece[:, 0, 1] * piece[:, 1, 0] * gamma / (1 - piece[:, 1, 1] * gamma)
    np.testing.assert_allclose(found.swr_radio, (1 + abs(seen)) / (1 - abs(seen)), rtol=1e-9)


def test_a_radio_that_folds_back_sends_less():
    found = steps_of(budget(Station(100, FOLD_BACK), AT_HZ, magnitude_from_swr([2.0]), 50.0))
    assert found.fold_back_db == pytest.approx(1.24939, abs=5e-6)  # 75 %
    assert found.power_w == pytest.approx(75 * 8 / 9)


def test_a_transformer_is_an_attenuator_with_its_mismatch():
    """1 dB each way: with SWR 3 on the antenna's side the published 1.50385 dB are lost in it."""
    behind = magnitude_from_swr(3.0) / 10**0.1
    one = Station(100, TUNER, transformer_loss_db=1.0, transformer_ratio=49.0)
    found = steps_of(budget(one, AT_HZ, np.array([behind + 0j]), 50.0))
    assert found.transformer_db == pytest.approx(1.50385, abs=5e-6)
    # SWR 3 with the antenna above its 2,450 ohm: 7,350 ohm take what is left.
    assert found.antenna_peak_v == pytest.approx(math.sqrt(2 * found.power_w * 7350))


def test_peak_voltages():
    """100 W at 50 ohm are 100 V peak; at SWR 4 twice that at a maximum of the line."""
    matched = steps_of(budget(station(0.0, TUNER), AT_HZ, np.array([0j]), 50.0))
    assert matched.line_peak_v == pytest.approx(100.0)
    assert matched.antenna_peak_v == pytest.approx(100.0)
    mismatched = steps_of(budget(station(0.0, TUNER), AT_HZ, np.array([0.6 + 0j]), 50.0))
    assert mismatched.line_peak_v == pytest.approx(200.0)
    assert mismatched.antenna_peak_v == pytest.approx(200.0)
    assert math.isnan(steps_of(budget(Station(), AT_HZ, np.array([0.6]), 50.0)).antenna_peak_v)


def test_more_than_was_sent_has_no_budget_and_total_reflection_leaves_nothing():
    found = budget(station(1.0), np.full(2, 51e6), np.array([1.0, 1.01]), 50.0)
    assert (found.power_w[0], found.mismatch_db[0] > 0) == (0.0, True)
    assert math.isnan(found.power_w[1])
    assert math.isnan(found.line_peak_v[1])
