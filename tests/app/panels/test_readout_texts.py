"""The line of the hovered point: published pairs of values, and a dash where nothing exists."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.app.panels.readout import point_texts
from fairlead.core.analysis.analysis import analyse
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(50e6, 52e6, 5)


def texts_of(gamma, index=0, z0_ohm=50.0):
    sweep = Sweep(GRID_HZ, np.full(5, gamma, dtype=complex))
    return point_texts(analyse(sweep, z0_ohm), index)


@pytest.mark.parametrize(
    ("gamma", "swr", "loss_db"),
    [
        # SWR and return loss of a table of a component maker (Elsema, "VSWR effects").
        (0.3333333, "SWR 2.00", "Return loss 9.5 dB"),
        (0.2, "SWR 1.50", "Return loss 14.0 dB"),
        (0.0909091, "SWR 1.20", "Return loss 20.8 dB"),
    ],
)
def test_published_pairs(gamma, swr, loss_db):
    texts = texts_of(gamma, 2, 50.0)
    assert texts[0] == "51.000 MHz"
    assert texts[1:3] == (swr, loss_db)


def test_impedance_has_its_sign():
    # 60 - j30 ohm at 50 ohm, in closed form.
    gamma = (60 - 30j - 50) / (60 - 30j + 50)
    assert texts_of(gamma, 0, 50.0)[3:5] == ("R 60.0 Ω", "X −30.0 Ω")


def test_the_impedance_does_not_depend_on_the_reference_and_the_swr_does():
    gamma = (75 - 50) / (75 + 50)
    at_50, at_75 = (texts_of(gamma, 0, z0_ohm) for z0_ohm in (50.0, 75.0))
    assert at_50[1] == "SWR 1.50"
    assert at_75[1] == "SWR 1.00"
    assert at_50[3] == at_75[3] == "R 75.0 Ω"


def test_above_total_reflection_there_is_no_swr():
    texts = texts_of(1.02, 0, 50.0)
    assert texts[1] == "SWR –"
    assert texts[2] == "Return loss −0.2 dB"


def test_an_open_circuit_has_no_impedance():
    texts = texts_of(1.0, 0, 50.0)
    assert texts[1] == "SWR ∞"
    assert texts[3:] == ("R – Ω", "X – Ω", "Phase 0.0°", "|Z| – Ω")


def test_a_scalar_sweep_has_no_impedance():
    scalar = analyse(ScalarSweep(GRID_HZ, np.full(5, 0.2)), 50.0)
    assert point_texts(scalar, 0)[1:] == (
        "SWR 1.50",
        "Return loss 14.0 dB",
        "R – Ω",
        "X – Ω",
        "Phase –°",
        "|Z| – Ω",
    )


def test_large_impedances_have_no_made_up_digits():
    gamma = (2345.67 + 1234.56j - 50) / (2345.67 + 1234.56j + 50)
    assert texts_of(gamma, 0, 50.0)[3:5] == ("R 2346 Ω", "X +1235 Ω")
