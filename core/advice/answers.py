"""Questions about a bench and their answers as numbers; `wording` turns them into sentences."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.advice.at_feed import at_feed, worst_at_radio
from fairlead.core.advice.budget import Station
from fairlead.core.advice.compromise import compromise
from fairlead.core.advice.differences import differences
from fairlead.core.advice.matching import matches, unmatched
from fairlead.core.advice.places import budget_of
from fairlead.core.advice.tuning import BestMatch, slope_of, trim, trim_by_slope
from fairlead.core.comparison.dc_loss import dc_loss_of
from fairlead.core.document.what_if import shift_of
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from fairlead.core.advice.compromise import Compromise
    from fairlead.core.advice.differences import Difference
    from fairlead.core.advice.matching import Match, Outcome, Wish
    from fairlead.core.advice.places import SweepBudget
    from fairlead.core.advice.tuning import Slope, Trim, What
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.comparison.dc_loss import DcLoss
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench

PERCENT_LENGTH_MM = 100.0
"""Used if no length is given, so that millimetres of it are per cent."""


@dataclass(frozen=True, slots=True)
class TrimQuestion:
    """How much to cut, or to add.

    Attributes
    ----------
    target_hz : float or None
        Where the best match should be; None for the middle of the band.
    length_mm : float or None
        Length of the conductor that is cut; if None, the answer is in per cent.
    what : {"whole", "part"}
    before_key : int or None
        Sweep of the same antenna before a cut ...
    cut_mm : float
        ... of that much.
    """

    target_hz: float | None = None
    length_mm: float | None = None
    what: What = "whole"
    before_key: int | None = None
    cut_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Question:
    """The questions.

    Attributes
    ----------
    station : Station
    wants_shift : bool
        Whether to find one tuning for all sweeps.
    trim : TrimQuestion or None
        About the reference sweep.
    match : Wish or None
        Designed for the reference sweep.
    keys : frozenset of int or None
        Keys of the sweeps to answer for; None for all.
    """

    station: Station = field(default_factory=Station)
    wants_shift: bool = False
    trim: TrimQuestion | None = None
    match: Wish | None = None
    keys: frozenset[int] | None = None


@dataclass(frozen=True, slots=True)
class TrimAnswer:
    """What to do to the length of a sweep's antenna.

    Attributes
    ----------
    label : str
    target_hz : float
    best : BestMatch
    trim : Trim
    slope : Slope or None
        Effect of one millimetre, if two sweeps give it.
    is_percent : bool
        Whether lengths are in per cent.
    """

    label: str
    target_hz: float
    best: BestMatch
    trim: Trim
    slope: Slope | None
    is_percent: bool


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """The answers.

    Attributes
    ----------
    bench : Bench
    question : Question
    rows : tuple of Row
        The sweeps concerned.
    budgets : tuple of SweepBudget
        One a row.
    differences : dict of int to tuple of Difference
        Against the reference, by the key of the entry.
    dc_losses : tuple of DcLoss
        One a row, from the DC check noted with it.
    shift : Compromise or None
    shift_at_radio_swr : float or None
        The worst SWR at the radio after that shift.
    trim : TrimAnswer or None
    matches : tuple of Match
    unmatched : tuple of Outcome
        The same sweeps without any network.
    problems : dict of str to str
        Why there is no answer, by "shift", "trim" or "match".
    left_out : dict of str to str
        Sweeps that cannot be tuned, by their label, with the reason.
    """

    bench: Bench
    question: Question
    rows: tuple[Row, ...]
    budgets: tuple[SweepBudget, ...]
    differences: dict[int, tuple[Difference, ...]]
    dc_losses: tuple[DcLoss, ...] = ()
    shift: Compromise | None = None
    shift_at_radio_swr: float | None = None
    trim: TrimAnswer | None = None
    matches: tuple[Match, ...] = ()
    unmatched: tuple[Outcome, ...] = ()
    problems: dict[str, str] = field(default_factory=dict)
    left_out: dict[str, str] = field(default_factory=dict)


def advise(bench: Bench, rows: Sequence[Row], analyses: Analyses, question: Question) -> Advice:
    """Answer a question.

    Parameters
    ----------
    bench : Bench
    rows : sequence of Row
        Of the bench, with intervals if they are known.
    analyses : Analyses
    question : Question
    """
    wanted = tuple(row for row in rows if question.keys is None or row.entry.key in question.keys)
    budgets = tuple(budget_of(row, bench.band, question.station) for row in wanted)
    against = {}
    reference = next((row for row in rows if row.is_reference), None)
    if reference is not None:
        own = budget_of(reference, bench.band, question.station)
        against = {
            row.entry.key: differences(found, own)
            for row, found in zip(wanted, budgets, strict=True)
            if not row.is_reference
        }
    problems: dict[str, str] = {}
    left_out: dict[str, str] = {}
    shift, at_radio = None, None
    if question.wants_shift:
        shift, at_radio = _shift(bench, analyses, question, problems, left_out)
    trimmed = None
    if question.trim is not None and reference is not None:
        try:
            trimmed = _trim(bench, rows, reference, question.trim)
        except FairleadError as error:
            problems["trim"] = str(error)
    matched: tuple[Match, ...] = ()
    bare: tuple[Outcome, ...] = ()
    if question.match is not None and reference is not None:
        try:
            matched, bare = _match(bench, analyses, question, question.match, reference.entry.key)
        except FairleadError as error:
            problems["match"] = str(error)
    return Advice(
        bench=bench,
        question=question,
        rows=wanted,
        budgets=budgets,
        differences=against,
        dc_losses=tuple(dc_loss_of(row) for row in wanted),
        shift=shift,
        shift_at_radio_swr=at_radio,
        trim=trimmed,
        matches=matched,
        unmatched=bare,
        problems=problems,
        left_out=left_out,
    )


def _shift(
    bench: Bench,
    analyses: Analyses,
    question: Question,
    problems: dict[str, str],
    left_out: dict[str, str],
) -> tuple[Compromise, float | None]:
    sweeps, missing = at_feed(bench, analyses, question.station, question.keys)
    left_out |= missing
    found = compromise([one.moved for one in sweeps], bench.band)
    if found.shift_percent is None:
        problems["shift"] = found.why_not
        return found, None
    has_line = any(one.station.line is not None for one in sweeps)
    return found, worst_at_radio(sweeps, bench.band, found.shift_percent) if has_line else None


def _match(
    bench: Bench, analyses: Analyses, question: Question, wish: Wish, reference_key: int
) -> tuple[tuple[Match, ...], tuple[Outcome, ...]]:
    keys: Collection[int] | None = question.keys
    if keys is not None:
        keys = {*keys, reference_key}
    sweeps, _ = at_feed(bench, analyses, question.station, keys)
    asked = (sweeps, reference_key, bench.band, bench.limit_swr, wish)
    return matches(*asked), unmatched(*asked)


def _trim(bench: Bench, rows: Sequence[Row], row: Row, asked: TrimQuestion) -> TrimAnswer:
    target_hz = asked.target_hz
    if target_hz is None:
        target_hz = (bench.band.low_hz + bench.band.high_hz) / 2
    best = _best_of(row)
    slope = None
    if asked.before_key is not None:
        before = next(one for one in rows if one.entry.key == asked.before_key)
        slope = slope_of(_best_of(before), best, asked.cut_mm)
        found = trim_by_slope(best, target_hz, slope, asked.length_mm)
    else:
        found = trim(best, target_hz, asked.length_mm or PERCENT_LENGTH_MM, asked.what)
    is_percent = asked.length_mm is None and slope is None
    return TrimAnswer(row.entry.label, target_hz, best, found, slope, is_percent)


def _best_of(row: Row) -> BestMatch:
    figures = row.figures
    if figures.best_match_hz is None or figures.best_match_at_end:
        reason = figures.why_not.get("best_match_hz") or "it lies outside the sweep"
        raise FairleadError(
            f"the best match of {row.entry.label} is not known: {reason}",
            "sweep further, past the dip",
        )
    if row.entry.seen_at == "radio":
        raise FairleadError(
            f"{row.entry.label} is seen at the radio, where the line moves the best match",
            "remove the line first",
        )
    known = row.intervals.get("best_match_hz")
    interval = None if known is None else known.widest
    # What is cut is the antenna as it was measured, wherever a what-if has moved it.
    scale = 1 + shift_of(row.entry) / 100
    half_hz = None if interval is None else interval.half_width / scale
    return BestMatch(figures.best_match_hz / scale, half_hz)
