"""What is saved comes back: every field, every digit, and the same bytes for an equal bench."""

from __future__ import annotations

import json
from dataclasses import fields, replace

import numpy as np
import pytest
from benches import benches, full_bench, large_bench
from hypothesis import given

from fairlead.core.bands import Band
from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes, looks_like_bench
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Circumstances, Entry, Style
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.notice import Notice
from fairlead.core.sweep import ScalarSweep, Sweep


def reopened(bench: Bench) -> Bench:
    return bench_from_bytes(bench_to_bytes(bench), "test.fairlead")


@pytest.mark.unmeasured
@given(benches())
def test_every_bench_comes_back_equal_and_gives_the_same_bytes(bench):
    data = bench_to_bytes(bench)
    again = bench_from_bytes(data, "test.fairlead")
    assert again == bench
    assert bench_to_bytes(again) == data


def test_a_bench_without_sweeps_comes_back():
    assert reopened(Bench()) == Bench()


@pytest.mark.parametrize(
    ("kind", "part"),
    [
        (Bench, full_bench()),
        (Entry, full_bench().entries[0]),
        (Style, full_bench().entries[0].style),
        (Circumstances, full_bench().entries[0].circumstances),
        (Notice, full_bench().entries[0].notices[0]),
        (Band, full_bench().band),
        (PictureRequest, full_bench().picture),
    ],
)
def test_no_field_is_forgotten(kind, part):
    """The full bench has another value than the default in every field, so a new one shows here."""
    defaults = {field.name: field.default for field in fields(kind)}
    for name, default in defaults.items():
        assert getattr(part, name) != default, f"give {kind.__name__}.{name} a value in full_bench"
    assert reopened(full_bench()) == full_bench()


def test_numbers_come_back_to_the_last_bit():
    hard = [0.1, 1 / 3, 5e-324, 2.2250738585072014e-308, 0.30000000000000004, 1e-7, 123456.0]
    frequency_hz = np.array([1e-3, 0.1, 1 / 3, 1e15, 1e16, 1.5e16, 1.7976931348623157e308])
    sweep = Sweep(frequency_hz, np.array(hard) + 1j * np.array(hard[::-1]), 1 / 3)
    scalar = ScalarSweep(frequency_hz, hard)
    bench = Bench((Entry(1, sweep, "a"), Entry(2, scalar, "b")), 1, next_key=3)
    first, second = (entry.sweep for entry in reopened(bench).entries)
    assert first.frequency_hz.tobytes() == frequency_hz.tobytes()
    assert first.reflection.tobytes() == sweep.reflection.tobytes()
    assert second.magnitude.tobytes() == scalar.magnitude.tobytes()
    assert first.z0_ohm == 1 / 3


def test_equal_benches_give_equal_bytes():
    """0.0 equals -0.0, 2 equals 2.0: they must not differ in the file."""
    bench = Bench((Entry(1, Sweep([1e6, 2e6], [0.0, 0.5]), "a"),), 1, next_key=2, limit_swr=2.0)
    other = Bench(
        (Entry(1, Sweep([1e6, 2e6], [complex(-0.0, -0.0), 0.5]), "a"),), 1, next_key=2, limit_swr=2
    )
    assert bench == other
    assert bench_to_bytes(bench) == bench_to_bytes(other)


def test_file_names_with_bytes_that_are_no_text_come_back():
    entry = replace(full_bench().entries[1], file="caf\udce9/\u2028x.s1p", label="Ω 大\x7f\x00")
    bench = replace(full_bench(), entries=(entry,), groups=(), log=(), same_radiation=())
    assert reopened(bench) == bench
    bench_to_bytes(bench).decode("utf-8")


def test_one_point_is_one_line():
    """A changed point, and a changed name, are two changed lines: the second is the checksum."""
    bench = full_bench()
    lines = bench_to_bytes(bench).decode().splitlines()
    assert sum(line.startswith("    [") for line in lines) == 24
    sweep = bench.entries[0].measured
    reflection = sweep.reflection.copy()
    reflection[5] = 0.125
    moved = replace(bench.entries[0], measured=Sweep(sweep.frequency_hz, reflection, 75.0))
    for changed in (
        replace(bench, entries=(moved, bench.entries[1])),
        bench.with_label(3, "another name"),
    ):
        others = bench_to_bytes(changed).decode().splitlines()
        differ = [(a, b) for a, b in zip(lines, others, strict=True) if a != b]
        assert len(differ) == 2
        assert '"checksum"' in differ[0][0]


def test_whole_frequencies_are_written_without_a_fraction():
    data = bench_to_bytes(Bench((Entry(1, Sweep([5e7, 5.1e7], [0.25, -1]), "a"),), 1, next_key=2))
    assert b"\n    [50000000, 0.25, 0],\n    [51000000, -1, 0]\n   ]\n" in data


def shuffled(value, order):
    if isinstance(value, dict):
        items = list(value.items())
        order.shuffle(items)
        return {key: shuffled(item, order) for key, item in items}
    return [shuffled(item, order) for item in value] if isinstance(value, list) else value


@pytest.mark.parametrize(
    "relaid",
    [
        lambda data: b"\xef\xbb\xbf" + data,
        lambda data: data.replace(b"\n", b"\r\n"),
        lambda data: json.dumps(json.loads(data)).encode(),
        lambda data: json.dumps(json.loads(data), indent=4, sort_keys=True).encode(),
        lambda data: json.dumps(
            shuffled(json.loads(data), np.random.default_rng(1)), indent=1
        ).encode(),
        lambda data: data.replace(b"    [", b"  [ ").replace(b"]\n   ]", b"]\n\n   ]"),
        lambda data: data.replace(b'"limit_swr": 1.5', b'"limit_swr": 15e-1'),
        lambda data: data.replace(b'"next_key": 9', b'"next_key": 9.0'),
        lambda data: data.replace(b'"fairlead": 3', b'"fairlead": 3.0'),
    ],
    ids=["BOM", "CR LF", "one line", "sorted", "shuffled", "blanks", "exponent", "9.0", "3.0"],
)
def test_another_layout_of_the_same_content_is_the_same_bench(relaid):
    """Line ends, blanks, order of keys and spelling of numbers say nothing; the checksum holds."""
    data = bench_to_bytes(full_bench())
    changed = relaid(data)
    assert changed != data
    assert looks_like_bench(changed)
    assert bench_from_bytes(changed, "x") == full_bench()


def test_points_in_pieces_and_in_one_go_are_the_same():
    """Many pieces of text, against Python's own parser for the whole file."""
    bench = large_bench(2, 4321)
    data = bench_to_bytes(bench)
    assert bench_from_bytes(data, "x") == bench
    assert bench_from_bytes(json.dumps(json.loads(data)).encode(), "x") == bench


@pytest.mark.parametrize(
    ("data", "is_bench"),
    [
        (bench_to_bytes(Bench()), True),
        (b'\xef\xbb\xbf\n {"fairlead": 99, "new": []}', True),
        (b'{"band": {}, "fairlead" : 1}', True),
        (b"# Hz S RI R 50\n! fairlead\n1 2 3\n", False),
        (b'{"fairlead": "no number"}', False),
        (b'["fairlead", 1]', False),
        (b"", False),
    ],
)
def test_a_bench_is_known_by_its_content(data, is_bench):
    assert looks_like_bench(data) is is_bench
