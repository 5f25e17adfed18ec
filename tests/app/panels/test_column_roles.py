"""What people say of columns becomes the plan that the readers take, and the other way round."""

from __future__ import annotations

import pytest

from fairlead.app.panels.column_roles import Choices, Role, choices_of, choices_said
from fairlead.core.errors import ValueTextError
from fairlead.core.reading import ColumnPlan

PLANS = [
    ("frequency=1:MHz,swr=3", 3),
    ("frequency=2,return-loss=1", 4),
    ("frequency=1,swr=2,swr=3,swr=5", 5),
    ("frequency=1:Hz,real+imaginary=2+3,z0=75", 3),
    ("frequency=1,magnitude+angle=2+3:rad", 3),
    ("frequency=1,db+angle=2+3:deg,db+angle=4+5:deg", 5),
    ("frequency=1,r+x=2+3", 3),
    ("frequency=1,z+angle=3+2", 3),
    ("frequency=1,reflected=2:%", 2),
    ("frequency=1,forward+reflected=2+3:mW", 3),
    ("frequency=1,magnitude=2,trace=3", 3),
    ("frequency=1,db=2", 2),
]


@pytest.mark.parametrize(("text", "columns"), PLANS)
def test_a_plan_and_its_choices_say_the_same(text, columns):
    plan = ColumnPlan.parse(text)
    assert choices_of(plan, columns).plan() == plan


@pytest.mark.parametrize(
    ("roles", "reason"),
    [
        ((Role.SWR, Role.UNUSED), "no column is the frequency"),
        ((Role.FREQUENCY, Role.FREQUENCY), "two columns are marked as frequency"),
        ((Role.FREQUENCY, Role.UNUSED), "no column shows the match"),
        ((Role.FREQUENCY, Role.ANGLE), "an angle has no magnitude column"),
        ((Role.FREQUENCY, Role.IMPEDANCE), "|Z| alone gives no SWR"),
        ((Role.FREQUENCY, Role.SWR, Role.TRACE, Role.TRACE), "two columns name the sweep"),
        (
            (Role.FREQUENCY, Role.REAL),
            "Reflection, real part needs a column with Reflection, imaginary part as its partner",
        ),
        (
            (Role.FREQUENCY, Role.REFLECTED),
            "Reflected power needs a column with Forward power as its partner",
        ),
    ],
)
def test_what_is_missing_is_said_with_what_to_do(roles, reason):
    with pytest.raises(ValueTextError) as caught:
        Choices(roles).plan()
    assert caught.value.reason == reason
    assert caught.value.advice


def test_an_angle_belongs_to_the_nearest_magnitude_before_it():
    roles = (Role.FREQUENCY, Role.DECIBEL, Role.ANGLE, Role.MAGNITUDE, Role.ANGLE, Role.DECIBEL)
    plan = Choices(roles).plan()
    assert plan.text() == "frequency=1,db+angle=2+3,magnitude+angle=4+5,db=6"


def test_nothing_is_chosen_without_a_plan_and_columns_beyond_the_shown_are_left_out():
    assert choices_of(None, 2).roles == (Role.UNUSED, Role.UNUSED)
    plan = ColumnPlan.parse("frequency=1,swr=9")
    assert choices_of(plan, 2).roles == (Role.FREQUENCY, Role.UNUSED)


@pytest.mark.parametrize(
    ("plan", "headings", "roles", "unit"),
    [
        ("frequency=1:MHz,swr=2", ("", ""), (Role.UNUSED, Role.UNUSED), ""),
        ("frequency=1:MHz,swr=2", ("Frequency", "SWR"), (Role.FREQUENCY, Role.SWR), ""),
        ("frequency=1:MHz,swr=2", ("f (MHz)", "second"), (Role.FREQUENCY, Role.UNUSED), "MHz"),
        # The numbers look like an SWR, the heading says return loss: neither is put forward.
        ("frequency=1:MHz,swr=2", ("MHz", "Return loss"), (Role.FREQUENCY, Role.UNUSED), "MHz"),
        ("frequency=1,swr=2", ("MHz",), (Role.FREQUENCY, Role.UNUSED), "MHz"),
    ],
)
def test_only_what_headings_say_is_chosen_beforehand(plan, headings, roles, unit):
    found = choices_said(ColumnPlan.parse(plan), headings, 2)
    assert (found.roles, found.frequency_unit) == (roles, unit)


def test_without_a_guess_nothing_is_chosen_beforehand():
    assert choices_said(None, ("MHz", "SWR"), 2) == Choices((Role.UNUSED,) * 2)
