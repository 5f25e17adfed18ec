"""A measured report of rain on an antenna, as a change against the dry reference.

vk4ghz.com, forum topic 12793: a 9-element 2 m beam with raindrops on its elements; the
frequency of least SWR went from 144.220 to 143.850 MHz (-370 kHz, -0.257 %), the SWR at 144.230
from about 1.05 to 1.6. One report of one antenna: an order of size. The report gives no Q; the
circuit's is chosen here so that the reported SWR comes out.
"""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bands import Band
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

DRY_HZ, WET_HZ, OPERATING_HZ = 144.220e6, 143.850e6, 144.230e6
R_OHM = 47.7
BAND = Band(144.0e6, 146.0e6)


def reading(f0_hz, label, q):
    frequency_hz = np.linspace(142e6, 147e6, 201)
    gamma = SeriesCircuit(f0_hz, R_OHM, q).reflection(frequency_hz)
    return Reading(Sweep(frequency_hz, gamma), label, "")


@pytest.fixture(scope="module")
def rows():
    # Q 91 gives 1.6 at 144.230 MHz once the dip stands at 143.850.
    bench = Bench().with_readings([reading(DRY_HZ, "dry", 91), reading(WET_HZ, "wet", 91)])
    return compare(bench.with_band(BAND))


def test_the_shift_is_the_reported_one(rows):
    _, wet = rows
    assert wet.change.best_match_shift_hz == pytest.approx(-370e3, abs=200)
    assert wet.change.best_match_shift_percent == pytest.approx(-0.257, abs=0.0005)


def test_the_dip_outside_the_band_is_followed(rows):
    """Wet, the dip stands at 143.85 MHz, below the band: its edge must not pass for a match."""
    _, wet = rows
    assert wet.figures.best_match_hz == pytest.approx(WET_HZ, abs=100)
    assert wet.figures.best_match_hz < BAND.low_hz
    assert not wet.figures.best_match_at_end


def test_swr_at_the_operating_frequency(rows):
    dry = SeriesCircuit(DRY_HZ, R_OHM, 91).swr(OPERATING_HZ)
    wet = SeriesCircuit(WET_HZ, R_OHM, 91).swr(OPERATING_HZ)
    assert dry == pytest.approx(1.05, abs=0.02)
    assert wet == pytest.approx(1.6, abs=0.02)
    assert rows[0].figures.best_match_swr == pytest.approx(50 / R_OHM, abs=1e-4)


def test_the_same_q_wet_and_dry_is_a_ratio_of_1(rows):
    assert rows[1].change.q_ratio == pytest.approx(1, abs=1e-4)
    assert rows[0].change is None
