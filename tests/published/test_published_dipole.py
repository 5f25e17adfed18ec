"""A dipole computed with NEC-2 (PyNEC 2.3.4): 10.2 m long, 1 mm radius, 41 segments, free space.

The table was made outside the project with that solver; resonance, Q and edges come from root
searches on a finer run of it, not from our interpolation. Published anchors beside it: 73 + j42.5
ohm for the infinitely thin half wave (Balanis, Antenna Theory, Ex. 8.6).
"""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.reflection import reflection_from_impedance
from fairlead.core.sweep import Sweep

TABLE = """
13.50,61.1264,-79.0902
13.60,62.4670,-68.6552
13.70,63.8352,-58.2380
13.80,65.2319,-47.8363
13.90,66.6578,-37.4475
14.00,68.1136,-27.0692
14.10,69.6001,-16.6990
14.20,71.1182,-6.3346
14.30,72.6685,4.0266
14.40,74.2520,14.3868
14.50,75.8696,24.7484
14.60,77.5223,35.1138
14.70,79.2108,45.4854
14.80,80.9363,55.8656
14.90,82.6997,66.2567
15.00,84.5021,76.6610
"""
BAND = Band(14.0e6, 14.35e6)


@pytest.fixture(scope="module")
def dipole():
    mhz, r_ohm, x_ohm = np.loadtxt(TABLE.split(), delimiter=",").T
    return Sweep(mhz * 1e6, reflection_from_impedance(r_ohm + 1j * x_ohm, 50))


def test_resonance(dipole):
    """14.26114 MHz with 72.062 ohm, by the solver itself."""
    (found,) = figures(dipole, BAND, 50.0).resonances
    assert found.frequency_hz == pytest.approx(14.26114e6, abs=50)
    assert found.resistance_ohm == pytest.approx(72.062, abs=0.005)


def test_best_match_is_not_the_resonance(dipole):
    """At 50 ohm the SWR is least below resonance, where R is nearer to 50 ohm."""
    own = figures(dipole, BAND, 50.0)
    assert own.best_match_hz < own.main_resonance.frequency_hz - 10e3
    assert own.best_match_swr < 72.062 / 50


def test_q(dipole):
    """10.37 by the slope of the impedance."""
    assert figures(dipole, BAND, 50.0).q == pytest.approx(10.37, rel=0.01)


# reference impedance, limit, edges in MHz; the solver's root search
EDGES = [
    (50, 2, 13.90175, 14.59320),
    (50, 1.5, 14.13129, 14.34055),
    (75, 2, 13.79422, 14.78903),
    (72.062, 1.5, 13.98845, 14.55062),
    (72.062, 2, 13.79855, 14.77422),
]


@pytest.mark.parametrize(("z0_ohm", "limit", "low_mhz", "high_mhz"), EDGES)
def test_edges_of_the_usable_segment(dipole, z0_ohm, limit, low_mhz, high_mhz):
    """Within 0.1 kHz on 100 kHz steps; interpolating the SWR itself would miss by up to 12 kHz."""
    segment = figures(dipole, BAND, float(z0_ohm), limit).main_segment
    assert segment.low_hz == pytest.approx(low_mhz * 1e6, abs=100)
    assert segment.high_hz == pytest.approx(high_mhz * 1e6, abs=100)


def test_a_limit_close_to_the_least_swr_still_has_its_edges(dipole):
    """SWR 1.5 at 50 ohm clears the SWR at resonance, 72.062/50, by 0.06 only."""
    own = figures(dipole, BAND, 50.0, 1.5)
    assert 1.5 - 0.07 < own.best_match_swr < 72.062 / 50
    assert own.usable_width_hz == pytest.approx(209.26e3, abs=100)


def test_a_segment_beyond_the_table_is_open(dipole):
    """SWR 3 at 72.06 ohm ends at 13.52822 and 15.12954 MHz; the table ends at 15.0."""
    segment = figures(dipole, BAND, 72.062, 3.0).main_segment
    assert segment.low_hz == pytest.approx(13.52822e6, abs=100)
    assert segment.high_is_open
    assert segment.high_hz == 15e6
    assert segment.width_hz is None
