"""The plan of columns and its text form, which scripts write after --columns."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.errors import ValueTextError
from fairlead.core.reading.tables import ColumnPlan, Kind, Quantity


@pytest.mark.parametrize(
    ("text", "plan"),
    [
        ("frequency=1:MHz,swr=3", ColumnPlan(0, "MHz", (Quantity(Kind.SWR, (2,)),))),
        (
            "frequency=1,magnitude+angle=2+3:rad,z0=75",
            ColumnPlan(0, "", (Quantity(Kind.MAGNITUDE_ANGLE, (1, 2), "rad"),), 75.0),
        ),
        (
            "frequency=2:kHz,swr=3,swr=4,trace=1,z0=37.5",
            ColumnPlan(
                1, "kHz", (Quantity(Kind.SWR, (2,)), Quantity(Kind.SWR, (3,))), 37.5, trace=0
            ),
        ),
        (
            "frequency=1:Hz,forward+reflected=2+3:W+mW",
            ColumnPlan(0, "Hz", (Quantity(Kind.POWER, (1, 2), "W+mW"),)),
        ),
        (
            "frequency=1:GHz,reflected=2:share",
            ColumnPlan(0, "GHz", (Quantity(Kind.SHARE, (1,), "share"),)),
        ),
    ],
)
def test_text_and_plan_are_one(text, plan):
    assert ColumnPlan.parse(text) == plan
    assert plan.text() == text


@pytest.mark.parametrize(
    ("text", "same"),
    [
        (" Frequency = 1 : mhz , VSWR = 3 ", "frequency=1:MHz,swr=3"),
        ("freq=1,rl=2", "frequency=1,return-loss=2"),
        ("f=1,return_loss=2", "frequency=1,return-loss=2"),
        ("f=1,Return Loss=2", "frequency=1,return-loss=2"),
        ("f=1,re+im=2+3", "frequency=1,real+imaginary=2+3"),
        ("f=1,mag + angle = 2 + 3 : DEG", "frequency=1,magnitude+angle=2+3:deg"),
        ("f=1,fwd+refl=2+3:w", "frequency=1,forward+reflected=2+3:W"),
        ("f=1,r+x=2+3,z0=50", "frequency=1,r+x=2+3,z0=50"),
        ("f=1,mag=2,f=1", "frequency=1,magnitude=2"),
    ],
)
def test_case_blanks_and_common_short_words_do_not_matter(text, same):
    assert ColumnPlan.parse(text).text() == same


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", '"" is not a column; write for example "frequency=1:MHz,swr=3"'),
        ("frequency", '"frequency" is not a column; write for example "frequency=1:MHz,swr=3"'),
        ("swr=2", 'no column for the frequency is given; write for example "frequency=1:MHz,swr'),
        (
            "frequency=1:MHz",
            "no column for SWR or reflection is given; add for example swr=2 or return-lo",
        ),
        ("frequency=1,f=2,swr=3", "frequency is given twice; keep one of them"),
        ("frequency=1,gain=2", '"gain" is not known; known are frequency, real+imaginary, magnit'),
        ("frequency=0,swr=2", '"frequency=0": columns are whole numbers from 1, joined by +; wr'),
        ("frequency=1,swr=-2", '"swr=-2": columns are whole numbers from 1, joined by +; write'),
        ("frequency=1,swr=", '"swr=": columns are whole numbers from 1, joined by +; write for'),
        ("frequency=1,swr=99999", '"swr=99999": columns are whole numbers from 1, joined by +; w'),
        ("frequency=1+2,swr=3", "frequency takes 1 column, not 2; write for example"),
        ("frequency=1,swr=2+3", "swr takes 1 column, not 2; write for example swr=2"),
        ("frequency=1,r+x=2", "r+x takes 2 columns, not 1; write for example r+x=2+3"),
        ("frequency=1,r+x=2+2", "r+x=2+2 uses one column twice; write for example"),
        ("frequency=1,swr=1", "swr=1: that column is already used for something else; write for"),
        (
            "frequency=1,swr=2,trace=2",
            "swr=2: that column is already used for something else; write",
        ),
        ("frequency=1,swr=2,trace=1", "frequency and trace cannot be one column; write for"),
        ("frequency=1:V,swr=2", '"V" is not a unit of frequency; it takes Hz, kHz, MHz or GHz'),
        ("frequency=1,swr=2:dB", '"dB" is not a unit of swr; it takes no unit'),
        ("frequency=1,db+angle=2+3:%", '"%" is not a unit of db+angle; it takes deg or rad'),
        (
            "frequency=1,forward+reflected=2+3:W+W+W",
            '"W+W+W" is not a unit of forward+reflected; it takes W or mW or kW or dBm',
        ),
        ("frequency=1,swr=2,z0=0", "z0=0 is not a positive impedance; write for example z0=50"),
        ("frequency=1,swr=2,z0=inf", "z0=inf is not a positive impedance; write for example"),
        ("frequency=1,swr=2,z0=50 ohm", "z0=50 ohm is not a number of ohms; write for example"),
    ],
)
def test_what_cannot_be_understood_is_said(text, message):
    with pytest.raises(ValueTextError) as caught:
        ColumnPlan.parse(text)
    assert str(caught.value).startswith(message)
    assert caught.value.advice


def test_columns_count_from_one():
    with pytest.raises(ValueTextError, match="columns count from 1"):
        ColumnPlan(-1, "Hz", (Quantity(Kind.SWR, (1,)),))


def test_what_a_kind_takes():
    assert [kind for kind in Kind if kind.has_phase] == [
        kind for kind in Kind if kind.columns == 2 and kind is not Kind.POWER
    ]
    assert Kind.SWR.units == ()
    assert ColumnPlan.parse("f=3,r+x=5+2,trace=1").columns == (0, 1, 2, 4)


@st.composite
def plans(draw):
    columns = draw(st.permutations(range(9)))
    frequency, trace, *free = columns
    quantities = []
    for _ in range(draw(st.integers(1, 3))):
        kind = draw(st.sampled_from(list(Kind)))
        taken = draw(st.permutations(free))[: kind.columns]
        unit = draw(st.sampled_from(["", *kind.units]))
        quantities.append(Quantity(kind, tuple(taken), unit))
    return ColumnPlan(
        frequency,
        draw(st.sampled_from(["", "Hz", "kHz", "MHz", "GHz"])),
        tuple(quantities),
        draw(st.none() | st.floats(1e-3, 1e6)),
        draw(st.sampled_from([None, trace])),
    )


@given(plans())
def test_any_plan_survives_its_text(plan):
    assert ColumnPlan.parse(plan.text()) == plan


@given(st.text(max_size=40))
def test_any_text_is_a_plan_or_one_of_our_errors(text):
    try:
        plan = ColumnPlan.parse(text)
    except ValueTextError:
        return
    assert ColumnPlan.parse(plan.text()) == plan
