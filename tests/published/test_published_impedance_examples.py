"""Impedance, reflection and lines against worked examples of textbooks.

The books were read in the notebooks of FOSSEE/Python-Textbook-Companions (commit d34b2ae), which
print each numbered example with its result; one row is from memory and says so. Tolerances are
half a unit of the last printed digit unless a comment says otherwise.
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from fairlead.core.reflection import (
    impedance_ohm,
    reflection_from_impedance,
    renormalise,
    return_loss_db,
    swr,
)


def polar(magnitude, angle_deg):
    return cmath.rect(magnitude, math.radians(angle_deg))


# id: (load ohm, z0 ohm, |G|, angle deg or None, SWR or None), (tolerance of |G|, deg, SWR)
LOADS = {
    # Pozar, Microwave Engineering, 2nd ed., Ex. 2.3
    "pozar 2.3": ((80 - 40j, 50, 0.367607, None, 2.16259), (5e-7, 0, 5e-6)),
    # Pozar, 3rd ed., Ex. 2.2, from memory
    "pozar 2.2, from memory": ((40 + 70j, 100, 0.59, 104, 3.87), (5e-3, 0.5, 5e-3)),
    # Sadiku, Elements of Electromagnetics, 3rd ed., Ex. 11.4 and 11.5
    "sadiku 11.4": ((60 + 40j, 50, 0.3523, 56, 2.088), (5e-5, 0.5, 5e-4)),
    "sadiku 11.5": ((100 + 150j, 75, 0.66, 40, 4.88), (5e-3, 0.5, 5e-3)),
    # Misra, RF and Microwave Communication Circuits, 2nd ed., Ex. 3.13: the notebook computes
    # with z0 = 50 + j0.01 ohm, which moves the last digit of all three numbers.
    "misra 3.13": ((73 - 42.5j, 50, 0.3714, -42.53, 2.1818), (1e-4, 0.02, 5e-4)),
    "misra 3.15": ((50 + 100j, 50, 0.7071, 45, 5.8284), (5e-5, 0.5, 5e-5)),
    # Kulkarni, Microwave and Radar Engineering, Ex. 3.5
    "kulkarni 3.5": ((50 + 50j, 50, 0.4472, 63.4, 2.62), (5e-5, 0.05, 5e-3)),
    # University of Rhode Island, ELE541, exam answer trans2.html
    "rhode island": ((25 + 25j, 50, 0.447, 116.6, 2.62), (5e-4, 0.05, 5e-3)),
    # Bird, Electrical Circuit Theory and Technology, Ex. 44.13, 44.15, 44.16. Bird's angle in
    # 44.16, -65.38 degrees, is that of the current: the voltage's is 180 degrees away.
    "bird 44.13": ((250, 75, 0.538, 0, None), (5e-4, 0.5, 0)),
    "bird 44.15": ((320 + 240j, 500, 0.351, None, None), (5e-4, 0, 0)),
    "bird 44.16": ((400 + 250j, 600, 0.3106, 180 - 65.38, 1.901), (5e-5, 5e-3, 5e-4)),
    # Liao, Microwave Devices and Circuits, 3rd ed., Ex. 3.5.1
    "liao 3.5.1": ((1 + 1j, 1, 0.4472, None, 2.6), (5e-5, 0, 0.05)),
}


@pytest.mark.parametrize("name", LOADS)
def test_load_to_reflection_and_back(name):
    (load_ohm, z0_ohm, rho, angle_deg, ratio), (d_rho, d_deg, d_ratio) = LOADS[name]
    gamma = complex(reflection_from_impedance(load_ohm, z0_ohm))
    assert abs(gamma) == pytest.approx(rho, abs=d_rho)
    if angle_deg is not None:
        assert math.degrees(cmath.phase(gamma)) == pytest.approx(angle_deg, abs=d_deg)
    if ratio is not None:
        assert swr(abs(gamma)) == pytest.approx(ratio, abs=d_ratio)
    assert complex(impedance_ohm(gamma, z0_ohm)) == pytest.approx(load_ohm, rel=1e-12)


def test_pozar_example_2_3_return_loss():
    """Pozar 2nd ed., Ex. 2.3: 8.69232 dB."""
    gamma = reflection_from_impedance(80 - 40j, 50)
    assert return_loss_db(np.abs(gamma)) == pytest.approx(8.69232, abs=5e-6)


def test_pozar_example_2_4_slotted_line():
    """Pozar 2nd ed., Ex. 2.4: SWR 1.5, first minimum 1.48 cm off, 4 cm waves: 47.3 + j19.7."""
    gamma = polar(0.2, 180 + 2 * 360 * 1.48 / 4)
    assert math.degrees(cmath.phase(gamma)) == pytest.approx(86.4, abs=0.05)
    z_ohm = complex(impedance_ohm(gamma, 50))
    assert (z_ohm.real, z_ohm.imag) == pytest.approx((47.3, 19.7), abs=0.05)


def test_liao_example_3_2_1():
    """Liao Ex. 3.2.1: 70 + j50 on 75 ohm: 0.08 + j0.32 (the notebook's z0 is 75 + j0.01)."""
    gamma = complex(reflection_from_impedance(70 + 50j, 75))
    assert (gamma.real, gamma.imag) == pytest.approx((0.08, 0.32), abs=5e-3)


def test_misra_example_3_14_from_a_minimum():
    """Misra Ex. 3.14: SWR 2.4, minimum at 0.4 m, beta pi rad/m, 100 ohm: 165.00 - j96.18."""
    z_ohm = complex(impedance_ohm(polar(1.4 / 3.4, 180 + math.degrees(2 * math.pi * 0.4)), 100))
    assert (z_ohm.real, z_ohm.imag) == pytest.approx((165.00, -96.18), abs=5e-3)


def test_bird_example_44_17_current_coefficient():
    """Bird Ex. 44.17: current coefficient 0.2 at -120 degrees, 80 ohm: SWR 1.5, 91.43 + j33.0."""
    gamma = -polar(0.2, -120)
    assert swr(abs(gamma)) == pytest.approx(1.5)
    z_ohm = complex(impedance_ohm(gamma, 80))
    assert (z_ohm.real, z_ohm.imag) == pytest.approx((91.43, 33.0), abs=0.05)


# load, z0, length in waves; input impedance and its tolerance
LINES = {
    # from memory: Pozar 3rd ed. Ex. 2.2
    "pozar 2.2, from memory": (40 + 70j, 100, 0.3, 36.5 - 61.1j, 0.05),
    # c = 3e8 m/s as in the book: 30 m, 2 MHz, 0.6 c
    "sadiku 11.4": (60 + 40j, 50, 30 * 2e6 / 1.8e8, 23.97 + 1.35j, 0.005),
    "sadiku 11.5": (100 + 150j, 75, 0.4, 21.96 + 47.61j, 0.005),
    # 10 m, 26 MHz, 2e8 m/s
    "misra 3.11": (100 + 50j, 50, 10 * 26e6 / 2e8, 19.2093 + 3.5206j, 5e-5),
    "misra 3.15": (50 + 100j, 50, 0.25, 10 - 20j, 5e-9),
    "liao 3.4.1": (75, 50, 2.25, 33.33, 0.005),
    # 1 m, 30 MHz, velocity factor 0.8, c = 3e8 m/s
    "blake 14.9": (100, 50, 30e6 / 2.4e8, 40 - 30j, 5e-9),
    # read off a chart in the book: half an ohm
    "blake 14.13": (50 + 50j, 50, 6 * 100e6 / 2.1e8, 19.36 + 5.44j, 0.5),
}


@pytest.mark.parametrize("name", LINES)
def test_a_line_turns_the_reflection(name):
    load_ohm, z0_ohm, waves, expected_ohm, tolerance_ohm = LINES[name]
    gamma = reflection_from_impedance(load_ohm, z0_ohm) * polar(1, -720 * waves)
    z_ohm = complex(impedance_ohm(gamma, z0_ohm))
    assert z_ohm.real == pytest.approx(expected_ohm.real, abs=tolerance_ohm)
    assert z_ohm.imag == pytest.approx(expected_ohm.imag, abs=tolerance_ohm)


def test_misra_example_3_11_reflection_at_the_input():
    """Misra Ex. 3.11: -0.44115 + j0.07330."""
    gamma = complex(reflection_from_impedance(19.2093 + 3.5206j, 50))
    assert (gamma.real, gamma.imag) == pytest.approx((-0.44115, 0.07330), abs=1.5e-5)


@pytest.mark.parametrize(
    ("z_ohm", "gamma"),
    [
        (0, -1),
        (50, 0),
        (50j, 1j),
        (-50j, -1j),
        (25, -1 / 3),
        (100, 1 / 3),
        (10, -2 / 3),
        (200, 0.6),
        (50 + 50j, 0.2 + 0.4j),
        (50 - 50j, 0.2 - 0.4j),
        (100 + 100j, 7 / 13 + 4j / 13),
    ],
)
def test_exact_anchors_at_50_ohm(z_ohm, gamma):
    """Closed form of (Z - z0) / (Z + z0)."""
    assert complex(reflection_from_impedance(z_ohm, 50)) == pytest.approx(gamma, abs=1e-15)
    assert complex(impedance_ohm(gamma, 50)) == pytest.approx(z_ohm, abs=1e-12)


def test_swr_of_100_plus_j100():
    """Closed form: 4.265564."""
    assert swr(abs(7 / 13 + 4j / 13)) == pytest.approx(4.265564, abs=5e-7)


def test_an_open_circuit_has_infinite_impedance_and_reflection_1():
    assert complex(reflection_from_impedance(complex(math.inf, 0), 50)) == 1
    assert impedance_ohm(1.0, 50).real == math.inf


def test_balanis_example_2_10_in_another_reference_impedance():
    """73 ohm is |G| 23/123 at 50 ohm and 0 at 73 ohm, whichever way it is reached."""
    gamma = reflection_from_impedance(73, 50)
    assert complex(renormalise(gamma, 50, 73)) == pytest.approx(0, abs=1e-16)
    assert complex(renormalise(0, 73, 50)) == pytest.approx(23 / 123, rel=1e-14)
