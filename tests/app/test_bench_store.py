"""A bench's file as the window uses it: known by content, never replaced blindly."""

from __future__ import annotations

import os

import pytest
from benches import full_bench

from fairlead.app.files.bench_store import (
    ChangedMeanwhileError,
    is_bench,
    open_bench,
    write_bench,
)
from fairlead.core.bench_file import load_bench, save_bench
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.paths import mark_of


@pytest.fixture
def path(tmp_path):
    return str(tmp_path / "roof.fairlead")


def test_a_bench_is_known_by_content_or_by_name(tmp_path, path):
    save_bench(full_bench(), path)
    other = tmp_path / "bench.txt"
    other.write_bytes((tmp_path / "roof.fairlead").read_bytes())
    sweep = tmp_path / "a.s1p"
    sweep.write_text("# Hz S RI R 50\n1 0 0\n2 0 0\n", encoding="utf-8")
    assert is_bench(path)
    assert is_bench(other)
    assert not is_bench(sweep)
    assert is_bench(tmp_path / "missing.FAIRLEAD")
    assert not is_bench(tmp_path / "missing.s1p")
    assert not is_bench(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_named_pipe_blocks_nobody(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert not is_bench(pipe)
    assert mark_of(str(pipe)) is None


def test_what_is_opened_is_known_by_its_absolute_path(path, monkeypatch, tmp_path):
    save_bench(full_bench(), path)
    monkeypatch.chdir(tmp_path)
    opened = open_bench("roof.fairlead")
    assert opened.path == path
    assert opened.bench == full_bench()
    assert opened.mark == mark_of(path)


def test_only_a_bench_or_an_empty_file_is_replaced(path, tmp_path):
    for content in (b"# Hz S RI R 50\n1 0 0\n", b"\x00", b'{"other": 1}'):
        (tmp_path / "roof.fairlead").write_bytes(content)
        with pytest.raises(FairleadError, match="no bench"):
            write_bench(full_bench(), path, None)
        assert (tmp_path / "roof.fairlead").read_bytes() == content
    (tmp_path / "roof.fairlead").write_bytes(b"")
    write_bench(full_bench(), path, None)
    write_bench(full_bench(20), path, None)
    assert load_bench(path) == full_bench(20)


def test_a_file_of_somebody_else_is_not_replaced(path):
    mark = write_bench(full_bench(), path, None)
    mark = write_bench(full_bench(13), path, mark)
    save_bench(full_bench(14), path)
    with pytest.raises(ChangedMeanwhileError):
        write_bench(full_bench(15), path, mark)
    assert load_bench(path) == full_bench(14)


def test_a_file_that_is_gone_is_written_again(path):
    mark = write_bench(full_bench(), path, None)
    os.unlink(path)  # noqa: PTH108 - a path as text
    write_bench(full_bench(), path, mark)
    assert load_bench(path) == full_bench()


def test_what_cannot_be_opened_is_one_line(path):
    with pytest.raises(ReadError, match="no such file"):
        open_bench(path)
