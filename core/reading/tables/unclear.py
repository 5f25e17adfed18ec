"""The message where headings and numbers do not identify the columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.reading.number import shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.reading.tables.plan import ColumnPlan

NO_SWEEP = "open a table with a column of frequency and one of SWR, return loss or reflection"
_MOST_SHOWN = 6


class UnclearError(Exception):
    """A block that cannot be read without being told how, or that is no sweep.

    Parameters
    ----------
    reason : str
        One line, no full stop.
    advice : str
        What to do where no plan helps; may be empty.
    guess : ColumnPlan, optional
        What to offer first.
    line : int, optional
        Where it shows, if not in the headings.
    can_be_sweep : bool
        False where no choice of columns would make it one.
    """

    def __init__(
        self,
        reason: str,
        advice: str = "",
        guess: ColumnPlan | None = None,
        line: int | None = None,
        *,
        can_be_sweep: bool = True,
    ) -> None:
        super().__init__(reason)
        self.reason = reason
        self.advice = advice
        self.guess = guess
        self.line = line
        self.can_be_sweep = can_be_sweep


def text_problem(cell: str, where: str) -> tuple[str, str]:
    """Reason and advice for a cell that is no number.

    Parameters
    ----------
    cell : str
    where : str
        Its column, as `named` gives it.
    """
    reason = f"{shown(cell)} in {where} is not a number"
    if any(mark in cell for mark in ",.'") and any(map(str.isdigit, cell)):
        return reason, "write decimal points, and no thousands separators"
    return reason, "correct or remove the row, or choose other columns"


def named(headings: Sequence[str], columns: Sequence[int]) -> str:
    """``column 3 'SWR'`` or ``columns 2 and 3``, with headings where there are some."""
    words = [
        f"{column + 1} {shown(headings[column])}" if headings[column] else f"{column + 1}"
        for column in columns[:_MOST_SHOWN]
    ]
    if len(columns) > _MOST_SHOWN:
        words.append(f"{len(columns) - _MOST_SHOWN} more")
    if len(words) == 1:
        return f"column {words[0]}"
    return f"columns {', '.join(words[:-1])} and {words[-1]}"
