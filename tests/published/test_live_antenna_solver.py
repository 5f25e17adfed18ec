"""An antenna solver (PyNEC, NEC-2) run now as an oracle: sparse sweeps against its dense answer.

The solver itself is first held against the published examples of the NEC-2 User's Guide (Part
III, UCID-18834; values as in the tests of tmolteno/necpp).
"""

from __future__ import annotations

import numpy as np
import pytest
import skrf
from circuits import impedance_of

from fairlead.core.bands import Band
from fairlead.core.document.planes import line_step
from fairlead.core.figures import figures
from fairlead.core.line_types import line_of_type
from fairlead.core.reflection import reflection_from_impedance
from fairlead.core.sweep import Sweep

try:
    from PyNEC import nec_context
except ImportError as error:
    pytest.skip(
        f"NO ANTENNA SOLVER HERE ({error}): these checks did not run. It has wheels for Linux on "
        "x86_64 and Python below 3.14; there, `pip install '.[test]'` brings it",
        allow_module_level=True,
    )

BAND = Band(14.0e6, 14.35e6)


def dipole_ohm(frequency_hz, length_m=10.2, radius_m=1e-3, segments=41):
    """Impedance at the centre of a straight wire in free space, shape (n,)."""
    return np.array([_solved(hz / 1e6, length_m, radius_m, segments) for hz in frequency_hz])


