"""Labels as names of files: what every usual system takes, and no two alike."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.app.files.safe_names import distinct_names, safe_name


@pytest.mark.parametrize(
    ("label", "name"),
    [
        ("roof dry", "roof dry"),
        ("6 m: dry/wet", "6 m- dry-wet"),
        ("../../etc/passwd", "etc-passwd"),
        ("a\tb\nc", "a b c"),
        ("  .hidden. ", "hidden"),
        ("???", "sweep"),
        ("", "sweep"),
        ("con", "_con"),
        ("LPT1.dry", "_LPT1.dry"),
        ("Mesuré à 50 Ω", "Mesuré à 50 Ω"),
        ("lone \udcff byte", "lone byte"),
    ],
)
def test_letters_that_mean_something_to_a_system_go(label, name):
    assert safe_name(label) == name


def test_long_labels_are_cut_between_letters():
    name = safe_name("ü" * 500)
    assert set(name) == {"ü"}
    assert len(name.encode()) <= 120


@pytest.mark.unmeasured
@given(st.lists(st.text(max_size=150), max_size=6), st.lists(st.text(max_size=9), max_size=3))
def test_names_are_whole_and_distinct(labels, taken):
    names = distinct_names(labels, ".s1p", taken)
    assert len({name.casefold() for name in [*names, *taken]}) >= len(names)
    assert len({name.casefold() for name in names}) == len(names)
    assert not {name.casefold() for name in names} & {name.casefold() for name in taken}
    for name in names:
        assert name.endswith(".s1p")
        assert not set(name) & set('\\/:*?"<>|\n\t\0')
        assert len(name.encode("utf-8")) <= 150
