"""Groups on a bench: made, refused with the reason, changed, dissolved."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from benches import full_bench
from circuits import SeriesCircuit

from fairlead.core.document.bench import Bench
from fairlead.core.document.groups import (
    group_chosen,
    group_named,
    group_of,
    in_rows,
    mixture,
    with_group,
    with_group_label,
    with_group_reference,
    with_group_visibility,
    without_group,
)
from fairlead.core.errors import FairleadError
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.frequency_scale import FrequencyScale

GRID_HZ = np.linspace(46e6, 58e6, 41)


def reading(i, *, scalar_z0_ohm=None):
    gamma = SeriesCircuit(50e6 + 0.2e6 * i, 50.0, 8.0).reflection(GRID_HZ)
    sweep = Sweep(GRID_HZ, gamma)
    if scalar_z0_ohm is not None:
        sweep = ScalarSweep(GRID_HZ, np.abs(gamma), scalar_z0_ohm)
    return Reading(sweep, f"unit {i}", f"{i}.s1p")


@pytest.fixture
def bench():
    return Bench().with_readings([reading(i) for i in range(1, 6)])


def labels(bench):
    return [one.label for one in in_rows(bench)]


def test_the_members_stand_together_where_the_first_of_them_stood(bench):
    made = with_group(bench, {2, 4, 5}, "  Kit   units ")
    (group,) = made.groups
    assert (group.key, group.label, group.kind) == (6, "Kit units", "units")
    assert group.members == (2, 4, 5)
    # Against the mean, never against the first of the list by accident.
    assert group.reference_key is None
    assert made.next_key == 7
    assert [entry.key for entry in made.entries] == [1, 2, 4, 5, 3]
    assert made.entry(4) is bench.entry(4)
    assert labels(made) == ["unit 1", "Kit units", "unit 2", "unit 4", "unit 5", "unit 3"]
    assert made.contradiction is None
    assert group_of(made, 4) is group
    assert group_of(made, 3) is None
    assert group_named(made, 6) is group
    assert group_chosen(made, [5, 2, 4]) is group
    assert group_chosen(made, [2, 4]) is None
    with pytest.raises(KeyError):
        group_named(made, 2)


def test_its_style_is_no_other_ones(bench):
    made = with_group(bench, {1, 2})
    assert made.groups[0].style not in {entry.style for entry in made.entries}
    assert made.groups[0].label == "group 1"
    more = made.with_readings([reading(9)])
    assert more.entries[-1].style != made.groups[0].style


def test_the_rows_gather_members_that_were_moved_apart(bench):
    made = with_group(bench, {1, 2}, "Kit").with_move(2, 4)
    assert labels(made) == ["Kit", "unit 1", "unit 2", "unit 3", "unit 4", "unit 5"]


def refusal(bench, keys):
    with pytest.raises(FairleadError) as caught:
        with_group(bench, keys)
    assert caught.value.advice
    return caught.value.reason


def test_one_sweep_is_no_group(bench):
    assert refusal(bench, {3}) == "a group needs at least two sweeps"
    assert refusal(bench, {77, 78}) == "a group needs at least two sweeps"


def test_no_sweep_is_in_two_groups(bench):
    made = with_group(bench, {1, 2}, "Kit")
    assert refusal(made, {2, 3}) == '"unit 2" is in the group "Kit"'


def test_two_planes_are_refused(bench):
    apart = bench.with_plane(1, "radio").with_plane(3, "feed")
    reason = refusal(apart, {1, 2, 3})
    assert reason.endswith("seen at different planes: at the radio and at the feed point")
    # What is not stated is compared with all, as everywhere.
    assert with_group(apart, {1, 2}).groups


def test_two_conditions_are_refused(bench):
    mixed = bench.with_condition(1, "dry").with_condition(2, "soaked")
    reason = refusal(mixed, {1, 2, 3})
    assert '"unit 1" and "unit 2"' in reason
    assert reason.endswith('different conditions: "dry" and "soaked"')
    assert with_group(mixed.with_condition(2, "dry"), {1, 2, 3}).groups


def test_a_what_if_is_no_measured_unit(bench):
    tried = bench.with_step(2, FrequencyScale(1.01))
    assert refusal(tried, {1, 2}).endswith("one was measured and one is a what-if")


def test_the_same_measurement_twice_is_refused(bench):
    twice = bench.with_copy(1)
    assert "same measured sweep" in refusal(twice, {1, 6})


def test_a_sweep_without_phase_at_another_impedance_is_refused(bench):
    mixed = bench.with_readings([reading(7, scalar_z0_ohm=75.0), reading(8, scalar_z0_ohm=50.0)])
    assert "different reference impedances" in refusal(mixed, {1, 6})
    assert mixture([mixed.entry(1), mixed.entry(7)]) == ""


def test_it_is_renamed_held_against_a_member_and_hidden(bench):
    made = with_group(bench, {1, 2}, "Kit")
    assert with_group_label(made, 6, " ") is made
    assert with_group_label(made, 6, "Kit") is made
    assert with_group_label(made, 6, "Roof  kit").groups[0].label == "Roof kit"
    against = with_group_reference(made, 6, 2)
    assert against.groups[0].reference_key == 2
    assert with_group_reference(against, 6, None) == made
    with pytest.raises(FairleadError, match='"unit 3" is not in the group "Kit"'):
        with_group_reference(made, 6, 3)
    assert not with_group_visibility(made, 6, is_visible=False).groups[0].is_visible
    assert with_group_visibility(made, 6, is_visible=True) is made


def test_other_groups_stay_the_same_objects(bench):
    made = with_group(with_group(bench, {1, 2}, "Kit"), {3, 4}, "Old")
    assert with_group_label(made, 7, "Older").groups[0] is made.groups[0]


def test_a_dissolved_group_leaves_its_sweeps(bench):
    made = with_group(bench, {1, 2})
    left = without_group(made, 6)
    assert left.groups == ()
    assert left.entries is made.entries
    # What the log says of it stays, about nothing.
    full = full_bench()
    assert without_group(full, 5).log[0].about_key is None
    assert without_group(full, 5).contradiction is None


def test_sweeps_that_go_leave_their_group_and_the_last_one_takes_it_along(bench):
    made = with_group_reference(with_group(bench, {1, 2, 3}), 6, 2)
    one_less = made.without({2})
    assert one_less.groups[0].members == (1, 3)
    assert one_less.groups[0].reference_key is None
    assert made.without({1}).groups[0].reference_key == 2
    assert made.without({4}).groups[0] is made.groups[0]
    assert made.without({1, 2, 3}).groups == ()
    full = full_bench()
    assert full.without({1, 3}).log[0].about_key is None
    assert full.without({1, 3}).contradiction is None


def test_contradictions(bench):
    made = with_group(bench, {1, 2})
    (group,) = made.groups
    other = replace(group, key=3)
    wrong = replace(made, groups=(replace(group, reference_key=3),))
    assert wrong.contradiction == "the reference of a group is none of its members"
    twice = replace(made, groups=(group, replace(other, key=7)), next_key=8)
    assert twice.contradiction == "a sweep is in two groups, or twice in one"
    double = replace(made, groups=(replace(group, members=(1, 1)),))
    assert double.contradiction == "a sweep is in two groups, or twice in one"
