"""Bytes of a file become lines of text, whatever encoding and line ends they have.

Nothing here interprets a line. Files that are plainly no text (archives, pickles, pictures,
anything with NUL bytes) are refused and never opened by a decoder of their own.
"""

from __future__ import annotations

import codecs

from fairlead.core.errors import ReadError

ARCHIVE = b"PK\x03\x04"
"""The first bytes of a zip archive, which spreadsheets are too."""

_EXPORT = "export the sweep as a Touchstone text file (.s1p)"

# First bytes of formats people pick by mistake. A pickle would run code if it were loaded.
_SIGNATURES = (
    (ARCHIVE, "a zip archive, not text", "unpack it and open the files in it"),
    (b"\x1f\x8b", "a gzip archive, not text", "unpack it and open the file in it"),
    (b"%PDF", "a PDF document, not a sweep", _EXPORT),
    (b"\x89PNG", "a picture, not a sweep", _EXPORT),
    (b"\xff\xd8\xff", "a picture, not a sweep", _EXPORT),
    (b"\x80\x02", "a Python pickle, which is never loaded", _EXPORT),
    (b"\x80\x03", "a Python pickle, which is never loaded", _EXPORT),
    (b"\x80\x04", "a Python pickle, which is never loaded", _EXPORT),
    (b"\x80\x05", "a Python pickle, which is never loaded", _EXPORT),
)

# The longer mark first: a UTF-32 file begins with the mark of UTF-16 as well.
_BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF32_LE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)

_CONTROL = bytes(sorted(set(range(32)) - set(b"\t\n\v\f\r\x1a")))
_SAMPLE = 4096


def to_lines(data: bytes, file: str) -> list[str]:
    """Split the content of a text file into lines.

    Parameters
    ----------
    data : bytes
        UTF-8, UTF-16 or UTF-32 with a byte order mark, plain UTF-8, Windows-1252 or Latin-1.
        Lines end in LF, CR LF or CR, also mixed.
    file : str
        Name for error messages.

    Returns
    -------
    list of str
        Lines without their ends; item 0 is line 1 of the file.

    Raises
    ------
    ReadError
        Empty file, or bytes that are no text.
    """
    if not data:
        raise ReadError(file, "the file is empty", "export the sweep again")
    text = _decode(data, file)
    # Ctrl-Z ended a text file on DOS, and old instruments still write it.
    text = text.rstrip("\x1a")
    # str.splitlines would also split at form feeds and the like: line numbers would be wrong.
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _decode(data: bytes, file: str) -> str:
    for mark, encoding, name in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            try:
                return data.decode(encoding)
            except UnicodeDecodeError:
                raise ReadError(
                    file, f"the file begins as {name} text but is damaged", "export it again"
                ) from None
    for signature, reason, advice in _SIGNATURES:
        if data.startswith(signature):
            raise ReadError(file, f"the file is {reason}", advice)
    if b"\0" in data or _is_mostly_control(data[:_SAMPLE]):
        raise ReadError(file, "the file is binary, not text", _EXPORT)
    for encoding in ("utf-8", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def _is_mostly_control(sample: bytes) -> bool:
    controls = len(sample) - len(sample.translate(None, _CONTROL))
    return controls * 10 > len(sample)
