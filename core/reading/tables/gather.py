"""Takes the numbers of some columns out of a block, row by row, and counts what is not there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reading.tables.headings import Role, is_sign, meaning_of
from fairlead.core.reading.tables.numerals import tidied
from fairlead.core.reading.tables.plan import Kind, Quantity
from fairlead.core.reading.tables.quantities import IMPEDANCES, Match, Values, to_match
from fairlead.core.reading.tables.unclear import named
from fairlead.core.reading.tables.vocabulary import UNITS, folded

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import BoolArray, FloatArray, IntArray
    from fairlead.core.reading.tables.blocks import Block


_SIGNS = {
    **dict.fromkeys(("+", "+1", "1", "plus", "pos", "positive", "positiv", "+j", "j"), 1),
    **dict.fromkeys(("ind", "ind.", "inductive", "induktiv", "l"), 1),
    **dict.fromkeys(("-", "-1", "minus", "neg", "negative", "negativ", "-j"), -1),
    **dict.fromkeys(("cap", "cap.", "capacitive", "kapazitiv", "c"), -1),
}


@dataclass(frozen=True, slots=True)
class Gathered:
    """Rows in which frequency and all columns of a quantity hold numbers.

    Attributes
    ----------
    frequency : FloatArray, shape (n,)
        In the unit of the table.
    numbers : FloatArray, shape (n, k)
    rows : IntArray, shape (n,)
        Index of the row of each.
    has_cells : BoolArray, shape (rows of the block,)
        Which rows have the columns at all.
    is_missing : BoolArray, shape (rows of the block,)
        Which of them lack a number.
    is_bound : BoolArray, shape (n,)
        Where an SWR is only known to be larger than its number, which may be infinite.
    """

    frequency: FloatArray
    numbers: FloatArray
    rows: IntArray
    has_cells: BoolArray
    is_missing: BoolArray
    is_bound: BoolArray


def gather(block: Block, frequency: int, quantity: Quantity) -> Gathered:
    """The numbers of a quantity; an SWR beyond the meter's scale counts as one."""
    columns = (frequency, *quantity.columns)
    has_cells = block.rows.fits(columns)
    values = np.stack([block.rows.column(column).values for column in columns], axis=1)
    present = np.isfinite(values)
    is_bound = np.zeros(len(values), dtype=np.bool_)
    if quantity.kind is Kind.SWR:
        is_bound = has_cells & np.isposinf(values[:, 1])
        _take_bounds(block, quantity.columns[0], values[:, 1], is_bound)
        present[:, 1] |= is_bound
    is_complete = has_cells & present.all(axis=1)
    rows = np.flatnonzero(is_complete)
    return Gathered(
        values[rows, 0],
        values[rows, 1:],
        rows,
        has_cells,
        has_cells & ~is_complete,
        is_bound[rows],
    )


def _take_bounds(block: Block, column: int, values: FloatArray, is_bound: BoolArray) -> None:
    """Fill in what stands where a column has no number: "> 10" is at least 10."""
    for row in np.flatnonzero(np.isnan(values)).tolist():
        cells = block.rows.cells(row)
        bound = block.rows.numerals.bound(cells[column]) if column < len(cells) else None
        if bound is not None:
            values[row], is_bound[row] = bound, True


def unit_of(block: Block, column: int) -> str:
    """Unit of a column: what its heading says, else what its cells say; may be empty."""
    meaning = meaning_of(block.headings[column])
    found = meaning.unit or UNITS.get(folded(block.rows.column(column).unit), "")
    return found or (block.frequency_unit if meaning.role is Role.FREQUENCY else "")


def power_unit(block: Block, columns: Sequence[int]) -> str:
    """Unit of powers, or two joined by ``+``; watts where the table says none."""
    found = [unit_of(block, column) for column in columns]
    found = [unit if unit in Kind.POWER.units else "W" for unit in found]
    return "+".join(dict.fromkeys(found))


def match_of(
    block: Block, quantity: Quantity, gathered: Gathered, z0_ohm: float, file: str
) -> Match:
    """Reflection of gathered numbers.

    Raises
    ------
    ReadError
        For values that cannot be.
    """
    numbers = gathered.numbers
    is_unsigned = any(meaning_of(block.headings[one]).is_unsigned for one in quantity.columns)
    column = next((n for n, heading in enumerate(block.headings) if is_sign(heading)), None)
    if column is not None and quantity.kind in IMPEDANCES and not (numbers[:, 1] < 0).any():
        signs = _signs_in(block, column, gathered.rows)
        is_unsigned = signs is None
        if signs is not None:
            numbers = np.column_stack((numbers[:, 0], numbers[:, 1] * signs))
    values = Values(
        numbers,
        block.rows.lines[gathered.rows],
        quantity.unit or _stated_unit(block, quantity),
        named(block.headings, quantity.columns),
        file,
        is_unsigned,
        is_signed=column is not None and not is_unsigned,
    )
    return to_match(quantity.kind, values, z0_ohm)


def _signs_in(block: Block, column: int, rows: IntArray) -> FloatArray | None:
    """Sign of the reactance in each row, 1 or -1, shape (n,); None unless all can be told.

    Ones without a minus one may as well be the bit that says "negative".
    """
    cells = [block.rows.cells(row) for row in rows.tolist()]
    words = [folded(cell[column]) if column < len(cell) else "" for cell in cells]
    signs = [_SIGNS.get(tidied(word), 0) for word in words]
    if 0 in signs or set(words) == {"1"}:
        return None
    return np.array(signs, dtype=np.float64)


def _stated_unit(block: Block, quantity: Quantity) -> str:
    """The unit that the table states, else the usual one of the kind."""
    usual = "".join(quantity.kind.units[:1])
    if quantity.kind is Kind.POWER:
        return power_unit(block, quantity.columns)
    found = [unit_of(block, column) for column in quantity.columns]
    return next((unit for unit in found if unit in quantity.kind.units), usual)
