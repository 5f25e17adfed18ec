"""The analyzer's errors: published bounds, units, and what a line does to them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fairlead.core.errors import ValueTextError
from fairlead.core.reflection import magnitude_from_swr, renormalise, return_loss_db, swr
from fairlead.core.uncertainty.error_model import (
    MOST_DB,
    PRESETS,
    UNKNOWN,
    ErrorModel,
    errors_along,
    gain_of,
)


@pytest.mark.parametrize(
    ("directivity_db", "true_swr", "low", "high"),
    [
        (35, 1.5, 1.4456, 1.5568),
        (40, 2.0, 1.9557, 2.0457),
        (30, 1.1, 1.0325, 1.1721),
        (30, 2.0, 1.8641, 2.1494),
        (46, 3.0, 2.9603, 3.0405),
    ],
)
def test_bounds_of_the_swr_by_directivity(directivity_db, true_swr, low, high):
    """Computed from the formula of Anritsu's "Precision return loss measurements"."""
    rho = magnitude_from_swr(true_swr)
    bound = ErrorModel(directivity_db).bound(rho)
    assert swr(rho - bound) == pytest.approx(low, abs=1e-4)
    assert swr(rho + bound) == pytest.approx(high, abs=1e-4)


@pytest.mark.parametrize(
    ("model", "loss_db", "low", "high", "tolerance"),
    [
        # Keysight/Agilent AN 1287-3, example with both errors: printed as 18.6 to 21.7 dB.
        (ErrorModel(35, 30), 20, 18.555, 21.734, 1e-3),
        # Rohde & Schwarz, "Fundamentals of vector network analysis": about 27.6 to 33.3 dB.
        (ErrorModel(40), 30, 27.613, 33.302, 1e-3),
        # Anritsu's example: 43 dB against a return loss of 40 dB.
        (ErrorModel(43), 40, 35.351, 50.691, 1e-3),
    ],
)
def test_bounds_of_the_return_loss(model, loss_db, low, high, tolerance):
    rho = 10 ** (-loss_db / 20)
    bound = model.bound(rho)
    assert return_loss_db(rho + bound) == pytest.approx(low, abs=tolerance)
    assert return_loss_db(rho - bound) == pytest.approx(high, abs=tolerance)


def test_tracking_is_the_share_by_which_full_reflection_is_off():
    model = ErrorModel(tracking_db=0.5)
    assert return_loss_db(1 + model.bound(1.0)) == pytest.approx(-0.5)


def test_without_the_directivity_nothing_is_bounded():
    assert not UNKNOWN.is_known
    assert not ErrorModel(None, 30.0, 0.1).is_known
    assert UNKNOWN.left_out == ("directivity", "source match", "tracking")
    assert ErrorModel(40.0, 30.0, 0.1).left_out == ()
    assert ErrorModel(40.0).left_out == ("source match", "tracking")


@pytest.mark.parametrize("value", [-1.0, MOST_DB + 1, float("nan"), float("inf")])
@pytest.mark.parametrize("name", ["directivity_db", "source_match_db", "tracking_db"])
def test_numbers_that_cannot_be_are_refused(name, value):
    with pytest.raises(ValueTextError):
        ErrorModel(**{name: value})


def test_presets_are_ordered_from_nothing_to_good_and_say_where_they_come_from():
    assert PRESETS[0].model is UNKNOWN
    directivity = [preset.model.directivity_db for preset in PRESETS[1:]]
    assert directivity == sorted(directivity)
    assert all(preset.source for preset in PRESETS)
    assert len({preset.key for preset in PRESETS}) == len(PRESETS)


def after_line(model, loss_db):
    """The model at the far end of a line with that one-way loss.

    dG' = a (D + T G'/a + M (G'/a)^2) with a = 10^(A/10): D' = D a, T' = T, M' = M / a.
    """
    if model == UNKNOWN:
        return model
    return replace(
        model,
        directivity_db=model.directivity_db - 2 * loss_db,
        source_match_db=model.source_match_db + 2 * loss_db,
    )


def test_three_db_of_line_double_the_directivity():
    behind = after_line(ErrorModel(40.0, 30.0, 0.1), 10 * np.log10(2))
    assert behind.directivity == pytest.approx(2 * 0.01)
    assert behind.source_match == pytest.approx(ErrorModel(40.0, 30.0).source_match / 2)
    assert behind.tracking_db == 0.1
    assert after_line(UNKNOWN, 3.0) == UNKNOWN


def test_the_model_behind_a_line_agrees_with_the_errors_carried_through_it():
    model, loss_db = ErrorModel(35.0, 28.0, 0.2), 2.4
    measured = np.array([0.1, 0.3 + 0.2j, -0.5j])
    factor = 10 ** (loss_db / 10) * np.exp(2j * np.arange(3))
    carried = errors_along(model, measured, gain_of(lambda gamma: gamma * factor, measured))
    expected = after_line(model, loss_db).bound(np.abs(measured * factor))
    np.testing.assert_allclose(carried.bound, expected, rtol=1e-6)


def test_another_reference_impedance_carries_small_errors_as_its_slope_says():
    measured = np.array([0.1, 0.3 + 0.2j, -0.5j])
    gain = gain_of(lambda gamma: renormalise(gamma, 50.0, 75.0), measured)
    error = 1e-4 * np.exp(0.7j)
    moved = renormalise(measured + error, 50, 75) - renormalise(measured, 50, 75)
    np.testing.assert_allclose(gain * error, moved, rtol=1e-3)


def test_noise_joins_a_bound_by_squares_and_an_actual_error_in_full():
    assert ErrorModel(40.0).combined(3.0, 4.0) == pytest.approx(5.0)
    assert ErrorModel(40.0, is_guaranteed=False).combined(3.0, 4.0) == pytest.approx(7.0)
