"""What a picture leaves out for want of room, and how high it would have to be to show all."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.printing.table_part import names_height_mm
from fairlead.core.document.picture_request import LARGEST_MM

if TYPE_CHECKING:
    from fairlead.app.printing.table_part import TablePlan

_NAMED = 3


@dataclass(frozen=True, slots=True)
class Missing:
    """Sweeps that are not drawn because the legend has no room for them.

    Attributes
    ----------
    count, of : int
    enough_mm : float or None
        The height of a picture of this width that shows all; None where there is none, or where
        the picture is only a part of a page.
    """

    count: int
    of: int
    enough_mm: float | None

    @property
    def remark(self) -> str:
        """What a reader of the picture must know."""
        advice = "" if self.enough_mm is None else f"; a height of {self.enough_mm:g} mm shows all"
        return f"{self.count} of {self.of} sweeps have no room here and are not drawn{advice}."


def needed_height_mm(
    rows: int, width_mm: float, others_mm: float, least_plots: tuple[float, float], share: float
) -> float | None:
    """The least height within the margins, in whole millimetres, whose legend holds so many rows.

    ``others_mm`` is what title, text and gaps take. The legend may take its ``share`` of the page,
    and must leave the plots so many millimetres, or that share of the page if it is less.
    """
    table_mm = names_height_mm(rows, width_mm)
    least_mm, least_share = least_plots
    beside_plots_mm = table_mm + others_mm
    height_mm = max(
        table_mm / share, min(beside_plots_mm + least_mm, beside_plots_mm / (1 - least_share))
    )
    # Rounding must not take the last row.
    whole_mm = float(math.ceil(height_mm + 0.01))
    return whole_mm if whole_mm <= LARGEST_MM else None


def missing_columns(plan: TablePlan) -> list[str]:
    """The figures for which the table has no room, as a short remark; none if it has all."""
    # Both edges have the same name.
    names = list(dict.fromkeys(column.name for column in plan.left_out_columns))
    if not names:
        return []
    if len(names) > _NAMED + 1:
        names = [*names[:_NAMED], f"{len(names) - _NAMED} more figures"]
    listed = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
    return [f"No room in the table for {listed}."]
