"""Many sweeps on a bench: one shown alone, found by words, coloured by what they share."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.document.bench import Bench
from fairlead.core.document.colouring import kinds_of, sharing_a_colour, with_colours
from fairlead.core.document.entry import COLOUR_KINDS, Entry
from fairlead.core.document.filtering import matching
from fairlead.core.document.groups import with_group
from fairlead.core.document.showing import alone_keys, shown_keys, with_only
from fairlead.core.sweep import ScalarSweep

GRID_HZ = np.linspace(50e6, 52e6, 3)


def bench_of(*conditions):
    sweep = ScalarSweep(GRID_HZ, np.array([0.2, 0.1, 0.2]), 50.0)
    return Bench().with_entries(
        Entry(0, ScalarSweep(GRID_HZ, sweep.magnitude + 0.01 * i, 50.0), f"mast {i}", condition=c)
        for i, c in enumerate(conditions, start=1)
    )


def drawn(entry):
    return entry.style.colour % 5, entry.style.dash % 4, entry.style.marker % 6


# Shown alone


def test_one_is_shown_alone_and_a_whole_group_with_its_envelope():
    bench = with_group(bench_of("", "", "", ""), {1, 2}, "Kit")
    everything = shown_keys(bench)
    assert everything == {1, 2, 3, 4, 5}
    assert shown_keys(with_only(bench, alone_keys(bench, [3]))) == {3}
    assert alone_keys(bench, [1, 2]) == {1, 2, 5}
    assert alone_keys(bench, [1]) == {1}
    back = with_only(with_only(bench, {3}), everything)
    assert back == bench
    assert with_only(bench, everything) is bench


# Found by words


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", {1, 2, 3, 4, 5}),
        ("MAST wet", {2}),
        ("2", {2}),
        ("kit", {3, 4, 5}),
        ("kit mast 4", {4, 5}),
        ("snow", set()),
    ],
)
def test_words_are_found_in_name_condition_and_group(text, found):
    bench = with_group(bench_of("dry", "Wet", "", ""), {3, 4}, "Kit")
    assert matching(bench, text) == found


# Colours


def test_one_colour_a_condition_and_no_two_sweeps_alike():
    bench = bench_of("dry", "wet", "Dry", "", *["wet"] * 30)
    coloured = with_colours(bench, "condition")
    colours = [entry.style.colour for entry in coloured.entries]
    assert colours == [0, 1, 0, 2, *[1] * 30]
    wet = [drawn(entry) for entry in coloured.entries if entry.condition == "wet"]
    # Four dashes and six markers: 24 that differ, and then they begin again.
    assert len(set(wet)) == 24
    assert sharing_a_colour(bench, "condition") == 0
    assert with_colours(coloured, "condition") is coloured


def test_more_conditions_than_colours_share_the_last_one():
    bench = bench_of(*"abcdefg")
    colours = [entry.style.colour for entry in with_colours(bench, "condition").entries]
    assert colours == [0, 1, 2, 3, 4, 4, 4]
    assert sharing_a_colour(bench, "condition") == 7 - COLOUR_KINDS + 1
    assert len({drawn(entry) for entry in with_colours(bench, "condition").entries}) == 7


def test_a_group_has_the_colour_of_its_members_and_the_solid_line():
    bench = with_group(bench_of("", "", "", ""), {2, 3}, "Kit")
    coloured = with_colours(bench, "group")
    assert {coloured.entry(key).style.colour for key in (2, 3)} == {coloured.groups[0].style.colour}
    assert {coloured.entry(key).style.colour for key in (1, 4)} == {0}
    assert coloured.groups[0].style.dash == 0
    assert all(drawn(entry)[1] != 0 for entry in coloured.entries if entry.key in (2, 3))
    assert kinds_of(bench, "group") == {1: "", 2: "5", 3: "5", 4: ""}


def test_a_group_of_several_colours_keeps_its_own():
    bench = with_group(bench_of("dry", "", "wet"), {1, 2}, "Kit")
    assert with_colours(bench, "condition").groups[0].style == bench.groups[0].style


def test_each_for_itself_is_what_they_had_when_they_were_added():
    bench = with_group(bench_of("dry", "wet", "dry"), {1, 3}, "Kit")
    back = with_colours(with_colours(bench, "condition"), "sweep")
    added = bench_of("", "", "")
    assert [one.style for one in back.entries] == [one.style for one in added.entries]
    assert back.groups[0].style not in {entry.style for entry in back.entries}
    assert with_colours(back, "sweep") is back
    assert len(set(kinds_of(bench, "sweep").values())) == 3
