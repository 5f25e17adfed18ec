"""Feed lines against published examples, scikit-rf's lines, and themselves (put in, removed)."""

from __future__ import annotations

import numpy as np
import pytest
import skrf
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.advice.budget import Station, budget
from fairlead.core.advice.radio import Radio
from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import (
    M_PER_FT,
    FeedLine,
    LineError,
    checked_length_m,
    seen_through,
)
from fairlead.core.line_types import LINE_TYPES, line_of_type

PER_100_M = 1 / M_PER_FT
# The maker's law of LMR-400, dB for 100 ft: 0.12229 sqrt(f) + 0.00026 f.
LMR_400 = FeedLine("LMR-400", 50.0, 0.85, 0.12229 * PER_100_M, 0.00026 * PER_100_M)
AT_14_2_HZ = np.array([14.2e6])


def gamma_of(z_ohm, z0_ohm=50.0):
    return np.atleast_1d((z_ohm - z0_ohm) / (z_ohm + z0_ohm))


def impedance_of(gamma, z0_ohm=50.0):
    return complex((z0_ohm * (1 + gamma) / (1 - gamma))[0])


# Closed form with the maker's constants, a real z0 (30 m, 14.2 MHz).
FIXTURE = [
    (50, 50, 0.457201),
    (73.08 + 42.51j, 43.988125 - 32.728717j, 0.587232),
    (25, 60.068023 + 32.969964j, 0.559066),
    (100, 31.983836 - 17.555196j, 0.559066),
    (200 - 150j, 11.910107 - 18.386291j, 1.297931),
]


def total_loss_db(line, length_m, frequency_hz, load_ohm):
    """Matched loss and that of standing waves, as the power budget has them."""
    station = Station(100.0, Radio("fixed"), line, length_m)
    steps = budget(station, frequency_hz, (load_ohm - 50) / (load_ohm + 50), 50.0)
    return steps.line_db + steps.added_db


@pytest.mark.parametrize(("load_ohm", "seen_ohm", "loss_db"), FIXTURE)
def test_thirty_metres_at_14_2_mhz(load_ohm, seen_ohm, loss_db):
    seen = seen_through(LMR_400, 30, AT_14_2_HZ, gamma_of(load_ohm), 50)
    assert impedance_of(seen) == pytest.approx(seen_ohm, rel=1e-6)
    back = seen_through(LMR_400, -30, AT_14_2_HZ, gamma_of(seen_ohm), 50)
    assert impedance_of(back) == pytest.approx(load_ohm, rel=1e-6)
    total = total_loss_db(LMR_400, 30, AT_14_2_HZ, np.array([load_ohm], dtype=complex))
    assert total[0] == pytest.approx(loss_db, abs=1e-6)


@pytest.mark.parametrize(
    ("matched_db", "load_swr", "total_db"),
    [
        (2.0, 8.0, 4.837),  # TowerTalk list, March 1999
        (0.6, 3.6, 1.066),  # TenTec list, February 2009
        (3.0, 3.0, 3.9677),  # the closed form, a grid of it
        (6.0, 3.0, 7.1803),
        (0.5, 3.0, 0.7880),
    ],
)
def test_total_loss_with_a_real_impedance_is_the_handbook_formula(matched_db, load_swr, total_db):
    """L = 10 log10((a^2 - r^2) / (a (1 - r^2))) holds for whole half waves and a real z0."""
    length_m = 150.0  # 200 MHz: 100 wavelengths of air
    line = FeedLine("", 50.0, 1.0, matched_db / np.sqrt(200) * 100 / length_m)
    found = total_loss_db(
        line, 100 * 299_792_458 / 200e6, np.array([200e6]), np.array([50 * load_swr + 0j])
    )
    assert found[0] == pytest.approx(total_db, rel=2e-3)


def test_on_a_short_line_the_complex_impedance_decides():
    """S. Hunt, TenTec list 2009: about 0.025 dB; with R alone 0.0185, a real z0 gives 0.1224."""
    length_m = 15 * M_PER_FT
    line = FeedLine("RG-213", 50.0, 0.66, 0.055 / length_m * 100 / np.sqrt(3.8))
    at_hz, load = np.array([3.8e6]), np.array([100 + 100j])
    _, zc_ohm = line.constants(at_hz)
    assert zc_ohm[0] == pytest.approx(50.003 - 0.574j, abs=1e-3)
    assert total_loss_db(line, length_m, at_hz, load)[0] == pytest.approx(0.0185, abs=5e-5)


