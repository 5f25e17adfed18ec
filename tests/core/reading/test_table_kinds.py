"""What each kind of column means, held against published tables and scikit-rf.

Published tables of SWR, return loss and reflected power: [1a] LZ1LEN, transmission-line table,
qslnet.de/member/lz1len/txlinecond.html; [1b] Elsema, "VSWR effects", elsema.com/vswreffects.
"""

from __future__ import annotations

import numpy as np
import pytest
from skrf.network import z2s
from table_text import codes, error_of, read, read_one, swr_of, text_of

from fairlead.core.errors import ReadError
from fairlead.core.sweep import ScalarSweep

# SWR: |G|, return loss in dB, reflected power in %; [1a], which cuts some last digits.
PUBLISHED = [
    (1.10, 0.05, 26.43, 0.23),
    (1.20, 0.09, 20.83, 0.83),
    (1.30, 0.13, 17.69, 1.70),
    (1.50, 0.20, 13.98, 4.00),
    (1.60, 0.23, 12.74, 5.32),
    (1.80, 0.29, 10.88, 8.16),
    (2.00, 0.33, 9.54, 11.11),
    (2.50, 0.43, 7.36, 18.36),
    (3.00, 0.50, 6.02, 25.00),
    (4.00, 0.60, 4.44, 36.00),
    (5.00, 0.67, 3.52, 44.43),
    (6.00, 0.71, 2.92, 51.02),
    (10.0, 0.82, 1.74, 66.94),
]
# SWR: return loss in dB; [1b].
ELSEMA = [(1.01, 46.1), (1.02, 40.1), (1.05, 32.3), (1.25, 19.1), (1.4, 15.6), (1.7, 11.7)]


def table(heading, values):
    rows = [f"{50 + i},{value!r}" for i, value in enumerate(np.asarray(values).tolist())]
    return "\n".join([f"MHz,{heading}", *rows, ""])


def test_an_swr_gives_the_published_return_loss_and_reflected_power():
    ratios, magnitudes, losses_db, reflected = np.array(PUBLISHED).T
    magnitude = read_one(table("SWR", ratios)).sweep.magnitude
    np.testing.assert_allclose(magnitude, magnitudes, atol=0.005)
    np.testing.assert_allclose(-20 * np.log10(magnitude), losses_db, atol=0.02)
    np.testing.assert_allclose(100 * magnitude**2, reflected, atol=0.02)


@pytest.mark.parametrize("rows", [[(s, rl) for s, _, rl, _ in PUBLISHED], ELSEMA])
@pytest.mark.parametrize(
    ("heading", "sign"),
    [
        ("Return loss (dB)", 1),
        ("Return loss (dB)", -1),
        ("S11 (dB)", -1),
        ("S11 (dB)", 1),
        ("RL", 1),
    ],
)
def test_a_published_return_loss_gives_its_swr(rows, heading, sign):
    ratios, losses_db = np.array(rows).T
    reading = read_one(table(heading, sign * losses_db))
    # Two decimals of 1.74 dB leave 0.06 of an SWR of 10; one decimal of 11.7 dB, 0.005 of 1.7.
    np.testing.assert_allclose(swr_of(reading), ratios, rtol=0.007)
    is_odd = (sign < 0) == (not heading.startswith("S11"))
    assert codes(reading) == (["decibel-sign"] if is_odd else [])


def test_the_sign_of_decibels_is_said_where_it_is_the_other_one():
    reading = read_one("MHz,Return loss\n50,-10\n51,-20\n")
    assert text_of(reading, "decibel-sign") == (
        "column 2 'Return loss': return loss is negative: read as the reflection in dB"
    )
    reading = read_one("MHz,S11 dB\n50,10\n51,20\n")
    assert text_of(reading, "decibel-sign") == (
        "column 2 'S11 dB': reflection in dB is positive: read as return loss"
    )
    np.testing.assert_allclose(reading.sweep.magnitude, [10**-0.5, 0.1])


def test_a_few_decibels_of_the_other_sign_are_a_reflection_above_one():
    reading = read_one("MHz,S11 dB\n50,-10\n51,-20\n52,0.1\n")
    assert codes(reading) == ["reflection-above-one"]
    assert reading.sweep.magnitude[2] == pytest.approx(10 ** (0.1 / 20))


