"""Which sweeps are likely before, during and after."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.comparison.repeats.preset import likely_question
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

SWEEP = Sweep(np.linspace(50e6, 52e6, 5), np.full(5, 0.3 + 0j))


def bench_of(*names, conditions=()):
    bench = Bench().with_readings([Reading(SWEEP, name, "") for name in names])
    for entry, condition in zip(bench.entries, conditions, strict=False):
        bench = bench.with_condition(entry.key, condition)
    return bench


def names_of(bench, selection=()):
    found = likely_question(bench, selection)
    keys = (found.before, found.during, found.after)
    return [None if key is None else bench.entry(key).label for key in keys]


@pytest.mark.parametrize(
    ("names", "conditions", "wanted"),
    [
        (("dry-again", "dry", "wet"), (), ["dry", "wet", "dry-again"]),
        (("roof_iced", "roof_dry"), (), ["roof_dry", "roof_iced", None]),
        (("a", "b", "c"), ("dry", "soaked", "dry again"), ["a", "b", "c"]),
        (("a", "b", "c"), ("choked", "held by hand", "choked after"), ["a", "b", "c"]),
        (("one", "two", "three"), (), ["one", "two", None]),
        (("dipole", "dry", "rolled up", "iced"), (), ["dry", "iced", None]),
        (("dry a", "dry b"), (), ["dry a", "dry b", None]),
        (("dipole", "dry, 12 m of cable", "dry", "wet"), (), ["dry", "wet", None]),
        (("dry", "a", "b"), ("", "", "after rain"), ["dry", "b", None]),
        (("dry again", "wet"), (), ["dry again", "wet", None]),
    ],
)
def test_roles_by_conditions_names_and_order(names, conditions, wanted):
    assert names_of(bench_of(*names, conditions=conditions)) == wanted


def test_the_selected_sweep_is_the_one_during_and_the_reference_the_one_before():
    bench = bench_of("dry 1", "dry 2", "wet", "iced", "dry again")
    assert names_of(bench) == ["dry 1", "wet", "dry again"]
    iced, dry = bench.entries[3].key, bench.entries[1].key
    assert names_of(bench.with_reference(dry), {iced}) == ["dry 2", "iced", "dry again"]


def test_hidden_sweeps_are_chosen_only_if_there_are_no_others():
    bench = bench_of("dry", "wet", "iced")
    assert names_of(bench.with_visibility(bench.entries[1].key, is_visible=False)) == [
        *("dry", "iced", None)
    ]
    for entry in bench.entries:
        bench = bench.with_visibility(entry.key, is_visible=False)
    assert names_of(bench) == ["dry", "wet", None]


def test_one_sweep_has_nothing_to_be_compared_with():
    assert likely_question(Bench()) is None
    assert likely_question(bench_of("dry")) is None
