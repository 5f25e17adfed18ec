"""Zeros in brackets, and which changes of sign are real."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.analysis.interpolation.roots import grouped_changes, root_between, roots_between


def find(function, left, right, tolerance=1e-13):
    return roots_between(function, np.array(left), np.array(right), tolerance)


def test_several_zeros_at_once():
    found = find(np.sin, [3.0, 6.0, 9.0], [3.3, 6.5, 9.9])
    np.testing.assert_allclose(found, np.pi * np.arange(1, 4), rtol=1e-13)


@pytest.mark.parametrize("power", [1, 3, 9])
def test_flat_zeros_are_found_too(power):
    """Plain false position would creep towards a zero of high order."""
    (found,) = find(lambda x: (x - 0.3) ** power, [0.0], [1.0], 1e-12)
    assert found == pytest.approx(0.3, abs=0.02 if power > 3 else 1e-3)


def test_a_zero_on_either_end_of_its_bracket():
    assert find(lambda x: x - 1, [1.0], [2.0])[0] == 1
    assert find(lambda x: x - 2, [1.0], [2.0])[0] == 2


def test_a_bracket_without_a_change_of_sign_stays_in_its_bracket():
    """Rounding can do that to a bracket; the answer must not run away."""
    for function in (lambda x: x**2 + 1, np.ones_like, lambda x: -(x**3) - 1):
        (found,) = find(function, [1.0], [2.0])
        assert 1 <= found <= 2


def test_no_brackets_no_zeros():
    assert find(np.sin, np.empty(0), np.empty(0)).size == 0


def test_a_jump_is_closed_in():
    (found,) = find(lambda x: np.where(x < 0.7, -1.0, 3.0), [0.0], [1.0], 1e-12)
    assert found == pytest.approx(0.7, abs=1e-9)


def groups_of(signs, certain):
    found = grouped_changes(np.array(signs) < 0, np.array(certain, dtype=bool))
    return [group.tolist() for group in found]


def test_certain_changes_stand_alone():
    assert groups_of([1, -1, -1, 1], [1, 1, 1, 1]) == [[0], [2]]


def test_changes_with_nothing_certain_between_form_one_group():
    assert groups_of([1, -1, 1, -1, -1], [1, 0, 0, 0, 1]) == [[0, 1, 2]]


def test_a_certain_place_parts_two_groups():
    assert groups_of([1, -1, 1, -1, 1], [0, 0, 1, 0, 0]) == [[0, 1], [2, 3]]


def test_without_changes_there_are_no_groups():
    assert groups_of([1, 1, 1], [0, 0, 0]) == []


def test_a_single_bracket_gives_what_the_array_gives():
    def function(x):
        return x**3 - 2

    (several,) = find(function, [0.0], [2.0])
    assert root_between(function, 0.0, 2.0, 1e-13) == pytest.approx(several, rel=1e-12)
    assert several == pytest.approx(2 ** (1 / 3), rel=1e-12)


def test_a_single_bracket_keeps_its_zeros_at_the_ends_and_never_leaves_it():
    assert root_between(lambda x: x - 1, 1.0, 2.0, 1e-12) == 1
    assert root_between(lambda x: x - 2, 1.0, 2.0, 1e-12) == 2
    for function in (lambda x: x**2 + 1, lambda _: 1.0):
        assert 1 <= root_between(function, 1.0, 2.0, 1e-12) <= 2


def test_a_search_that_cannot_reach_its_tolerance_ends_all_the_same():
    found = root_between(lambda x: -1e-9 if x < 0.7 else 1e9, 0.0, 1.0, 0.0)
    assert 0 <= found <= 1
