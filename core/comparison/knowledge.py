"""How well the figures of a bench are known, with unchanged results reused.

This takes longer than the figures themselves, so the window does it in the background when nothing
has changed for a moment, and a verb before it prints.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.rows import Row, compare
from fairlead.core.document.measuring_errors import errors_of, instrument_of
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.soundness.doubts import doubts_of
from fairlead.core.soundness.reported import checked
from fairlead.core.uncertainty.highest import highest_within
from fairlead.core.uncertainty.intervals import Assessment, assess
from fairlead.core.uncertainty.point_range import range_of
from fairlead.core.verdict import PENDING, Grounds, verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Instrument
    from fairlead.core.figures import Figures
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Plane, Step
    from fairlead.core.uncertainty.error_model import PointErrors
    from fairlead.core.uncertainty.interval import Intervals
    from fairlead.core.uncertainty.point_range import PointRange


@dataclass(frozen=True, slots=True)
class _Kept:
    """A result and everything it depends on; sweeps are compared by identity."""

    sweep: AnySweep
    steps: tuple[Step, ...]
    plane: Plane | None
    instrument: Instrument | None
    frame: tuple[float, ...]
    errors: PointErrors | None
    points: PointRange | None
    found: Assessment

    def is_of(self, entry: Entry, instrument: Instrument | None, frame: tuple[float, ...]) -> bool:
        return self.frame == frame and self.has_errors_of(entry, instrument, frame[-1])

    def has_errors_of(self, entry: Entry, instrument: Instrument | None, z0_ohm: float) -> bool:
        return (
            self.sweep is entry.sweep
            and self.steps == entry.steps
            and self.plane == entry.plane
            and self.instrument == instrument
            and self.frame[-1] == z0_ohm
        )


@dataclass(frozen=True, slots=True)
class Knowledge:
    """What is known of the sweeps of a bench, by the keys of its entries.

    Attributes
    ----------
    figures : mapping of int to Figures
        Refined by all points around each figure, with the final verdict.
    intervals : mapping of int to mapping of str to Intervals
        By the figure's JSON key.
    """

    figures: Mapping[int, Figures] = field(default_factory=dict)
    intervals: Mapping[int, Mapping[str, Intervals]] = field(default_factory=dict)
    _kept: Mapping[int, _Kept] = field(default_factory=dict)

    def range_of(self, bench: Bench, entry: Entry) -> PointRange | None:
        """How far each point of a sweep may be off.

        The same object for as long as it holds, whatever the band. None where nothing is known, or
        where this knowledge is of another state of the sweep.
        """
        kept = self._kept.get(entry.key)
        if kept is None or not kept.has_errors_of(entry, instrument_of(bench, entry), bench.z0_ohm):
            return None
        return kept.points


NOTHING_KNOWN = Knowledge()


def knowledge_of(
    bench: Bench,
    analyses: Analyses,
    before: Knowledge = NOTHING_KNOWN,
    is_wanted: Callable[[], bool] = lambda: True,
) -> Knowledge | None:
    """What is known of every sweep of a bench.

    Parameters
    ----------
    bench : Bench
    analyses : Analyses
    before : Knowledge
        Of an earlier bench; results that have not changed are reused.
    is_wanted : callable
        Called before each sweep; if it returns False, the result is None.
    """
    kept: dict[int, _Kept] = {}
    frame = bench.band.low_hz, bench.band.high_hz, bench.limit_swr, bench.z0_ohm
    for entry in bench.entries:
        if not is_wanted():
            return None
        key, instrument = entry.key, instrument_of(bench, entry)
        known = before._kept.get(key)  # noqa: SLF001 - its own class
        if known is None or not known.is_of(entry, instrument, frame):
            if known is not None and known.has_errors_of(entry, instrument, bench.z0_ohm):
                errors, points = known.errors, known.points
            else:
                errors = errors_of(bench, entry)
                points = range_of(analyses.of(entry.sweep, bench.z0_ohm), errors)
            found = _assess(bench, entry, analyses, errors)
            known = _Kept(
                entry.sweep, entry.steps, entry.plane, instrument, frame, errors, points, found
            )
        kept[key] = known
    return Knowledge(
        {key: one.found.figures for key, one in kept.items()},
        {key: one.found.intervals for key, one in kept.items()},
        kept,
    )


def _assess(
    bench: Bench, entry: Entry, analyses: Analyses, errors: PointErrors | None
) -> Assessment:
    analysis = analyses.of(entry.sweep, bench.z0_ohm)
    figures = figures_or_reasons(analysis, bench.band, bench.limit_swr)
    if analysis.failure:
        return Assessment(figures, {})
    found = Assessment(figures, {})
    # An unforeseen error in one sweep must cost only its own intervals.
    with suppress(Exception):
        found = assess(analysis, figures, bench.band, bench.limit_swr, errors)
    with suppress(Exception):
        found = replace(found, figures=_judged(bench, entry, analysis, found, errors))
    return found


def _judged(
    bench: Bench,
    entry: Entry,
    analysis: Analysis,
    found: Assessment,
    errors: PointErrors | None,
) -> Figures:
    """The figures with their final verdict, based on the intervals and the checks."""
    own, band = found.figures, bench.band
    within = highest_within(analysis, own, found.intervals, errors)
    if within is None:
        return own
    is_at_feed = entry.seen_at == "feed"
    doubts = doubts_of(checked(analysis, own, band), band, is_at_feed=is_at_feed)
    grounds = Grounds(within, doubts)
    return replace(own, grounds=grounds, verdict=verdict(own, band, bench.limit_swr, grounds))


def at_once(bench: Bench, entry: Entry, analysis: Analysis) -> Figures:
    """The figures of a sweep without waiting for the rest, and a verdict that will not mislead.

    What the checks have found so far counts in the verdict. Until they have run there is none: an
    unconnected cable would cover every band for as long as that takes.
    """
    own = figures_or_reasons(analysis, bench.band, bench.limit_swr)
    if own.verdict is None or own.verdict.covers == "cannot tell":
        return own
    if not analysis.findings:
        return replace(own, verdict=PENDING)
    is_at_feed = entry.seen_at == "feed"
    doubts = doubts_of(checked(analysis, own, bench.band), bench.band, is_at_feed=is_at_feed)
    grounds = Grounds(None, doubts)
    return replace(own, verdict=verdict(own, bench.band, bench.limit_swr, grounds))


def compare_known(
    bench: Bench, analyses: Analyses | None = None, before: Knowledge = NOTHING_KNOWN
) -> tuple[Row, ...]:
    """`compare` with intervals and final verdicts, for callers that can wait."""
    known_analyses = Analyses() if analyses is None else analyses
    known = knowledge_of(bench, known_analyses, before) or NOTHING_KNOWN
    return compare(bench, known_analyses, known.intervals, known.figures)