@pytest.mark.parametrize("line", [LMR_400, line_of_type("RG-58"), line_of_type("RG-59")])
def test_scikit_rf_sees_the_same(line):
    frequency_hz = np.linspace(3e6, 150e6, 61)
    gamma, zc_ohm = line.constants(frequency_hz)
    rng = np.random.default_rng(5)
    load = 0.9 * rng.random(61) * np.exp(2j * np.pi * rng.random(61))
    grid = skrf.Frequency.from_f(frequency_hz, unit="hz")
    media = skrf.media.DefinedGammaZ0(grid, z0_port=50, gamma=gamma, z0=zc_ohm)
    oracle = media.line(17.3, "m") ** skrf.Network(frequency=grid, s=load, z0=50)
    ours = seen_through(line, 17.3, frequency_hz, load, 50.0)
    assert np.abs(ours - oracle.s[:, 0, 0]).max() < 1e-12


@given(
    st.sampled_from(LINE_TYPES),
    st.floats(0, 60),
    st.floats(0, 1),
    st.floats(0, 2 * np.pi),
    st.sampled_from([25.0, 50.0, 75.0]),
)
def test_a_line_added_and_removed_is_none(line, length_m, size, angle, z0_ohm):
    frequency_hz = np.linspace(2e6, 30e6, 7)
    load = np.full(7, size * np.exp(1j * angle))
    seen = seen_through(line, length_m, frequency_hz, load, z0_ohm)
    back = seen_through(line, -length_m, frequency_hz, seen, z0_ohm)
    assert np.abs(back - load).max() < 1e-9


# dB for 100 ft: a data sheet held in public code, a radio club's table, the license manual.
@pytest.mark.parametrize(
    ("name", "mhz", "db_per_100_ft"),
    [
        *(("RG-58", mhz, db) for mhz, db in ((1, 0.4), (10, 1.4), (50, 3.3), (200, 7.3))),
        *(("LMR-400", mhz, db) for mhz, db in ((30, 0.7), (150, 1.5), (450, 2.7), (2500, 6.8))),
        *(("LMR-240", mhz, db) for mhz, db in ((10, 0.8), (50, 1.7), (450, 5.3))),
        *(("LMR-600", mhz, db) for mhz, db in ((30, 0.4), (150, 1.0), (450, 1.7))),
        *(("RG-8X", mhz, db) for mhz, db in ((30, 1.96), (150, 4.53), (450, 8.6))),
        *(("RG-174", mhz, db) for mhz, db in ((30, 4.56), (150, 10.3))),
        *(("RG-59", mhz, db) for mhz, db in ((30, 1.79), (150, 4.11))),
        *(("9913", mhz, db) for mhz, db in ((30, 0.8), (150, 1.6), (450, 2.8))),
        *(("RG-213", mhz, db) for mhz, db in ((30, 1.08), (150, 2.53))),
    ],
)
def test_a_type_has_its_published_loss_within_its_tolerance(name, mhz, db_per_100_ft):
    line = line_of_type(name)
    loss_db = float(line.loss_db(mhz * 1e6, 100 * M_PER_FT))
    assert loss_db == pytest.approx(db_per_100_ft, rel=line.loss_tolerance_percent / 100, abs=0.05)
    assert line.holds_at(mhz * 1e6, mhz * 1e6)
    assert not line.holds_at(mhz * 1e6, 1e12)


def test_every_type_says_where_its_numbers_come_from():
    assert all(line.source for line in LINE_TYPES)
    assert len({line.name for line in LINE_TYPES}) == len(LINE_TYPES)


def test_types_are_found_whatever_the_spelling():
    assert line_of_type("rg58").name == "RG-58"
    with pytest.raises(FairleadError, match="not a known feed line"):
        line_of_type("string")


@pytest.mark.parametrize(
    "numbers",
    [
        {"z0_ohm": 0.0},
        {"z0_ohm": float("inf")},
        {"z0_ohm": float("nan")},
        {"velocity_factor": 0.05},
        {"velocity_factor": 1.01},
        {"k1_db": -1.0},
        {"k2_db": float("inf")},
        {"loss_tolerance_percent": -1.0},
    ],
)
def test_a_line_that_cannot_be_is_refused(numbers):
    with pytest.raises(LineError):
        FeedLine("x", **numbers)


@pytest.mark.parametrize("length_m", [-1.0, float("nan"), 10_001.0])
def test_a_length_that_cannot_be_is_refused(length_m):
    with pytest.raises(LineError, match="cannot be"):
        checked_length_m(length_m)
    assert checked_length_m(12.0) == 12.0
