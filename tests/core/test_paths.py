"""Looks at paths: no path raises, blocks, or is taken for another one."""

from __future__ import annotations

import errno
import os

import pytest

from fairlead.core import paths
from fairlead.core.causes import why_not_read, why_not_written
from fairlead.core.errors import ReadError
from fairlead.core.paths import (
    NoOrdinaryFileError,
    Written,
    head_of,
    is_file,
    is_folder,
    is_private_folder,
    mark_of,
    names_in,
    open_file,
    same_file,
)

posix_only = pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")


@pytest.fixture
def odd(tmp_path):
    """Paths that lead to no ordinary file, by what they are."""
    found = {"gone": tmp_path / "gone", "long": tmp_path / ("x" * 5000), "zero": "a\0b"}
    if os.name == "posix":
        loop = tmp_path / "loop"
        loop.symlink_to(loop)
        dangling = tmp_path / "dangling"
        dangling.symlink_to(tmp_path / "gone")
        os.mkfifo(tmp_path / "pipe")
        found |= {
            "loop": loop,
            "below a loop": loop / "a",
            "dangling": dangling,
            "pipe": tmp_path / "pipe",
            "device": "/dev/zero",
        }
    return found


def test_no_path_raises(odd):
    for path in odd.values():
        assert mark_of(path) is None
        assert not is_file(path)
        assert not is_folder(path)
        assert head_of(path, 10) is None
        assert same_file(path, ["gone"]) is None
        with pytest.raises(ReadError):
            names_in(path)
        with pytest.raises((OSError, ValueError)):
            open_file(path)


def test_files_and_folders(tmp_path):
    file = tmp_path / "a"
    file.write_bytes(b"0123456789")
    assert is_file(file)
    assert not is_folder(file)
    assert is_folder(tmp_path)
    assert not is_file(tmp_path)
    assert names_in(tmp_path) == ["a"]
    assert head_of(file, 4) == b"0123"
    assert head_of(tmp_path, 4) is None
    assert mark_of(file).size_bytes == 10


def test_a_file_that_fails_while_it_is_read_has_no_head(tmp_path, monkeypatch):
    file = tmp_path / "a"
    file.write_bytes(b"0")

    def fail(*_):
        raise OSError(errno.EIO, "no")

    monkeypatch.setattr(paths.os, "read", fail)
    assert head_of(file, 4) is None


@posix_only
def test_links_are_followed_on_wish_only(tmp_path):
    file, link = tmp_path / "a", tmp_path / "link"
    file.write_bytes(b"0")
    link.symlink_to(file)
    os.close(open_file(link))
    os.close(open_file(file, follows_links=False))
    with pytest.raises(NoOrdinaryFileError):
        open_file(link, follows_links=False)


@posix_only
def test_what_becomes_a_pipe_at_the_last_moment_is_not_read(tmp_path, monkeypatch):
    file, pipe = tmp_path / "a", tmp_path / "pipe"
    file.write_bytes(b"0")
    os.mkfifo(pipe)
    looked = file.stat()
    with monkeypatch.context() as patched:
        patched.setattr(paths.os, "stat", lambda *_, **__: looked)
        with pytest.raises(NoOrdinaryFileError):
            open_file(pipe)


def test_a_file_is_known_by_what_it_is_not_by_its_name(tmp_path):
    file = tmp_path / "a"
    file.write_bytes(b"0123")
    first = mark_of(file)
    moved = file.rename(tmp_path / "b")
    assert mark_of(moved).has_content_of(first)
    assert mark_of(moved).identity == first.identity
    assert same_file(moved, [str(file), str(tmp_path), str(moved)]) == str(moved)
    # Rewritten in place, same length, and its time set back: only the last time tells.
    moved.write_bytes(b"3210")
    os.utime(moved, ns=(first.modified_ns, first.modified_ns))
    assert mark_of(moved).has_content_of(first)
    assert mark_of(moved) != first


def test_only_the_newest_are_remembered(tmp_path):
    written = Written(most=2)
    marks = []
    for name in "abc":
        (tmp_path / name).write_bytes(b"0")
        marks.append(mark_of(tmp_path / name))
        written.note(marks[-1])
    assert [written.holds(mark) for mark in marks] == [False, True, True]


@pytest.mark.parametrize(
    ("code", "reading", "writing"),
    [
        (errno.ENOSPC, "the drive is full", "the drive is full"),
        (errno.EROFS, "the drive is read-only", "the drive is read-only"),
        (errno.EMFILE, "too many files are open at once", "too many files are open at once"),
        (errno.ENFILE, "too many files are open at once", "too many files are open at once"),
        (errno.ELOOP, "the links in the path form a loop", "the links in the path form"),
        (errno.ENOENT, "no such file", "the folder no longer exists"),
        (errno.EACCES, "no permission to read it", "no permission to write there"),
        (errno.ESTALE, "the drive does not respond", "the drive does not respond"),
        (errno.EXDEV, "Invalid cross-device link", "Invalid cross-device link"),
    ],
)
def test_the_true_cause_is_named_with_something_to_do(code, reading, writing):
    error = OSError(code, os.strerror(code))
    assert why_not_read(error)[0] == reading
    assert why_not_written(error)[0].startswith(writing)
    assert why_not_read(error)[1]
    assert why_not_written(error)[1]


def test_an_error_without_a_number_has_its_own_words():
    assert why_not_read(OSError("odd"))[0] == "OSError"
    assert why_not_written(NoOrdinaryFileError())[0] == "it is not an ordinary file"


@posix_only
def test_a_private_folder_is_one_of_ours_that_nobody_else_may_enter(tmp_path):
    own, link = tmp_path / "own", tmp_path / "link"
    own.mkdir(mode=0o700)
    link.symlink_to(own)
    assert is_private_folder(own)
    assert not is_private_folder(link)
    assert not is_private_folder(tmp_path / "none")
    own.chmod(0o710)
    assert not is_private_folder(own)
