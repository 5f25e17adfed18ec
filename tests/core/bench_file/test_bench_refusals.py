"""What is no bench, or not one of ours to read, is refused in one line that says what to do."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from benches import full_bench, large_bench

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes, format, parse  # noqa: A004
from fairlead.core.bench_file.format import VERSION
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Entry, Style
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.sweep import Sweep

GOOD = bench_to_bytes(full_bench())


def unchecked(**changes):
    """A document without its checksum, as after a change by hand."""
    document = {**json.loads(GOOD), **changes}
    del document["checksum"]
    return json.dumps(document).encode()


def refusal(data, file="my bench.fairlead"):
    with pytest.raises(ReadError) as caught:
        bench_from_bytes(data, file)
    assert "\n" not in str(caught.value)
    assert caught.value.advice
    return str(caught.value)


@pytest.mark.parametrize("data", [b"", b"hello", b"[]", b"{}", b'{"fairlead": true}', b"1 2 3\n"])
def test_another_kind_of_file_is_no_bench(data):
    assert refusal(data) == (
        "my bench.fairlead: the file is not a Fairlead bench; open a .fairlead file, or a sweep"
    )


@pytest.mark.parametrize("number", [VERSION + 1, 999_999, 10**50])
def test_a_newer_version_is_refused_whatever_it_holds(number):
    line = refusal(json.dumps({"fairlead": number, "anything": {"new": [1]}}).encode())
    assert "comes from a newer version of Fairlead" in line
    assert line.endswith("; update Fairlead; the file is left as it is")


@pytest.mark.parametrize("number", [0, -1])
def test_a_version_that_never_was_is_refused(number):
    assert f"a bench has no format {number}" in refusal(unchecked(fairlead=number))


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9, 0.999])
def test_a_file_cut_short_names_the_line_where_it_ends(part):
    data = GOOD[: int(len(GOOD) * part)]
    last = data.count(b"\n") + 1
    assert refusal(data).startswith(f"my bench.fairlead:{last}: the file is damaged or cut short")


def test_bytes_that_are_no_text_name_their_line():
    at = GOOD.index(b"Roof")
    line = refusal(GOOD[:at] + b"\xff" + GOOD[at:])
    number = GOOD.count(b"\n", 0, at) + 1
    assert line.startswith(f"my bench.fairlead:{number}: the file is damaged: it is not UTF-8")


def test_a_changed_digit_is_noticed():
    """One digit of one point: still JSON, still a sweep, but not what was saved."""
    changed = GOOD.replace(b"[49900000, ", b"[49900001, ")
    assert len(changed) == len(GOOD)
    assert "its checksum does not match" in refusal(changed)
    assert 'remove its line "checksum"' in refusal(changed)


def test_a_file_changed_on_purpose_opens_without_its_checksum():
    lines = GOOD.decode().replace("Roof, wet", "Roof, iced").splitlines(keepends=True)
    kept = "".join(line for line in lines if '"checksum"' not in line)
    assert bench_from_bytes(kept.encode(), "x").entries[0].label == "Roof, iced"


def test_an_unknown_key_is_refused_not_dropped():
    assert "the key 'colour' is unknown" in refusal(unchecked(colour=1))


@pytest.mark.parametrize("text", ["NaN", "Infinity", "-Infinity"])
def test_numbers_that_json_does_not_have_are_refused(text):
    data = GOOD.replace(b'"limit_swr": 1.5', b'"limit_swr": ' + text.encode())
    assert f"{text} is not a number allowed in a bench" in refusal(data)
    data = GOOD.replace(b"[49900000,", b"[" + text.encode() + b",")
    assert f"{text} is not a number allowed in a bench" in refusal(data)


def test_a_key_that_stands_twice_is_refused():
    data = GOOD.replace(b' "limit_swr": 1.5,', b' "limit_swr": 1.5,\n "limit_swr": 2.5,')
    assert "the key 'limit_swr' occurs twice in one place" in refusal(data)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"band": {"low_hz": 2e6, "high_hz": 1e6, "name": None}}, "a band from 2e+06 to 1e+06 Hz"),
        ({"reference_key": 2}, "reference_key is the key of no sweep"),
        ({"reference_key": None}, "no sweep is the reference"),
        ({"next_key": 3}, "next_key is not above all keys"),
        ({"sweeps": []}, "reference_key is the key of no sweep"),
        ({"sweeps": [json.loads(GOOD)["sweeps"][1]] * 2}, "two sweeps have the same key"),
        ({"picture": json.loads(GOOD)["picture"] | {"dpi": 1}}, "1 dpi is not a resolution"),
        ({"picture": json.loads(GOOD)["picture"] | {"width_mm": 1e300}}, "cannot be laid out"),
    ],
)
def test_what_contradicts_itself_is_refused(changes, reason):
    assert reason in refusal(unchecked(**changes))


@pytest.mark.parametrize(
    ("points", "reason"),
    [
        ([[2e6, 0, 0], [1e6, 0, 0]], "frequencies do not rise from point to point"),
        ([[-1e6, 0, 0], [1e6, 0, 0]], "a frequency is zero or negative"),
        ([[1e6, 1e300, 0], [2e6, 0, 0]], "a reflection of 1e+300 cannot be"),
    ],
)
def test_points_that_are_no_sweep_name_the_sweep(points, reason):
    sweeps = json.loads(GOOD)["sweeps"]
    sweeps[0]["points"] = points
    assert refusal(unchecked(sweeps=sweeps)).startswith(f"my bench.fairlead: sweeps[0]: {reason}")


@pytest.mark.parametrize(
    "rows",
    [
        b"[1e6, 1, 2],\n    [2e6, 1]",  # a number is missing
        b"[1e6, 1, 2],\n    [2e6, 1, 2, 3]",
        b"[1e6, 1, 2],\n    [2e6, 1 2, 3]",
        b"[1e6, 1, 2],\n    [2e6, , 3]",
        b"[1e6, 1, 2],\n    [2e6, 1, 02]",  # JSON has no leading zero
        b"[1e6, 1, 2],\n    [2e6, 1, +2]",
        b"[1e6, 1, 2],\n    [2e6, 1, .5]",
        b"[1e6, 1, 2],\n    [2e6, 1, 1e999]",
        b"[1e6, 1, 2],\n    [2e6, 1, 1" + b"0" * 400 + b"]",
        b"[1e6, 1, 2],\n    [2e6, 1, 1" + b"0" * 5000 + b"]",
        b"[1e6, 1, 2],\n    [2e6, 1, true]",
        b'[1e6, 1, 2],\n    [2e6, 1, "2"]',
        b"[1e6, 1, 2],\n    [2e6, 1, [2]]",
        b"[1e6, 1, 2],\n    [2e6, 1, 2],",
        b"[1e6, 1, 2]\n    [2e6, 1, 2]",
        b"[1e6, 1, 2]",
        b"[],\n    []",
        b"",
        b"1, 2",
    ],
)
def test_broken_points_are_refused(rows):
    begin = GOOD.index(b'"points": [\n') + len(b'"points": [\n')
    end = GOOD.index(b"\n   ]", begin)
    data = GOOD[:begin] + b"    " + rows + GOOD[end:]
    refusal(data)
    # Also where only the points are wrong, and not the checksum.
    refusal(b"".join(line for line in data.splitlines(keepends=True) if b"checksum" not in line))


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("deep lists", b'{"fairlead": 1, "sweeps": ' + b"[" * 100_000 + b"]" * 100_000 + b"}"),
        ("deep objects", b'{"fairlead": 1, "a": ' + b'{"a": ' * 100_000),
        ("deep in a row of points", GOOD.replace(b"[49900000,", b"[" * 50_000 + b"49900000,")),
        ("a text full of brackets", b'{"fairlead": 1, "a": "' + b'[{\\"' * 600_000 + b'"}'),
        ("a text that does not end", b'{"fairlead": 1, "a": "' + b"\\\\\\" * 3_000_000),
        ("a million keys", b'{"fairlead": 1, ' + b",".join(b'"%d": 0' % i for i in range(10**6))),
        ("the same key often", b'{"fairlead": 1' + b', "a": 1' * 10**6 + b"}"),
        ("empty lists", b'{"fairlead": 1, "sweeps": [' + b"[]," * 2_000_001 + b"[]]}"),
        ("numbers", b'{"fairlead": 1, "sweeps": [' + b"0," * 8_000_001 + b"0]}"),
        ("texts", b'{"fairlead": 1, "sweeps": [' + b'"",' * 2_000_001 + b'""]}'),
        ("sweeps of nothing", b'{"fairlead": 1, "sweeps": [' + b"{}," * 999_999 + b"{}]}"),
        ("a number of a million digits", b'{"fairlead": 1' + b"0" * 10**6 + b"}"),
        ("a fraction of a million digits", b'{"fairlead": 1.' + b"0" * 10**6 + b"1}"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_files_made_to_harm_are_refused(name, data):
    assert refusal(data), name


def test_sizes_are_bounded(monkeypatch):
    monkeypatch.setattr(parse, "LARGEST_BYTES", len(GOOD) - 1)
    assert "larger than 0 MiB, too large for a bench" in refusal(GOOD)
    monkeypatch.undo()
    monkeypatch.setattr(format, "LARGEST_OUTLINE", 4000)
    assert bench_from_bytes(bench_to_bytes(large_bench(1, 300)), "x")
    relaid = json.dumps(json.loads(bench_to_bytes(large_bench(1, 300)))).encode()
    assert "it has more than 0 MiB without the points" in refusal(relaid)


@pytest.mark.parametrize(
    ("bench", "reason"),
    [
        (replace(full_bench(), z0_ohm=float("nan")), "z0_ohm is too small: nan"),
        (replace(full_bench(), limit_swr=1.0), "limit_swr is too small: 1"),
        (replace(full_bench(), reference_key=5), "reference_key is the key of no sweep"),
        (replace(full_bench(), next_key=1), "next_key is not above all keys"),
        (
            Bench((Entry(1, Sweep([1, 2], [0, 0]), "a", style=Style(-1, 0, 0)),), 1, next_key=2),
            "sweeps[0].style.colour is too small: -1",
        ),
    ],
)
def test_what_could_not_be_read_back_is_not_written(bench, reason):
    with pytest.raises(FairleadError) as caught:
        bench_to_bytes(bench)
    assert reason in str(caught.value)


def test_what_would_be_too_large_to_open_is_not_written(monkeypatch):
    monkeypatch.setattr("fairlead.core.bench_file.encode.LARGEST_BYTES", 1000)
    with pytest.raises(FairleadError, match="too large for one file: more than 0 MiB"):
        bench_to_bytes(full_bench())
    monkeypatch.undo()
    monkeypatch.setattr(format, "MOST_TEXTS", 5)
    with pytest.raises(FairleadError, match="too large for one file: more than 5 texts"):
        bench_to_bytes(full_bench())


def test_the_limits_leave_room_for_a_large_bench():
    """A thousand sweeps, each with notes, stay far below every bound."""
    sweep = Sweep([1e6, 2e6], [0, 0.5])
    entry = replace(full_bench().entries[0], measured=sweep, instrument_key=None, picture_key=None)
    entries = tuple(replace(entry, key=key) for key in range(1, 1001))
    bench = Bench(entries, 1, next_key=1001)
    data = bench_to_bytes(bench)
    assert bench_from_bytes(data, "x") == bench
    assert len(data) < format.LARGEST_OUTLINE / 20
    assert data.count(b"[") + data.count(b"{") < format.MOST_LISTS / 20
    assert data.count(b",") < format.MOST_VALUES / 20
    assert data.count(b'"') < format.MOST_TEXTS / 10
    assert format.LARGEST_BYTES > 200 * 2**20
