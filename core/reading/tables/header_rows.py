"""Finds the headings of the columns among the lines above the numbers.

Headings may take several lines (names, then units), stand behind a comment mark, hold blanks
where blanks separate, or brackets with commas in them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from fairlead.core.reading.tables.cells import BLANKS, SEPARATORS, split
from fairlead.core.reading.tables.headings import Meaning, Role, meaning_of
from fairlead.core.reading.tables.numerals import looks_numeric
from fairlead.core.reading.tables.vocabulary import UNITS_HZ

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

# Roles that an SWR follows from.
_ENOUGH: tuple[frozenset[Role], ...] = (
    frozenset({Role.SWR}),
    frozenset({Role.RETURN_LOSS}),
    frozenset({Role.DECIBEL}),
    frozenset({Role.MAGNITUDE}),
    frozenset({Role.REFLECTION}),
    frozenset({Role.SHARE}),
    frozenset({Role.REAL, Role.IMAGINARY}),
    frozenset({Role.RESISTANCE, Role.REACTANCE}),
    frozenset({Role.IMPEDANCE, Role.ANGLE}),
    frozenset({Role.LEVEL, Role.ANGLE}),
    frozenset({Role.FORWARD, Role.REFLECTED}),
)
_MOST_LINES = 3
_MOST_WORDS = 32
_MOST_WORDS_A_CELL = 6
_WIDEST_BY_WORDS = 16
_LONGEST_LINE = 4000
_WIDE_GAP = re.compile(r"\t+|\s{2,}")
_OPENING = re.compile(r"[(\[{]")
_CLOSING = re.compile(r"[)\]}]")


@dataclass(frozen=True, slots=True)
class Text:
    """A line that is no row of numbers.

    Attributes
    ----------
    line : int
    text : str
        Without the mark of a comment.
    is_comment : bool
    """

    line: int
    text: str
    is_comment: bool


@dataclass(frozen=True, slots=True)
class Headings:
    """What stands above the columns.

    Attributes
    ----------
    texts : tuple of str
        One a column, lines joined by blanks; empty where nothing stands.
    lines : tuple of int
        The lines they come from, the lowest first.
    """

    texts: tuple[str, ...]
    lines: tuple[int, ...]

    @property
    def meanings(self) -> tuple[Meaning, ...]:
        """Meaning of each."""
        return tuple(map(meaning_of, self.texts))

    @property
    def decides(self) -> bool:
        """Whether they name a frequency and something that an SWR follows from."""
        roles = {meaning.role for meaning in self.meanings}
        return Role.FREQUENCY in roles and any(needed <= roles for needed in _ENOUGH)


def find_headings(texts: Sequence[Text], row: Sequence[str], separator: str) -> Headings | None:
    """The headings that fit a row of numbers.

    Parameters
    ----------
    texts : sequence of Text
        The lines above, in the order of the file.
    row : sequence of str
        Cells of the first row of numbers.
    separator : str
        What separates the cells of the rows.

    Returns
    -------
    Headings or None
        The last lines that fit in number; those that name a sweep's columns before others.
    """
    rows = [text for text in texts if not text.is_comment]
    comments = [text for text in texts if text.is_comment]
    plain = None
    for lines in (rows, comments):
        found = _stacked(_fitting(lines, row, separator), row)
        if found is None:
            continue
        if found.decides:
            return found
        if plain is None and (lines is rows or any(m.is_known for m in found.meanings)):
            plain = found
    return plain


def _fitting(lines: Sequence[Text], row: Sequence[str], separator: str) -> list[Headings]:
    """The last lines as far as they fit, from the bottom up; a title may stand below them."""
    found: list[Headings] = []
    for line in reversed(lines[-_MOST_LINES - 1 :]):
        cells = fit(line.text, row, separator, is_comment=line.is_comment)
        if cells is not None and len(found) < _MOST_LINES:
            found.append(Headings(cells, (line.line,)))
        elif found or line is not lines[-1]:
            break
    return found


def _stacked(fitting: Sequence[Headings], row: Sequence[str]) -> Headings | None:
    """As few lines as decide, and one more where two columns would be called the same."""
    best = None
    for count in range(1, len(fitting) + 1):
        used = fitting[:count]
        joined = Headings(_joined(used, row), tuple(line for one in used for line in one.lines))
        if best is None or (joined.decides and (not best.decides or _says_more(joined, best))):
            best = joined
    return best


def _says_more(joined: Headings, best: Headings) -> bool:
    known, known_before = _known(joined), _known(best)
    tells_apart = len(set(joined.texts)) > len(set(best.texts))
    return known > known_before or (tells_apart and known == known_before)


def _known(headings: Headings) -> int:
    return sum(meaning.is_known for meaning in headings.meanings)


def _joined(fitting: Sequence[Headings], row: Sequence[str]) -> tuple[str, ...]:
    """Headings of several lines, the upper ones first.

    A heading over several columns (";SWR;;" above "MHz;dry;wet;iced") holds for all of them.
    """
    lines = [headings.texts for headings in reversed(fitting)]
    spread = [
        _spread(line, lines[index - 1] if index == len(lines) - 1 else lines[-1], row)
        for index, line in enumerate(lines)
    ]
    columns = zip(*(spread if len(lines) > 1 else lines), strict=True)
    return tuple(" ".join(cell for cell in cells if cell) for cells in columns)


def _spread(line: tuple[str, ...], other: tuple[str, ...], row: Sequence[str]) -> tuple[str, ...]:
    """A line of headings with empty cells filled from the left, where the other line has words."""
    cells = list(line)
    for column in range(1, len(cells)):
        left, there = meaning_of(cells[column - 1]), meaning_of(other[column])
        if (
            not cells[column]
            and other[column]
            and looks_numeric(row[column])
            and left.role is not Role.FREQUENCY
            and left.unit in ("", "ohm")
            and not (left.is_known and there.is_known)
        ):
            cells[column] = cells[column - 1]
    return tuple(cells)


def fit(
    text: str, row: Sequence[str], separator: str, *, is_comment: bool = False
) -> tuple[str, ...] | None:
    """Cells of a heading line, as many as the row has; None where it does not fit.

    Parameters
    ----------
    text : str
    row : sequence of str
        Cells of a row of numbers below.
    separator : str
        What separates the cells of the rows; the headings may use another one.
    is_comment : bool
        Prose in comments is no heading: long cells and numbers speak against it.
    """
    if len(text) > _LONGEST_LINE:
        return None
    unknown = None
    for cells in _cuts(text, len(row), separator):
        aligned = _aligned(cells, row)
        if aligned is None or (is_comment and _is_prose(aligned)):
            continue
        if any(meaning_of(cell).is_known for cell in aligned):
            return aligned
        unknown = unknown or aligned
    return unknown


def _is_prose(cells: Sequence[str]) -> bool:
    return any(
        len(cell.split()) > _MOST_WORDS_A_CELL or any(map(looks_numeric, cell.split()))
        for cell in cells
    )


def _cuts(text: str, width: int, separator: str) -> Iterator[list[str]]:
    """The ways to cut a line, the likelier ones first."""
    if separator == BLANKS:
        yield _glued(split(text, BLANKS))
        yield [part.strip("\"'") for part in _WIDE_GAP.split(text.strip())]
    else:
        yield split(text, separator)
        yield _split_outside_brackets(text, separator)
    for other in SEPARATORS:
        if other != separator and other in text:
            yield split(text, other)
    yield _split_by_meaning(text, width)


def _aligned(cells: list[str], row: Sequence[str]) -> tuple[str, ...] | None:
    """Cells in the number of the row: trailing separators, row counters and remarks allowed."""
    width = len(row)
    while len(cells) > width and not cells[-1]:
        cells = cells[:-1]
    while len(cells) > width and not cells[0]:
        cells = cells[1:]
    if len(cells) == width:
        return tuple(cells)
    if not (2 <= len(cells) < width) or not any(meaning_of(cell).is_known for cell in cells):
        return None
    missing = ("",) * (width - len(cells))
    if len(missing) == 1 and (not looks_numeric(row[0]) or row[0] in ("0", "1")):
        # A counter or a name in front of each row has no heading of its own.
        return (*missing, *cells)
    if any(map(looks_numeric, row[len(cells) :])):
        return None
    return (*cells, *missing)


def _split_outside_brackets(text: str, separator: str) -> list[str]:
    """Cut at separators, but not inside brackets: "dB(S(1,1))" is one heading."""
    cells, depth = [""], 0
    for letter in text:
        depth += letter in "([{"
        depth -= letter in ")]}"
        if letter == separator and depth <= 0:
            cells.append("")
        else:
            cells[-1] += letter
    return [cell.strip().strip("\"'") for cell in cells]


def _split_by_meaning(text: str, width: int) -> list[str]:
    """Words grouped into headings so that most of them mean something: "Return Loss" is one."""
    words = _glued(text.split())
    count = len(words)
    if not width <= count <= _MOST_WORDS or width > _WIDEST_BY_WORDS:
        return []
    # best[k][i]: score and cuts of the first i words in k headings
    best: list[dict[int, tuple[int, tuple[int, ...]]]] = [{0: (0, (0,))}]
    for _ in range(width):
        step: dict[int, tuple[int, tuple[int, ...]]] = {}
        for start, (score, cuts) in best[-1].items():
            for end in range(start + 1, min(start + _MOST_WORDS_A_CELL, count) + 1):
                total = score + _score(" ".join(words[start:end]))
                if end not in step or total > step[end][0]:
                    step[end] = (total, (*cuts, end))
        best.append(step)
    _, cuts = best[-1].get(count, (0, ()))
    cells = [" ".join(words[a:b]) for a, b in pairwise(cuts)]
    return cells if any(meaning_of(cell).is_known for cell in cells) else []


def _glued(words: Sequence[str]) -> list[str]:
    """Words with what stands in brackets behind them: "Freq", "(MHz)" are one."""
    glued: list[str] = []
    depth = 0
    for word in words:
        if glued and (depth > 0 or word[0] in "([{"):
            glued[-1] += f" {word}"
        else:
            glued.append(word)
        depth += len(_OPENING.findall(word)) - len(_CLOSING.findall(word))
    return glued


def _score(heading: str) -> int:
    """How well words make one heading: known, with a unit that suits, and little else in it."""
    meaning = meaning_of(heading)
    if not meaning.is_known:
        return 20 - 8 * (len(heading.split()) - 1) ** 2
    # A bare S11 is likelier the beginning of "S11 real".
    known = 10 if meaning.role is Role.REFLECTION else 30
    suits = meaning.unit in _SUITING.get(meaning.role, ("",))
    rest = len(meaning.rest.split())
    return known + (10 if suits else -10) - 20 * meaning.is_mixed - 8 * rest**2


_SUITING: dict[Role, tuple[str, ...]] = {
    Role.FREQUENCY: tuple(UNITS_HZ),
    Role.RETURN_LOSS: ("", "dB"),
    Role.DECIBEL: ("dB",),
    Role.ANGLE: ("", "deg", "rad"),
    Role.RESISTANCE: ("", "ohm"),
    Role.REACTANCE: ("", "ohm"),
    Role.IMPEDANCE: ("", "ohm"),
    Role.SHARE: ("%",),
    Role.FORWARD: ("", "W", "mW", "kW", "dBm"),
    Role.REFLECTED: ("", "W", "mW", "kW", "dBm"),
}