@pytest.mark.parametrize(
    ("heading", "scale"),
    [("Reflected power (%)", 1), ("reflected %", 1), ("Reflected power (share)", 0.01)],
)
def test_published_reflected_power_gives_its_swr(heading, scale):
    ratios, _, _, reflected = np.array(PUBLISHED).T
    reading = read_one(table(heading, scale * reflected))
    # Two decimals of 0.23 % leave 0.002 of an SWR of 1.1, and 0.01 % of an SWR of 10 0.003.
    np.testing.assert_allclose(swr_of(reading), ratios, rtol=0.002)


def test_forward_and_reflected_power():
    # Blake, Electronic Communication Systems, example 14.20: 150 W forward, 20 W back, SWR 2.150;
    # Bird, Electrical Circuit Theory and Technology, example 44.18: 200 mW, 10.65 mW back, SWR 1.6.
    reading = read_one("MHz,Forward (W),Reflected (W)\n50,150,20\n51,0.2,0.01065\n")
    np.testing.assert_allclose(swr_of(reading), [2.150, 1.600], atol=5e-4)


def test_a_magnitude_alone():
    # Blake, example 14.7: |G| 0.5 sends 12.5 of 50 mW back.
    reading = read_one("MHz,|G|\n50,0.5\n51,0.25\n", "frequency=1:MHz,magnitude=2")
    assert reading.sweep.magnitude.tolist() == [0.5, 0.25]
    assert (50 * reading.sweep.magnitude**2).tolist()[0] == 12.5
    assert not reading.sweep.has_phase


Z_OHM = np.array([80 - 40j, 73 - 42.5j, 100 + 50j, 25 + 25j, 50 + 0j, 320 + 240j])


def impedance_table(heading, first, second):
    rows = [f"{50 + i} {a!r} {b!r}" for i, (a, b) in enumerate(zip(first, second, strict=True))]
    return "\n".join([f"MHz {heading}", *rows, ""])


@pytest.mark.parametrize(
    ("heading", "parts"),
    [
        ("R X", lambda z: (z.real, z.imag)),
        ("Rs(ohm) Xs(ohm)", lambda z: (z.real, z.imag)),
        ("|Z| theta(deg)", lambda z: (abs(z), np.angle(z, deg=True))),
        ("|Z| phase(rad)", lambda z: (abs(z), np.angle(z))),
    ],
)
@pytest.mark.parametrize("z0_ohm", [50.0, 75.0])
def test_impedances_against_scikit_rf(heading, parts, z0_ohm):
    first, second = parts(Z_OHM)
    text = f"Z0: {z0_ohm:g}\n" + impedance_table(heading, first.tolist(), second.tolist())
    sweep = read_one(text).sweep
    expected = z2s(Z_OHM.reshape(-1, 1, 1), z0_ohm)[:, 0, 0]
    np.testing.assert_allclose(sweep.reflection, expected, atol=1e-12)
    assert sweep.z0_ohm == z0_ohm


def test_a_textbook_impedance():
    # Pozar, Microwave Engineering, 2nd ed., example 2.3: 80 - j40 on 50 ohm, |G| 0.367607,
    # SWR 2.16259, return loss 8.69232 dB.
    reading = read_one("MHz,R,X\n50,80,-40\n51,80,-40\n")
    assert reading.sweep.magnitude[0] == pytest.approx(0.367607, abs=5e-7)
    assert swr_of(reading)[0] == pytest.approx(2.16259, abs=5e-6)
    assert -20 * np.log10(reading.sweep.magnitude[0]) == pytest.approx(8.69232, abs=5e-6)


