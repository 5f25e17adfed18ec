"""The one-port examples of the Touchstone specification as numbers: what our maths makes of them.

Touchstone File Format Specification, version 1.1 (EIA/IBIS Open Forum 2002) examples 1 and 2,
version 2.0 (2009) examples 8, 9 and 10. The data are the specification's; impedance, SWR and
losses at 50 ohm follow in closed form. How the files are read is tested with the readers.
"""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.reflection import (
    impedance_ohm,
    mismatch_loss_db,
    reflection_from_impedance,
    renormalise,
    return_loss_db,
    swr,
)
from fairlead.core.sweep import Sweep

# Example 2 of version 1.1 (normalised to 75 ohm) and example 10 of 2.0 (ohm) are the same.
Z_OHM = (
    75
    * np.array([0.99, 0.80, 0.707, 0.40, 0.01])
    * np.exp(1j * np.deg2rad([-4, -22, -45, -62, -89]))
)
FREQUENCY_HZ = np.array([100, 200, 300, 400, 500]) * 1e6


def test_example_1_scattering_parameter():
    """2 MHz, 0.894 at -12.136 degrees, 50 ohm."""
    gamma = 0.894 * np.exp(1j * np.deg2rad(-12.136))
    assert complex(gamma) == pytest.approx(0.874020295 - 0.187948195j, abs=5e-10)
    assert return_loss_db(abs(gamma)) == pytest.approx(0.973250, abs=5e-7)
    assert swr(abs(gamma)) == pytest.approx(17.867925, abs=5e-7)
    assert mismatch_loss_db(abs(gamma)) == pytest.approx(6.973142, abs=5e-7)
    assert complex(impedance_ohm(gamma, 50)) == pytest.approx(196.076171 - 367.119229j, abs=1e-6)


def test_example_2_impedances():
    expected = [
        74.069131 - 5.179418j,
        55.631031 - 22.476396j,
        37.494337 - 37.494337j,
        14.084147 - 26.488428j,
        0.013089 - 0.749886j,
    ]
    np.testing.assert_allclose(Z_OHM, expected, atol=1e-6)


@pytest.mark.parametrize(
    ("z0_ohm", "expected"),
    [
        (
            75,
            [
                -0.005031 - 0.034920j,
                -0.115256 - 0.191891j,
                -0.200085 - 0.399988j,
                -0.547026 - 0.459995j,
                -0.999451 - 0.019988j,
            ],
        ),
        (
            20,
            [
                0.576066 - 0.023342j,
                0.514036 - 0.144421j,
                0.511873 - 0.318327j,
                0.268332 - 0.568615j,
                -0.995890 - 0.074786j,
            ],
        ),
    ],
)
def test_example_2_reflection_at_both_reference_impedances(z0_ohm, expected):
    gamma = reflection_from_impedance(Z_OHM, z0_ohm)
    np.testing.assert_allclose(gamma, expected, atol=1e-6)
    for other_ohm in (50, 20, 75):
        again = renormalise(renormalise(gamma, z0_ohm, other_ohm), other_ohm, z0_ohm)
        np.testing.assert_allclose(again, expected, atol=1e-6)


@pytest.mark.parametrize(
    ("z0_ohm", "expected"),
    [
        (75, [1.0731, 1.5768, 2.6182, 6.0108, 5730.44]),
        (50, [1.4946, 1.5463, 2.4201, 4.6113, 3820.77]),
    ],
)
def test_example_2_swr(z0_ohm, expected):
    """Half a unit of the last digit; the last points stand near a short circuit."""
    ratio = swr(np.abs(reflection_from_impedance(Z_OHM, z0_ohm)))
    np.testing.assert_allclose(ratio[:4], expected[:4], atol=5e-5)
    assert ratio[4] == pytest.approx(expected[4], abs=0.005)


def test_figures_of_example_10_do_not_depend_on_the_files_reference_impedance():
    """75 ohm in one file, 20 ohm in the other: the same antenna at 50 ohm."""
    band = Band(100e6, 500e6)
    found = [
        figures(Sweep(FREQUENCY_HZ, reflection_from_impedance(Z_OHM, z0), z0), band, 50.0)
        for z0 in (75.0, 20.0)
    ]
    assert found[0].swr_low_edge == pytest.approx(1.4946, abs=5e-5)
    assert found[0].swr_high_edge == pytest.approx(3820.77, abs=0.005)
    assert found[0].highest_hz == 500e6
    # Five points 100 MHz apart, from 1.5 to 3821: nothing is said of what lies between them.
    assert found[0].best_match_hz is found[0].worst_swr is None
    for name in ("swr_low_edge", "swr_high_edge", "highest_swr"):
        assert getattr(found[1], name) == pytest.approx(getattr(found[0], name), rel=1e-9), name
