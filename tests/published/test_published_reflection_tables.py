"""SWR, return loss, reflected power and mismatch loss against published tables.

Sources, by the letter in each row:
a  transmission line table at qslnet.de/member/lz1len/txlinecond.html
b  Elsema, "VSWR effects", elsema.com/vswreffects
c  Keysight, data sheet 5992-0040EN (U2034D), page 29
d  S. Best, TowerTalk list, June 1998
e  IIT Bombay, course page Dipole_BW
Table a cuts last digits off instead of rounding; its through power at SWR 1.3 is a misprint
(98.23 for 98.30) and is left out.
"""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.reflection import (
    impedance_ohm,
    magnitude_from_return_loss,
    magnitude_from_swr,
    mismatch_loss_db,
    reflection_from_impedance,
    return_loss_db,
    swr,
    swr_of_one,
)

# SWR; then |G|, return loss dB, reflected %, mismatch loss dB to more digits than any print.
# Closed form: |G| = (s-1)/(s+1), RL = -20 log |G|, |G|^2, ML = -10 log (1-|G|^2).
EXACT = [
    (1.01, 0.00498, 46.064, 0.0025, 0.00011),
    (1.02, 0.00990, 40.086, 0.0098, 0.00043),
    (1.03, 0.01478, 36.607, 0.0218, 0.00095),
    (1.05, 0.02439, 32.256, 0.0595, 0.00258),
    (1.10, 0.04762, 26.444, 0.2268, 0.00986),
    (1.20, 0.09091, 20.828, 0.8264, 0.03604),
    (1.25, 0.11111, 19.085, 1.2346, 0.05395),
    (1.30, 0.13043, 17.692, 1.7013, 0.07452),
    (1.40, 0.16667, 15.563, 2.7778, 0.12234),
    (1.50, 0.20000, 13.979, 4.0000, 0.17729),
    (1.60, 0.23077, 12.736, 5.3254, 0.23767),
    (1.70, 0.25926, 11.725, 6.7215, 0.30219),
    (1.80, 0.28571, 10.881, 8.1633, 0.36984),
    (1.90, 0.31034, 10.163, 9.6314, 0.43982),
    (2.00, 0.33333, 9.542, 11.1111, 0.51153),
    (2.50, 0.42857, 7.360, 18.3673, 0.88136),
    (3.00, 0.50000, 6.021, 25.0000, 1.24939),
    (3.50, 0.55556, 5.105, 30.8642, 1.60297),
    (4.00, 0.60000, 4.437, 36.0000, 1.93820),
    (5.00, 0.66667, 3.522, 44.4444, 2.55273),
    (6.00, 0.71429, 2.923, 51.0204, 3.09985),
    (10.0, 0.81818, 1.743, 66.9421, 4.80725),
]


def reflected_share(magnitude):
    """Share of the power that comes back: what the mismatch loss does not let through."""
    return 1 - 10 ** (-mismatch_loss_db(magnitude) / 10)


@pytest.mark.parametrize(("ratio", "rho", "loss_db", "percent", "mismatch_db"), EXACT)
def test_closed_form_of_the_tables(ratio, rho, loss_db, percent, mismatch_db):
    magnitude = magnitude_from_swr(ratio)
    assert magnitude == pytest.approx(rho, abs=6e-6)
    assert return_loss_db(magnitude) == pytest.approx(loss_db, abs=6e-4)
    assert 100 * reflected_share(magnitude) == pytest.approx(percent, abs=6e-5)
    assert mismatch_loss_db(magnitude) == pytest.approx(mismatch_db, abs=6e-6)
    assert swr(magnitude) == pytest.approx(ratio, rel=1e-12)