def _solved(mhz, length_m, radius_m, segments):
    context = nec_context()
    geometry = context.get_geometry()
    half_m = length_m / 2
    geometry.wire(1, segments, 0, 0, -half_m, 0, 0, half_m, radius_m, 1, 1)
    context.geometry_complete(0)
    context.ex_card(0, 1, segments // 2 + 1, 0, 0, 1, 0, 0, 0, 0, 0)
    context.fr_card(0, 1, mhz, 0)
    context.xq_card(0)
    return complex(context.get_input_parameters(0).get_impedance()[0])


@pytest.fixture(scope="module")
def dense():
    """Every 2 kHz around the edges and the resonance, for straight lines."""
    frequency_hz = np.arange(13.6e6, 15.0e6, 4e3)
    return frequency_hz, dipole_ohm(frequency_hz)


@pytest.fixture(scope="module")
def sparse():
    """51 points of 50 kHz, as an analyzer might take them."""
    frequency_hz = np.linspace(13.0e6, 15.5e6, 51)
    return Sweep(frequency_hz, reflection_from_impedance(dipole_ohm(frequency_hz), 50))


def crossings(frequency_hz, values):
    """Where straight lines through the points cross zero."""
    at = np.flatnonzero(np.sign(values[1:]) != np.sign(values[:-1]))
    part = values[at] / (values[at] - values[at + 1])
    return frequency_hz[at] + part * (frequency_hz[at + 1] - frequency_hz[at])


def test_the_solver_gives_example_1_of_the_guide():
    """7 segments, 0.5 m, 1 mm radius, wavelength 1 m: 82.698 + j46.306 ohm (0.03 ohm: c)."""
    (z_ohm,) = dipole_ohm([299.8e6], 0.5, 1e-3, 7)
    assert z_ohm.real == pytest.approx(82.698, abs=0.03)
    assert z_ohm.imag == pytest.approx(46.306, abs=0.03)


def test_resonance_against_the_dense_run(sparse, dense):
    frequency_hz, z_ohm = dense
    (expected_hz,) = crossings(frequency_hz, z_ohm.imag)
    (found,) = figures(sparse, BAND, 50.0).resonances
    assert found.frequency_hz == pytest.approx(expected_hz, abs=20)
    assert found.resistance_ohm == pytest.approx(
        np.interp(expected_hz, frequency_hz, z_ohm.real), abs=0.005
    )


@pytest.mark.parametrize("z0_ohm", [50.0, 75.0])
@pytest.mark.parametrize("limit", [1.6, 2.0])
def test_edges_against_the_dense_run(sparse, dense, z0_ohm, limit):
    frequency_hz, z_ohm = dense
    rho = np.abs((z_ohm - z0_ohm) / (z_ohm + z0_ohm))
    expected = crossings(frequency_hz, rho - (limit - 1) / (limit + 1))
    segment = figures(sparse, BAND, z0_ohm, limit).main_segment
    assert (segment.low_hz, segment.high_hz) == pytest.approx(tuple(expected), abs=50)


@pytest.mark.parametrize("z0_ohm", [50.0, 75.0])
def test_best_match_against_the_dense_run(sparse, dense, z0_ohm):
    frequency_hz, z_ohm = dense
    rho = np.abs((z_ohm - z0_ohm) / (z_ohm + z0_ohm))
    # The vertex of a parabola through |G|^2 around the least point.
    near = slice(rho.argmin() - 5, rho.argmin() + 6)
    a, b, c = np.polyfit((frequency_hz[near] - 14.2e6) / 1e6, rho[near] ** 2, 2)
    own = figures(sparse, BAND, z0_ohm)
    assert own.best_match_hz == pytest.approx(14.2e6 - b / (2 * a) * 1e6, abs=500)
    least = np.sqrt(c - b * b / (4 * a))
    assert own.best_match_swr == pytest.approx((1 + least) / (1 - least), abs=1e-4)


def test_q_against_the_slope_of_the_dense_run(sparse, dense):
    frequency_hz, z_ohm = dense
    own = figures(sparse, BAND, 50.0)
    near = np.abs(frequency_hz - own.q_hz) < 50e3
    slope = np.polyfit(frequency_hz[near] - own.q_hz, z_ohm[near], 2)[1]
    value = np.interp(own.q_hz, frequency_hz, z_ohm)
    expected = own.q_hz / (2 * value.real) * abs(slope + 1j * abs(value.imag) / own.q_hz)
    assert own.q == pytest.approx(expected, rel=1e-3)


def test_a_longer_dipole_is_lower_by_the_ratio_of_lengths(sparse):
    """Scaling: 1 % longer and thicker is 1 % lower; the change against a reference says so."""
    own = figures(sparse, BAND, 50.0)
    frequency_hz = np.linspace(13.0e6, 15.5e6, 51)
    longer = Sweep(
        frequency_hz, reflection_from_impedance(dipole_ohm(frequency_hz, 10.302, 1.01e-3), 50)
    )
    moved = figures(longer, BAND, 50.0)
    assert moved.best_match_hz / own.best_match_hz == pytest.approx(1 / 1.01, rel=2e-5)
    assert moved.q == pytest.approx(own.q, rel=1e-3)


def test_the_sweep_holds_what_the_solver_gave(sparse):
    z_ohm = dipole_ohm(sparse.frequency_hz[:2])
    np.testing.assert_allclose(impedance_of(sparse.reflection[:2]), z_ohm, rtol=1e-12)


def test_behind_a_line_and_with_the_line_removed_the_dipole_is_the_solver_s(sparse):
    """scikit-rf puts the line in, we take it away: resonance and Q of the solver come back."""
    line = line_of_type("RG-213")
    gamma, zc_ohm = line.constants(sparse.frequency_hz)
    grid = skrf.Frequency.from_f(sparse.frequency_hz, unit="hz")
    media = skrf.media.DefinedGammaZ0(grid, z0_port=50, gamma=gamma, z0=zc_ohm)
    load = skrf.Network(frequency=grid, s=sparse.reflection, z0=50)
    seen = Sweep(sparse.frequency_hz, (media.line(25.0, "m") ** load).s[:, 0, 0])
    away = line_step("radio", line, 25.0).applied(seen)
    true, found, at_radio = (figures(one, BAND, 50.0) for one in (sparse, away, seen))
    assert found.main_resonance.frequency_hz == pytest.approx(
        true.main_resonance.frequency_hz, rel=1e-7
    )
    assert found.q == pytest.approx(true.q, rel=1e-4)
    assert at_radio.q is None or abs(at_radio.q / true.q - 1) > 0.05
