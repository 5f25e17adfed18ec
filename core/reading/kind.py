"""Recognises by content whether text is Touchstone, a table or something else altogether."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.reading.keywords import KNOWN
from fairlead.core.reading.number import is_number, shown
from fairlead.core.reading.option_line import EXAMPLE, FORMATS, is_option_line, words_of
from fairlead.core.reading.text import to_lines

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from typing import NoReturn

# An instrument puts "#", the number of digits and a byte count in front of a block it sends
# (IEEE 488.2 definite length block); "#0" opens one of unknown length.
_BLOCK_HEADER = re.compile(
    r"#(?:0|1[0-9]|2[0-9]{2}|3[0-9]{3}|4[0-9]{4}|5[0-9]{5}|6[0-9]{6}|7[0-9]{7}|8[0-9]{8}|9[0-9]{9})"
    r"(?=\s*(?:$|[#\[]))"
)
_CELL_END = re.compile(r"\s*[,;\t]\s*|\s+")
_SEPARATORS = ",;\t"
_LOOK_AHEAD = 1000
_FEW = 20
_LONGEST = 400
_COMPLEX = re.compile(r"[0-9.][+-][0-9.eE+-]{1,30}[ij]\b")
_WRAPPERS = ("begin", "end")
_NO_TOUCHSTONE = "read it as a table, or export the sweep as Touchstone (.s1p)"


def without_comment(line: str) -> str:
    """The part of a line that counts, without blanks around it."""
    return line.partition("!")[0].strip()


def is_lone_word(text: str) -> bool:
    """Whether a line is a wrapper (BEGIN, END) or the lone name of a format (DB, MA, RI)."""
    return text.lower() in _WRAPPERS or text.lower() in FORMATS


def block_header(text: str) -> tuple[int | None, str] | None:
    """Byte count and rest of a line that starts with an instrument's block header.

    Returns
    -------
    count, rest : int or None, str
        The count is None for a block of unknown length. None altogether where there is no header.
    """
    match = _BLOCK_HEADER.match(text)
    if match is None:
        return None
    digits = match[0][2:]
    return (int(digits) if digits else None), text[match.end() :].strip()


class Content(StrEnum):
    """What a text file holds."""

    TOUCHSTONE = "Touchstone"
    NUMBERS = "rows of bare numbers, which may be Touchstone or a table"
    OTHER = "a table, or no sweep"


def content_of(lines: Sequence[str]) -> Content:
    """Tell by the first line that says something."""
    content, _, _ = _telling_line(lines)
    return content


def refuse_other(lines: Sequence[str], file: str) -> NoReturn:
    """Refuse text that is neither Touchstone nor a table.

    Raises
    ------
    ReadError
        Always.
    """
    _, number, _ = _telling_line(lines)
    for complex_at, line in enumerate(lines[number - 1 : number + _FEW], number):
        if _COMPLEX.search(line[:_LONGEST]):
            raise ReadError(
                file,
                "complex numbers, each in one cell",
                "write real and imaginary part in columns of their own",
                complex_at,
            )
    raise _no_sweep(lines, number, file)


def check_kind(lines: Sequence[str], file: str) -> None:
    """Refuse text that is no Touchstone file, with advice that fits what it is.

    Raises
    ------
    ReadError
        For tables, headers without an option line, and any other text.
    """
    content, number, hash_line = _telling_line(lines)
    if content is Content.OTHER:
        raise _refusal(lines, number, hash_line, file)


def _telling_line(lines: Sequence[str]) -> tuple[Content, int, int | None]:
    """What the text holds, the line that tells so, and the first odd line behind a hash."""
    hash_line: int | None = None
    has_format = False
    # A "#" with nothing behind it is an option line with all defaults, or an empty comment: what
    # follows decides.
    has_bare_hash = False
    for number, line in enumerate(lines, 1):
        text = without_comment(line)
        header = block_header(text)
        if header is not None:
            text = header[1]
        if not text or is_lone_word(text):
            has_format = has_format or text.lower() in FORMATS
            continue
        if text[0] == "#":
            if not words_of(text):
                has_bare_hash = True
                continue
            if is_option_line(text):
                return Content.TOUCHSTONE, number, None
            hash_line = hash_line or number
            continue
        is_bare = hash_line is None and _is_data_row(text)
        is_told = has_format or has_bare_hash
        if _is_keyword(text) or (is_bare and is_told) or _is_touchstone(lines[number:]):
            return Content.TOUCHSTONE, number, hash_line
        return Content.NUMBERS if is_bare else Content.OTHER, number, hash_line
    # Nothing but comments: the Touchstone reader says that there are no rows.
    return Content.TOUCHSTONE, len(lines), hash_line


def _is_keyword(text: str) -> bool:
    words = " ".join(text[1:].lower().replace("_", " ").split())
    return text[0] == "[" and words.startswith(KNOWN)


def _is_data_row(text: str) -> bool:
    tokens = text.split()
    return len(tokens) >= 3 and len(tokens) % 2 == 1 and all(map(is_number, tokens))


def _is_touchstone(lines: Iterable[str]) -> bool:
    """Whether an option line or a keyword follows within the next lines."""
    for line, _ in zip(lines, range(_LOOK_AHEAD), strict=False):
        if "#" not in line and "[" not in line:
            continue
        text = without_comment(line)
        if text.startswith("#") and words_of(text) and is_option_line(text):
            return True
        if text.startswith("[") and _is_keyword(text):
            return True
    return False


def _refusal(lines: Sequence[str], number: int, hash_line: int | None, file: str) -> ReadError:
    if hash_line is not None:
        text = without_comment(lines[hash_line - 1])
        return ReadError(
            file,
            f"no option line: {shown(text)} contains no unit, parameter or format",
            f"write an option line such as '{EXAMPLE}'; in a table, name the columns",
            hash_line,
        )
    if _is_table(lines[number - 1 : number + 5]):
        return ReadError(file, "this looks like a table, not Touchstone", _NO_TOUCHSTONE, number)
    return _no_sweep(lines, number, file)


def _no_sweep(lines: Sequence[str], number: int, file: str) -> ReadError:
    text = without_comment(lines[number - 1])
    return ReadError(
        file,
        f"not a sweep: neither Touchstone nor a table of numbers; it begins {shown(text)}",
        "open files that contain sweeps",
        number,
    )


def _is_table(lines: Iterable[str]) -> bool:
    """Whether rows of cells follow: some led by a number, or cut alike by separators."""
    lines = [line for line in lines if line.strip()]
    rows = [cells_of(line) for line in lines]
    if len(rows[0]) >= 2 and any(is_number(row[0]) for row in rows if len(row) >= 2):
        return True
    return len(lines) >= 2 and any(
        lines[0].count(separator) == lines[1].count(separator) >= 2 for separator in _SEPARATORS
    )


def cells_of(line: str) -> list[str]:
    """Cells of a table row, whatever separates them; quotes dropped."""
    return [cell.strip("\"'") for cell in _CELL_END.split(line.strip())]


def looks_like_sweep(head: bytes) -> bool:
    """Whether the first bytes of a file can be those of a sweep, Touchstone or table.

    Parameters
    ----------
    head : bytes
        The first few KiB; the last line may be cut.
    """
    try:
        lines = to_lines(head, "")
    except ReadError:
        return False
    if _is_touchstone(lines):
        return True
    rows = [cells_of(text) for text in map(without_comment, lines) if text]
    numeric = [row for row in rows if len(row) >= 2 and is_number(row[0]) and is_number(row[1])]
    return len(numeric) >= 2
