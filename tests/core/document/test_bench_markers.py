"""Markers on the bench: added, moved, removed, typed, saved and joined."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes
from fairlead.core.document.bench import Bench
from fairlead.core.document.joining import joined
from fairlead.core.document.markers import (
    marker_with,
    parse_marker,
    with_marker,
    with_marker_at,
    with_markers,
    without_markers,
)
from fairlead.core.errors import ReadError, ValueTextError


def marked(*frequencies_hz):
    bench = Bench()
    for frequency_hz in frequencies_hz:
        bench = with_marker(bench, frequency_hz)
    return bench


def told(bench):
    return [(one.key, one.frequency_hz, one.name) for one in bench.markers]


def test_markers_stand_in_the_order_of_frequencies():
    assert told(marked(51e6, 50e6)) == [(2, 50e6, ""), (1, 51e6, "")]


def test_a_second_marker_at_the_same_frequency_changes_nothing():
    bench = marked(51e6)
    assert with_marker(bench, 51e6, "again") is bench


def test_a_name_has_no_line_breaks():
    assert with_marker(Bench(), 50e6, " beacon\n north ").markers[0].name == "beacon north"


def test_a_moved_marker_keeps_its_key_and_takes_its_place():
    bench = with_marker_at(marked(50e6, 51e6), 1, 52e6)
    assert told(bench) == [(2, 51e6, ""), (1, 52e6, "")]
    assert with_marker_at(bench, 1, 52e6) is bench


def test_removing_a_marker_that_is_not_there_changes_nothing():
    bench = marked(50e6, 51e6)
    assert told(without_markers(bench, [1])) == [(2, 51e6, "")]
    assert without_markers(bench, [7]) is bench
    with pytest.raises(KeyError):
        marker_with(bench, 7)


def test_a_typed_list_keeps_the_keys_of_what_was_there():
    bench = marked(50e6, 51e6, 52e6)
    after = with_markers(bench, [(52e6, "c"), (50.5e6, ""), (49e6, ""), (48e6, ""), (48e6, "b")])
    # 52 MHz is the same marker; two others moved; one is new; a frequency typed twice counts once.
    assert told(after) == [(4, 48e6, ""), (2, 49e6, ""), (1, 50.5e6, ""), (3, 52e6, "c")]
    assert after.next_key == 5
    assert with_markers(after, [(one.frequency_hz, one.name) for one in after.markers]) is after
    assert with_markers(after, []).markers == ()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("50.2MHz", (50.2e6, "")),
        ("50,2", (50.2e6, "")),
        ("beacon = 50.2 MHz", (50.2e6, "beacon")),
        ("a=b=7100 kHz", (7.1e6, "a=b")),
    ],
)
def test_a_marker_is_typed_as_a_frequency_with_or_without_a_name(text, found):
    assert parse_marker(text) == found


@pytest.mark.parametrize("text", ["", "beacon", "beacon=", "50.2 MHz=beacon", "=x", "-5MHz"])
def test_what_is_no_frequency_is_refused_with_advice(text):
    with pytest.raises(ValueTextError) as caught:
        parse_marker(text)
    assert "write for example" in caught.value.advice


def test_benches_joined_have_the_markers_of_both_each_frequency_once():
    one, other = with_marker(marked(50e6), 52e6), with_marker(marked(51e6), 50e6, "again")
    both = joined(one, other)
    assert [(m.frequency_hz, m.name) for m in both.markers] == [(50e6, ""), (51e6, ""), (52e6, "")]
    assert len({m.key for m in both.markers}) == 3
    assert both.contradiction is None


def test_markers_come_back_from_a_file_in_order():
    bench = with_marker(marked(51e6), 50e6, "beacon")
    document = json.loads(bench_to_bytes(bench))
    assert document["markers"][0] == {"key": 2, "frequency_hz": 50e6, "name": "beacon"}
    del document["checksum"]
    document["markers"].reverse()
    assert bench_from_bytes(json.dumps(document).encode(), "x") == bench


def test_two_things_with_one_key_are_refused():
    bench = marked(50e6)
    wrong = replace(bench, markers=(*bench.markers, replace(bench.markers[0], frequency_hz=1e6)))
    assert wrong.contradiction == "two things have the same key"
    document = json.loads(bench_to_bytes(bench))
    del document["checksum"]
    document["markers"] *= 2
    with pytest.raises(ReadError, match="two things have the same key"):
        bench_from_bytes(json.dumps(document).encode(), "x")
