"""Matching networks: every solution worked out again, scikit-rf's two-ports."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import skrf
from circuits import SeriesCircuit
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.advice import matching
from fairlead.core.advice.at_feed import at_feed
from fairlead.core.advice.budget import Station
from fairlead.core.advice.elements import Lumped, Section, Stub, path, through
from fairlead.core.advice.match_solutions import (
    l_networks,
    quarter_wave_m,
    quarter_waves,
    series_sections,
    single_stubs,
    wavelength_m,
)
from fairlead.core.advice.matching import E12, E24, Wish, matches, standard_neighbours
from fairlead.core.advice.radio import TUNER
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import FeedLine
from fairlead.core.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep

AT_HZ = 300e6
AIR = FeedLine("", 50.0, 1.0)
IMPEDANCES = st.builds(complex, st.floats(5, 500), st.floats(-300, 300))


def left(network, load_ohm, at_hz=AT_HZ, z0_ohm=50.0):
    gamma = np.array([(load_ohm - z0_ohm) / (load_ohm + z0_ohm)], dtype=complex)
    return abs(through(network, np.array([at_hz]), gamma, z0_ohm)[0][0])


def in_wavelengths(network):
    return [one.length_m / wavelength_m(one.line, AT_HZ) for one in network]


@given(load_ohm=IMPEDANCES)
def test_every_solution_matches(load_ohm):
    for network in l_networks(load_ohm, AT_HZ, 50.0):
        assert left(network, load_ohm) < 1e-6
    for where in ("shunt", "series"):
        for end in ("open", "short"):
            found = single_stubs(load_ohm, AT_HZ, AIR, where, end)
            assert len(found) == 2
            for network in found:
                assert left(network, load_ohm) < 1e-5
                assert all(0 <= length <= 0.5 for length in in_wavelengths(network))
    for z_ohm in (25.0, 75.0, 300.0):
        for network in series_sections(load_ohm, AT_HZ, AIR, FeedLine("", z_ohm, 0.8)):
            assert left(network, load_ohm) < 1e-6
    for piece, z_ohm in quarter_waves(load_ohm, AT_HZ, AIR):
        line = FeedLine("", z_ohm, 0.7)
        assert left((piece, Section(line, quarter_wave_m(line, AT_HZ))), load_ohm) < 1e-6


def test_what_is_matched_needs_nothing():
    assert l_networks(50, AT_HZ, 50.0) == [()]
    assert series_sections(50, AT_HZ, AIR, FeedLine("", 75.0)) == []
    assert quarter_waves(50, AT_HZ, AIR) == []
    (network,) = single_stubs(50, AT_HZ, AIR, "shunt", "open")
    assert left(network, 50) < 1e-9
    assert series_sections(2000, AT_HZ, AIR, FeedLine("", 52.0)) == []


@pytest.mark.parametrize("load_ohm", [complex(50, 40), complex(25, 25), 50 / complex(1, 0.7)])
def test_on_a_circle_of_the_chart_one_element_will_do(load_ohm):
    networks = l_networks(load_ohm, AT_HZ, 50.0)
    assert all(left(network, load_ohm) < 1e-6 for network in networks)
    for where in ("shunt", "series"):
        for network in single_stubs(load_ohm, AT_HZ, AIR, where, "short"):
            assert left(network, load_ohm) < 1e-5


def test_elements_with_loss_against_scikit_rf():
    """Two-ports of a lossy coil, a capacitor, a shorted stub and a section, cascaded."""
    frequency = skrf.Frequency(40, 60, 7, "MHz")
    omega = 2 * np.pi * frequency.f
    line = FeedLine("", 50.0, 0.66, 1.4, 0.02)
    gamma, _ = line.constants(frequency.f)
    media = skrf.media.DefinedGammaZ0(frequency, z0=50.0, gamma=gamma)
    free = skrf.media.DefinedGammaZ0(frequency, z0=50.0)
    network = (
        Section(line, 0.7),
        Stub("shunt", "short", line, 0.4),
        Lumped("series", "coil", 80e-9, 120.0),
        Lumped("shunt", "capacitor", 30e-12, 500.0),
    )
    coil_ohm = omega * 80e-9 * (1j + 1 / 120)
    capacitor_ohm = (-1j + 1 / 500) / (omega * 30e-12)
    two_port = (
        free.shunt(free.load((capacitor_ohm - 50) / (capacitor_ohm + 50)))
        ** skrf.Network(f=frequency.f, s=_series_s(coil_ohm), z0=50, f_unit="Hz")
        ** media.shunt_delay_short(0.4, "m")
        ** media.line(0.7, "m")
    )
    load = 0.4 * np.exp(1j * np.linspace(0, 3, 7))
    seen, share = through(network, frequency.f, load, 50.0)
    s = two_port.s
    bounce = 1 - s[:, 1, 1] * load
    np.testing.assert_allclose(
        seen, s[:, 0, 0] + s[:, 0, 1] * s[:, 1, 0] * load / bounce, rtol=1e-9
    )
    into = np.abs(s[:, 1, 0] / bounce) ** 2 * (1 - np.abs(load) ** 2) / (1 - np.abs(seen) ** 2)
    np.testing.assert_allclose(share, into, rtol=1e-9)


def _series_s(z_ohm):
    total = z_ohm + 100
    s = np.empty((z_ohm.size, 2, 2), dtype=complex)
    s[:, 0, 0] = s[:, 1, 1] = z_ohm / total
    s[:, 0, 1] = s[:, 1, 0] = 100 / total
    return s


def test_the_way_over_the_chart_ends_in_its_centre():
    for network in (
        *l_networks(60 - 80j, AT_HZ, 50.0),
        *single_stubs(60 - 80j, AT_HZ, AIR, "shunt", "open"),
        *single_stubs(60 - 80j, AT_HZ, AIR, "series", "short"),
    ):
        load = (10 - 80j) / (110 - 80j)
        curves = path(network, AT_HZ, load, 50.0)
        assert curves[0][0] == pytest.approx(load)
        assert abs(curves[-1][-1]) < 1e-9
        for before, after in pairwise(curves):
            assert after[0] == pytest.approx(before[-1])


def test_an_open_circuit_goes_through():
    seen, share = through(
        (Section(AIR, quarter_wave_m(AIR, AT_HZ)),), np.array([AT_HZ]), np.array([1 + 0j]), 50.0
    )
    assert seen[0] == pytest.approx(-1, abs=1e-6)
    assert np.isfinite(share[0])


@pytest.mark.parametrize(
    ("value", "series", "around"),
    [
        (38.98e-9, E12, (33e-9, 39e-9)),
        (38.98e-9, E24, (36e-9, 39e-9)),
        (9.5e-12, E12, (8.2e-12, 10e-12)),
        (47e-9, E12, (47e-9, 47e-9)),
        (1e-9, E24, (1e-9, 1e-9)),
    ],
)
def test_standard_values(value, series, around):
    assert standard_neighbours(value, series) == pytest.approx(around)


def test_the_series_have_their_sizes():
    assert (len(E12), len(E24), len(set(E24))) == (12, 24, 24)


BAND = Band(50e6, 52e6)
SWEPT_HZ = np.linspace(47e6, 55e6, 161)
DRY, WET = SeriesCircuit(50.2e6, 30.0, 8.0), SeriesCircuit(49.6e6, 28.0, 7.5)


def sweeps_of(*sweeps, station=None):
    readings = [Reading(sweep, f"sweep {i}", "") for i, sweep in enumerate(sweeps)]
    bench = Bench().with_band(BAND).with_readings(readings)
    return at_feed(bench, Analyses(), station or Station())[0]


def swept(circuit):
    return Sweep(SWEPT_HZ, circuit.reflection(SWEPT_HZ))


def test_a_match_made_dry_is_shown_wet():
    sweeps = sweeps_of(swept(WET), swept(DRY))
    found = matches(sweeps, 2, BAND, 2.0, Wish(51e6))
    kinds = [one.kind for one in found]
    assert {"L network", "shunt stub, shorted", "series section"} <= set(kinds)
    assert kinds.index("shunt stub, shorted") < kinds.index("series stub, shorted")
    for one in found:
        assert [outcome.label for outcome in one.outcomes] == ["sweep 1", "sweep 0"]
        dry, wet = one.outcomes
        assert one.worst_swr == max(dry.figures.worst_swr, wet.figures.worst_swr)
        seen, share = through(one.network, np.array([51e6]), DRY.reflection(np.array([51e6])), 50.0)
        assert dry.loss_db == pytest.approx(-10 * math.log10(share[0]), abs=1e-3)
        assert dry.power_w == pytest.approx(100 * (1 - abs(seen[0]) ** 2) * share[0], rel=1e-3)
    network = next(one for one in found if one.kind == "L network")
    at_51 = network.outcomes[0].sweep.magnitude[SWEPT_HZ.searchsorted(51e6)]
    assert at_51 < 0.06
    for part in network.network:
        mantissa = part.value / 10 ** math.floor(math.log10(part.value) + 1e-9)
        assert min(abs(mantissa - one) for one in E24) < 1e-6
        assert part.q in (150.0, 1000.0)


def test_for_the_whole_band_the_worst_is_no_worse_than_for_its_middle():
    sweeps = sweeps_of(swept(DRY), swept(WET))
    whole = {one.kind: one for one in matches(sweeps, 1, BAND, 2.0, Wish())}
    middle = {one.kind: one for one in matches(sweeps, 1, BAND, 2.0, Wish(51e6))}
    for kind in ("L network", "shunt stub, shorted"):
        assert whole[kind].worst_swr <= middle[kind].worst_swr * 1.001


def test_at_the_radio_the_line_keeps_its_loss():
    line = FeedLine("", 50.0, 0.66, 1.4, 0.02)
    station = Station(100, TUNER, line, 20.0)
    sweeps = sweeps_of(swept(DRY), station=station)
    found = matches(sweeps, 1, BAND, 2.0, Wish(51e6, plane="radio"))
    loss_db = float(line.loss_db(51e6, 20.0))
    for one in found:
        lost_db = 10 * math.log10(100 / one.outcomes[0].power_w)
        assert lost_db > loss_db + one.outcomes[0].loss_db
    feed = matches(sweeps, 1, BAND, 2.0, Wish(51e6))
    best_w = [max(one.outcomes[0].power_w for one in group) for group in (feed, found)]
    assert best_w[0] > best_w[1]


def test_what_strays_outweigh_is_said():
    """And what is hard to build: next to nothing of line, stubs in series."""
    at_hz = np.linspace(140e6, 150e6, 51)
    band = Band(144e6, 146e6)

    def notes_of(load_ohm):
        gamma = np.full(51, (load_ohm - 50) / (load_ohm + 50))
        bench = Bench().with_band(band).with_readings([Reading(Sweep(at_hz, gamma), "a", "")])
        sweeps, _ = at_feed(bench, Analyses(), Station())
        found = matches(sweeps, 1, band, 2.0, Wish(145e6, series="E12"))
        return {one.kind: " ".join(one.build_notes) for one in found}

    tiny = (Lumped("shunt", "capacitor", 0.9e-12), Lumped("series", "coil", 4e-9))
    assert matching._build_notes(tiny, 14e6) == ()
    capacitor, coil = matching._build_notes(tiny, 145e6)
    assert "0.9 pF cannot be built" in capacitor
    assert "4 nH cannot be built" in coil
    assert "cannot be made of coax" in notes_of(30 - 3j)["series stub, open"]
    assert "lost in the connectors" in " ".join(notes_of(50.5 - 1j).values())
    assert "should have" in notes_of(100 + 0j)["quarter-wave transformer"]


def test_without_phase_or_out_of_reach_nothing_is_matched():
    sizes = ScalarSweep(SWEPT_HZ, np.abs(DRY.reflection(SWEPT_HZ)))
    with pytest.raises(FairleadError, match="phase"):
        matches(sweeps_of(sizes), 1, BAND, 2.0, Wish(51e6))
    with pytest.raises(FairleadError, match="does not reach 70 MHz"):
        matches(sweeps_of(swept(DRY)), 1, BAND, 2.0, Wish(70e6))


def test_a_sweep_elsewhere_has_no_worst_swr_and_an_active_one_no_match():
    elsewhere = np.linspace(100e6, 110e6, 51)
    other = Sweep(elsewhere, DRY.reflection(elsewhere))
    found = matches(sweeps_of(swept(DRY), other), 1, BAND, 2.0, Wish(51e6))
    assert all(one.worst_swr is None for one in found)
    for gamma in (1.1j, 0.999j, 1.0):
        active = Sweep(SWEPT_HZ, np.full(161, gamma + 0j))
        assert matches(sweeps_of(active), 1, BAND, 2.0, Wish(51e6)) == ()