@pytest.mark.parametrize(
    ("heading", "parts"),
    [
        ("re im", lambda g: (g.real, g.imag)),
        ("S11_real S11_imag", lambda g: (g.real, g.imag)),
        ("|S11| angle(deg)", lambda g: (abs(g), np.angle(g, deg=True))),
        ("mag(S(1,1)) ang_rad(S(1,1))", lambda g: (abs(g), np.angle(g))),
        ("dB(S11) deg(S11)", lambda g: (20 * np.log10(abs(g)), np.angle(g, deg=True))),
        ("RL phase(deg)", lambda g: (-20 * np.log10(abs(g)), np.angle(g, deg=True))),
        ("dB deg", lambda g: (20 * np.log10(abs(g)), np.angle(g, deg=True))),
    ],
)
def test_reflections_in_every_form(heading, parts):
    reflection = z2s(Z_OHM.reshape(-1, 1, 1) + 1, 50)[:, 0, 0]
    first, second = parts(reflection)
    reading = read_one(impedance_table(heading, first.tolist(), second.tolist()))
    np.testing.assert_allclose(reading.sweep.reflection, reflection, atol=1e-12)
    assert set(codes(reading)) <= {"decibel-sign"}


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("Forward (W)", "Reflected (mW)", [0.2, 0.5]),
        ("Forward (kW)", "Reflected (W)", [0.2, 0.5]),
        ("Fwd", "Rev", [0.2 * 1000**0.5, 0.5 * 1000**0.5]),
        ("Vorlauf", "Rücklauf", [0.2 * 1000**0.5, 0.5 * 1000**0.5]),
    ],
)
def test_units_of_power(first, second, expected):
    reading = read_one(f"MHz,{first},{second}\n50,1,40\n51,1,250\n")
    np.testing.assert_allclose(reading.sweep.magnitude, expected, rtol=1e-12)


def test_powers_in_dbm():
    reading = read_one("MHz,Forward (dBm),Reflected (dBm)\n50,20,10\n51,20,0\n")
    np.testing.assert_allclose(reading.sweep.magnitude, [10**-0.5, 0.1], rtol=1e-12)
    reading = read_one("MHz,Forward (W),Reflected (dBm)\n50,0.1,10\n51,0.1,0\n")
    np.testing.assert_allclose(reading.sweep.magnitude, [10**-0.5, 0.1], rtol=1e-12)


# -- values that cannot be ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heading", "cell", "message"),
    [
        ("SWR", "0.98", "column 2 'SWR': 0.98 is not an SWR, which is at least 1"),
        ("SWR", "-1.5", "column 2 'SWR': -1.5 is not an SWR, which is at least 1"),
        ("SWR", "0", "column 2 'SWR': 0 is not an SWR, which is at least 1"),
        ("|S11|", "-0.1", None),
        ("Reflected (%)", "-4", "column 2 'Reflected (%)': a share of the power below 0"),
    ],
)
def test_a_value_that_cannot_be_is_refused_with_its_line(heading, cell, message):
    text = f"MHz,{heading}\n50,1\n51,{cell}\n52,1\n"
    if message is None:
        error = error_of(text, "frequency=1:MHz,magnitude=2")
        message = "column 2 '|S11|': a magnitude below 0"
    else:
        error = error_of(text)
    assert error.startswith(f"roof.csv:3: {message}; correct or remove the row")


@pytest.mark.parametrize(
    ("columns", "row", "message"),
    [
        ("magnitude+angle=2+3", "-0.1,5", "columns 2 'a' and 3 'b': a magnitude below 0"),
        ("z+angle=2+3", "-50,5", "columns 2 'a' and 3 'b': a magnitude below 0"),
        ("forward+reflected=2+3", "5,-1", "columns 2 'a' and 3 'b': a power below 0"),
        ("forward+reflected=2+3", "0,0", "columns 2 'a' and 3 'b': no forward power here"),
        (
            "r+x=2+3",
            "-50,0",
            "this point has no reflection coefficient (value too large, or Z = -R)",
        ),
        ("db+angle=2+3", "999,0", "this point has no reflection coefficient"),
        ("real+imaginary=2+3", "1e300,0", "this point has no reflection coefficient"),
    ],
)
def test_pairs_that_cannot_be_are_refused_with_their_line(columns, row, message):
    text = f"f,a,b\n50,-1,1\n51,{row}\n52,-2,2\n".replace("-1,1", "1,1").replace("-2,2", "2,2")
    if columns.startswith("db"):
        text = f"f,a,b\n50,-1,1\n51,{row}\n52,-2,2\n"
    error = error_of(text, f"frequency=1:MHz,{columns}")
    assert error.startswith(f"roof.csv:3: {message}")


