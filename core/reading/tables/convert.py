"""A block of rows and a plan become sweeps, with everything odd about them said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading import tidy
from fairlead.core.reading.number import shown
from fairlead.core.reading.tables.gather import gather, match_of, unit_of
from fairlead.core.reading.tables.guess import assumed_unit
from fairlead.core.reading.tables.headings import meaning_of
from fairlead.core.reading.tables.splitting import SweepPoints, split_by_breaks, split_by_names
from fairlead.core.reading.tables.unclear import UnclearError, named, text_problem
from fairlead.core.reading.tables.vocabulary import UNITS_HZ
from fairlead.core.sweep import ScalarSweep, Sweep

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.arrays import BoolArray, FloatArray, IntArray
    from fairlead.core.reading.tables.blocks import Block
    from fairlead.core.reading.tables.gather import Gathered
    from fairlead.core.reading.tables.plan import ColumnPlan, Quantity
    from fairlead.core.sweep import AnySweep

USUAL_Z0_OHM = 50.0
_FAR_APART = 1.15
_LIMITS = (">", "<", "≥", "≤")
# Below the lowest amateur band (135.7 kHz, ITU Radio Regulations) commas were thousands.
_LOWEST_ANTENNA_HZ = 100e3


@dataclass(frozen=True, slots=True)
class Found:
    """One sweep of a table.

    Attributes
    ----------
    sweep : Sweep or ScalarSweep
    names : tuple of str
        What the column, and what a title or a naming column, call it; may be empty texts.
    notices : tuple of Notice
    port : int
        2 for S22.
    """

    sweep: AnySweep
    names: tuple[str, str]
    notices: tuple[Notice, ...]
    port: int = 1

    def with_notices(self, notices: Iterable[Notice]) -> Found:
        """The same with further notices in front."""
        return replace(self, notices=(*notices, *self.notices))


def convert(
    block: Block, plan: ColumnPlan, file: str, stated_z0_ohm: float | None = None
) -> list[Found]:
    """All sweeps that a plan finds in a block.

    Parameters
    ----------
    block : Block
    plan : ColumnPlan
    file : str
        Name for error messages.
    stated_z0_ohm : float, optional
        What the lines above the table say, where the plan says nothing.

    Raises
    ------
    ReadError
        Where a column does not exist, holds text, or values that cannot be, or where fewer than
        two points are left.
    """
    if max(plan.columns) >= block.rows.width:
        raise ReadError(
            file,
            f"there is no column {max(plan.columns) + 1}: the rows have {block.rows.width}",
            "choose other columns",
            block.line,
        )
    return [
        found
        for quantity in plan.quantities
        for found in _Conversion(block, plan, quantity, file, stated_z0_ohm).run()
    ]


class _Conversion:
    """One quantity of a block on its way to sweeps."""

    def __init__(
        self,
        block: Block,
        plan: ColumnPlan,
        quantity: Quantity,
        file: str,
        stated_z0_ohm: float | None,
    ) -> None:
        self._block = block
        self._plan = plan
        self._quantity = quantity
        self._file = file
        self._z0_ohm = plan.z0_ohm or stated_z0_ohm or USUAL_Z0_OHM
        self._lines = block.rows.lines
        self._has_phase = quantity.kind.has_phase
        self._notices: list[Notice] = []

    def run(self) -> list[Found]:
        """The sweeps."""
        for column in (self._plan.frequency, *self._quantity.columns):
            self._refuse_text(column)
        gathered = gather(self._block, self._plan.frequency, self._quantity)
        self._note_rows(gathered)
        if self._port > 1:
            text = f"S{self._port}{self._port} is what port {self._port} reflects, not port 1"
            self._notices.append(Notice("other-port", text))
        unit = self._frequency_unit()
        match = match_of(self._block, self._quantity, gathered, self._z0_ohm, self._file)
        self._notices += match.notices
        self._has_phase = self._quantity.kind.has_phase and not match.is_unsigned
        series = tidy.Series(
            self._in_hz(gathered, unit),
            match.reflection,
            self._lines[gathered.rows],
            gathered.is_bound if gathered.is_bound.any() else None,
        )
        above, zero_notices = tidy.above_zero(series)
        self._notices += zero_notices
        tidy.refuse_endless(above, self._file)
        kept = gathered.rows[series.frequency_hz > 0]
        parts = self._parts(above.frequency_hz, kept)
        unit_note = f"{named(self._block.headings, [self._plan.frequency])} is read as {unit}"
        if len(parts) == 1:
            return self._sweeps([(parts[0].name, above)], unit_note)
        return self._sweeps([(part.name, above.where(part.points)) for part in parts], unit_note)

    # -- rows and cells --------------------------------------------------------------------

    def _refuse_text(self, index: int) -> None:
        column = self._block.rows.column(index)
        is_text = column.is_text & self._block.rows.fits([index])
        if is_text.any():
            row = int(np.argmax(is_text))
            cell = self._block.rows.cells(row)[index]
            reason, advice = text_problem(cell, named(self._block.headings, [index]))
            raise ReadError(self._file, reason, advice, int(self._lines[row]))
        if column.other_unit_row >= 0:
            row = column.other_unit_row
            cell = shown(self._block.rows.cells(row)[index])
            raise ReadError(
                self._file,
                (
                    f"{cell} in {named(self._block.headings, [index])} has a different unit from "
                    "the others"
                ),
                "write all cells of a column in one unit",
                int(self._lines[row]),
            )

    def _note_rows(self, gathered: Gathered) -> None:
        width = self._block.rows.width
        self._note_left_out(
            "mixed-row-lengths", ~gathered.has_cells, f"not {width} cells like the others"
        )
        frequency = self._block.rows.column(self._plan.frequency).values
        has_frequency = np.isfinite(frequency[gathered.is_missing]).all()
        columns = [] if has_frequency else [self._plan.frequency]
        where = named(self._block.headings, [*columns, *self._quantity.columns])
        reason = f"no value in {where}{self._limit_in(gathered.is_missing)}"
        self._note_left_out("points-left-out", gathered.is_missing, reason)
        if self._block.rows.numerals.is_assumed:
            text = "commas are taken as decimal marks; they might be marks of thousands"
            self._notices.append(Notice("decimal-mark-assumed", text))
        if self._z0_ohm != USUAL_Z0_OHM:
            text = f"the reference impedance is {self._z0_ohm:g} ohm"
            self._notices.append(Notice("reference-not-50", text))

    def _limit_in(self, missing: BoolArray) -> str:
        """What the first row without a value holds in its place, if it is a limit: "> 10"."""
        rows = np.flatnonzero(missing)[:1].tolist()
        cells = [self._block.rows.cells(row)[c] for row in rows for c in self._quantity.columns]
        limit = next((cell for cell in cells if cell.startswith(_LIMITS)), "")
        return f', only a limit ("{limit}")' if limit else ""

    def _note_left_out(self, code: str, where: BoolArray, reason: str) -> None:
        count = int(where.sum())
        if count:
            first = "in" if count == 1 else "first in"
            text = (
                f"{count} of {where.size} rows left out, {first} line "
                f"{self._lines[np.argmax(where)]}: {reason}"
            )
            self._notices.append(Notice(code, text))

    # -- frequency -------------------------------------------------------------------------

    def _frequency_unit(self) -> str:
        column = self._plan.frequency
        stated = self._plan.unit or unit_of(self._block, column)
        if stated in UNITS_HZ:
            return stated
        try:
            unit, notice = assumed_unit(self._block, column)
        except UnclearError as error:
            advice = f"say it: frequency={column + 1}:MHz"
            raise ReadError(self._file, error.reason, advice, self._block.line) from None
        self._notices.append(notice)
        return unit

    def _in_hz(self, gathered: Gathered, unit: str) -> FloatArray:
        lines = self._lines[gathered.rows]
        tidy.refuse(gathered.frequency < 0, lines, self._file, "negative frequency")
        frequency_hz = tidy.to_hz(gathered.frequency, UNITS_HZ[unit])
        tidy.refuse_odd_frequencies(frequency_hz, lines, self._file)
        self._refuse_doubtful_marks(frequency_hz)
        if frequency_hz.size > 1 and (frequency_hz == frequency_hz[0]).all():
            raise ReadError(
                self._file,
                f"the frequency is {tidy.shown_hz(float(frequency_hz[0]))} in every row: single "
                "values, not a sweep",
                "open a table in which the frequency rises from row to row",
                self._block.line,
            )
        return frequency_hz

    def _refuse_doubtful_marks(self, frequency_hz: FloatArray) -> None:
        """Refuse kHz such as "14,200" where the comma would make them audible."""
        if self._block.rows.numerals.is_assumed and (frequency_hz < _LOWEST_ANTENNA_HZ).all():
            raise ReadError(
                self._file,
                f"commas in {named(self._block.headings, [self._plan.frequency])} could be decimal "
                "commas or thousands separators",
                "write decimal points, and no thousands separators",
                int(self._lines[0]),
            )

    # -- sweeps ----------------------------------------------------------------------------

    def _parts(self, frequency_hz: FloatArray, rows: IntArray) -> list[SweepPoints]:
        trace = self._plan.trace
        if trace is None:
            parts = split_by_breaks(frequency_hz, rows, self._block.breaks, self._block.name)
        else:
            names = [self._block.rows.cells(row) for row in rows.tolist()]
            parts = split_by_names([cells[trace] if trace < len(cells) else "" for cells in names])
        if len(parts) > tidy.MOST_SWEEPS:
            raise ReadError(
                self._file,
                f"more than {tidy.MOST_SWEEPS} sweeps in one table",
                "split the file, or choose other columns",
                self._block.line,
            )
        if len(parts) > 1 and not any(part.name for part in parts):
            text = f"the rows are read as {len(parts)} sweeps"
            self._notices.append(Notice("sweeps-split", text))
        return parts

    def _sweeps(self, parts: list[tuple[str, tidy.Series]], unit_note: str) -> list[Found]:
        """Sweeps of the parts with at least two frequencies; the others are counted."""
        found = []
        parts = [(name, self._with_least(part)) for name, part in parts]
        lone: list[int] = []
        for name, part in parts:
            series, notices = tidy.in_order(part)
            if series.lines.size < 2:
                lone += series.lines.tolist()
                continue
            notices = [*self._notices, *notices, *tidy.oddities(series, unit_note)]
            if series.is_bound is not None and series.is_bound.any():
                notices.append(_beyond_scale(series))
            if (series.frequency_hz[1:] >= _FAR_APART * series.frequency_hz[:-1]).all():
                text = "all frequencies are far apart: what lies between was not measured"
                notices.append(Notice("points-far-apart", text))
            names = (self._name(), name)
            found.append(Found(self._sweep(series), names, tuple(notices), self._port))
        if not found:
            raise ReadError(
                self._file,
                f"only {tidy.counted(len(lone))} with a frequency above 0 Hz and a value",
                "a sweep needs at least 2 frequencies: measure more points",
                self._block.line,
            )
        if lone:
            text = f"{tidy.counted(len(lone))} apart from the sweeps left out, in line {lone[0]}"
            notice = Notice("points-left-out", text)
            found = [replace(f, notices=(*f.notices, notice)) for f in found]
        return found

    def _with_least(self, part: tidy.Series) -> tidy.Series:
        """Points off the scale get the least that they can be: the highest that the meter showed.

        Where it showed nothing, nothing is known of them, and they are left out.
        """
        if part.is_bound is None:
            return part
        magnitude = np.abs(part.reflection)
        is_off = part.is_bound & (magnitude >= 1)
        if not is_off.any():
            return part
        if is_off.all():
            return part.where(~is_off)
        highest = magnitude[~is_off].max()
        return replace(part, reflection=np.where(is_off, highest, part.reflection))

    def _sweep(self, series: tidy.Series) -> AnySweep:
        if self._has_phase:
            return Sweep(series.frequency_hz, series.reflection, self._z0_ohm)
        magnitude = np.abs(series.reflection)
        return ScalarSweep(series.frequency_hz, magnitude, self._z0_ohm, series.is_bound)

    @property
    def _port(self) -> int:
        return meaning_of(self._block.headings[self._quantity.columns[0]]).port

    def _name(self) -> str:
        """What headings call this sweep, apart from the quantity."""
        headings = self._block.headings
        meanings = [meaning_of(headings[column]) for column in self._quantity.columns]
        rest = next((meaning.rest for meaning in meanings if meaning.rest), "")
        ports = {meaning_of(headings[q.columns[0]]).port for q in self._plan.quantities}
        if rest or len(ports) > 1 or len(self._plan.quantities) == 1:
            return rest
        first = self._quantity.columns[0]
        return headings[first] or f"column {first + 1}"


def _beyond_scale(series: tidy.Series) -> Notice:
    is_bound = np.zeros(0, dtype=np.bool_) if series.is_bound is None else series.is_bound
    text = (
        f"SWR beyond the meter's scale at {tidy.counted(int(is_bound.sum()))}, first in line "
        f"{series.lines[np.argmax(is_bound)]}: kept as a lower bound"
    )
    return Notice("swr-at-least", text)
