"""A bench's file as the window uses it: known by content, never replaced blindly."""

from __future__ import annotations

import os
from dataclasses import replace

import pytest
from benches import full_bench

from fairlead.app.files.bench_store import (
    ChangedMeanwhileError,
    GoneMeanwhileError,
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
        with pytest.raises(FairleadError, match="not a bench"):
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


def test_a_file_that_is_gone_is_written_again_only_on_wish(path):
    mark = write_bench(full_bench(), path, None)
    os.unlink(path)  # noqa: PTH108 - a path as text
    with pytest.raises(GoneMeanwhileError, match="removed or renamed"):
        write_bench(full_bench(), path, mark)
    assert not os.path.exists(path)  # noqa: PTH110 - as above
    write_bench(full_bench(), path, None)
    assert load_bench(path) == full_bench()


def test_a_save_into_the_mount_point_of_a_drive_that_has_gone_is_asked_about(path):
    mark = write_bench(full_bench(), path, None)
    os.unlink(path)  # noqa: PTH108 - a path as text
    on_the_drive = replace(mark, device=mark.device + 1)
    with pytest.raises(GoneMeanwhileError, match="not connected"):
        write_bench(full_bench(), path, on_the_drive)
    assert not os.path.exists(path)  # noqa: PTH110 - as above


def test_a_folder_that_has_gone_as_well_is_said_by_the_writer(tmp_path):
    (tmp_path / "a").mkdir()
    path = str(tmp_path / "a" / "b.fairlead")
    mark = write_bench(full_bench(), path, None)
    os.unlink(path)  # noqa: PTH108 - a path as text
    (tmp_path / "a").rmdir()
    with pytest.raises(FairleadError, match="the folder no longer exists"):
        write_bench(full_bench(), path, mark)


def test_a_bench_rewritten_in_place_with_equal_size_and_time_is_noticed(path):
    mark = write_bench(full_bench(), path, None)
    with open(path, "r+b") as stream:  # noqa: PTH123 - a path as text
        first = stream.read(1)
        stream.seek(0)
        stream.write(first)
    os.utime(path, ns=(mark.modified_ns, mark.modified_ns))
    with pytest.raises(ChangedMeanwhileError):
        write_bench(full_bench(), path, mark)


def test_what_cannot_be_opened_is_one_line(path):
    with pytest.raises(ReadError, match="no such file"):
        open_bench(path)
