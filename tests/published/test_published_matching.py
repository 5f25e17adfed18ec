"""Matching networks and pieces of line as textbooks and question pools give them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fairlead.core.advice.elements import Section, Stub, through
from fairlead.core.advice.match_solutions import (
    l_networks,
    quarter_wave_m,
    quarter_waves,
    single_stubs,
    wavelength_m,
)
from fairlead.core.feed_line import FeedLine

AT_HZ = 300e6
AIR = FeedLine("", 50.0, 1.0)


def in_wavelengths(network):
    return [one.length_m / wavelength_m(one.line, AT_HZ) for one in network]


def seen_ohm(network, load_ohm, z0_ohm=50.0):
    gamma = np.array([(load_ohm - z0_ohm) / (load_ohm + z0_ohm)], dtype=complex)
    seen = through(network, np.array([AT_HZ]), gamma, z0_ohm)[0][0]
    return z0_ohm * (1 + seen) / (1 - seen)


def test_l_networks():
    """200 - j100 on 100 ohm at 500 MHz: Pozar, example 5.1 (from memory, recomputed)."""
    first, second = l_networks(200 - 100j, 500e6, 100.0)
    assert [(one.where, one.part) for one in first] == [("shunt", "capacitor"), ("series", "coil")]
    assert [one.value for one in first] == pytest.approx([0.923e-12, 38.98e-9], rel=5e-4)
    assert [(one.where, one.part) for one in second] == [("shunt", "coil"), ("series", "capacitor")]
    assert [one.value for one in second] == pytest.approx([46.14e-9, 2.599e-12], rel=5e-4)


def test_shunt_stubs():
    """60 - j80 on 50 ohm, shorted: Pozar, example 5.2 (from memory, recomputed)."""
    first, second = single_stubs(60 - 80j, AT_HZ, AIR, "shunt", "short")
    assert in_wavelengths(first) == pytest.approx([0.1104, 0.0950], abs=5e-5)
    assert in_wavelengths(second) == pytest.approx([0.2594, 0.4050], abs=5e-5)


@pytest.mark.parametrize(
    ("load_ohm", "line_ohm", "section_ohm", "tolerance"),
    [
        (100, 50.0, 70.71, 5e-3),  # Pozar, example 2.5
        (150, 300.0, 212.132, 5e-4),  # Misra, RF and Microwave Communication Circuits, ex. 3.5
    ],
)
def test_quarter_wave_transformers(load_ohm, line_ohm, section_ohm, tolerance):
    line = FeedLine("", line_ohm, 1.0)
    found = {piece.length_m: z_ohm for piece, z_ohm in quarter_waves(load_ohm, AT_HZ, line)}
    assert found[0] == pytest.approx(section_ohm, abs=tolerance)


def test_the_nearest_stock_line_of_a_q_section():
    """75 ohm for 100 to 50 ohm (NCVEC Extra pool, E9E06)."""
    (_, z_ohm), *_ = quarter_waves(100, AT_HZ, AIR)
    assert min((50, 75, 93, 300), key=lambda one: abs(one - z_ohm)) == 75


def test_a_load_through_a_quarter_wave():
    """50 + j100 on 50 ohm becomes 10 - j20 (Misra, example 3.15)."""
    network = (Section(AIR, quarter_wave_m(AIR, AT_HZ)),)
    assert seen_ohm(network, 50 + 100j) == pytest.approx(10 - 20j)


@pytest.mark.parametrize(
    ("wavelengths", "end", "ohm"),
    [
        # NCVEC Extra pool, E9F04 and E9F09 to E9F12; the reactances at an eighth: closed form.
        *((1 / 2, "short", 0), (1 / 4, "short", math.inf), (1 / 4, "open", 0)),
        *((1 / 8, "short", 50j), (1 / 8, "open", -50j)),
    ],
)
def test_pieces_of_line_with_an_end(wavelengths, end, ohm):
    stub = Stub("shunt", end, AIR, wavelengths * wavelength_m(AIR, AT_HZ))
    found = stub.impedance(np.array([AT_HZ]))[0]
    if ohm == math.inf:
        assert abs(found) > 1e6
    else:
        assert found == pytest.approx(ohm, abs=1e-6)
