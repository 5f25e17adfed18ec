"""Readings typed from a meter: frequency and SWR, or frequency with forward and reflected power.

What comes out is a scalar sweep: a meter shows no phase.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ValueTextError
from fairlead.core.reading.tables.cells import find_layout, split
from fairlead.core.reading.tables.plan import Kind
from fairlead.core.reading.tables.vocabulary import UNITS_W
from fairlead.core.reflection import magnitude_from_swr
from fairlead.core.sweep import ScalarSweep
from fairlead.core.units import format_frequency, parse_frequency_hz, parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

HEADINGS = {
    Kind.SWR: ("Frequency", "SWR"),
    Kind.POWER: ("Frequency", "Forward power", "Reflected power"),
}
"""Kinds of readings that can be typed, with the names of their cells."""

_INFINITE = ("inf", "infinite", "infinity", "∞")
_POWER = re.compile(r"([^A-Za-z]*?)\s*([A-Za-z]*)")
_UNITS_W = {unit.casefold(): watts for unit, watts in UNITS_W.items()}
# A unit behind a blank belongs to the number before it.
_LOOSE_UNIT = re.compile(r"(?<=[0-9])[ \t]+(?=(?:[kmg]?hz|m?w|dbm)\b)", re.IGNORECASE)
_STRONGEST_DBM = 1000.0


class TypedError(ValueTextError):
    """A typed cell that is no reading.

    Parameters
    ----------
    row : int or None
        Index of the row from 0; None where it is about all rows.
    column : int
        Index of the cell in its row.
    reason, advice : str
        See `FairleadError`; the reason already names row and cell.
    """

    def __init__(self, row: int | None, column: int, reason: str, advice: str) -> None:
        super().__init__(reason, advice)
        self.row = row
        self.column = column


def typed_sweep(
    rows: Sequence[tuple[str, ...]], kind: Kind = Kind.SWR, z0_ohm: float = 50.0
) -> ScalarSweep:
    """The sweep of typed readings, in any order.

    Parameters
    ----------
    rows : sequence of tuple of str
        Frequency and SWR, or frequency, forward and reflected power, as typed: point or comma,
        units or none (frequencies as in `units.parse_frequency_hz`, powers in watts).
        Rows of empty cells are skipped.
    kind : Kind
        `Kind.SWR` or `Kind.POWER`.
    z0_ohm : float
        Reference impedance of the meter.

    Raises
    ------
    TypedError
        For a cell that cannot be read, an SWR below 1, more power back than was sent, a frequency
        given twice, or fewer than two rows. Names row and cell.
    """
    found: dict[float, tuple[int, float]] = {}
    for row, texts in enumerate(rows):
        cells = [text.strip() for text in texts]
        if not any(cells):
            continue
        frequency_hz, magnitude = _reading(cells, kind, row)
        if frequency_hz in found:
            raise TypedError(
                row,
                0,
                f"row {row + 1}: {format_frequency(frequency_hz)} is already in row "
                f"{found[frequency_hz][0] + 1}",
                "keep one of the two readings",
            )
        found[frequency_hz] = (row, magnitude)
    if len(found) < 2:
        raise TypedError(None, 0, "fewer than 2 readings", "type at least 2 rows")
    frequencies = sorted(found)
    return ScalarSweep(
        np.array(frequencies), np.array([found[hz][1] for hz in frequencies]), z0_ohm
    )


def pasted_rows(text: str) -> list[tuple[str, ...]]:
    """Rows of cells of pasted text, from a spreadsheet, a message or a list.

    Tabs, semicolons, commas or blanks between the cells; a first line of headings is left out.
    """
    lines = [_LOOSE_UNIT.sub("", line.strip()) for line in text.splitlines()]
    lines = [line for line in lines if line]
    layout = find_layout(lines)
    usual = layout.separator if layout is not None else ""
    rows = [tuple(split(line, _separator_of(line, usual))) for line in lines]
    if rows and not any(map(str.isdigit, "".join(rows[0]))):
        rows = rows[1:]
    return rows


def _separator_of(line: str, usual: str) -> str:
    """What parts the cells of a line: what does so elsewhere, or a mark that is no decimal one."""
    return next((mark for mark in (usual, "\t", ";") if mark in line), "")


def _reading(cells: Sequence[str], kind: Kind, row: int) -> tuple[float, float]:
    """Frequency in Hz and |G| of one row."""
    names = HEADINGS[kind]
    texts = [*cells, *[""] * len(names)]
    for column, name in enumerate(names):
        if not texts[column]:
            raise TypedError(
                row, column, f"row {row + 1}: {name} is empty", "type it, or clear the row"
            )
    if any(texts[len(names) :]):
        raise TypedError(
            row,
            len(names),
            f"row {row + 1}: more than {len(names)} cells",
            f"type {', '.join(names)}",
        )
    try:
        column = 0
        frequency_hz = parse_frequency_hz(texts[0])
        column = 1
        if kind is Kind.SWR:
            return frequency_hz, _magnitude(texts[1])
        forward_w = _power_w(texts[1], names[1])
        column = 2
        reflected_w = _power_w(texts[2], names[2])
    except ValueTextError as error:
        raise TypedError(
            row, column, f"row {row + 1}, {names[column]}: {error.reason}", error.advice
        ) from None
    return frequency_hz, _magnitude_of_powers(forward_w, reflected_w, row)


def _magnitude(text: str) -> float:
    """|G| of a typed SWR: "1.5", "1,5", "1.5:1" or "inf"."""
    number = re.sub(r"\s*:\s*1$", "", text)
    ratio = math.inf if number.casefold() in _INFINITE else parse_number(number, "the SWR")
    if ratio < 1:
        raise ValueTextError(f"{text} is not an SWR", "an SWR is at least 1")
    return float(magnitude_from_swr(ratio))


def _power_w(text: str, name: str) -> float:
    match = _POWER.fullmatch(text)
    unit = match[2].casefold() if match else ""
    if match is None or (unit and unit not in (*_UNITS_W, "dbm")):
        raise ValueTextError(
            f'"{text}" is not a power', "write for example 100 W, 500 mW or 20 dBm"
        )
    value = parse_number(match[1], name.lower())
    if unit == "dbm" and abs(value) <= _STRONGEST_DBM:
        return float(1e-3 * 10 ** (value / 10))
    if unit == "dbm":
        raise ValueTextError(f"{text} is not a power", "20 dBm is 100 mW")
    if value < 0:
        raise ValueTextError(f"{text} is below 0", "a power is 0 or more")
    return value * _UNITS_W.get(unit, 1.0)


def _magnitude_of_powers(forward_w: float, reflected_w: float, row: int) -> float:
    """|G| = sqrt(reflected / forward)."""
    if forward_w == 0:
        raise TypedError(
            row, 1, f"row {row + 1}: no forward power", "without power there is nothing to read"
        )
    if reflected_w > forward_w:
        raise TypedError(
            row,
            2,
            f"row {row + 1}: more power is reflected than forward",
            "check whether the two are swapped",
        )
    return math.sqrt(reflected_w / forward_w)
