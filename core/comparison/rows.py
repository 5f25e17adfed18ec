"""What changed against a reference sweep."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.figures import Figures, figures_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench, Entry
    from fairlead.core.uncertainty.interval import Intervals


@dataclass(frozen=True, slots=True)
class Change:
    """Change of a sweep's figures against the reference; None where either does not exist.

    A scalar sweep keeps its own reference impedance. Against a reference stated at another one
    nothing can be said: all is None.

    Attributes
    ----------
    best_match_shift_hz : float or None
        Positive: the best match is higher than the reference's. None also if either best match
        lies at the end of its sweep, because then its true place is unknown.
    best_match_shift_percent : float or None
        The same in per cent of the reference's best match.
    best_match_swr_change, worst_swr_change : float or None
        Difference of the SWR values; None if either is infinite.
    usable_width_change_hz : float or None
    q_ratio : float or None
        Q of this sweep divided by the reference's.
    """

    best_match_shift_hz: float | None
    best_match_shift_percent: float | None
    best_match_swr_change: float | None
    usable_width_change_hz: float | None
    worst_swr_change: float | None
    q_ratio: float | None


def change(own: Figures, reference: Figures) -> Change:
    """Change against a reference, both taken in the same band and at the same limit."""
    if own.z0_ohm != reference.z0_ohm:
        return Change(None, None, None, None, None, None)
    shift_hz = None
    if not (own.best_match_at_end or reference.best_match_at_end):
        shift_hz = _difference(own.best_match_hz, reference.best_match_hz)
    percent = None
    if shift_hz is not None and reference.best_match_hz is not None:
        percent = 100 * shift_hz / reference.best_match_hz
    return Change(
        best_match_shift_hz=shift_hz,
        best_match_shift_percent=percent,
        best_match_swr_change=_difference(own.best_match_swr, reference.best_match_swr),
        usable_width_change_hz=_difference(own.usable_width_hz, reference.usable_width_hz),
        worst_swr_change=_difference(own.worst_swr, reference.worst_swr),
        q_ratio=None if own.q is None or reference.q is None else own.q / reference.q,
    )


def _difference(value: float | None, reference: float | None) -> float | None:
    if value is None or reference is None or float("inf") in (value, reference):
        return None
    return value - reference


@dataclass(frozen=True, slots=True)
class Row:
    """One sweep of a bench with its figures.

    Attributes
    ----------
    entry : Entry
    analysis : Analysis
        At the bench's reference impedance.
    figures : Figures
    change : Change or None
        Against the reference; None for the reference itself.
    intervals : mapping of str to Intervals
        By the figure's JSON key; empty until they were worked out.
    """

    entry: Entry
    analysis: Analysis
    figures: Figures
    change: Change | None
    intervals: Mapping[str, Intervals] = field(default_factory=dict)

    @property
    def is_reference(self) -> bool:
        """Whether the others are compared with this one."""
        return self.change is None


def compare(bench: Bench, analyses: Analyses | None = None) -> tuple[Row, ...]:
    """Figures and changes of every sweep of a bench, in the bench's order.

    Without ``analyses`` everything is worked out now, and forgotten.
    """
    known = Analyses() if analyses is None else analyses
    analysed = [known.of(entry.sweep, bench.z0_ohm) for entry in bench.entries]
    found = [figures_of(one, bench.band, bench.limit_swr) for one in analysed]
    keys = [entry.key for entry in bench.entries]
    if bench.reference_key is None:
        return ()
    reference = found[keys.index(bench.reference_key)]
    return tuple(
        Row(
            entry,
            analysis,
            own,
            None if entry.key == bench.reference_key else change(own, reference),
        )
        for entry, analysis, own in zip(bench.entries, analysed, found, strict=True)
    )
