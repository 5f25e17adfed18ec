"""Opening one file: by content, never by name, and with one error for everything that fails."""

from __future__ import annotations

import os
import sys

import pytest

from fairlead.core.errors import ReadError
from fairlead.core.reading import open_sweeps, opening

TEXT = "# MHz S RI R 50\n50 0.5 0.25\n51 0.5 0.25\n"


def error_of(path):
    with pytest.raises(ReadError) as caught:
        open_sweeps(path)
    return str(caught.value)


@pytest.mark.parametrize("name", ["unit 1.s1p", "unit 1.txt", "unit 1.csv", "unit 1", "unit 1.png"])
@pytest.mark.parametrize("as_text", [True, False])
def test_the_name_does_not_matter(tmp_path, name, as_text):
    file = tmp_path / name
    file.write_text(TEXT)
    (reading,) = open_sweeps(str(file) if as_text else file)
    assert reading.file == str(file)
    assert reading.label == "unit 1"
    assert len(reading.sweep) == 2
    assert reading.notices == ()


def test_a_missing_file_and_a_folder(tmp_path):
    file = tmp_path / "no.s1p"
    assert error_of(file) == f"{file}: no such file; check the name and the folder"
    assert error_of(tmp_path) == f"{tmp_path}: this is a folder; open the files in it"
    beyond = tmp_path / "no.s1p" / "no.s1p"
    assert error_of(beyond) == f"{beyond}: no such file; check the name and the folder"


def test_a_file_below_a_file(tmp_path):
    (tmp_path / "a").write_text(TEXT)
    below = tmp_path / "a" / "b.s1p"
    assert error_of(below).startswith(f"{below}: ")


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
def test_names_that_no_system_takes(name):
    message = error_of(name)
    assert ": cannot be opened: " in message or ": the name is too long; " in message


@pytest.mark.skipif(sys.platform == "win32", reason="permissions work otherwise there")
@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may read anything")
def test_a_file_that_may_not_be_read(tmp_path):
    file = tmp_path / "a.s1p"
    file.write_text(TEXT)
    file.chmod(0)
    assert error_of(file) == f"{file}: no permission to read it; change its permissions"


def test_permission_refused_by_the_system(monkeypatch):
    # As above, for test runs as root.
    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr(os, "stat", refuse)
        message = error_of("a.s1p")
    assert message == "a.s1p: no permission to read it; change its permissions"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_named_pipe_does_not_block(tmp_path):
    pipe = tmp_path / "a.s1p"
    os.mkfifo(pipe)
    assert error_of(pipe) == f"{pipe}: this is not an ordinary file; copy the sweep into a file"


def test_a_file_beyond_the_limit_is_not_read(tmp_path):
    file = tmp_path / "a.s1p"
    with file.open("wb") as stream:
        stream.truncate(opening.LARGEST_BYTES + 1)
    assert error_of(file) == (
        f"{file}: larger than 128 MiB; export fewer points, or only the first port"
    )


def test_an_empty_file(tmp_path):
    file = tmp_path / "a.s1p"
    file.touch()
    assert error_of(file) == f"{file}: the file is empty; export the sweep again"


def test_paths_of_bytes_are_shown_as_text(tmp_path):
    file = tmp_path / "a.s1p"
    file.write_text(TEXT)
    (reading,) = open_sweeps(os.fsencode(file))
    assert reading.file == str(file)
