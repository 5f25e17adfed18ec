"""Similar names are cut in what they share, so that they still differ."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.names import parts_of, shortened

NAMES = [
    "roof-2026-05-14-dry-unit-1",
    "roof-2026-05-14-wet-unit-1",
    "roof-2026-05-14-iced-unit-1",
    "dipole",
]


def cut(name, length, names=NAMES):
    return shortened(name, parts_of(names), lambda text: len(text) <= length)


def test_a_name_is_divided_where_its_likes_differ():
    parts = parts_of(NAMES)
    assert parts["roof-2026-05-14-wet-unit-1"] == ("roof-2026-05-14-", "wet", "-unit-1")
    assert parts["dipole"] == ("", "dipole", "")


def test_half_a_number_is_not_shared():
    assert parts_of(["unit 11", "unit 12"])["unit 12"] == ("unit ", "12", "")
    # Not as if one of them had only the word that the others go on from.
    assert parts_of(["a-b", "a-b-b"])["a-b"][1] == ""


def test_what_is_shared_goes_first_from_its_end_then_the_end_then_its_own():
    name = "roof-2026-05-14-iced-unit-1"
    assert cut(name, 27) == name
    assert cut(name, 22) == "roof-2026-…iced-unit-1"
    assert cut(name, 12) == "…iced-unit-1"
    assert cut(name, 8) == "…iced…-1"
    assert cut(name, 6) == "…iced…"
    assert cut(name, 4) == "iced"
    assert cut(name, 3) == "i…d"
    assert cut(name, 1) == "i…"
    assert cut("dipole", 4) == "di…e"


def test_a_name_that_nobody_knows_is_all_its_own():
    assert cut("reference dipole", 7) == "ref…ole"


@given(st.lists(st.text("ab-1 ", min_size=1), min_size=1, max_size=6), st.integers(4, 12))
def test_the_parts_are_the_name_and_what_fits_is_never_longer(names, length):
    parts = parts_of(names)
    for name in names:
        assert "".join(parts[name]) == name
        assert len(cut(name, length, names)) <= max(length, 2)
