"""Data that no antenna gives: one clear finding each, and no figure that would be made up."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import C_M_PER_S, SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.sweep import Sweep

HZ = np.linspace(46e6, 56e6, 201)
BAND = Band(50e6, 52e6)
WIDE_HZ = np.linspace(1e6, 60e6, 401)


def found_in(hz, gamma):
    return {one.code: one for one in check_sweep(analyse(Sweep(hz, gamma), 50.0))}


def test_more_than_was_sent_everywhere_has_no_resonance():
    """At |G| = 1.1 the reactance crosses zero at a resistance of -2.4 ohm, which nothing has."""
    own = figures(Sweep(HZ, 1.1 * np.exp(-1j * HZ / 3e6)), Band(46e6, 56e6), 50.0)
    assert own.resonances == ()
    assert own.best_match_hz is None
    for key in ("best_match_hz", "resonances", "worst_swr", "q"):
        assert "|reflection| is above 1" in own.why_not[key], key
    assert own.verdict.covers == "cannot tell"


def test_within_the_noise_a_short_circuit_has_no_resistance():
    gamma = -np.exp(-2j * np.pi * (HZ - 51e6) / 40e6)
    own = figures(Sweep(HZ, 1.003 * gamma), BAND, 50.0)
    assert [one.resistance_ohm for one in own.resonances] == [0.0]


@pytest.mark.parametrize("value", [0j, 0.3 + 0.2j, 1 + 0j])
def test_identical_values_are_one_finding(value):
    assert list(found_in(HZ, np.full(201, value))) == ["values-repeat"]
    own = figures(Sweep(HZ, np.full(201, value)), BAND, 50.0)
    assert own.best_match_hz is own.q is None
    assert own.resonances == ()
    assert "flat" in own.why_not["best_match_hz"]


@pytest.mark.parametrize(("q", "length_m"), [(15, 0.0), (3, 0.1), (40, 0.0), (8, 1.0)])
def test_five_points_500_mhz_apart_are_suspect_and_say_how_many_to_take(q, length_m):
    """Both clocks: few points a width, and few a turn of the line."""
    hz = np.linspace(500e6, 2.5e9, 5)
    gamma = behind_line(SeriesCircuit(1.4e9, 50, q).reflection(hz), hz, length_m)
    one = found_in(hz, gamma)["points-too-far-apart"]
    assert one.severity == "suspect"
    assert " points over this span" in one.text
    own = figures(Sweep(hz, gamma), Band(1e9, 2e9), 50.0)
    assert own.best_match_hz is own.q is None
    assert own.resonances == ()


@pytest.mark.parametrize("at_end", [1.0, -1.0])
@pytest.mark.parametrize("law", [0.0, 0.5])
def test_an_open_or_shorted_line_is_called_one(at_end, law):
    """20 m at velocity factor 0.66 are 30.3 m electrical length; loss constant or by sqrt(f)."""
    loss_db = 0.9 * (WIDE_HZ / 30e6) ** law
    gamma = behind_line(np.full(401, at_end), WIDE_HZ, 20.0, loss_db=loss_db)
    one = found_in(WIDE_HZ, gamma + complex_noise(401, 0.0005, 2))["line-in-sweep"]
    assert "line" in one.text
    assert "separable" not in one.text
    assert "up to about 30 m electrical" in one.text or " 30.3 ±" in one.text
    assert pytest.approx(2 * 30.3 / C_M_PER_S, rel=1e-3) == 2 * 20 / (0.66 * C_M_PER_S)
