"""What a sweep refuses, and that it never changes."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from fairlead.core.errors import SweepError
from fairlead.core.sweep import ScalarSweep, Sweep

HZ = [1e6, 2e6, 3e6]


def test_arrays_are_copied_and_read_only():
    frequency_hz, gamma = np.array(HZ), np.array([0.1, 0.2j, -0.3])
    sweep = Sweep(frequency_hz, gamma)
    frequency_hz[0], gamma[0] = 5.0, 9.0
    assert sweep.frequency_hz.tolist() == HZ
    assert sweep.reflection[0] == 0.1
    for array in (sweep.frequency_hz, sweep.reflection):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 7
    with pytest.raises(dataclasses.FrozenInstanceError):
        sweep.z0_ohm = 75.0


@pytest.mark.parametrize("kind", [Sweep, ScalarSweep])
@pytest.mark.parametrize(
    ("frequency_hz", "values", "z0_ohm", "reason"),
    [
        ([1e6], [0.1], 50, "fewer than 2 points"),
        ([], [], 50, "fewer than 2 points"),
        ([[1e6, 2e6]], [[0.1, 0.2]], 50, "single row"),
        ([1e6, np.nan], [0.1, 0.2], 50, "a frequency is not a finite number"),
        ([1e6, np.inf], [0.1, 0.2], 50, "a frequency is not a finite number"),
        ([0.0, 1e6], [0.1, 0.2], 50, "zero or negative"),
        ([-1.0, 1e6], [0.1, 0.2], 50, "zero or negative"),
        ([2e6, 1e6], [0.1, 0.2], 50, "do not rise"),
        ([1e6, 1e6], [0.1, 0.2], 50, "do not rise"),
        (HZ, [0.1, 0.2], 50, "3 frequencies but"),
        (HZ, [0.1, np.nan, 0.2], 50, "is not a finite number"),
        (HZ, [0.1, np.inf, 0.2], 50, "is not a finite number"),
        (HZ, [0.1, 2e9, 0.2], 50, "2e\\+09 cannot be"),
        (HZ, [0.1, 1.5e308, 0.2], 50, "1.5e\\+308 cannot be"),
        (HZ, [0.1, 0.2, 0.3], 0, "reference impedance"),
        (HZ, [0.1, 0.2, 0.3], -50, "reference impedance"),
        (HZ, [0.1, 0.2, 0.3], np.nan, "reference impedance"),
        (HZ, [0.1, 0.2, 0.3], np.inf, "reference impedance"),
    ],
)
def test_what_is_no_sweep_is_refused_with_a_reason(kind, frequency_hz, values, z0_ohm, reason):
    with pytest.raises(SweepError, match=reason) as caught:
        kind(frequency_hz, values, z0_ohm)
    assert caught.value.advice


def test_a_complex_number_too_large_for_its_own_magnitude_is_refused():
    with pytest.raises(SweepError, match="cannot be"):
        Sweep(HZ, [0.1, complex(1.5e308, 1.5e308), 0.2])


def test_a_negative_magnitude_is_refused():
    with pytest.raises(SweepError, match="negative") as caught:
        ScalarSweep(HZ, [0.1, -0.1, 0.2])
    assert "decibels" in caught.value.advice


def test_more_than_1_is_kept_not_clipped():
    assert Sweep(HZ, [1.2, 0.5j, -1.01]).magnitude.tolist() == [1.2, 0.5, 1.01]
    assert ScalarSweep(HZ, [1.2, 0.5, 1.01]).magnitude.tolist() == [1.2, 0.5, 1.01]


def test_a_sweep_knows_whether_it_has_phase():
    assert Sweep(HZ, [0.1, 0.2, 0.3]).has_phase
    assert not ScalarSweep(HZ, [0.1, 0.2, 0.3]).has_phase


@pytest.mark.parametrize("kind", [Sweep, ScalarSweep])
def test_equal_content_is_equal_and_hashes_alike(kind):
    one, other = kind(HZ, [0.1, 0.2, 0.3]), kind(tuple(HZ), np.array([0.1, 0.2, 0.3]), 50)
    assert one == other
    assert hash(one) == hash(other)
    assert len(one) == 3


@pytest.mark.parametrize("kind", [Sweep, ScalarSweep])
def test_any_difference_is_a_difference(kind):
    one = kind(HZ, [0.1, 0.2, 0.3])
    assert one != kind([1e6, 2e6, 3.5e6], [0.1, 0.2, 0.3])
    assert one != kind(HZ, [0.1, 0.2, 0.31])
    assert one != kind(HZ, [0.1, 0.2, 0.3], 75)
    assert one != kind(HZ[:2], [0.1, 0.2])
    assert one != "sweep"


def test_a_scalar_sweep_is_not_a_sweep_of_the_same_numbers():
    assert Sweep(HZ, [0.1, 0.2, 0.3]) != ScalarSweep(HZ, [0.1, 0.2, 0.3])


def test_a_negative_zero_is_a_zero():
    """Equal arrays must hash alike, and -0.0 == 0.0."""
    one, other = Sweep(HZ, [0.0, 0.1, 0.2]), Sweep(HZ, [-0.0, 0.1, 0.2])
    assert one == other
    assert hash(one) == hash(other)


def test_a_sweep_at_other_frequencies_shares_its_values():
    sweep = Sweep(np.array(HZ), np.full(3, 0.3 - 0.1j), 75.0)
    moved = sweep.at_frequencies(1.01 * np.array(HZ))
    made = Sweep(1.01 * np.array(HZ), sweep.reflection, 75.0)
    assert moved == made
    assert hash(moved) == hash(made)
    assert moved.reflection is sweep.reflection
    assert not moved.frequency_hz.flags.writeable
    with pytest.raises(SweepError, match="do not rise"):
        sweep.at_frequencies(np.array(HZ)[::-1])
    with pytest.raises(SweepError, match="of shape"):
        sweep.at_frequencies(np.array(HZ)[1:])
