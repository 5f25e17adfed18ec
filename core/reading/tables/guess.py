"""From headings and numbers to a plan, or to what is unclear about them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.notice import Notice
from fairlead.core.reading.number import shown
from fairlead.core.reading.tables import plausible
from fairlead.core.reading.tables.gather import unit_of
from fairlead.core.reading.tables.headings import Meaning, Role, meaning_of
from fairlead.core.reading.tables.plan import ColumnPlan, Quantity
from fairlead.core.reading.tables.quantity_choice import choose_quantities
from fairlead.core.reading.tables.unclear import NO_SWEEP, UnclearError, named, text_problem
from fairlead.core.reading.tables.vocabulary import UNITS_HZ

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.reading.tables.blocks import Block

_MOST_OFFERED = 8
_MOST_TRANSPOSED = 8
_MOST_SPOTS = 30
_SPOT_STEP = 1.15
# Rounding to four digits; common practice, no source.
_SAME_FREQUENCY = 1e-3


@dataclass(frozen=True, slots=True)
class Decision:
    """How a block is read.

    Attributes
    ----------
    plans : tuple of ColumnPlan
        Several where each sweep has a frequency column of its own.
    notices : tuple of Notice
        What was assumed.
    """

    plans: tuple[ColumnPlan, ...]
    notices: tuple[Notice, ...] = ()


def decide(block: Block, z0_ohm: float = 50.0) -> Decision:
    """The plan that headings and numbers leave no doubt about.

    Parameters
    ----------
    block : Block
    z0_ohm : float
        Reference impedance, where columns of impedance and of SWR are compared.

    Raises
    ------
    UnclearError
        Where a person has to say which column is what, or where the block is no sweep.
    """
    try:
        _refuse_transposed(block)
        return _by_headings(block, z0_ohm) if any(block.headings) else _by_numbers(block)
    except UnclearError as error:
        if error.guess is None and error.can_be_sweep:
            error.guess = best_guess(block, z0_ohm)
        raise


def _refuse_transposed(block: Block) -> None:
    """Refuse rows that hold one quantity each, the first of them all frequencies."""
    count, width = block.rows.lines.size, block.rows.width
    if count > _MOST_TRANSPOSED or width < 2 * count or width < 4:
        return
    first = np.array([block.rows.column(i).values[0] for i in range(width)])
    steps = np.diff(first[1:])
    name = meaning_of(block.rows.cells(0)[0]).role
    if (steps > 0).all() and (name is Role.FREQUENCY or first[0] < first[1]):
        raise UnclearError(
            "the rows look transposed: this one contains all frequencies",
            "write one line per frequency: transpose the rows and export again",
            line=int(block.rows.lines[0]),
            can_be_sweep=False,
        )


def best_guess(block: Block, z0_ohm: float = 50.0) -> ColumnPlan | None:
    """The plan to offer first where people are asked; None where nothing can be frequency."""
    meanings = tuple(map(meaning_of, block.headings))
    numeric = [i for i in range(block.rows.width) if block.rows.column(i).is_numeric]
    frequencies = [i for i in numeric if meanings[i].role is Role.FREQUENCY]
    frequencies += [i for i in numeric if _can_be_frequency(block, meanings, i)]
    others = [i for i in numeric if i not in frequencies[:1]]
    others = [i for i in others if meanings[i].role is not Role.TRANSMISSION]
    others = [i for i in others if meanings[i].role is not Role.OTHER] or others
    if not frequencies or not others:
        return None
    frequency = frequencies[0]
    values = block.rows.column(frequency).values
    unit = _stated_unit(block, frequency) or plausible.frequency_unit(values)
    unit = unit or plausible.likely_frequency_unit(values)
    try:
        quantities, _ = choose_quantities(block, meanings, frequency, others, z0_ohm, is_guess=True)
    except UnclearError:
        quantities = _likely_quantities(block, others)
    return ColumnPlan(frequency, unit, tuple(quantities))


def _likely_quantities(block: Block, columns: Sequence[int]) -> list[Quantity]:
    """What to offer: a pair, one column for each heading, or the first column."""
    values = [block.rows.column(column).values for column in columns]
    if len(columns) > 1:
        pair = plausible.likely_pair(values[0], values[1])
        if pair is not None:
            return [Quantity(pair, (columns[0], columns[1]))]
    kinds = [plausible.likely_kind(one) for one in values]
    is_uniform = any(block.headings) and len(set(kinds)) == 1
    count = min(len(columns), _MOST_OFFERED) if is_uniform else 1
    return [Quantity(kinds[i], (columns[i],)) for i in range(count)]


def _by_headings(block: Block, z0_ohm: float) -> Decision:
    meanings = tuple(map(meaning_of, block.headings))
    frequencies = [
        index
        for index, meaning in enumerate(meanings)
        if meaning.role is Role.FREQUENCY and block.rows.column(index).is_numeric
    ]
    if not frequencies:
        raise _without_frequency(block, meanings)
    frequencies = _told_once(block, meanings, frequencies)
    if len(frequencies) == 1:
        plan, notices = _plan(block, meanings, frequencies[0], range(len(meanings)), z0_ohm)
        return Decision((plan,), tuple(notices))
    plans, notices = [], []
    for frequency, columns in _side_by_side(block, meanings, frequencies):
        plan, assumed = _plan(block, meanings, frequency, columns, z0_ohm)
        plans.append(plan)
        notices += assumed
    return Decision(tuple(plans), tuple(notices))


def _told_once(block: Block, meanings: Sequence[Meaning], frequencies: Sequence[int]) -> list[int]:
    """Frequency columns without those that say the same in another unit, or less exactly.

    Where each has a sweep of its own behind it, all are kept.
    """
    ends = [*frequencies[1:], len(meanings)]
    pairs = zip(frequencies, ends, strict=True)
    if all(any(m.is_known for m in meanings[start + 1 : end]) for start, end in pairs):
        return list(frequencies)
    # The most exact first, then one that names its unit.
    best, *others = sorted(
        frequencies,
        key=lambda c: (-_distinct(block, c), not _stated_unit(block, c), c),
    )
    return [best, *(other for other in others if not _agree(block, best, other))]


def _distinct(block: Block, column: int) -> int:
    return int(np.unique(plausible.finite(block.rows.column(column).values)).size)


def _agree(block: Block, column: int, other: int) -> bool:
    """Whether two columns of frequency are one in two units."""
    values, others = block.rows.column(column).values, block.rows.column(other).values
    units = [_stated_unit(block, column), _stated_unit(block, other)]
    if all(units):
        factors = [UNITS_HZ[units[0]] / UNITS_HZ[units[1]]]
    else:
        factors = [10.0**power for power in (-9, -6, -3, 0, 3, 6, 9)]
    both = np.isfinite(values) & np.isfinite(others)
    return bool(both.any()) and any(
        np.allclose(values[both] * factor, others[both], rtol=_SAME_FREQUENCY, atol=0)
        for factor in factors
    )


def _side_by_side(
    block: Block, meanings: Sequence[Meaning], frequencies: Sequence[int]
) -> list[tuple[int, range]]:
    """Sweeps next to each other, each with its own frequency, and the columns that follow it."""
    ends = [*frequencies[1:], len(meanings)]
    groups = [(start, range(start + 1, end)) for start, end in zip(frequencies, ends, strict=True)]
    steady = [start for start in frequencies if _is_steady(block, start)]
    if not steady:
        raise UnclearError(
            f"{named(block.headings, frequencies)} are frequencies, and none rises from "
            "row to row: single values, not a sweep",
            NO_SWEEP,
            can_be_sweep=False,
        )
    for start, columns in groups:
        if start not in steady or not any(meanings[column].is_known for column in columns):
            raise UnclearError(
                f"{named(block.headings, frequencies)} are frequencies: it is not clear which "
                "belongs to which column"
            )
    return groups


def _is_steady(block: Block, column: int) -> bool:
    breaks = [stop.row for stop in block.breaks]
    return plausible.is_steady(block.rows.column(column).values, breaks)


def _plan(
    block: Block, meanings: Sequence[Meaning], frequency: int, columns: range, z0_ohm: float
) -> tuple[ColumnPlan, list[Notice]]:
    values = block.rows.column(frequency).values
    quantities, notices = choose_quantities(block, meanings, frequency, columns, z0_ohm)
    _refuse_units(block, meanings)
    _refuse_spots(block, frequency, values)
    unit = _stated_unit(block, frequency)
    if not unit:
        unit, notice = assumed_unit(block, frequency)
        notices.append(notice)
    trace = _trace(block, meanings, values)
    return ColumnPlan(frequency, unit, tuple(quantities), trace=trace), notices


def _stated_unit(block: Block, frequency: int) -> str:
    unit = unit_of(block, frequency)
    return unit if unit in UNITS_HZ else ""


def assumed_unit(block: Block, frequency: int) -> tuple[str, Notice]:
    """Unit of frequency from its numbers, and the notice that says so.

    Raises
    ------
    UnclearError
        Where the numbers can be in several units.
    """
    values = block.rows.column(frequency).values
    unit = plausible.frequency_unit(values)
    where = named(block.headings, [frequency])
    if not unit:
        raise UnclearError(f"{where}: the unit of frequency is not stated and not clear")
    text = f"{where}: no unit of frequency is given, {unit} is assumed from the numbers"
    return unit, Notice("frequency-unit-assumed", text)


def _refuse_units(block: Block, meanings: Sequence[Meaning]) -> None:
    """Refuse lists of one reading a unit: each row names another sweep."""
    for column, meaning in enumerate(meanings):
        is_text = block.rows.column(column).is_text
        if meaning.role is Role.TRACE and is_text.all() and _all_differ(_cells(block, column)):
            raise UnclearError(
                f"{named(block.headings, [column])} names a different sweep in each row: single "
                "values, not a sweep",
                "open a sweep of one antenna; to read it anyway, choose the columns",
            )


def _refuse_spots(block: Block, frequency: int, values: FloatArray) -> None:
    """Refuse lists of one reading a band, each row with a name of its own."""
    found = plausible.finite(values)
    if found.size > _MOST_SPOTS or found.size < 2 or not (found > 0).all():
        return
    if (found[1:] < _SPOT_STEP * found[:-1]).any():
        return
    for column in range(block.rows.width):
        if block.rows.column(column).is_text.all() and _all_differ(_cells(block, column)):
            raise UnclearError(
                f"{named(block.headings, [frequency])}: frequencies are far apart and each row has "
                "a name of its own: single values, not a sweep",
                "open a sweep of one antenna; to read it anyway, choose the columns",
            )


def _all_differ(cells: Sequence[str]) -> bool:
    return len(set(cells)) == len(cells)


def _cells(block: Block, column: int) -> list[str]:
    rows = (block.rows.cells(row) for row in range(block.rows.lines.size))
    return [cells[column] if column < len(cells) else "" for cells in rows]


def _trace(block: Block, meanings: Sequence[Meaning], frequency: FloatArray) -> int | None:
    """A column that says which sweep a row belongs to, where frequencies come several times."""
    steps = np.diff(plausible.finite(frequency))
    if not (steps <= 0).any() or not (steps >= 0).any():
        return None
    columns = [i for i, meaning in enumerate(meanings) if meaning.role is Role.TRACE]
    columns += [
        i
        for i, meaning in enumerate(meanings)
        if meaning.role is Role.UNKNOWN and block.rows.column(i).is_text.all()
    ]
    for column in columns:
        counts = Counter(_cells(block, column)).values()
        if len(counts) > 1 and min(counts) > 1:
            return column
    return None


def _without_frequency(block: Block, meanings: Sequence[Meaning]) -> UnclearError:
    for column, meaning in enumerate(meanings):
        is_text = block.rows.column(column).is_text
        if meaning.role is Role.FREQUENCY and is_text.any():
            row = int(np.argmax(is_text))
            cell = block.rows.cells(row)[column]
            reason, advice = text_problem(cell, named(block.headings, [column]))
            line = int(block.rows.lines[row])
            return UnclearError(reason, advice, line=line, can_be_sweep=False)
    headings = ", ".join(shown(heading) for heading in block.headings[:6])
    more = ", ..." if len(block.headings) > 6 else ""
    reason = f"no column is called frequency: {headings}{more}"
    can_be_sweep = any(_can_be_frequency(block, meanings, i) for i in range(len(meanings)))
    return UnclearError(reason, NO_SWEEP, can_be_sweep=can_be_sweep)


def _can_be_frequency(block: Block, meanings: Sequence[Meaning], column: int) -> bool:
    """Whether a column of unknown meaning rises or falls all along and stays above 0."""
    if meanings[column].role not in (Role.UNKNOWN, Role.FREQUENCY):
        return False
    found = block.rows.column(column)
    values = plausible.finite(found.values)
    return found.is_numeric and bool((values > 0).all()) and _is_steady(block, column)


def _by_numbers(block: Block) -> Decision:
    """Plan of rows without headings, where their numbers can only be one thing."""
    meanings = tuple(map(meaning_of, block.headings))
    numeric = [i for i in range(block.rows.width) if block.rows.column(i).is_numeric]
    if len(numeric) < 2 or not any(_can_be_frequency(block, meanings, i) for i in numeric):
        raise UnclearError(
            "no headings, and no column of numbers that rises as frequencies do",
            NO_SWEEP,
            can_be_sweep=False,
        )
    guess = best_guess(block)
    columns = [block.rows.column(i).values for i in numeric]
    if (
        guess is not None
        and numeric == [0, 1, 2] == list(range(block.rows.width))
        and guess.frequency == 0
        and plausible.frequency_unit(columns[0]) == "Hz"
        and plausible.is_real_and_imaginary(columns[1], columns[2])
    ):
        text = (
            "no headings: read as frequency in Hz, real and imaginary part of the reflection, "
            "because of the numbers"
        )
        return Decision((replace(guess, unit="Hz"),), (Notice("columns-assumed", text),))
    raise UnclearError("the columns have no headings", guess=guess)
