"""Files and folders that a user picks or drops become a list of files."""

from __future__ import annotations

import errno
import os
from contextlib import contextmanager

import pytest

from fairlead.core.reading import expand_paths, files
from fairlead.core.reading.files import natural_key
from fairlead.core.reading.kind import looks_like_sweep

SWEEP = "# MHz S RI R 50\n50 0.5 0.25\n51 0.5 0.25\n"


def make(folder, *names, text=SWEEP):
    for name in names:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)


def names_in(folder):
    found, errors = expand_paths([folder])
    return [str(path.relative_to(folder)) for path in found], [str(error) for error in errors]


def test_files_are_taken_as_they_are_in_their_order(tmp_path):
    make(tmp_path, "b.s1p", "a.png")
    given = [tmp_path / "b.s1p", str(tmp_path / "a.png"), tmp_path / "missing.s1p"]
    found, errors = expand_paths(given)
    assert [str(path) for path in found] == [str(path) for path in given]
    assert errors == []


def test_nothing_in_nothing_out():
    assert expand_paths([]) == ([], [])


def test_a_folder_gives_its_sweeps_as_people_count(tmp_path):
    make(tmp_path, "unit 10.s1p", "unit 2.s1p", "Unit 1.S1P", "wet/unit 1.s1p", "b/x.ts", "a.csv")
    found, errors = names_in(tmp_path)
    wanted = ["a.csv", "Unit 1.S1P", "unit 2.s1p", "unit 10.s1p", "b/x.ts", "wet/unit 1.s1p"]
    assert found == [name.replace("/", os.sep) for name in wanted]
    assert errors == []


def test_order_of_the_arguments_is_kept(tmp_path):
    make(tmp_path, "z/1.s1p", "a/1.s1p", "m.s1p")
    found, _ = expand_paths([tmp_path / "z", tmp_path / "m.s1p", tmp_path / "a"])
    assert [path.parent.name for path in found] == ["z", tmp_path.name, "a"]


def test_other_files_are_taken_by_their_first_lines(tmp_path):
    make(tmp_path, "sweep", "sweep.data")
    make(tmp_path, "table", text="MHz;SWR\n50;1.5\n51;1.4\n")
    make(tmp_path, "letter", "note.md", text="Dear club, 2 antennas are up\n")
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8\xff\xe0" + bytes(100))
    (tmp_path / "empty").touch()
    assert names_in(tmp_path) == (["sweep", "sweep.data", "table"], [])


def test_hidden_files_and_folders_are_left_out_but_not_a_nameless_sweep(tmp_path):
    make(tmp_path, ".s1p", "._unit 1.s1p", ".hidden/unit 1.s1p", ".notes.txt")
    assert names_in(tmp_path) == ([".s1p"], [])


@pytest.mark.parametrize("make_file", [True, False])
def test_a_folder_without_sweeps_is_an_error(tmp_path, make_file):
    if make_file:
        make(tmp_path, "letter.md", text="hello\n")
    found, errors = names_in(tmp_path)
    assert found == []
    assert errors == [f"{tmp_path}: no sweep file in this folder; open a folder with .s1p files"]


def test_links_to_folders_are_not_followed_round_in_circles(tmp_path):
    make(tmp_path, "a/unit 1.s1p")
    try:
        (tmp_path / "a" / "back").symlink_to(tmp_path, target_is_directory=True)
    except OSError:
        pytest.skip("no links on this system")
    assert names_in(tmp_path) == ([f"a{os.sep}unit 1.s1p"], [])


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_named_pipe_in_a_folder_does_not_block(tmp_path):
    make(tmp_path, "a.s1p")
    os.mkfifo(tmp_path / "b.s1p")
    assert names_in(tmp_path) == (["a.s1p"], [])


def test_depth_is_bounded(tmp_path):
    make(tmp_path, "/".join(["d"] * files.DEEPEST) + "/in.s1p")
    make(tmp_path, "/".join(["d"] * (files.DEEPEST + 1)) + "/out.s1p")
    found, errors = names_in(tmp_path)
    assert [os.path.basename(name) for name in found] == ["in.s1p"]  # noqa: PTH119
    assert errors == []


@pytest.mark.parametrize(("limit", "count"), [("MOST_FILES", 3), ("MOST_ENTRIES", 2)])
def test_the_number_of_files_is_bounded_and_the_user_is_told(tmp_path, monkeypatch, limit, count):
    monkeypatch.setattr(files, limit, count)
    make(tmp_path, *(f"{number}.s1p" for number in range(6)), "below/7.s1p")
    found, errors = names_in(tmp_path)
    assert found == [f"{number}.s1p" for number in range(count)]
    (error,) = errors
    assert error.startswith(f"{tmp_path}: more than ")
    assert error.endswith("; the first are taken: open smaller folders")


