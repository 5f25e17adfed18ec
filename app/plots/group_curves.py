"""The groups of a plot: envelope and mean, worked out once for the same sweeps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.group_curves import GroupCurves, group_curves
from fairlead.core.document.groups import mixture

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import Group


@dataclass(frozen=True, slots=True, eq=False)
class DrawnGroup:
    """One visible group with its curves."""

    group: Group
    curves: GroupCurves


class GroupSet:
    """The groups that a plot shows; those of which nothing can be drawn are left out."""

    def __init__(self, analyses: Analyses) -> None:
        self._analyses = analyses
        self._kept: dict[int, tuple[tuple[Analysis, ...], GroupCurves]] = {}
        self._drawn: tuple[DrawnGroup, ...] = ()

    def __iter__(self) -> Iterator[DrawnGroup]:
        """In the order of the bench."""
        return iter(self._drawn)

    def __len__(self) -> int:
        """How many are shown."""
        return len(self._drawn)

    def update(self, bench: Bench) -> None:
        """Take the visible groups of a bench; what is known of unchanged sweeps is kept."""
        kept, drawn = {}, []
        for group in bench.groups:
            if not group.is_visible:
                continue
            entries = [entry for entry in bench.entries if entry.key in group.members]
            own = tuple(self._analyses.of(entry.sweep, bench.z0_ohm) for entry in entries)
            before = self._kept.get(group.key)
            is_same = before is not None and len(before[0]) == len(own)
            if before is not None and is_same:
                is_same = all(a is b for a, b in zip(before[0], own, strict=True))
            curves = before[1] if before is not None and is_same else group_curves(own)
            kept[group.key] = own, curves
            if len(own) > 1 and not curves.why_not and not mixture(entries):
                drawn.append(DrawnGroup(group, curves))
        self._kept, self._drawn = kept, tuple(drawn)
