"""A question about two or three sweeps, and the answer for window, text and JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.repeats.drying import Drying, drying_curve
from fairlead.core.comparison.repeats.stages import Compared, compare_stages
from fairlead.core.comparison.repeats.times import NO_TIMES, minutes_from
from fairlead.core.comparison.repeats.words import (
    HOLDING,
    cable_sentences,
    drying_sentence,
    weather_sentences,
)
from fairlead.core.transform.step import is_comparable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.repeats.words import Kind
    from fairlead.core.comparison.rows import Row

_NOT_AT_FEED = (
    "cables of different length can only be compared at the feed point: state where each sweep was "
    "taken and remove its line (Edit > Feed line)"
)
_NO_AFTER = "a sweep afterwards is needed"
# Share of the whole change, so that noise and drift exclude no sweep (no source).
_MARGIN = 0.2
_MINUTES_WANTED = "give a time in minutes for each of the three sweeps"


@dataclass(frozen=True, slots=True)
class Question:
    """Which sweeps are compared, and what was different in the middle one.

    Attributes
    ----------
    before, during : int
        Keys of entries.
    after : int or None
        None if there is no sweep afterwards; drift is then unknown.
    kind : {"weather", "cable", "cable-length"}
    minutes : tuple of float
        When the three were taken, if the user says so; empty to use their dates.
    """

    before: int
    during: int
    after: int | None = None
    kind: Kind = "weather"
    minutes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to a question.

    Attributes
    ----------
    question : Question
    compared : Compared or str
        A string, the reason, if nothing can be compared.
    why_no_minutes : str
        Why times are not used; empty if they are.
    drying : Drying, str or None
        A string, the reason, if there is no half time; None if it was not asked for.
    sentences : tuple of str
    """

    question: Question
    compared: Compared | str
    why_no_minutes: str
    drying: Drying | str | None
    sentences: tuple[str, ...]


def answer(rows: Sequence[Row], question: Question) -> Answer:
    """Compare the sweeps of a question.

    Parameters
    ----------
    rows : sequence of Row
        Of a bench, with their intervals.
    question : Question
        Its keys are among those of the rows.
    """
    by_key = {row.entry.key: row for row in rows}
    before, during = by_key[question.before], by_key[question.during]
    after = None if question.after is None else by_key[question.after]
    chosen = [row for row in (before, during, after) if row is not None]
    if question.kind == "cable-length" and any(row.entry.seen_at != "feed" for row in chosen):
        return _refused(question, _NOT_AT_FEED)
    minutes = _minutes(chosen, question)
    known = None if isinstance(minutes, str) else minutes
    found = compare_stages(before, during, after, known)
    if isinstance(found, str):
        return _refused(question, found)
    drying = None
    if question.kind == "weather":
        drying = _drying(rows, during, after)
        said = weather_sentences(found)
        # Missing dates are no news to a user who did not ask for a curve.
        if drying not in (_NO_AFTER, NO_TIMES):
            said.append(drying_sentence(drying))
    else:
        said = cable_sentences(found)
    why = minutes if isinstance(minutes, str) else ""
    return Answer(question, found, why, drying, tuple(said))


def _refused(question: Question, reason: str) -> Answer:
    return Answer(question, reason, "", None, (f"Nothing can be compared: {reason}.",))


def _minutes(chosen: Sequence[Row], question: Question) -> tuple[float, ...] | str:
    if len(chosen) < 3:
        return _NO_AFTER
    if not question.minutes:
        return minutes_from([row.entry.circumstances.taken_at for row in chosen])
    return question.minutes if len(question.minutes) == 3 else _MINUTES_WANTED


def _drying(rows: Sequence[Row], during: Row, after: Row | None) -> Drying | str:
    """The curve through every visible sweep between the one during and the one after.

    A best match far outside the range of those two has another cause, such as ice after the rain.
    """
    if after is None:
        return _NO_AFTER
    low_hz, high_hz = _way_back(during, after)
    ends = minutes_from([row.entry.circumstances.taken_at for row in (during, after)])
    if isinstance(ends, str):
        return ends
    minutes: list[float] = []
    values: list[float] = []
    halves: list[float | None] = []
    for row in rows:
        dates = [one.entry.circumstances.taken_at for one in (during, row)]
        at = minutes_from(dates)
        own = row.figures
        if (
            isinstance(at, str)
            or not row.entry.is_visible
            or not 0 <= at[1] <= ends[1]
            or own.best_match_hz is None
            or own.best_match_at_end
            or not low_hz <= own.best_match_hz <= high_hz
            or own.z0_ohm != during.figures.z0_ohm
            or not is_comparable(row.entry.seen_at, during.entry.seen_at)
        ):
            continue
        known = row.intervals.get("best_match_hz")
        noise = None if known is None else known.repeatability
        minutes.append(at[1])
        values.append(own.best_match_hz)
        halves.append(None if noise is None else noise.half_width)
    return drying_curve(minutes, values, halves)


def _way_back(during: Row, after: Row) -> tuple[float, float]:
    """The range of best matches between wet and dry, with a margin."""
    ends = [row.figures.best_match_hz or 0.0 for row in (during, after)]
    margin_hz = _MARGIN * (max(ends) - min(ends))
    return min(ends) - margin_hz, max(ends) + margin_hz


def caution(question: Question) -> str:
    """The caution for taking such sweeps; empty if there is nothing unusual."""
    return "" if question.kind == "weather" else HOLDING
