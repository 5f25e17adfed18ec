"""Covers the band at the limit: yes, no, or cannot tell, each with its reason."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import Sweep
from fairlead.core.verdict import Grounds, Within, verdict

HZ = np.linspace(48e6, 54e6, 301)
CIRCUIT = SeriesCircuit(51e6, 62, 8)
BAND = Band(50e6, 52e6)


def own(band=BAND, limit=2.0, gamma=None, hz=HZ):
    gamma = CIRCUIT.reflection(hz) if gamma is None else gamma
    return figures(Sweep(hz, gamma), band, 50.0, limit)


def test_yes_and_no():
    assert own().verdict.covers == "yes"
    assert "1.51" in own().verdict.reason
    assert own(limit=1.3).verdict.covers == "no"
    assert "over the limit of 1.3" in own(limit=1.3).verdict.reason


def test_a_part_of_the_band_cannot_tell_but_may_tell_no():
    assert own(Band(50e6, 55e6), 4.0).verdict.covers == "cannot tell"
    reason = own(Band(50e6, 55e6), 4.0).verdict.reason
    assert "edge to edge" in reason
    assert reason.endswith(": it ends at 54.000 MHz, below the high edge")
    late = own(Band(47e6, 53e6), 40.0).verdict.reason
    assert late.endswith(": it begins at 48.000 MHz, above the low edge")
    both = own(Band(47e6, 55e6), 40.0).verdict.reason
    assert both.endswith(
        ": it begins at 48.000 MHz, above the low edge and it ends at 54.000 MHz, below the high "
        "edge"
    )
    assert own(Band(50e6, 55e6), 1.5).verdict.covers == "no"
    nothing = own(Band(60e6, 62e6)).verdict
    assert (nothing.covers, nothing.reason) == ("cannot tell", "the sweep has nothing in the band")


def test_a_gap_in_the_band_cannot_tell():
    hz = np.linspace(48e6, 54e6, 7)
    found = own(hz=hz, gamma=SeriesCircuit(51.3e6, 50, 300).reflection(hz), limit=1e9)
    assert found.verdict.covers == "cannot tell"
    assert "points too far apart" in found.verdict.reason


def test_nearer_than_the_noise_cannot_tell():
    gamma = CIRCUIT.reflection(HZ) + complex_noise(301, 0.01, 1)
    assert own(gamma=gamma, limit=1.52).verdict.covers == "cannot tell"
    assert own(gamma=gamma, limit=2.0).verdict.covers == "yes"


@pytest.mark.parametrize(
    ("low", "high", "covers"), [(1.2, 1.6, "cannot tell"), (1.4, 1.45, "yes"), (1.6, 1.7, "no")]
)
def test_an_interval_takes_the_place_of_the_noise(low, high, covers):
    found = verdict(own(), BAND, 1.5, Grounds(Within(low, high, "the analyzer's error"), {}))
    assert found.covers == covers
    if covers == "cannot tell":
        assert found.reason == (
            "between SWR 1.20 and 1.60 at 50.000 MHz within the analyzer's error, with the limit "
            "of 1.5 in that range"
        )


def test_beyond_what_noise_can_tell_it_is_a_bound_or_infinite():
    gamma = np.exp(-1j * np.linspace(0, 2, 301)) * 0.999 + complex_noise(301, 0.002, 3)
    found = own(gamma=gamma)
    assert found.at_least | {"x"} > {"x"} or found.worst_swr == np.inf
    assert found.verdict.covers == "no"


@pytest.mark.parametrize(
    ("gamma", "reason"),
    [
        (1.5 + 0.5 * CIRCUIT.reflection(HZ), "above 1"),
        (0.05 * CIRCUIT.reflection(HZ) + 0.002, "flat: matched"),
        (CIRCUIT.reflection(HZ) + complex_noise(301, 0.1, 0), "too noisy: 1"),
        (np.full(301, 0.4), "flat: the reflection"),
    ],
)
def test_a_best_match_that_does_not_exist_has_its_reason(gamma, reason):
    found = own(gamma=gamma)
    assert found.best_match_hz is found.best_match_swr is found.q is None
    assert reason in found.why_not["best_match_hz"]
    assert not found.best_match_in_band
