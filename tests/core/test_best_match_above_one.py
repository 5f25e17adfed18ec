"""A dip in the band that returns more than was sent is no match, whatever lies far from it."""

from __future__ import annotations

import numpy as np

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures_of
from fairlead.core.sweep import Sweep


def test_a_dip_above_one_in_the_band_gives_no_best_match():
    hz = np.linspace(40e6, 60e6, 801)
    dip = 0.1 * np.exp(-(((hz - 51e6) / 1e6) ** 2))
    passive_far_away = 0.7 / (1 + np.exp(-(hz - 58e6) / 0.2e6))
    gamma = (1.3 - dip - passive_far_away) * np.exp(-0.15e-6j * (hz - 40e6))
    found = figures_of(analyse(Sweep(hz, gamma), 50.0), Band(50e6, 52e6), 2.0)
    assert np.abs(gamma).min() < 1
    assert found.best_match_hz is None
    assert found.why_not["best_match_hz"].startswith("|reflection| is above 1 there")
