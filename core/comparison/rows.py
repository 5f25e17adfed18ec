"""What changed against a reference sweep."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.analysis.analyses import Analyses, analysis_or_reason
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.transform.step import is_comparable

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.figures import Figures
    from fairlead.core.soundness.finding import Finding
    from fairlead.core.transform.step import Plane
    from fairlead.core.uncertainty.interval import Intervals

# Shared, so that rows without intervals are equal; never modified.
_NOTHING: Mapping[str, Intervals] = {}
_NO_INTERVALS: Mapping[int, Mapping[str, Intervals]] = {}
_NO_FIGURES: Mapping[int, Figures] = {}
COMPARED = {
    "best_match_shift_hz": "best_match_hz",
    "best_match_shift_percent": "best_match_hz",
    "best_match_swr_change": "best_match_swr",
    "usable_width_change_hz": "usable_width_hz",
    "worst_swr_change": "worst_swr",
    "worst_mismatch_loss_change_db": "worst_mismatch_loss_db",
    "q_ratio": "q",
}
"""The figure that each change compares, both by their JSON keys."""


@dataclass(frozen=True, slots=True)
class Change:
    """Change of a sweep's figures against the reference; None where either does not exist.

    A scalar sweep keeps its own reference impedance. It cannot be compared with a reference stated
    at another one: everything is None.

    Attributes
    ----------
    best_match_shift_hz : float or None
        Positive: the best match is higher than the reference's. None also if either best match
        lies at the end of its sweep, because its true frequency is then unknown.
    best_match_shift_percent : float or None
        The same in per cent of the reference's best match.
    best_match_swr_change, worst_swr_change : float or None
        Difference of the SWR values; None if either is infinite.
    usable_width_change_hz : float or None
    worst_mismatch_loss_change_db : float or None
        Positive: the worst mismatch loss is larger; None if either is infinite.
    q_ratio : float or None
        Q of this sweep divided by the reference's; None at the radio's end of a feed line.
    why_not : str
        The reason if nothing at all can be compared.
    """

    best_match_shift_hz: float | None = None
    best_match_shift_percent: float | None = None
    best_match_swr_change: float | None = None
    usable_width_change_hz: float | None = None
    worst_swr_change: float | None = None
    worst_mismatch_loss_change_db: float | None = None
    q_ratio: float | None = None
    why_not: str = ""


Planes = tuple["Plane | None", "Plane | None"]

OTHER_IMPEDANCE = "stated at a different reference impedance from the reference sweep"
OTHER_PLANE = (
    "not comparable: one is seen at the radio and the other at the feed point, and no feed line "
    "is known between the two"
)


def change(own: Figures, reference: Figures, planes: Planes = (None, None)) -> Change:
    """Change against a reference, both in the same band and at the same limit.

    ``planes`` are the planes at which the two are shown. Sweeps at different ends of a feed line
    are never subtracted; at the radio's end Q is that of line and antenna together, so there is no
    ratio of Q.
    """
    if own.z0_ohm != reference.z0_ohm:
        return Change(why_not=OTHER_IMPEDANCE)
    if not is_comparable(*planes):
        return Change(why_not=OTHER_PLANE)
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
        worst_swr_change=_of_known("worst_swr", own, reference),
        worst_mismatch_loss_change_db=_of_known("worst_mismatch_loss_db", own, reference),
        q_ratio=_ratio(own.q, reference.q) if "radio" not in planes else None,
    )


def _of_known(key: str, own: Figures, reference: Figures) -> float | None:
    """The difference of a figure; None where one of the two is only a lower bound."""
    if key in own.at_least | reference.at_least:
        return None
    return _difference(getattr(own, key), getattr(reference, key))


def _ratio(value: float | None, reference: float | None) -> float | None:
    return None if value is None or reference is None else value / reference


def _difference(value: float | None, reference: float | None) -> float | None:
    if value is None or reference is None or float("inf") in (value, reference):
        return None
    return value - reference


def half_widths(
    found: Change,
    own: Figures,
    reference: Figures,
    own_intervals: Mapping[str, Intervals],
    reference_intervals: Mapping[str, Intervals],
) -> dict[str, float]:
    """Half width of the interval of each change, by its key and in its unit.

    Noise of two sweeps is independent, so its half widths add in quadrature. Bounds of the
    analyzer's error are not independent: if one is known, the half widths are simply added. Two
    sweeps are not assumed to share a calibration, and with it the error.

    If neither sweep has an interval for a figure, its change has no half width; if only one has, it
    is a lower bound.
    """
    known: dict[str, float] = {}
    for key, figure in COMPARED.items():
        if getattr(found, key) is None:
            continue
        pair = own_intervals.get(figure), reference_intervals.get(figure)
        if key == "q_ratio" and own.q and reference.q:
            half = _combined(pair, (1 / own.q, 1 / reference.q))
            ratio = own.q / reference.q
            half = None if half is None else half * ratio
        elif key == "best_match_shift_percent" and reference.best_match_hz:
            share = 100 / reference.best_match_hz
            half = _combined(pair, (share, share))
        else:
            half = _combined(pair, (1.0, 1.0))
        if half is not None:
            known[key] = half
    return known


def _combined(
    pair: tuple[Intervals | None, Intervals | None], factors: tuple[float, float]
) -> float | None:
    halves, is_bound = [], False
    for intervals, factor in zip(pair, factors, strict=True):
        found = None if intervals is None else intervals.widest
        if intervals is not None and found is not None:
            is_bound = is_bound or intervals.accuracy is not None
            halves.append(factor * found.half_width)
    if not halves:
        return None
    return sum(halves) if is_bound else math.hypot(*halves)


def unresolved(found: Change, known: Mapping[str, float]) -> tuple[str, ...]:
    """Keys of the changes that are smaller than their half widths."""
    no_change = {"q_ratio": 1.0}
    return tuple(
        key
        for key, half in known.items()
        if abs(getattr(found, key) - no_change.get(key, 0)) < half
    )


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
        By the figure's JSON key; empty until calculated.
    half_widths : mapping of str to float
        Half width of each change, by its JSON key; see `half_widths`.
    unresolved : tuple of str
        JSON keys of the changes that are smaller than that.
    said : tuple of Finding
        Notices of the reader and findings of the checks; empty until requested
        (`fairlead.core.comparison.findings.findings_of`).
    """

    entry: Entry
    analysis: Analysis
    figures: Figures
    change: Change | None
    intervals: Mapping[str, Intervals] = field(default_factory=dict)
    half_widths: Mapping[str, float] = field(default_factory=dict)
    unresolved: tuple[str, ...] = ()
    said: tuple[Finding, ...] = ()

    @property
    def is_reference(self) -> bool:
        """Whether the others are compared with this one."""
        return self.change is None


