"""The cases that published tables leave out: |G| = 1, |G| > 1, open and short circuits."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fairlead.core.errors import SweepError
from fairlead.core.reflection import (
    above_one,
    impedance_ohm,
    magnitude_from_return_loss,
    magnitude_from_swr,
    mismatch_loss_db,
    reflection_from_impedance,
    renormalise,
    return_loss_db,
    swr,
    swr_of_one,
)


def test_total_reflection_has_an_infinite_swr_and_mismatch_loss():
    assert swr(1.0) == math.inf
    assert mismatch_loss_db(1.0) == math.inf
    assert return_loss_db(1.0) == 0
    assert not above_one(1.0)


def test_rounding_around_1_is_still_1():
    rho = np.abs(np.exp(1j * np.linspace(0, 7, 1001)))
    assert (rho != 1).any()
    assert (swr(rho) == np.inf).all()
    assert not above_one(rho).any()


def test_more_than_1_has_no_swr_and_never_a_negative_one():
    rho = np.array([1.002, 1.5, 40.0])
    assert np.isnan(swr(rho)).all()
    assert np.isnan(mismatch_loss_db(rho)).all()
    assert above_one(rho).all()
    assert (return_loss_db(rho) < 0).all()


def test_no_reflection():
    assert swr(0.0) == 1
    assert return_loss_db(0.0) == math.inf
    assert mismatch_loss_db(0.0) == 0
    assert math.copysign(1, mismatch_loss_db(0.0)) == 1


def test_nan_stays_nan():
    assert np.isnan(swr(np.nan))
    assert np.isnan(mismatch_loss_db(np.nan))
    assert math.isnan(swr_of_one(math.nan))


@pytest.mark.parametrize("function", [swr, return_loss_db, mismatch_loss_db])
@pytest.mark.parametrize("shape", [(), (3,), (2, 3), (0,)])
def test_any_shape_comes_back_in_its_shape(function, shape):
    assert function(np.full(shape, 0.5)).shape == shape


def test_infinite_swr_is_total_reflection():
    assert magnitude_from_swr(math.inf) == 1
    assert magnitude_from_swr(1.0) == 0


@pytest.mark.parametrize("ratio", [0.99, 0, -2, math.nan, [1.5, 0.5]])
def test_an_swr_below_1_is_refused(ratio):
    with pytest.raises(SweepError, match="SWR below 1"):
        magnitude_from_swr(ratio)


def test_return_loss_and_magnitude_are_inverse():
    loss_db = np.array([-1.0, 0.0, 3.0, 40.0, np.inf])
    np.testing.assert_allclose(return_loss_db(magnitude_from_return_loss(loss_db)), loss_db)


def test_open_circuit_among_other_points():
    z_ohm = impedance_ohm([1.0, 0.0, -1.0], 50)
    assert z_ohm[0].real == math.inf
    assert z_ohm[1:].tolist() == [50, 0]


@pytest.mark.parametrize(
    "z_ohm", [complex(math.inf, 0), complex(0, math.inf), complex(0, -math.inf)]
)
def test_every_infinite_impedance_is_an_open_circuit(z_ohm):
    assert complex(reflection_from_impedance(z_ohm, 50)) == 1


def test_the_pole_at_minus_z0_is_left_to_the_sweep_to_refuse():
    assert not np.isfinite(reflection_from_impedance(-50, 50))


@pytest.mark.parametrize("to_ohm", [1.0, 12.5, 75.0, 2000.0])
def test_open_short_and_pure_reactance_stay_so_in_any_reference_impedance(to_ohm):
    gamma = renormalise([1, -1, 1j, -1j, np.exp(0.3j)], 50, to_ohm)
    assert gamma[:2].tolist() == [1, -1]
    np.testing.assert_allclose(np.abs(gamma), 1, atol=1e-12)


def test_the_same_reference_impedance_changes_nothing():
    gamma = np.array([0.1 + 0.2j, 1.0])
    assert renormalise(gamma, 50, 50) is gamma


def test_what_has_no_finite_reflection_elsewhere_does_not_raise():
    """G = 5 at 50 ohm is Z = -75 ohm: the pole at 75 ohm."""
    assert not np.isfinite(renormalise([5.0], 50, 75))[0]
