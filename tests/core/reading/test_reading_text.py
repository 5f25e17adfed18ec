"""Bytes become lines: encodings, line ends, and what is no text at all."""

from __future__ import annotations

import gzip
import io
import pathlib
import pickle
import zipfile

import pytest
from touchstone_text import error_of, read

from fairlead.core.errors import ReadError
from fairlead.core.reading import open_sweeps
from fairlead.core.reading.text import to_lines
from fairlead.core.reading.touchstone import parse

TEXT = "! Groundplane, 52 Ω, naß, 6 m – µ\n# MHz S RI R 50\n50 0.5 0.25\n51 0.5 0.25\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_unicode_with_and_without_byte_order_mark(encoding):
    reading = parse(TEXT.encode(encoding), "a.s1p")
    assert reading.sweep == read(TEXT).sweep
    assert reading.notices == ()
    assert to_lines(TEXT.encode(encoding), "a")[0] == "! Groundplane, 52 Ω, naß, 6 m – µ"


@pytest.mark.parametrize("mark", [b"\xff\xfe", b"\xfe\xff", b"\xff\xfe\0\0", b"\0\0\xfe\xff"])
def test_big_and_little_endian_marks(mark):
    wide = "utf-32" if len(mark) == 4 else "utf-16"
    order = "le" if mark[0] == 0xFF else "be"
    assert parse(mark + TEXT.encode(f"{wide}-{order}"), "a").sweep == read(TEXT).sweep


@pytest.mark.parametrize("encoding", ["cp1252", "latin-1"])
def test_old_western_encodings(encoding):
    text = TEXT.replace("Ω", "ohm").replace("–", "-")
    assert "naß" in to_lines(text.encode(encoding), "a")[0]
    assert parse(text.encode(encoding), "a").sweep == read(TEXT).sweep


def test_bytes_that_windows_1252_does_not_know_are_latin_1():
    assert to_lines(b"! \x81\xe4\n", "a") == ["! \x81ä", ""]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_keep_their_numbers_whatever_ends_them(end):
    # A form feed or a Unicode line separator does not end a line of the file.
    lines = to_lines(f"a{end}{end}b\f\x0b\u2028c{end}d".encode(), "a")
    assert lines == ["a", "", "b\f\x0b\u2028c", "d"]


def test_the_end_mark_of_old_systems_is_dropped():
    assert parse(TEXT.encode() + b"\x1a\x1a", "a").sweep == read(TEXT).sweep


def test_damaged_unicode_is_said():
    assert error_of(b"\xef\xbb\xbf# MHz\xff\n") == (
        "unit 1.s1p: the file begins as UTF-8 text but is damaged; export it again"
    )
    assert error_of(b"\xff\xfe#\0 ").startswith("unit 1.s1p: the file begins as UTF-16 text")


def zipped():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("a.s1p", TEXT)
    return buffer.getvalue()


EXPORT = "export the sweep as a Touchstone text file (.s1p)"


@pytest.mark.parametrize(
    ("data", "wanted"),
    [
        (b"", "the file is empty; export the sweep again"),
        (zipped(), "the file is a zip archive, not text; unpack it and open the files in it"),
        (
            gzip.compress(TEXT.encode(), mtime=0),
            "the file is a gzip archive, not text; unpack it and open the file in it",
        ),
        (b"%PDF-1.7\n", f"the file is a PDF document, not a sweep; {EXPORT}"),
        (b"\x89PNG\r\n", f"the file is a picture, not a sweep; {EXPORT}"),
        (b"\xff\xd8\xff\xe0", f"the file is a picture, not a sweep; {EXPORT}"),
        (TEXT.encode() + b"\0", f"the file is binary, not text; {EXPORT}"),
        (TEXT.encode("utf-16-le"), f"the file is binary, not text; {EXPORT}"),
        (bytes(range(1, 32)) * 9, f"the file is binary, not text; {EXPORT}"),
    ],
)
def test_what_is_no_text_is_named(data, wanted):
    assert error_of(data) == f"unit 1.s1p: {wanted}"


class Payload:
    """Creates a file when it is unpickled: what a crafted sweep file would do."""

    def __init__(self, marker):
        self.marker = marker

    def __reduce__(self):
        return pathlib.Path.touch, (self.marker,)


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_a_pickle_is_refused_and_never_run(tmp_path, protocol):
    marker = tmp_path / "marker"
    file = tmp_path / "unit 1.s1p"
    file.write_bytes(pickle.dumps(Payload(marker), protocol))
    with pytest.raises(ReadError) as caught:
        open_sweeps(file)
    assert not marker.exists()
    if protocol >= 2:
        assert str(caught.value) == (
            f"{file}: the file is a Python pickle, which is never loaded; {EXPORT}"
        )
    # The payload was a live one.
    pickle.loads(file.read_bytes())  # noqa: S301 - our own bytes, to show that they would run
    assert marker.exists()
