"""The numbers of a table, column by column: parsed at once where they are plain, else as needed."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from fairlead.core.reading.tables.cells import split
from fairlead.core.reading.tables.numerals import Numerals, marks_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import BoolArray, FloatArray, IntArray

_MARK_SAMPLE = 2000
_PLAIN = b"0123456789+-.,eE\n"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a block.

    Attributes
    ----------
    values : FloatArray, shape (n,)
        NaN where there is no number, infinite where the cell says so.
    is_text : BoolArray, shape (n,)
        Where something stands that is neither a number nor a way to say that there is none.
    unit : str
        Unit behind the numbers of the cells, as written ("MHz", ":1"); empty without.
    other_unit_row : int
        First row with another unit than the others; -1 where they agree.
    """

    values: FloatArray
    is_text: BoolArray
    unit: str = ""
    other_unit_row: int = -1

    @property
    def has_numbers(self) -> bool:
        """Whether it holds a number at all."""
        return bool(np.isfinite(self.values).any())

    @property
    def is_numeric(self) -> bool:
        """Whether it holds numbers and hardly any text."""
        numbers = int(np.isfinite(self.values).sum())
        return numbers > 0 and 5 * int(self.is_text.sum()) <= numbers


class Rows(Protocol):
    """Rows of one block, whatever way they were parsed."""

    width: int
    """How many cells most rows have."""
    lines: IntArray
    """Line number of each row, shape (n,)."""
    numerals: Numerals

    def cells(self, row: int) -> list[str]:
        """Cells of a row as text."""

    def column(self, index: int) -> Column:
        """A column as numbers."""

    def fits(self, columns: Sequence[int]) -> BoolArray:
        """Which rows have these columns, and no more cells than the others; shape (n,)."""


class PlainRows:
    """Rows of nothing but plain numbers, in equal number."""

    def __init__(
        self,
        values: FloatArray,
        texts: Sequence[str],
        first_line: int,
        separator: str,
        numerals: Numerals,
    ) -> None:
        self.width = values.shape[1]
        self.lines: IntArray = np.arange(first_line, first_line + len(values))
        self.numerals = numerals
        self._values = values
        self._texts = texts
        self._separator = separator
        nowhere = np.zeros(len(values), dtype=np.bool_)
        self._everywhere = ~nowhere
        self._columns = [Column(column, nowhere) for column in values.T]

    def cells(self, row: int) -> list[str]:
        """See `Rows`."""
        return split(self._texts[row], self._separator)

    def column(self, index: int) -> Column:
        """See `Rows`."""
        return self._columns[index]

    def fits(self, columns: Sequence[int]) -> BoolArray:
        """See `Rows`."""
        del columns
        return self._everywhere


class CellRows:
    """Rows of cells of any kind and number.

    Parameters
    ----------
    cells : list of list of str
    lines : sequence of int
        Line number of each row.
    headings : int
        How many headings stand above; 0 without. Rows may leave out cells at the end.
    """

    def __init__(self, cells: list[list[str]], lines: Sequence[int], headings: int = 0) -> None:
        counts = Counter(map(len, cells))
        usual = headings if counts[headings] else counts.most_common(1)[0][0]
        self.width = _without_trailing(cells, usual)
        self.lines: IntArray = np.array(lines, dtype=np.intp)
        sample = (cell for row in cells[:_MARK_SAMPLE] for cell in row)
        self.numerals, self.conflict = marks_of(sample)
        self._cells = cells
        self._shortest = min(counts)
        self._columns: dict[int, Column] = {}
        self._filled: IntArray = np.array([_filled(row) for row in cells], dtype=np.intp)

    def cells(self, row: int) -> list[str]:
        """See `Rows`."""
        return self._cells[row][: self.width]

    def column(self, index: int) -> Column:
        """See `Rows`; each column is parsed once."""
        if index not in self._columns:
            self._columns[index] = self._parsed(index)
        return self._columns[index]

    def fits(self, columns: Sequence[int]) -> BoolArray:
        """See `Rows`."""
        needed = max(columns) + 1
        lengths = np.array([len(row) for row in self._cells], dtype=np.intp)
        result: BoolArray = (lengths >= needed) & (self._filled <= self.width)
        return result

    def _parsed(self, index: int) -> Column:
        plain = self._plain(index)
        if plain is not None:
            return Column(plain, np.zeros(plain.size, dtype=np.bool_))
        values = np.full(len(self._cells), np.nan)
        is_text = np.zeros(len(self._cells), dtype=np.bool_)
        units: Counter[str] = Counter()
        unit_rows: dict[str, int] = {}
        parse = self.numerals.parse
        for row, cells in enumerate(self._cells):
            if index >= len(cells):
                continue
            found = parse(cells[index])
            if found is None:
                is_text[row] = True
                continue
            values[row], unit = found
            if np.isfinite(values[row]):
                units[unit] += 1
                unit_rows.setdefault(unit, row)
        unit = units.most_common(1)[0][0] if units else ""
        others = [row for other, row in unit_rows.items() if other.casefold() != unit.casefold()]
        return Column(values, is_text, unit, min(others, default=-1))

    def _plain(self, index: int) -> FloatArray | None:
        """A column of nothing but plain numbers; None for any other."""
        if self._shortest <= index:
            return None
        column = [cells[index] for cells in self._cells]
        everything = "\n".join(column)
        if self.numerals.decimal == ",":
            column = everything.replace(".", "?").replace(",", ".").split("\n")
        if not everything.isascii() or everything.encode().translate(None, _PLAIN):
            return None
        try:
            return np.array(list(map(float, column)))
        except ValueError:
            return None


def _filled(cells: Sequence[str]) -> int:
    """Number of cells up to the last one that is not empty."""
    count = len(cells)
    while count and not cells[count - 1]:
        count -= 1
    return count


def _without_trailing(cells: Sequence[Sequence[str]], width: int) -> int:
    """The width without columns at the end that are empty in every row (trailing separators)."""
    while width > 2 and not any(row[width - 1] for row in cells if len(row) >= width):
        width -= 1
    return width