def test_a_folder_that_cannot_be_listed_is_said_and_the_rest_is_taken(tmp_path, monkeypatch):
    make(tmp_path, "a/1.s1p", "b/1.s1p")
    scandir = os.scandir

    def refuse_a(folder):
        if os.fspath(folder).endswith("a"):
            raise PermissionError(13, "Permission denied")
        return scandir(folder)

    monkeypatch.setattr(files.os, "scandir", refuse_a)
    found, errors = names_in(tmp_path)
    assert found == [f"b{os.sep}1.s1p"]
    assert errors == [
        (
            f"{tmp_path / 'a'}: the folder cannot be listed: no permission to read it; "
            "change its permissions"
        )
    ]


def test_a_file_that_cannot_be_opened_is_taken_only_by_its_ending(tmp_path):
    make(tmp_path, "a.s1p")
    try:
        (tmp_path / "b").symlink_to(tmp_path / "gone")
        (tmp_path / "c.s1p").symlink_to(tmp_path / "gone")
    except OSError:
        pytest.skip("no links on this system")
    assert names_in(tmp_path)[0] == ["a.s1p"]


def test_a_file_that_may_not_be_opened_is_left_out(tmp_path, monkeypatch):
    make(tmp_path, "a.s1p", "b")

    def refuse(*_arguments):
        raise PermissionError

    monkeypatch.setattr("os.open", refuse)
    assert names_in(tmp_path)[0] == ["a.s1p"]


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_one_bad_entry_does_not_end_the_walk(tmp_path):
    make(tmp_path, "a.s1p", "z/b.s1p")
    for name in ("loop.s1p", "loop"):
        (tmp_path / name).symlink_to(tmp_path / name)
    found, errors = names_in(tmp_path)
    assert found == ["a.s1p", "z/b.s1p"]
    assert errors == [
        f"{tmp_path / 'loop.s1p'}: the links in the path form a loop; open the file itself"
    ]


def test_a_drive_that_goes_in_the_middle_of_a_folder_does_not_end_the_walk(tmp_path, monkeypatch):
    make(tmp_path, "a.s1p", "b.s1p", "c/d.s1p")
    listed = os.scandir

    class Stale:
        """An entry of a folder whose drive does not answer."""

        def __init__(self, entry):
            self.name, self.path = entry.name, entry.path

        def is_file(self):
            raise OSError(errno.ESTALE, "Stale file handle")

        def is_dir(self, *, follow_symlinks):
            raise OSError(errno.ESTALE, str(follow_symlinks))

    @contextmanager
    def stale(folder):
        with listed(folder) as found:
            yield [Stale(entry) if entry.name in ("a.s1p", "c") else entry for entry in found]

    monkeypatch.setattr(files.os, "scandir", stale)
    found, errors = names_in(tmp_path)
    assert found == ["b.s1p"]
    assert errors == [f"{tmp_path / 'a.s1p'}: the drive does not respond; connect it again"]


def test_a_name_that_no_system_takes_stays_a_file():
    found, errors = expand_paths(["a\0b", "x" * 5000])
    assert len(found) == 2
    assert errors == []


def test_natural_order():
    names = ["unit 10", "Unit 2", "unit 1", "unit", "1", "unit 2b", "unit 002a"]
    assert sorted(names, key=natural_key) == [
        "1",
        "unit",
        "unit 1",
        "Unit 2",
        "unit 002a",
        "unit 2b",
        "unit 10",
    ]
    assert natural_key("²5") == natural_key("²5")


@pytest.mark.parametrize(
    ("text", "is_sweep"),
    [
        (SWEEP, True),
        ("[Version] 2.0\n", True),
        ("! a\n! b\n# GHz S\n", True),
        ("BEGIN\nDB\n5e7 -1 -2\n5.1e7 -1 -2\n", True),
        ("MHz,SWR\n50,1.5\n51,1.4\n52", True),
        ("50 1.5\n", False),
        ("# a heading\n\nsome text, 5 lines\n", False),
        ("import sys\nx = 1\n", False),
        ("", False),
    ],
)
def test_first_bytes_tell_a_sweep(text, is_sweep):
    assert looks_like_sweep(text.encode()) is is_sweep
