"""Reads tables of readings: the front of `fairlead.core.reading.tables`.

Codes of the notices: block-left-out, columns-assumed, decibel-sign, decimal-mark-assumed,
duplicate-frequencies, frequency-implausible, frequency-unit-assumed, mixed-row-lengths,
nothing-measured, other-port, points-far-apart, points-left-out, points-out-of-order,
quantity-assumed, reference-not-50, reflection-above-one, sign-missing, sweeps-split,
swr-at-least, swr-below-one, zero-frequency-left-out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading.clock import taken_at
from fairlead.core.reading.label import label_of
from fairlead.core.reading.reading import Reading
from fairlead.core.reading.tables.blocks import scan
from fairlead.core.reading.tables.convert import USUAL_Z0_OHM, convert
from fairlead.core.reading.tables.guess import decide
from fairlead.core.reading.tables.preamble import z0_ohm_of
from fairlead.core.reading.tables.preview import NeedsColumnsError, preview_of
from fairlead.core.reading.tables.unclear import NO_SWEEP, UnclearError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.reading.tables.blocks import Block, Table
    from fairlead.core.reading.tables.convert import Found
    from fairlead.core.reading.tables.plan import ColumnPlan
    from fairlead.core.reading.tables.preview import TablePreview


def parse(
    lines: Sequence[str], file: str, columns: ColumnPlan | None = None
) -> tuple[Reading, ...] | None:
    """Read the content of one table.

    Parameters
    ----------
    lines : sequence of str
        As `fairlead.core.reading.text.to_lines` gives them.
    file : str
        Path as the user gave it, for messages and for the label.
    columns : ColumnPlan, optional
        Which column is what; without it headings and numbers have to identify them.

    Returns
    -------
    tuple of Reading or None
        None where the text holds no rows of numbers.

    Raises
    ------
    NeedsColumnsError
        Where a person has to say which column is what.
    ReadError
        Where the table is no sweep, or holds values that cannot be.
    """
    table = scan(lines, file)
    return None if table is None else sweeps_of(table, columns)


def preview(lines: Sequence[str], file: str) -> TablePreview | None:
    """What to show of a table to choose its columns; None where there are no rows of numbers.

    Raises
    ------
    ReadError
        Where the table is too large, or its numbers are written in two ways.
    """
    table = scan(lines, file)
    return None if table is None else preview_of(table)


def sweeps_of(table: Table, columns: ColumnPlan | None = None) -> tuple[Reading, ...]:
    """Sweeps of a table that is taken apart already; parameters and errors as in `parse`."""
    z0_ohm = z0_ohm_of(table.preamble)
    found: list[Found] = []
    failed: list[tuple[Block, UnclearError | ReadError]] = []
    for block in table.blocks:
        try:
            found += _found(block, columns, table.file, z0_ohm)
        except (UnclearError, ReadError) as error:
            failed.append((block, error))
    if not found:
        raise _error(table, *max(failed, key=lambda item: item[0].rows.lines.size))
    notices = tuple(_left_out(block, error) for block, error in failed)
    at = taken_at(table.preamble)
    return tuple(
        Reading(one.sweep, label, table.file, (*one.notices, *notices), at)
        for one, label in zip(found, _labels(found, label_of(table.file)), strict=True)
    )


def _found(
    block: Block, columns: ColumnPlan | None, file: str, z0_ohm: float | None
) -> list[Found]:
    if columns is not None:
        return convert(block, columns, file, z0_ohm)
    decision = decide(block, z0_ohm or USUAL_Z0_OHM)
    return [
        found.with_notices(decision.notices)
        for plan in decision.plans
        for found in convert(block, plan, file, z0_ohm)
    ]


def _error(table: Table, block: Block, error: UnclearError | ReadError) -> ReadError:
    if isinstance(error, ReadError):
        return error
    if error.guess is None:
        advice = error.advice or NO_SWEEP
        return ReadError(table.file, error.reason, advice, error.line or block.line)
    return NeedsColumnsError(preview_of(table, error.guess), error.reason, block.line)


def _left_out(block: Block, error: UnclearError | ReadError) -> Notice:
    count = block.rows.lines.size
    rows = "1 row" if count == 1 else f"{count} rows"
    text = f"{rows} from line {block.rows.lines[0]} on left out: {error.reason}"
    return Notice("block-left-out", text)


def _labels(found: Sequence[Found], stem: str) -> list[str]:
    """The file's name, and behind it what tells its sweeps apart, or that it is not port 1."""
    ports = {one.port for one in found}
    if len(ports) == 1 and max(ports) > 1:
        stem = f"{stem} S{max(ports)}{max(ports)}"
    if len(found) == 1:
        return [stem]
    # A title that stands above all of them tells nothing apart.
    all_names = [(*one.names, f"S{one.port}{one.port}") for one in found]
    columns = zip(*all_names, strict=True)
    telling = [index for index, names in enumerate(columns) if len(set(names)) > 1]
    names = [" ".join(filter(None, (own[i] for i in telling))) for own in all_names]
    if all(names) and len(set(names)) == len(names):
        return [f"{stem} {name}" for name in names]
    return [
        f"{stem} {name} ({number})" if name else f"{stem} {number}"
        for number, name in enumerate(names, 1)
    ]