def test_a_reflection_above_one_is_kept_counted_and_said():
    reading = read_one("MHz,re,im\n50,0.5,0\n51,1.2,0\n52,0,-1.5\n")
    assert reading.sweep.reflection.tolist() == [0.5, 1.2, -1.5j]
    assert text_of(reading, "reflection-above-one") == (
        "|reflection| above 1 at 2 of 3 points, largest 1.5 at 52 MHz"
    )


def test_an_swr_a_little_below_one_is_read_as_one_and_said():
    reading = read_one("MHz,SWR\n50,1.5\n51,0.99\n52,0.995\n")
    assert reading.sweep.magnitude.tolist() == [pytest.approx(0.2), 0, 0]
    assert text_of(reading, "swr-below-one") == (
        "column 2 'SWR': SWR a little below 1 at 2 points, first in line 3: read as 1"
    )


@pytest.mark.parametrize("cell", ["inf", "∞", "OL", "O.L.", "over"])
def test_an_swr_off_the_scale_is_at_least_the_highest_that_was_shown(cell):
    # Left out, the curve would run from good to good over the gap.
    reading = read_one(f"MHz,SWR\n50,1.5\n51,{cell}\n52,{cell}\n53,3\n")
    assert reading.sweep.magnitude.tolist() == pytest.approx([0.2, 0.5, 0.5, 0.5])
    assert reading.sweep.is_bound.tolist() == [False, True, True, False]
    assert text_of(reading, "swr-at-least") == (
        "SWR beyond the meter's scale at 2 points, first in line 3: kept as a lower bound"
    )


def test_where_a_meter_showed_nothing_but_overflow_nothing_is_known():
    with pytest.raises(ReadError, match="only 0 points"):
        read_one("MHz,SWR,n\n50,OL,1\n51,OL,1\n52,OL,1\n", "frequency=1:MHz,swr=2")


@pytest.mark.parametrize(
    ("columns", "rows"),
    [
        ("r+x=2+3", "50 1 40\n51 1 10\n52 1 0.5\n53 1 12\n54 1 41\n"),
        ("z+angle=2+3", "50 41 60\n51 41 30\n52 41 0.5\n53 41 30\n54 41 60\n"),
    ],
)
def test_a_reactance_that_turns_at_zero_lacks_its_sign(columns, rows):
    reading = read_one(rows, f"frequency=1:MHz,{columns}", "a.txt")
    assert text_of(reading, "sign-missing") == (
        "columns 2 and 3: reactance turns near zero and is never negative, so its sign seems to be "
        "missing; SWR and return loss are right, and nothing that needs the phase is shown"
    )
    assert isinstance(reading.sweep, ScalarSweep)


@pytest.mark.parametrize(
    "rows",
    [
        "50 1 40\n51 1 10\n52 1 -9\n53 1 12\n",  # a sign is there
        "50 1 10\n51 1 20\n52 1 30\n53 1 40\n",  # rises all along
        "50 1 40\n51 1 30\n52 1 25\n53 1 40\n",  # turns far from zero
        "50 1 40\n51 1 30\n",  # too short to turn
    ],
)
def test_a_reactance_that_may_well_be_so_is_left_alone(rows):
    assert codes(read_one(rows, "frequency=1:MHz,r+x=2+3", "a.txt")) == []


def test_nothing_was_measured():
    assert codes(read_one("MHz,SWR\n50,1\n51,1.0\n")) == ["nothing-measured"]
    assert codes(read_one("MHz,RL\n50,0\n51,0.0\n")) == ["nothing-measured"]


def test_several_plans_of_one_column():
    """The same column may be read twice, for comparison."""
    first, second = read("1,2\n2,3\n", "frequency=1:GHz,swr=2,return-loss=2")
    assert [first.label, second.label] == ["roof 1", "roof 2"]
    assert swr_of(first) == [2, 3]
    np.testing.assert_allclose(second.sweep.magnitude, [10**-0.1, 10**-0.15])
