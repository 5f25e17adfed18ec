"""A view of a bench: the quantity bound to its reference, and the sweeps as they are drawn.

Most views need none of this, because a sweep has its SWR by itself. A change needs the reference at
the same end of the feed line, and the view with aligned best matches needs each sweep's own best
match in the band.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.rows import OTHER_IMPEDANCE, OTHER_PLANE
from fairlead.core.errors import FairleadError
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.transform.step import is_comparable
from fairlead.core.views.shape import scaled_to_match

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.sweep import AnySweep
    from fairlead.core.views.quantity import Quantity

NO_PHASE = "no phase measured"
_NO_PHASE_OF_REFERENCE = "the reference has no phase"
_REFERENCE_ALONE = "nothing to compare: only the reference is shown"
_NO_MATCH = "the best match is not known"
_MATCH_BEYOND = "the best match lies beyond the end of the sweep"


@dataclass(frozen=True, slots=True, eq=False)
class Viewed:
    """What a plot over frequency draws.

    Attributes
    ----------
    chosen : Quantity
        As in the registry.
    quantity : Quantity
        The same, bound to the reference if it compares with one.
    drawn : mapping of int to Analysis
        The sweep as drawn, with as many points as the entry's sweep, by the key of the entry.
        Sweeps that cannot be drawn are left out.
    why_not : mapping of int to str
        The reasons, by the key of the entry.
    """

    chosen: Quantity
    quantity: Quantity
    drawn: Mapping[int, Analysis]
    why_not: Mapping[int, str]
    _reference: Analysis | None
    _scaled: Mapping[int, tuple[AnySweep, float, AnySweep]]
    _held: tuple[AnySweep, ...]

    def remarks(self, bench: Bench) -> tuple[str, ...]:
        """One line for each reason why visible sweeps are missing, or if nothing is compared."""
        visible = [entry.key for entry in bench.visible]
        reasons = Counter(self.why_not[key] for key in visible if key in self.why_not)
        lines = [
            f"{reason}: {'1 sweep is' if count == 1 else f'{count} sweeps are'} not shown here"
            for reason, count in reasons.items()
        ]
        if self.chosen.against is not None and visible == [bench.reference_key]:
            lines.append(_REFERENCE_ALONE)
        return tuple(lines)


def needs_bench(quantity: Quantity) -> bool:
    """Whether a view depends on more than the sweep drawn."""
    return quantity.against is not None or quantity.is_scaled


def viewed(
    bench: Bench, analyses: Analyses, quantity: Quantity, before: Viewed | None = None
) -> Viewed:
    """Every sweep of a bench as it is drawn.

    Parameters
    ----------
    bench : Bench
    analyses : Analyses
    quantity : Quantity
        As in the registry.
    before : Viewed or None
        Of an earlier bench; returned itself if nothing differs, and reused where nothing changed.
    """
    if before is not None and before.chosen is not quantity:
        before = None
    make = _scaled if quantity.is_scaled else _compared
    now = make(bench, analyses, quantity, before)
    if (
        before is not None
        and now.quantity is before.quantity
        and now.why_not == before.why_not
        and now.drawn.keys() == before.drawn.keys()
        and all(now.drawn[key] is before.drawn[key] for key in now.drawn)
    ):
        return before
    return now


def _compared(bench: Bench, analyses: Analyses, chosen: Quantity, before: Viewed | None) -> Viewed:
    """The sweeps, those at the other end of a known line converted to the reference's end."""
    reference = bench.reference
    if reference is None or chosen.against is None:
        return Viewed(chosen, chosen, {}, {}, None, {}, ())
    against = analyses.of(reference.sweep, bench.z0_ohm)
    if before is not None and before._reference is against:  # noqa: SLF001 - its own class
        quantity = before.quantity
    else:
        quantity = chosen.against(against)
    drawn, why_not, held = {}, {}, []
    for entry in bench.entries:
        sweep = _at_plane_of(entry, reference)
        if sweep is None:
            why_not[entry.key] = OTHER_PLANE
            continue
        analysis = analyses.of(sweep, bench.z0_ohm)
        reason = _why_not_compared(chosen, analysis, against)
        if reason:
            why_not[entry.key] = reason
        else:
            held.append(sweep)
            drawn[entry.key] = analysis
    return Viewed(chosen, quantity, drawn, why_not, against, {}, tuple(held))


def _at_plane_of(entry: Entry, reference: Entry) -> AnySweep | None:
    plane = reference.seen_at
    if plane is None or is_comparable(entry.seen_at, plane):
        return entry.sweep
    return entry.sweep_at(plane)


def compared_with(bench: Bench, entry: Entry) -> Entry | None:
    """The reference, where a sweep is compared with it as it is seen.

    None for the reference itself, and for a sweep that is moved along a line first: what is known
    of its points holds where it is seen.
    """
    reference = bench.reference
    if reference is None or reference.key == entry.key:
        return None
    return reference if _at_plane_of(entry, reference) is entry.sweep else None


def _why_not_compared(chosen: Quantity, own: Analysis, reference: Analysis) -> str:
    """Why there is no change of a sweep; empty if there is."""
    if not chosen.occurs_in(own):
        return NO_PHASE
    if not chosen.occurs_in(reference):
        return _NO_PHASE_OF_REFERENCE
    return OTHER_IMPEDANCE if own.z0_ohm != reference.z0_ohm else ""


def _scaled(bench: Bench, analyses: Analyses, chosen: Quantity, before: Viewed | None) -> Viewed:
    """Each sweep with its frequencies divided by its own best match in the band."""
    known = before._scaled if before is not None else {}  # noqa: SLF001 - its own class
    drawn, why_not = {}, {}
    scaled: dict[int, tuple[AnySweep, float, AnySweep]] = {}
    for entry in bench.entries:
        own = figures_or_reasons(
            analyses.of(entry.sweep, bench.z0_ohm), bench.band, bench.limit_swr
        )
        if own.best_match_hz is None or own.best_match_at_end:
            why_not[entry.key] = _NO_MATCH if own.best_match_hz is None else _MATCH_BEYOND
            continue
        kept = known.get(entry.key)
        if kept is None or kept[:2] != (entry.sweep, own.best_match_hz):
            try:
                made = scaled_to_match(entry.sweep, own.best_match_hz)
            except FairleadError:
                why_not[entry.key] = _NO_MATCH
                continue
            kept = entry.sweep, own.best_match_hz, made
        scaled[entry.key] = kept
        drawn[entry.key] = analyses.of(kept[2], bench.z0_ohm)
    return Viewed(chosen, chosen, drawn, why_not, None, scaled, ())
