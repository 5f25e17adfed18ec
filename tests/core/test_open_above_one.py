"""A parallel resonance of a good resonator reads a little above |G| = 1: found, and infinite."""

from __future__ import annotations

import math

import numpy as np

from fairlead.core.analysis.analysis import analyse
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_json
from fairlead.core.sweep import Sweep

HZ = np.linspace(99e6, 101e6, 401)


def _parallel(most: float) -> Sweep:
    """A lossless parallel resonance at 100.00137 MHz, read with |G| up to ``most``."""
    angle = 2 * np.arctan(-2 * 40.0 * (HZ - 100.00137e6) / 100.00137e6)
    return Sweep(HZ, most * np.exp(1j * angle))


def test_the_crossing_is_kept_with_infinite_resistance():
    found = analyse(_parallel(1.01), 50.0).resonances()
    assert [one.resistance_ohm for one in found] == [math.inf]
    assert abs(found[0].frequency_hz - 100.00137e6) < 50


def test_further_above_one_there_is_no_resonance():
    assert analyse(_parallel(1.1), 50.0).resonances() == ()


def test_infinite_resistance_is_a_word_in_json():
    bench = Bench().with_readings([Reading(_parallel(1.01), "trap", "")])
    (own,) = as_json(bench)["sweeps"]
    assert [one["resistance_ohm"] for one in own["resonances"]] == ["inf"]
