"""Benches as files: what the drive holds, and what is said when it does not."""

from __future__ import annotations

import os
import pickle
from pathlib import Path

import pytest
from benches import full_bench

from fairlead.core.bench_file import load_bench, save_bench, storage
from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError, ReadError


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_saved_bench_opens_in_another_folder_without_the_sweeps(tmp_path):
    bench = full_bench()
    save_bench(bench, tmp_path / "a.fairlead")
    elsewhere = tmp_path / "friend"
    elsewhere.mkdir()
    (tmp_path / "a.fairlead").rename(elsewhere / "b.txt")
    assert load_bench(elsewhere / "b.txt") == bench
    assert names_in(tmp_path) == ["friend"]


def test_a_bench_that_cannot_be_written_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "a.fairlead"
    save_bench(full_bench(), path)
    old = path.read_bytes()
    monkeypatch.setattr("fairlead.core.bench_file.encode.LARGEST_BYTES", 1500)
    with pytest.raises(FairleadError, match="too large for one file"):
        save_bench(full_bench().with_label(3, "other"), path)
    assert path.read_bytes() == old
    assert names_in(tmp_path) == ["a.fairlead"]


def refusal(path) -> str:
    with pytest.raises(ReadError) as caught:
        load_bench(path)
    assert caught.value.advice
    return caught.value.reason


def test_what_cannot_be_opened_says_why(tmp_path, monkeypatch):
    assert refusal(tmp_path / "none.fairlead") == "no such file"
    assert refusal(tmp_path) == "this is a folder"
    assert refusal("a\0b") == "cannot be opened: embedded null byte"
    assert refusal("x" * 300) == "the name is too long"
    path = tmp_path / "a.fairlead"
    save_bench(Bench(), path)
    monkeypatch.setattr(storage, "LARGEST_BYTES", 10)
    assert refusal(path).startswith("larger than 256 MiB")


def test_a_file_without_permission_says_so(tmp_path, monkeypatch):
    path = tmp_path / "a.fairlead"
    save_bench(Bench(), path)

    def refused(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("builtins.open", refused)
    with pytest.raises(ReadError) as caught:
        load_bench(path)
    monkeypatch.undo()
    assert caught.value.reason == "no permission to read it"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_named_pipe_does_not_block(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert refusal(tmp_path / "pipe") == "this is not an ordinary file"


class Payload:
    """Would write a file if anything unpickled it."""

    def __init__(self, path: str) -> None:
        self.path = path

    def __reduce__(self):
        return (Path.touch, (Path(self.path),))


def test_no_code_in_a_file_is_run(tmp_path):
    trap = tmp_path / "trapped"
    path = tmp_path / "a.fairlead"
    path.write_bytes(pickle.dumps(Payload(str(trap))))
    refusal(path)
    assert not trap.exists()
    pickle.loads(path.read_bytes())  # noqa: S301 - the trap does work
    assert trap.exists()
