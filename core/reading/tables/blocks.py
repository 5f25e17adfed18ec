"""Lines of a table become blocks: rows of numbers under one set of headings.

A file holds several blocks where headings are repeated. Blank lines, BEGIN and END, and titles
between the rows may part sweeps or be mere layout: they are kept as breaks, and the numbers
decide (`fairlead.core.reading.tables.splitting`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.reading.rows import PLAIN
from fairlead.core.reading.tables.cells import (
    WIDEST,
    Layout,
    comment_of,
    find_layout,
    split,
    unquoted,
    wrapper_of,
)
from fairlead.core.reading.tables.columns import CellRows, PlainRows
from fairlead.core.reading.tables.header_rows import Headings, Text, find_headings
from fairlead.core.reading.tables.headings import Role, meaning_of
from fairlead.core.reading.tables.numerals import Numerals, looks_numeric, marks_of
from fairlead.core.reading.tables.preamble import frequency_unit_of
from fairlead.core.reading.tables.vocabulary import UNITS, folded

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.reading.tables.columns import Rows

MOST_CELLS = 3_000_000
MOST_BLOCKS = 1000
_LONGEST_NAME = 60
_AROUND_NAMES = " \t,;:=\"'"
_MOST_TEXTS = 12
_MOST_PREAMBLE = 200


@dataclass(frozen=True, slots=True)
class Break:
    """Something between two rows that may part sweeps.

    Attributes
    ----------
    row : int
        Index of the row behind it.
    name : str
        What a title there says; may be empty.
    """

    row: int
    name: str


@dataclass(frozen=True, slots=True)
class Block:
    """Rows under one set of headings.

    Attributes
    ----------
    headings : tuple of str
        One a column, empty where nothing stands.
    header_line : int or None
    rows : Rows
    breaks : tuple of Break
    name : str
        Title above the block; may be empty.
    frequency_unit : str
        What the lines above say of it, for headings that name none; may be empty.
    """

    headings: tuple[str, ...]
    header_line: int | None
    rows: Rows
    breaks: tuple[Break, ...] = ()
    name: str = ""
    frequency_unit: str = ""

    @property
    def line(self) -> int:
        """Line of the headings, else of the first row."""
        return self.header_line or int(self.rows.lines[0])


@dataclass(frozen=True, slots=True)
class Table:
    """A text file seen as a table.

    Attributes
    ----------
    file : str
    blocks : tuple of Block
        At least one, the longest of them not necessarily first.
    preamble : tuple of str
        Comments and other lines of text above the first rows, for dates and impedances.
    separator : str
        One of `fairlead.core.reading.tables.cells.SEPARATORS`.
    """

    file: str
    blocks: tuple[Block, ...]
    preamble: tuple[str, ...]
    separator: str


def scan(lines: Sequence[str], file: str) -> Table | None:
    """Find the rows of numbers and their headings.

    Parameters
    ----------
    lines : sequence of str
        As `fairlead.core.reading.text.to_lines` gives them.
    file : str
        Name for error messages.

    Returns
    -------
    Table or None
        None where no rows of at least two numbers are found.

    Raises
    ------
    ReadError
        For tables too large to be a sweep, and numbers with two kinds of decimal marks.
    """
    lines = unquoted(lines)
    layout = find_layout(lines)
    if layout is None:
        return None
    scanner = _Scanner(layout, file)
    for number, line in enumerate(lines, 1):
        if scanner.take(number, line) and scanner.is_first:
            # Most files are headings and then nothing but numbers.
            rows = _plain_rows(lines[number - 1 :], number, layout)
            if rows is not None:
                return scanner.finish_with(rows)
            scanner.is_first = False
    return scanner.finish()


class _Scanner:
    """State while going through the lines."""

    def __init__(self, layout: Layout, file: str) -> None:
        self.is_first = True
        self._layout = layout
        self._file = file
        self._preamble: list[str] = []
        self._texts: list[Text] = []
        self._has_break = False
        self._blocks: list[Block] = []
        self._cells: list[list[str]] = []
        self._lines: list[int] = []
        self._breaks: list[Break] = []
        self._headings: Headings | None = None
        self._name = ""
        self._count = 0

    def take(self, number: int, line: str) -> bool:
        """Sort one line; True where it is a row of numbers."""
        if not line or line.isspace():
            self._has_break = True
            return False
        comment = comment_of(line)
        if comment is not None:
            # Headings behind a comment mark may say that another quantity follows.
            self._has_break = self._has_break or self._names_frequency(comment)
            self._take_text(Text(number, comment, is_comment=True))
            return False
        cells = self._layout.split(line)
        if len(cells) > WIDEST:
            raise ReadError(
                self._file,
                f"{len(cells)} cells in this row",
                "write one line per frequency: transpose the rows and export again",
                number,
            )
        is_stub = bool(self._cells) and len(cells) == 1 and looks_numeric(cells[0])
        if not is_stub and not self._layout.is_data(cells):
            self._has_break = True
            name = wrapper_of(line)
            self._take_text(Text(number, line.strip() if name is None else name, is_comment=False))
            return False
        self._take_row(number, cells)
        return True

    def finish_with(self, rows: PlainRows) -> Table:
        """The table where all that follows is plain numbers."""
        unit = frequency_unit_of(self._preamble)
        block = Block(*self._heading_texts(rows), rows, name=self._name, frequency_unit=unit)
        return Table(self._file, (block,), tuple(self._preamble), self._layout.separator)

    def finish(self) -> Table | None:
        """The table, or None where no row of numbers was found."""
        self._close_block()
        if not self._blocks:
            return None
        return Table(self._file, tuple(self._blocks), tuple(self._preamble), self._layout.separator)

    def _names_frequency(self, comment: str) -> bool:
        cells = self._layout.split(comment[:_LONGEST_NAME])
        return len(cells) > 1 and meaning_of(cells[0]).role is Role.FREQUENCY

    def _take_text(self, text: Text) -> None:
        if not text.text:
            return
        if not self._blocks and not self._cells and len(self._preamble) < _MOST_PREAMBLE:
            self._preamble.append(text.text)
        self._texts.append(text)
        del self._texts[:-_MOST_TEXTS]

    def _take_row(self, number: int, cells: list[str]) -> None:
        if self._has_break or not self._cells:
            self._take_break(cells)
        self._count += len(cells)
        if self._count > MOST_CELLS:
            raise ReadError(
                self._file, f"more than {MOST_CELLS} cells", "export fewer points", number
            )
        self._cells.append(cells)
        self._lines.append(number)

    def _take_break(self, cells: Sequence[str]) -> None:
        """Decide whether new headings begin a block before this row."""
        texts, self._texts = self._texts, []
        self._has_break = False
        headings = self._find_headings(texts, cells)
        if headings is None and self._layout.separator == ",":
            self._refuse_double_commas(texts, cells)
        name = _title(texts, headings)
        if not self._cells:
            self._headings, self._name = headings, name
        elif headings is not None and headings.decides:
            self._close_block()
            self._headings, self._name = headings, name
        else:
            self._breaks.append(Break(len(self._cells), name))

    def _find_headings(self, texts: Sequence[Text], cells: Sequence[str]) -> Headings | None:
        headings = find_headings(texts, cells, self._layout.separator)
        if headings is None and not cells[-1]:
            # Rows may end in a separator where headings do not.
            filled = max(index for index, cell in enumerate(cells, 1) if cell)
            headings = find_headings(texts, cells[:filled], self._layout.separator)
        return headings

    def _refuse_double_commas(self, texts: Sequence[Text], cells: Sequence[str]) -> None:
        """Refuse rows in which commas are decimal marks and separators at once."""
        if not all(cell.lstrip("+-").isdecimal() for cell in cells):
            return
        for text in texts:
            headings = split(text.text, ",")
            if 2 * len(headings) == len(cells) and meaning_of(headings[0]).is_known:
                raise ReadError(
                    self._file,
                    "commas seem to be both decimal commas and separators of cells",
                    "export with decimal points, or with semicolons between the cells",
                    text.line,
                )

    def _close_block(self) -> None:
        if not self._cells:
            return
        if len(self._blocks) == MOST_BLOCKS:
            raise ReadError(
                self._file,
                f"more than {MOST_BLOCKS} blocks of rows",
                "split the file",
                self._lines[0],
            )
        headings = 0 if self._headings is None else len(self._headings.texts)
        rows = CellRows(self._cells, self._lines, headings)
        if rows.conflict is not None:
            point, comma = rows.conflict
            raise ReadError(
                self._file,
                f"decimal points and decimal commas in one table: '{point}' and '{comma}'",
                "write all numbers alike, without thousands separators",
                self._lines[0],
            )
        texts, line = self._heading_texts(rows)
        unit = frequency_unit_of(self._preamble)
        self._blocks.append(Block(texts, line, rows, tuple(self._breaks), self._name, unit))
        self._cells, self._lines, self._breaks = [], [], []
        self._headings, self._name = None, ""

    def _heading_texts(self, rows: Rows) -> tuple[tuple[str, ...], int | None]:
        """Headings in the number of the columns, and their line."""
        if self._headings is None:
            return ("",) * rows.width, None
        texts = self._headings.texts[: rows.width]
        return texts + ("",) * (rows.width - len(texts)), self._headings.lines[0]


def _title(texts: Sequence[Text], headings: Headings | None) -> str:
    """The last line above that is no heading and short enough for a name."""
    for text in reversed(texts):
        if headings is not None and text.line in headings.lines:
            continue
        if len(text.text) <= _LONGEST_NAME:
            return _name_in(text.text)
    return ""


def _name_in(title: str) -> str:
    """The name that a title gives: all of it, or what stands behind "antenna:"."""
    words = title.split()
    if len(words) > 1 and folded(words[-1]) in UNITS:
        return ""  # "data unit dB" says how, not what
    cells = [cell for cell in re.split(r"[\t;,]", title) if cell.strip()]
    key, mark, value = title.partition("=" if "=" in title else ":")
    if mark and value.strip():
        return value.strip(_AROUND_NAMES) if meaning_of(key).role is Role.TRACE else ""
    return title.strip(_AROUND_NAMES) if len(cells) == 1 else ""


def _plain_rows(lines: Sequence[str], first_line: int, layout: Layout) -> PlainRows | None:
    """All lines as numbers at once; None where anything else than plain rows is among them."""
    texts = list(lines)
    # The first line is a row of numbers, so this ends.
    while not layout.is_data(layout.split(texts[-1])) and (
        not texts[-1].strip() or wrapper_of(texts[-1]) is not None
    ):
        texts.pop()
    separator = layout.separator
    everything = "\n".join(texts)
    is_comma_separated = separator == ","
    allowed = PLAIN + (separator.encode() if separator in (",", ";") else b"")
    numerals = Numerals()
    if not is_comma_separated and "," in everything:
        if "." in everything:
            return None
        numerals, _ = marks_of(cell for row in layout.sample for cell in row)
        if numerals.decimal != "," or numerals.is_assumed:
            return None
        allowed += b","
    if not everything.isascii() or everything.encode().translate(None, allowed):
        return None
    rows = texts if is_comma_separated else everything.replace(",", ".").split("\n")
    try:
        values = np.loadtxt(rows, delimiter=separator or None, comments=None, ndmin=2)
    except ValueError:
        return None
    if len(values) != len(texts) or values.shape[1] < 2 or not np.isfinite(values).all():
        return None
    return PlainRows(values, texts, first_line, separator, numerals)