# Source a: SWR, |G|, return loss dB, reflected %, through %, mismatch loss dB
TABLE_A = [
    (1.1, 0.05, 26.43, 0.23, 99.77, 0.01),
    (1.2, 0.09, 20.83, 0.83, 99.17, 0.04),
    (1.3, 0.13, 17.69, 1.70, None, 0.08),
    (1.4, 0.17, 15.57, 2.77, 97.22, 0.12),
    (1.5, 0.20, 13.98, 4.00, 96.00, 0.18),
    (1.6, 0.23, 12.74, 5.32, 94.68, 0.24),
    (1.7, 0.26, 11.73, 6.72, 93.28, 0.30),
    (1.8, 0.29, 10.88, 8.16, 91.84, 0.37),
    (1.9, 0.31, 10.16, 9.63, 90.37, 0.44),
    (2.0, 0.33, 9.54, 11.11, 88.89, 0.51),
    (2.5, 0.43, 7.36, 18.36, 81.64, 0.88),
    (3.0, 0.50, 6.02, 25.00, 75.00, 1.25),
    (3.5, 0.55, 5.11, 30.85, 69.14, 1.60),
    (4.0, 0.60, 4.44, 36.00, 64.00, 1.94),
    (5.0, 0.67, 3.52, 44.43, 55.56, 2.55),
    (6.0, 0.71, 2.92, 51.02, 48.98, 3.10),
    (10.0, 0.82, 1.74, 66.94, 33.05, 4.81),
]


@pytest.mark.parametrize(
    ("ratio", "rho", "loss_db", "reflected", "through", "mismatch_db"), TABLE_A
)
def test_transmission_line_table_a(ratio, rho, loss_db, reflected, through, mismatch_db):
    magnitude = magnitude_from_swr(ratio)
    assert magnitude == pytest.approx(rho, abs=0.01)
    assert return_loss_db(magnitude) == pytest.approx(loss_db, abs=0.02)
    assert 100 * reflected_share(magnitude) == pytest.approx(reflected, abs=0.02)
    assert mismatch_loss_db(magnitude) == pytest.approx(mismatch_db, abs=0.02)
    if through is not None:
        assert 100 * (1 - reflected_share(magnitude)) == pytest.approx(through, abs=0.02)


# Source b: SWR, return loss dB, reflected % (None: not printed)
TABLE_B = [
    (1.01, 46.1, None),
    (1.02, 40.1, None),
    (1.03, 36.6, None),
    (1.05, 32.3, 0.1),
    (1.10, 26.4, 0.2),
    (1.20, 20.8, 0.8),
    (1.25, 19.1, 1.2),
    (1.30, 17.7, 1.7),
    (1.40, 15.6, 2.8),
    (1.50, 14.0, 4.0),
    (1.60, 12.7, 5.3),
    (1.70, 11.7, 6.7),
    (1.80, 10.9, 8.2),
]


@pytest.mark.parametrize(("ratio", "loss_db", "reflected"), TABLE_B)
def test_component_makers_table_b(ratio, loss_db, reflected):
    magnitude = magnitude_from_swr(ratio)
    assert return_loss_db(magnitude) == pytest.approx(loss_db, abs=0.0501)
    if reflected is not None:
        assert 100 * reflected_share(magnitude) == pytest.approx(reflected, abs=0.0501)


# Source c: SWR and |G| to 2 decimals
TABLE_C = [
    (1.05, 0.02),
    (1.10, 0.05),
    (1.15, 0.07),
    (1.20, 0.09),
    (1.25, 0.11),
    (1.30, 0.13),
    (1.35, 0.15),
    (1.40, 0.17),
    (1.45, 0.18),
    (1.50, 0.20),
    (1.60, 0.23),
    (2.00, 0.33),
    (2.10, 0.35),
    (2.20, 0.38),
    (2.30, 0.39),
    (2.40, 0.41),
    (2.50, 0.43),
    (2.60, 0.44),
    (2.70, 0.46),
    (2.80, 0.47),
    (2.90, 0.49),
    (3.00, 0.50),
]


@pytest.mark.parametrize(("ratio", "rho"), TABLE_C)
def test_instrument_makers_table_c(ratio, rho):
    assert magnitude_from_swr(ratio) == pytest.approx(rho, abs=0.00501)


def test_statements_d_and_e():
    # d: 4 % and 0.18 dB at 1.5, 11 % and 0.51 dB at 2, 25 % and 1.25 dB at 3
    rho = magnitude_from_swr([1.5, 2.0, 3.0])
    np.testing.assert_allclose(100 * reflected_share(rho), [4, 11, 25], atol=0.5)
    np.testing.assert_allclose(mismatch_loss_db(rho), [0.18, 0.51, 1.25], atol=0.005)
    # e: |G| 1/3, 1/2, 3/5 at SWR 2, 3, 4, that is -9.54, -6.02, -4.437 dB
    rho = magnitude_from_swr([2.0, 3.0, 4.0])
    np.testing.assert_allclose(rho, [1 / 3, 1 / 2, 3 / 5], rtol=1e-15)
    np.testing.assert_allclose(return_loss_db(rho), [9.54, 6.02, 4.437], atol=0.005)


