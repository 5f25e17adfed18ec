"""Losses, powers, S-units and range as books, question pools and lists give them.

Identifiers of the cases are kept in the comments with their sources; "closed form" is recomputed
from the formula of the ARRL Antenna Book (from memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from fairlead.core.advice.budget import Station, budget, range_factor, s_units
from fairlead.core.advice.radio import FIXED, TUNER
from fairlead.core.feed_line import M_PER_FT, FeedLine
from fairlead.core.onair.reports import parse_report
from fairlead.core.reflection import magnitude_from_swr

AT_HZ = np.array([51e6])


def through(loss_db, ratio, radio=TUNER, power_w=100.0):
    """The steps behind 100 m of line with that loss, at an SWR of the antenna."""
    line = FeedLine("", 50.0, 0.66, k1_db=loss_db / math.sqrt(51))
    gamma = magnitude_from_swr(np.array([ratio]))
    return budget(Station(power_w, radio, line, 100.0), AT_HZ, gamma, 50.0).at(0)


@pytest.mark.parametrize(
    ("loss_db", "ratio", "total_db", "tolerance"),
    [
        (2.0, 8.0, 4.837, 5e-4),  # TowerTalk list, March 1999, msg00368
        (0.6, 3.6, 1.066, 5e-4),  # TenTec list, February 2009 (085188)
        (0.027, 32.0, 0.41, 5e-3),  # the same message
        # Closed form.
        *((1.0, 1.5, 1.0663, 5e-5), (1.0, 2.0, 1.1959, 5e-5), (1.0, 3.0, 1.5039, 5e-5)),
        *((1.0, 5.0, 2.1235, 5e-5), (3.0, 2.0, 3.3886, 5e-5), (3.0, 3.0, 3.9677, 5e-5)),
        *((3.0, 5.0, 5.0386, 5e-5), (6.0, 3.0, 7.1803, 5e-5), (0.1, 10.0, 0.4788, 5e-5)),
        (0.5, 3.0, 0.7880, 5e-5),
    ],
)
def test_losses_with_standing_waves(loss_db, ratio, total_db, tolerance):
    found = through(loss_db, ratio)
    assert found.line_db + found.added_db == pytest.approx(total_db, abs=tolerance)
    assert found.line_db == pytest.approx(loss_db)


@pytest.mark.parametrize(
    ("loss_db", "ratio", "seen"),
    [
        (3.0, 2.0, 1.4011),  # forum worldwidedx, whose "about 1.6" is wrong: closed form
        *((1.0, 2.0, 1.7203), (1.0, 3.0, 2.3177), (1.0, 5.0, 3.2513), (3.0, 3.0, 1.6688)),
        *((3.0, 5.0, 2.0036), (6.0, 3.0, 1.2873), (0.5, 3.0, 2.6077)),
    ],
)
def test_the_swr_that_the_radio_sees(loss_db, ratio, seen):
    assert through(loss_db, ratio).swr_radio == pytest.approx(seen, abs=5e-5)


def test_return_loss_at_the_radio_is_that_of_the_antenna_and_twice_the_line():
    """3 dB and a line of 6 dB make 15 dB (brats-qth.org, advanced course, mathsrl)."""
    rho = 10 ** (-3 / 20)
    found = through(6.0, (1 + rho) / (1 - rho))
    seen = (found.swr_radio - 1) / (found.swr_radio + 1)
    assert -20 * math.log10(seen) == pytest.approx(15.0)


@pytest.mark.parametrize(
    ("loss_db", "power_w", "into_w"),
    [
        # Frenzel, Principles of Electronic Communication, example 13.3: 165 ft of 5.3 dB.
        (1.65 * 5.3, 100.0, 13.35),
        # Blake, Electronic Communication Systems, example 14.11: 45 m of 4 dB for 100 m.
        (1.8, 151.356, 100.0),
    ],
)
def test_powers_through_a_matched_line(loss_db, power_w, into_w):
    found = through(loss_db, 1.0, FIXED, power_w)
    assert found.power_w == pytest.approx(into_w, abs=0.005)
    assert (found.mismatch_db, found.added_db) == pytest.approx((0, 0))


@pytest.mark.parametrize(
    ("forward_w", "ratio", "into_w"),
    [
        (50.0, 2.0, 44.44),  # Blake, Electronic Communication Systems, example 14.8
        (30.0, 3.05, 22.31),  # Frenzel, Principles of Electronic Communication, example 13.6
    ],
)
def test_powers_into_a_mismatched_load(forward_w, ratio, into_w):
    gamma = magnitude_from_swr(np.array([ratio]))
    found = budget(Station(forward_w), AT_HZ, gamma, 50.0).at(0)
    assert found.power_w == pytest.approx(into_w, abs=0.005)
    assert (found.line_db, found.added_db) == (0, 0)


@pytest.mark.parametrize(
    ("load_ohm", "total_db", "ratio"),
    [
        (50, 0.457201, 1.0),
        (73.08 + 42.51j, 0.587232, 2.004609),
        (25, 0.559066, 1.857248),
        (100, 0.559066, 1.857248),
        (200 - 150j, 1.297931, 4.795465),
    ],
)
def test_a_makers_line(load_ohm, total_db, ratio):
    """30 m at 14.2 MHz by the maker's law (data sheet of LMR-400); closed form with a real z0."""
    line = FeedLine("LMR-400", 50.0, 0.85, 0.12229 / M_PER_FT, 0.00026 / M_PER_FT)
    gamma = np.array([(load_ohm - 50) / (load_ohm + 50)], dtype=complex)
    found = budget(Station(100, TUNER, line, 30.0), np.array([14.2e6]), gamma, 50.0).at(0)
    assert found.line_db + found.added_db == pytest.approx(total_db, abs=1e-6)
    assert found.swr_radio == pytest.approx(ratio, abs=1e-6)


def test_s_units():
    """6 dB each (IARU Region 1, VHF Managers Handbook 8.6.1), about four times the power.

    NCVEC General pool: G4D07, S8 to S9; G4D05, 20 dB over S9 are a hundred times its power.
    """
    assert s_units(6.0) == 1.0
    s8, s9, over = (parse_report(text).value_db for text in ("S8", "S9", "S9+20"))
    assert s9 - s8 == 6.0
    assert 10 ** ((s9 - s8) / 10) == pytest.approx(4, abs=0.02)
    assert 10 ** ((over - s9) / 10) == pytest.approx(100)


@pytest.mark.parametrize(
    ("change_db", "factor"),
    [
        # 20 log10 of the distance: closed form.
        *((-0.5, 0.9441), (-1, 0.8913), (-2, 0.7943), (-3, 0.7079), (-6, 0.5012), (-10, 0.3162)),
        (-20, 0.1),
        (6, 1.9953),  # 6 dB for twice the distance: manual of the WBC11, p. 11
    ],
)
def test_range_in_line_of_sight(change_db, factor):
    assert range_factor(change_db) == pytest.approx(factor, abs=5e-5)
