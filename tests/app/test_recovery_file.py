"""One recovery file: what is written comes back, and points are copied, not computed again."""

from __future__ import annotations

import errno
import json
import os
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from benches import full_bench, large_bench

from fairlead.app.files import recovery_file
from fairlead.app.files.recovery_file import RecoveryWriter, read_about, read_bench, summary
from fairlead.core.bench_file import bench_to_bytes
from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError, ReadError


@pytest.fixture
def path(tmp_path):
    return tmp_path / "a.recovery"


@pytest.fixture
def computed(monkeypatch):
    """How many sweeps' points were turned into text."""
    seen = []

    def counting(rows):
        seen.append(len(rows))
        return original(rows)

    original = recovery_file.to_text
    monkeypatch.setattr(recovery_file, "to_text", counting)
    return seen


def test_what_is_written_comes_back(path):
    before = datetime.now().astimezone()
    RecoveryWriter(path).write(full_bench(), "/somewhere/caf\udce9.fairlead")
    about = read_about(path)
    assert about.path == path
    assert abs(about.saved_at - before) < timedelta(seconds=60)
    assert about.saved_at.tzinfo is not None
    assert about.bench_path == "/somewhere/caf\udce9.fairlead"
    assert about.summary == "2 sweeps: Roof, wet, Mesuré à la main"
    assert read_bench(path) == full_bench()
    # Without its first line it is a bench like any other: a user can help himself.
    assert path.read_bytes().partition(b"\n")[2] == bench_to_bytes(full_bench())


def test_points_are_copied_from_the_file_before(path, computed):
    bench = large_bench(3, 2500)
    writer = RecoveryWriter(path)
    writer.write(bench, None)
    assert computed == [2500] * 3
    changed = [bench.with_label(2, "longer name").with_move(1, 2), bench.without([1]), bench]
    for other in changed:
        writer.write(other, "/x")
        assert path.read_bytes().partition(b"\n")[2] == bench_to_bytes(other)
    # Only the sweep that was gone and came back was computed again.
    assert computed == [2500] * 4


def test_sweeps_with_the_same_numbers_are_copied_too(path, computed):
    (entry,) = large_bench(1, 300).entries
    again = large_bench(1, 300).entries[0].sweep
    assert again is not entry.sweep
    same = Bench((entry, replace(entry, key=2, measured=again)), 1, next_key=3)
    writer = RecoveryWriter(path)
    writer.write(same, None)
    writer.write(same.with_label(1, "x"), None)
    assert read_bench(path) == same.with_label(1, "x")
    assert len(computed) == 2


@pytest.mark.parametrize(
    "meddle",
    [
        lambda path: path.unlink(),
        lambda path: path.write_bytes(b"something else"),
        lambda path: path.write_bytes(path.read_bytes()[::-1]),
    ],
    ids=["removed", "other content", "same length"],
)
def test_a_file_that_somebody_changed_is_not_copied_from(path, computed, meddle):
    writer, bench = RecoveryWriter(path), full_bench()
    writer.write(bench, None)
    os.utime(path, (1, 1))
    meddle(path)
    writer.write(bench.with_label(3, "x"), None)
    assert read_bench(path) == bench.with_label(3, "x")
    assert len(computed) == 4


def test_after_a_failure_nothing_is_copied(path, computed, monkeypatch):
    writer, bench = RecoveryWriter(path), full_bench()
    writer.write(bench, None)
    real = os.replace

    def refuse(*_):
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(FairleadError, match="the drive is full"):
        writer.write(bench.with_label(3, "x"), None)
    monkeypatch.setattr(os, "replace", real)
    assert read_bench(path) == bench
    writer.write(bench.with_label(3, "y"), None)
    assert read_bench(path) == bench.with_label(3, "y")
    assert len(computed) == 4
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_a_drive_that_fails_while_copying_is_a_failure(path, monkeypatch):
    writer, bench = RecoveryWriter(path), full_bench()
    writer.write(bench, None)
    writer._signature = replace(writer._signature, modified_ns=-1)
    monkeypatch.setattr(recovery_file, "mark_from", lambda _: writer._signature)
    with path.open("r+b") as stream:
        stream.truncate(100)
    with pytest.raises(FairleadError, match="the drive does not respond"):
        writer.write(bench.with_label(3, "x"), None)


def test_removing_twice_is_no_failure(path):
    writer = RecoveryWriter(path)
    writer.write(full_bench(), None)
    writer.remove()
    writer.remove()
    assert not path.exists()
    writer.write(full_bench(), None)
    assert read_bench(path) == full_bench()


GOOD_HEADER = {
    "fairlead_recovery": 1,
    "saved_at": "2026-05-14T18:30:05+02:00",
    "bench_path": None,
    "summary": "1 sweep: a",
}


def write_raw(path, header, bench=None):
    content = bench_to_bytes(full_bench()) if bench is None else bench
    line = header if isinstance(header, bytes) else json.dumps(header).encode()
    path.write_bytes(line + b"\n" + content)


@pytest.mark.parametrize(
    ("header", "reason"),
    [
        ({**GOOD_HEADER, "fairlead_recovery": 2}, "another version of Fairlead"),
        ({**GOOD_HEADER, "saved_at": "yesterday"}, "its first line is damaged"),
        ({**GOOD_HEADER, "saved_at": "0001-01-01T00:00:00+23:59"}, "its first line is damaged"),
        ({**GOOD_HEADER, "saved_at": 5}, "its first line is damaged"),
        ({**GOOD_HEADER, "bench_path": 5}, "its first line is damaged"),
        ({**GOOD_HEADER, "summary": None}, "its first line is damaged"),
        ({}, "its first line is damaged"),
        ([], "its first line is damaged"),
        (b"\xff\xfe", "its first line is damaged"),
        (b"[" * 50_000, "its first line is damaged"),
        (b"x" * 100_000, "the bench in it is cut short"),
    ],
)
def test_a_damaged_first_line_is_told(path, header, reason):
    write_raw(path, header)
    with pytest.raises(ReadError) as caught:
        read_about(path)
    assert reason in str(caught.value)


@pytest.mark.parametrize(
    "bench", [b"", b"}\n", b"not a bench at all }\n", bench_to_bytes(full_bench())[:-5]]
)
def test_a_bench_cut_short_is_told(path, bench):
    write_raw(path, GOOD_HEADER, bench)
    with pytest.raises(ReadError, match="the bench in it is cut short"):
        read_about(path)


def test_an_empty_file_and_none_at_all_are_told(path):
    path.write_bytes(b"")
    with pytest.raises(ReadError, match="cannot be used"):
        read_about(path)
    path.unlink()
    with pytest.raises(ReadError, match="no such file"):
        read_about(path)
    with pytest.raises(ReadError, match="no such file"):
        read_bench(path)


def test_the_summary_is_one_short_line():
    assert summary(Bench()) == "no sweeps"
    bench = large_bench(5, 2).with_label(1, "a\tb " + "x" * 90)
    assert summary(bench) == (f"5 sweeps: a b {'x' * 36}, sweep 2, sweep 3 and 2 more")
    assert summary(bench.without([1, 2, 3, 4])) == "1 sweep: sweep 5"
