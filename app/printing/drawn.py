"""What the plot over frequency draws of a bench, for views that depend on more than each sweep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.printing.view_range import matched_view
from fairlead.core.comparison.viewed import needs_bench, viewed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench
    from fairlead.core.views.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the plot over frequency draws.

    Attributes
    ----------
    quantity : Quantity
        Made for the reference where it compares with one.
    band : Band or None
        None where none is shown.
    view_hz : tuple of float
    analyses : mapping of int to Analysis, or None
        By the key of the entry; None where each sweep is drawn as it is.
    remarks : tuple of str
        What is not drawn, and why.
    """

    quantity: Quantity
    band: Band | None
    view_hz: tuple[float, float]
    analyses: Mapping[int, Analysis] | None = None
    remarks: tuple[str, ...] = ()

    @classmethod
    def of(
        cls,
        bench: Bench,
        analyses: Analyses,
        quantity: Quantity,
        band: Band | None,
        view_hz: tuple[float, float],
    ) -> Drawn:
        """Of a quantity with or without need of the rest of the bench."""
        if not needs_bench(quantity):
            return cls(quantity, band, view_hz)
        found = viewed(bench, analyses, quantity)
        said = tuple(f"{line[0].upper()}{line[1:]}." for line in found.remarks(bench))
        if quantity.is_scaled:
            view_hz = matched_view(view_hz, found.drawn)
            band = None
        return cls(found.quantity, band, view_hz, found.drawn, said)