def row_of(
    entry: Entry,
    analysis: Analysis,
    own: Figures,
    reference: Figures | None,
    intervals: Mapping[str, Intervals] = _NOTHING,
    reference_intervals: Mapping[str, Intervals] = _NOTHING,
    reference_plane: Plane | None = None,
    converted: Figures | None = None,
) -> Row:
    """One row; ``reference`` is None for the reference itself.

    ``converted`` are the figures at the reference's plane, for a sweep shown at another one.
    """
    if reference is None:
        return Row(entry, analysis, own, None, intervals)
    planes = (entry.seen_at if converted is None else reference_plane, reference_plane)
    compared = converted or own
    against = change(compared, reference, planes)
    if not intervals and not reference_intervals:
        return Row(entry, analysis, own, against)
    known = half_widths(against, compared, reference, intervals, reference_intervals)
    return Row(entry, analysis, own, against, intervals, known, unresolved(against, known))


def converted(bench: Bench, entry: Entry) -> Figures | None:
    """Figures of a sweep at the reference's plane, converted along a known line.

    None if no conversion is needed, or if none is possible and the two are not comparable.
    """
    plane = None if bench.reference is None else bench.reference.seen_at
    if plane is None or is_comparable(entry.seen_at, plane):
        return None
    sweep = entry.sweep_at(plane)
    if sweep is None:
        return None
    analysis = analysis_or_reason(sweep, bench.z0_ohm)
    return figures_or_reasons(analysis, bench.band, bench.limit_swr)


def compare(
    bench: Bench,
    analyses: Analyses | None = None,
    intervals: Mapping[int, Mapping[str, Intervals]] = _NO_INTERVALS,
    figures: Mapping[int, Figures] = _NO_FIGURES,
) -> tuple[Row, ...]:
    """Figures and changes of every sweep of a bench, in the bench's order.

    Parameters
    ----------
    bench : Bench
    analyses : Analyses or None
        If None, nothing is cached.
    intervals : mapping of int to mapping of str to Intervals
        By the key of the entry and the JSON key of the figure; missing ones are unknown.
    figures : mapping of int to Figures
        Refined figures, by the key of the entry.
    """
    known = Analyses() if analyses is None else analyses
    if bench.reference_key is None:
        return ()
    analysed = [known.of(entry.sweep, bench.z0_ohm) for entry in bench.entries]
    keys = [entry.key for entry in bench.entries]
    found = [
        figures.get(key) or figures_or_reasons(one, bench.band, bench.limit_swr)
        for key, one in zip(keys, analysed, strict=True)
    ]
    reference = found[keys.index(bench.reference_key)]
    return tuple(
        row_of(
            entry,
            analysis,
            own,
            None if entry.key == bench.reference_key else reference,
            intervals.get(entry.key, _NOTHING),
            intervals.get(bench.reference_key, _NOTHING),
            bench.entry(bench.reference_key).seen_at,
            converted(bench, entry),
        )
        for entry, analysis, own in zip(bench.entries, analysed, found, strict=True)
    )
