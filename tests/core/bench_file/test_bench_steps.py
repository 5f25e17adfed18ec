"""Steps in a bench's file: kept whole, refused where no program of this version can take them."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from benches import full_bench

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Entry
from fairlead.core.errors import ReadError
from fairlead.core.sweep import ScalarSweep
from fairlead.core.transform.frequency_scale import FrequencyScale

SCALAR = ScalarSweep([50e6, 52e6], [0.5, 0.25])


def refusal(steps, sweep=1):
    document = json.loads(bench_to_bytes(full_bench()))
    del document["checksum"]
    document["sweeps"][sweep]["steps"] = steps
    with pytest.raises(ReadError) as caught:
        bench_from_bytes(json.dumps(document).encode(), "x.fairlead")
    return str(caught.value)


def test_the_file_holds_what_was_measured_and_the_steps():
    bench = full_bench()
    found = bench_from_bytes(bench_to_bytes(bench), "x")
    assert found.entries[0].measured == bench.entries[0].measured
    assert found.entries[0].steps == bench.entries[0].steps
    assert found.entries[0].sweep == bench.entries[0].sweep
    assert found == bench
    stored = json.loads(bench_to_bytes(bench))["sweeps"][0]["steps"]
    assert stored[1] == {
        "kind": "frequency-scale",
        "is_on": True,
        "parameters": {"change_percent": 0.58},
    }


def test_equal_benches_have_equal_bytes_also_with_a_negative_zero():
    one, other = (
        Bench((Entry(1, SCALAR, "a", steps=(FrequencyScale(zero),)),), 1, next_key=2)
        for zero in (0.0, -0.0)
    )
    assert one == other
    assert bench_to_bytes(one) == bench_to_bytes(other)


def test_a_step_of_a_later_version_is_refused_and_says_so():
    line = refusal([{"kind": "hovercraft", "is_on": False, "parameters": {"eels": 3}}])
    assert line == (
        "x.fairlead: sweeps[1]: this version of Fairlead does not know the step 'hovercraft'; "
        "update Fairlead; the file is left as it is"
    )


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ({"parameters": {}}, '"z0_ohm" of the step "renormalise" is missing'),
        ({"parameters": {"z0_ohm": 50, "x": 1}}, '"x" of the step "renormalise" is unknown'),
        ({"parameters": {"z0_ohm": "50"}}, "is not a number"),
        ({"parameters": {"z0_ohm": -1}}, "-1 ohm is not a reference impedance"),
        ({"parameters": {"z0_ohm": None}}, "is null, not a number"),
        ({"parameters": {"z0_ohm": 75}}, "a sweep without phase cannot be renormalised"),
        ({"parameters": {"z0_ohm": 10**400}}, "is too large: inf"),
        ({"is_on": 1, "parameters": {"z0_ohm": 50}}, "is_on is 1, not true or false"),
    ],
)
def test_a_step_that_cannot_be_is_refused(step, words):
    assert words in refusal([{"kind": "renormalise", "is_on": True} | step])


def test_a_step_that_is_off_may_be_one_that_cannot_be_taken():
    document = json.loads(bench_to_bytes(full_bench()))
    del document["checksum"]
    off = {"kind": "renormalise", "is_on": False, "parameters": {"z0_ohm": 75.0}}
    document["sweeps"][1]["steps"] = [off]
    bench = bench_from_bytes(json.dumps(document).encode(), "x")
    assert bench.entries[1].sweep is bench.entries[1].measured


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        ({"next_key": 7}, "next_key is not above all keys"),
        ({"pictures": ()}, "picture_key is the key of no picture"),
        ({"instruments": ()}, "instrument_key is the key of no instrument"),
        ({"groups": ()}, "about_key is the key of no sweep or group"),
        ({"reference_key": None}, "no sweep is the reference"),
        ({"reference_key": 4}, "reference_key is the key of no sweep"),
    ],
)
def test_keys_that_contradict_each_other_are_seen(change, problem):
    assert full_bench().contradiction is None
    assert replace(full_bench(), **change).contradiction == problem


def test_keys_are_those_of_one_thing_only():
    bench = full_bench()
    group = replace(bench.groups[0], key=3)
    assert replace(bench, groups=(group,)).contradiction == "two things have the same key"
    group = replace(bench.groups[0], members=(4,))
    found = replace(bench, groups=(group,)).contradiction
    assert found == "a member of a group is the key of no sweep"
