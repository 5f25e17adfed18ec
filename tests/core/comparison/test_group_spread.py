"""The spread of a figure over a group, and how many cover."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fairlead.core.comparison.groups import coverage_of, figure_spread

MATCHES_MHZ = dict(enumerate([145.828, 144.73, 145.985, 143.929, 145.042], 1))


def test_five_best_matches():
    """Invented; the ends worked out with t = 2.77645 for 4 degrees of freedom, by hand."""
    found = figure_spread(MATCHES_MHZ, "furthest")
    assert (found.n, found.median) == (5, 145.042)
    assert found.mean == pytest.approx(145.1028)
    assert found.sd == pytest.approx(np.std(list(MATCHES_MHZ.values()), ddof=1))
    assert (found.of_next.low, found.of_next.high) == pytest.approx((142.547, 147.659), abs=5e-4)
    # That of the mean is another one, and no statement about the next unit.
    assert (found.of_mean.low, found.of_mean.high) == pytest.approx((144.059, 146.146), abs=5e-4)
    assert (found.lowest, found.highest, found.worst_key) == (143.929, 145.985, 4)
    assert found.centre == found.mean


def test_the_next_one_lies_inside_in_95_of_100_cases():
    """What the prediction interval claims, on normal values: 2,000 groups of five and the sixth."""
    values = np.random.default_rng(11).normal(50.0, 0.2, (2000, 6))
    inside = 0
    for *known, following in values.tolist():
        of_next = figure_spread(dict(enumerate(known)), "furthest").of_next
        inside += of_next.low <= following <= of_next.high
    assert 0.93 < inside / len(values) < 0.97


def test_a_chosen_reference_is_what_others_are_held_against():
    found = figure_spread(MATCHES_MHZ, "furthest", reference_key=4)
    assert (found.centre, found.worst_key) == (143.929, 3)
    # The mean stays the mean.
    assert found.mean == pytest.approx(145.1028)
    without = figure_spread({**MATCHES_MHZ, 4: None}, "furthest", reference_key=4)
    assert (without.centre, without.worst_key) == (None, None)


@pytest.mark.parametrize(("worst", "key"), [("highest", 3), ("lowest", 4)])
def test_the_worst_is_the_highest_or_the_lowest(worst, key):
    assert figure_spread(MATCHES_MHZ, worst).worst_key == key


def test_two_are_as_far_from_their_mean():
    found = figure_spread({1: 1.1, 2: 1.3}, "furthest")
    assert found.worst_key is None
    # t of one degree of freedom, 12.706, times sd times sqrt(1.5): two units say next to nothing.
    half = (found.of_next.high - found.of_next.low) / 2
    assert half == pytest.approx(12.7062 * found.sd * math.sqrt(1.5), rel=1e-5)


def test_no_value_below_what_can_be():
    found = figure_spread({1: 1.1, 2: 1.3, 3: 1.2}, "highest", least=1.0)
    assert found.of_next.low == 1.0
    assert figure_spread({1: 1.1, 2: 1.3, 3: 1.2}, "highest").of_next.low < 1


def test_one_is_no_spread_and_none_no_figure():
    found = figure_spread({1: 5.0, 2: None}, "highest")
    assert (found.n, found.mean, found.sd, found.of_next) == (1, 5.0, None, None)
    assert found.why_not == "only one member has this figure"
    assert figure_spread({1: None, 2: None}, "highest").why_not == "no member has this figure"


def test_an_infinite_value_leaves_a_median_but_no_mean():
    """Without that unit the group would look better than it is."""
    found = figure_spread({1: 1.5, 2: 2.0, 3: math.inf}, "highest")
    assert (found.mean, found.sd, found.of_next) == (None, None, None)
    assert (found.n, found.median, found.worst_key) == (3, 2.0, 3)
    assert found.why_not == "a member has an infinite value"


def test_a_lower_bound_is_no_value_for_a_mean():
    found = figure_spread({1: 1.5, 2: 23.0}, "highest", bounds={2: "unit 2", 9: "gone"})
    assert found.mean is None
    assert found.why_not == '"unit 2" has only a lower bound of this figure'
    assert figure_spread({1: 1.5, 2: None}, "highest", bounds={2: "unit 2"}).mean == 1.5


def test_equal_values_have_no_spread_and_no_worst():
    found = figure_spread({1: 2.0, 2: 2.0, 3: 2.0}, "highest")
    assert (found.sd, found.worst_key) == (0.0, None)


def test_units_that_cannot_be_told_widen_the_share_to_both_sides():
    sure = coverage_of(["yes", "yes", "no", "no", "no"])
    assert (sure.yes, sure.no, sure.cannot_tell, sure.n) == (2, 3, 0, 5)
    assert (sure.share.low, sure.share.high) == pytest.approx((0.0527, 0.8534), abs=5e-5)
    all_five = coverage_of(["yes"] * 5)
    assert (all_five.share.low, all_five.share.high) == pytest.approx((0.4782, 1.0), abs=5e-5)
    unsure = coverage_of(["yes", "yes", "no", "no", "cannot tell"])
    assert (unsure.yes, unsure.no, unsure.cannot_tell) == (2, 2, 1)
    # As low as if it did not cover, as high as if it did.
    assert unsure.share.low == sure.share.low
    assert unsure.share.high == coverage_of(["yes"] * 3 + ["no"] * 2).share.high