class TestWorkedExamples:
    """Books read in the notebooks of FOSSEE/Python-Textbook-Companions, not in print."""

    def test_bird_example_44_18(self):
        """Bird, Electrical Circuit Theory and Technology, 2nd ed., Ex. 44.18: 10.65 mW."""
        assert 200 * reflected_share(magnitude_from_swr(1.6)) == pytest.approx(10.65, abs=0.005)

    def test_blake_example_14_7(self):
        """Blake, Electronic Communication Systems, Ex. 14.7: 12.5 mW back, 37.5 mW taken."""
        assert 50 * reflected_share(0.5) == pytest.approx(12.5)
        assert 50 * (1 - reflected_share(0.5)) == pytest.approx(37.5)

    def test_blake_example_14_8(self):
        """Blake Ex. 14.8: of 50 W at SWR 2, 44.44 W reach the load."""
        assert 50 * (1 - reflected_share(magnitude_from_swr(2))) == pytest.approx(44.44, abs=0.005)

    def test_blake_example_14_20(self):
        """Blake Ex. 14.20: 150 W forward and 20 W back make SWR 2.150."""
        assert swr(np.sqrt(20 / 150)) == pytest.approx(2.150, abs=0.0005)

    def test_frenzel_example_13_5(self):
        """Frenzel, Principles of Electronic Communication Systems, Ex. 13.5."""
        ratio = 52 / 17
        assert ratio == pytest.approx(3.06, abs=0.005)
        assert magnitude_from_swr(ratio) == pytest.approx(0.51, abs=0.005)
        real = [magnitude_from_swr(ratio), -magnitude_from_swr(ratio)]
        np.testing.assert_allclose(impedance_ohm(real, 75).real, [229.41, 24.52], atol=0.005)

    def test_frenzel_example_13_6(self):
        """Frenzel Ex. 13.6: SWR 3.05, 30 W, 22.31 W to the load."""
        share = 1 - reflected_share(magnitude_from_swr(3.05))
        assert 30 * share == pytest.approx(22.31, abs=0.005)

    def test_beasley_and_miller_example_12_7(self):
        """Beasley and Miller, Modern Electronic Communication, 9th ed., Ex. 12.7."""
        rho = np.abs(reflection_from_impedance(50, 300))
        assert rho == pytest.approx(0.71, abs=0.005)
        assert swr(rho) == pytest.approx(6)
        assert 4 * (1 - reflected_share(rho)) == pytest.approx(1.96, abs=0.005)

    def test_forward_and_reflected_voltage(self):
        """brats-qth.org, advanced course: 100 V forward and 50 V reflected make SWR 3."""
        assert swr(50 / 100) == pytest.approx(3)

    @pytest.mark.parametrize(("load_ohm", "ratio"), [(200, 4), (10, 5)])
    def test_ncvec_general_pool(self, load_ohm, ratio):
        """NCVEC General pool G9A09 and G9A10: 50 ohm line, 200 and 10 ohm load."""
        assert swr(np.abs(reflection_from_impedance(load_ohm, 50))) == pytest.approx(ratio)

    def test_balanis_example_2_10(self):
        """Balanis, Antenna Theory, Ex. 2.10: 73 ohm on 50 ohm lose 0.155 dB."""
        rho = np.abs(reflection_from_impedance(73, 50))
        assert mismatch_loss_db(rho) == pytest.approx(0.155, abs=0.0005)

    def test_thin_dipole_on_50_ohm(self):
        """Closed form: 73 + j42.5 ohm on 50 ohm lose 0.6444 dB."""
        rho = np.abs(reflection_from_impedance(73 + 42.5j, 50))
        assert mismatch_loss_db(rho) == pytest.approx(0.6444, abs=5e-5)


def test_return_loss_is_positive_when_less_comes_back():
    """Sign as in the ECSS glossary, entry 1168 (T. S. Bird, IEEE AP Magazine 2009, from memory)."""
    assert return_loss_db(0.1) == pytest.approx(20)
    assert magnitude_from_return_loss(20) == pytest.approx(0.1)


def test_one_value_and_arrays_give_the_same_swr():
    for rho in (0.0, 0.2, 0.99999, 1 - 1e-10, 1.0, 1 + 1e-10, 1.002):
        np.testing.assert_equal(swr_of_one(rho), float(swr(rho)))
