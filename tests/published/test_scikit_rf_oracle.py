"""scikit-rf as an oracle for everything it gets right, on random passive data.

Where |G| reaches or exceeds 1 scikit-rf gives negative SWR; those cases are ours to decide and
are tested in tests/core.
"""

from __future__ import annotations

import numpy as np
import pytest
import skrf

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.reflection import (
    impedance_ohm,
    reflection_from_impedance,
    renormalise,
    return_loss_db,
    swr,
)
from fairlead.core.sweep import Sweep

COUNT = 500


@pytest.fixture(params=range(4))
def network(request):
    """Random one-port, |G| < 0.99, at 50, 75, 20 or 450 ohm."""
    generator = np.random.default_rng(request.param)
    rho = generator.uniform(0, 0.99, COUNT)
    gamma = rho * np.exp(2j * np.pi * generator.uniform(0, 1, COUNT))
    z0_ohm = (50.0, 75.0, 20.0, 450.0)[request.param]
    frequency = skrf.Frequency.from_f(np.linspace(1e6, 60e6, COUNT), unit="Hz")
    return skrf.Network(frequency=frequency, s=gamma[:, None, None], z0=z0_ohm)


def gamma_of(network):
    return network.s[:, 0, 0]


def test_swr_and_return_loss(network):
    rho = np.abs(gamma_of(network))
    np.testing.assert_allclose(swr(rho), network.s_vswr[:, 0, 0], rtol=1e-12)
    np.testing.assert_allclose(return_loss_db(rho), -network.s_db[:, 0, 0], atol=1e-10)


def test_impedance_both_ways(network):
    z0_ohm = float(network.z0[0, 0].real)
    z_ohm = network.z[:, 0, 0]
    np.testing.assert_allclose(impedance_ohm(gamma_of(network), z0_ohm), z_ohm, rtol=1e-10)
    np.testing.assert_allclose(
        reflection_from_impedance(z_ohm, z0_ohm), gamma_of(network), atol=1e-12
    )


@pytest.mark.parametrize("to_ohm", [50.0, 75.0, 300.0, 12.5])
def test_renormalising(network, to_ohm):
    from_ohm = float(network.z0[0, 0].real)
    other = network.copy()
    other.renormalize(to_ohm)
    np.testing.assert_allclose(
        renormalise(gamma_of(network), from_ohm, to_ohm), gamma_of(other), atol=1e-11
    )


def test_figures_at_another_reference_impedance(network):
    """Worst SWR and SWR at the edges of the whole sweep: all on points that scikit-rf has too."""
    other = network.copy()
    other.renormalize(60.0)
    sweep = Sweep(network.f, gamma_of(network), float(network.z0[0, 0].real))
    own = figures(sweep, Band(network.f[0], network.f[-1]), 60.0)
    theirs = other.s_vswr[:, 0, 0]
    assert own.swr_low_edge == pytest.approx(theirs[0], rel=1e-9)
    assert own.swr_high_edge == pytest.approx(theirs[-1], rel=1e-9)
    assert own.highest_swr >= theirs.max() * (1 - 1e-9)
    assert own.best_match_swr is None or own.best_match_swr <= theirs.min() * (1 + 1e-9)


@pytest.mark.parametrize("length_m", [0.3, 1.7, 4.0])
def test_an_antenna_behind_a_line_of_scikit_rf(length_m):
    """A series circuit behind a line made by scikit-rf: its SWR figures do not change."""
    frequency = skrf.Frequency(45, 57, 301, unit="MHz")
    line = skrf.media.DefinedGammaZ0(
        frequency, z0=50, gamma=2j * np.pi * frequency.f / (0.66 * 299_792_458)
    )
    detuned = frequency.f / 51e6 - 51e6 / frequency.f
    z_ohm = 40 * (1 + 9j * detuned)
    antenna = skrf.Network(
        frequency=frequency, s=((z_ohm - 50) / (z_ohm + 50))[:, None, None], z0=50
    )
    cabled = line.line(length_m, "m") ** antenna
    band = Band(50e6, 52e6)
    bare = figures(Sweep(frequency.f, gamma_of(antenna)), band, 50.0)
    own = figures(Sweep(frequency.f, gamma_of(cabled)), band, 50.0)
    assert own.best_match_hz == pytest.approx(bare.best_match_hz, abs=20)
    assert own.best_match_swr == pytest.approx(bare.best_match_swr, rel=1e-6)
    assert own.usable_width_hz == pytest.approx(bare.usable_width_hz, abs=20)
    assert own.worst_swr == pytest.approx(bare.worst_swr, rel=1e-6)


@pytest.mark.parametrize("at_hz", [50.123e6, 51.0e6, 51.877e6])
def test_interpolated_swr_against_scikit_rfs_cubic_spline(at_hz):
    """Another kind of cubic through the same points: alike to 1e-5 on 101 points, Q 12."""
    frequency = skrf.Frequency(48, 54, 101, unit="MHz")
    detuned = frequency.f / 51e6 - 51e6 / frequency.f
    z_ohm = 62 * (1 + 12j * detuned)
    gamma = (z_ohm - 50) / (z_ohm + 50)
    network = skrf.Network(frequency=frequency, s=gamma[:, None, None], z0=50)
    there = network.interpolate([at_hz], kind="cubic", coords="cart", f_kwargs={"unit": "Hz"})
    own = figures(Sweep(frequency.f, gamma), Band(at_hz, 53e6), 50.0)
    assert own.swr_low_edge == pytest.approx(float(there.s_vswr[0, 0, 0]), rel=1e-5)
