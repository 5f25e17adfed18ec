"""Lines of text become rows of cells: what separates them is found from the lines themselves."""

from __future__ import annotations

import csv
import itertools
import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.reading.tables.numerals import is_missing, looks_numeric

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

BLANKS = ""
"""Separator of cells that are parted by any run of blanks."""

# In this order where several would do: the rarer a mark is inside cells, the earlier.
SEPARATORS = ("\t", ";", ",", BLANKS)
WIDEST = 4096
"""Most cells in a row; more is no table of one frequency a line."""

_COMMENT_MARKS = ("#", "!", "%", "//", "*", ";")
_WRAPPER = re.compile(r"\s*(?:begin|end)\b[\s:=]*(.*)", re.IGNORECASE)
_ENOUGH_VOTES = 5
_LOOK_AHEAD = 2000
_PARTING = "\t;,"
_FEW_QUOTED = 5
# "> 10" is one cell, also where blanks part the cells.
_HAS_LIMIT = re.compile(r"[<>≥≤]")
_LIMIT = re.compile(r"([<>≥≤]=?)[ \t]{1,20}(?=[0-9.,])")
_QUOTES = "\"'"


@dataclass(frozen=True, slots=True)
class Layout:
    """How rows are cut, and what a row of numbers looks like.

    Attributes
    ----------
    separator : str
        One of `SEPARATORS`.
    first_numeric : int
        Index of the first cell that is a number in most rows: frequency, or a count.
    sample : tuple of tuple of str
        The rows that this was found from.
    """

    separator: str
    first_numeric: int
    sample: tuple[tuple[str, ...], ...]

    def split(self, line: str) -> list[str]:
        """Cells of a line."""
        return split(line, self.separator)

    def is_data(self, cells: Sequence[str]) -> bool:
        """Whether a row is one of numbers, not a heading, a title or a footer."""
        if len(cells) < 2 or len(cells) <= self.first_numeric:
            return False
        first = cells[self.first_numeric]
        if looks_numeric(first):
            return True
        return is_missing(first) and any(map(looks_numeric, cells))


def split(line: str, separator: str) -> list[str]:
    """Cells of one line, without blanks and quotes around them.

    Parameters
    ----------
    line : str
    separator : str
        One of `SEPARATORS`. Inside double quotes it does not separate.
    """
    if '"' in line:
        return _split_quoted(line, separator)
    if separator == BLANKS:
        return (_LIMIT.sub(r"\1", line) if _HAS_LIMIT.search(line) else line).split()
    return [cell.strip() for cell in line.split(separator)]


def _split_quoted(line: str, separator: str) -> list[str]:
    try:
        found = next(csv.reader([line], delimiter=separator or " ", skipinitialspace=True), [])
    except csv.Error:
        # A cell beyond csv's limit of length, or a stray line end.
        found = line.split(separator or None)
    cells = [cell.strip().strip(_QUOTES) for cell in found]
    return [cell for cell in cells if cell] if separator == BLANKS else cells


def unquoted(lines: Sequence[str]) -> Sequence[str]:
    """Lines without quotes around the whole of each, where a program has put them around all.

    A table that passed through a spreadsheet as a single column comes out like that.
    """
    first = list(itertools.islice((line for line in lines if line.strip()), _FEW_QUOTED))
    if len(first) < 2 or not all(map(_is_quoted_whole, first)):
        return lines
    return [_inside(line) if _is_quoted_whole(line) else line for line in lines]


def _is_quoted_whole(line: str) -> bool:
    """Whether one pair of quotes stands around all of a line with several cells."""
    text = line.strip()
    inner = text[1:-1].replace('""', "")
    is_quoted = len(text) > 2 and text[0] == text[-1] == '"' and '"' not in inner
    return is_quoted and any(mark in inner for mark in _PARTING)


def _inside(line: str) -> str:
    return line.strip()[1:-1].replace('""', '"')


def comment_of(line: str) -> str | None:
    """What a comment line says, without its mark; None for any other line.

    A semicolon marks a comment only where no other one follows: it may be a separator.
    """
    text = line.lstrip()
    if not text.startswith(_COMMENT_MARKS) or (text[0] == ";" and text.count(";") > 1):
        return None
    return text.lstrip(text[0]).strip()


def wrapper_of(line: str) -> str | None:
    """What stands behind BEGIN or END ("" for nothing); None for any other line."""
    match = _WRAPPER.fullmatch(line)
    return match[1].strip() if match else None


def find_layout(lines: Iterable[str]) -> Layout | None:
    """What separates the cells, from the first rows that hold at least two numbers.

    Returns
    -------
    Layout or None
        None where no line within the first few thousand looks like a row of numbers.
    """
    votes: list[tuple[str, tuple[str, ...]]] = []
    for line, _ in zip(lines, range(_LOOK_AHEAD), strict=False):
        usual = votes[-1][0] if votes else None
        vote = _vote(line, usual) if line and not line.isspace() else None
        if vote is not None:
            votes.append(vote)
            if len(votes) == _ENOUGH_VOTES:
                break
    if not votes:
        return None
    ((separator, _),) = Counter(separator for separator, _ in votes).most_common(1)
    sample = tuple(cells for voted, cells in votes if voted == separator)
    return Layout(separator, _first_numeric(sample), sample)


def _vote(line: str, usual: str | None) -> tuple[str, tuple[str, ...]] | None:
    """The separator that leaves the fewest cells of text, and the row's cells.

    Where the usual one, that of the line before, leaves none, no other is tried.
    """
    best: tuple[str, tuple[str, ...]] | None = None
    best_score = (0, 0)
    if len(line) > WIDEST * 8 or comment_of(line) is not None:
        return None
    if usual is not None:
        cells = split(line, usual)
        if len(cells) > 1 and all(map(looks_numeric, cells)):
            return usual, tuple(cells)
    for separator in SEPARATORS:
        if separator not in line:
            continue
        cells = split(line, separator)
        numbers = sum(map(looks_numeric, cells))
        if numbers < 2 or len(cells) > WIDEST:
            continue
        bad = len(cells) - numbers - sum(map(is_missing, cells))
        score = (-bad, numbers)
        if best is None or score > best_score:
            best, best_score = (separator, tuple(cells)), score
    return best


def _first_numeric(sample: Sequence[Sequence[str]]) -> int:
    width = max(map(len, sample))
    for column in range(width):
        numbers = sum(len(row) > column and looks_numeric(row[column]) for row in sample)
        if 2 * numbers > len(sample):
            return column
    return 0
