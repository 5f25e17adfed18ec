"""What is asked with a bench, from its typed form: questions, and the network of its picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.advice.answers import Question, TrimQuestion
from fairlead.core.advice.asked import parse_length_mm, parse_station
from fairlead.core.advice.at_feed import at_feed
from fairlead.core.advice.matching import SERIES, Wish, matches
from fairlead.core.errors import FairleadError
from fairlead.core.line_text import parse_line
from fairlead.core.units import parse_frequency_hz, parse_number

if TYPE_CHECKING:
    from collections.abc import Collection

    from fairlead.core.advice.matching import Match
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.document.advice_request import AdviceRequest
    from fairlead.core.document.bench import Bench
    from fairlead.core.feed_line import FeedLine

MOST_Q = 1e5


def parse_part_line(text: str) -> FeedLine:
    """A type of line or its numbers, without a length: of stubs and sections.

    Raises
    ------
    FairleadError
        If it is not known.
    """
    return parse_line(f"{text}, 1 m")[0]


def question_of(bench: Bench, asked: AdviceRequest, keys: Collection[int]) -> Question:
    """All that the window asks at once.

    Parameters
    ----------
    bench : Bench
    asked : AdviceRequest
        Perhaps not yet kept with the bench.
    keys : collection of int
        The sweeps that it is about.

    Raises
    ------
    FairleadError
        If a part cannot be understood.
    """
    return Question(
        parse_station(asked.power, asked.radio, asked.line),
        wants_shift=True,
        trim=_trim_question(bench, asked),
        match=_wish(asked),
        keys=frozenset(keys),
    )


def _trim_question(bench: Bench, asked: AdviceRequest) -> TrimQuestion:
    length_mm = parse_length_mm(asked.length) if asked.length.strip() else None
    target_hz = _frequency_hz(asked.target)
    if asked.cut != "measured":
        return TrimQuestion(target_hz, length_mm, asked.cut)
    keys = [entry.key for entry in bench.entries if entry.key != bench.reference_key]
    if asked.before_key not in keys:
        raise FairleadError(
            "two sweeps say what a cut does", "choose the one before it; the reference is after it"
        )
    cut_mm = parse_length_mm(asked.cut_by)
    return TrimQuestion(target_hz, length_mm, "part", asked.before_key, cut_mm)


def _wish(asked: AdviceRequest) -> Wish:
    return Wish(
        at_hz=_frequency_hz(asked.match_at),
        plane=asked.match_end,
        series=asked.series if asked.series in SERIES else "E24",
        coil_q=_q(asked.coil_q, "coil"),
        capacitor_q=_q(asked.capacitor_q, "capacitor"),
        line=parse_part_line(asked.stub_line),
        other=parse_part_line(asked.section_line),
    )


def _frequency_hz(text: str) -> float | None:
    return parse_frequency_hz(text, "MHz") if text.strip() else None


def _q(text: str, what: str) -> float:
    value = parse_number(text, f"Q of a {what}")
    if not 1 <= value <= MOST_Q:
        raise FairleadError(f"a {what} with a Q of {value:g} does not exist", "type 1 to 100000")
    return value


def network_of(bench: Bench, analyses: Analyses) -> Match:
    """The network that the bench asks for, designed for its reference and shown sweeps.

    Raises
    ------
    FairleadError
        If what is asked cannot be understood, or nothing matches.
    """
    asked = bench.advice
    station = parse_station(asked.power, asked.radio, asked.line)
    keys = {entry.key for entry in bench.visible} | {bench.reference_key or 0}
    sweeps, _ = at_feed(bench, analyses, station, keys)
    found = matches(sweeps, bench.reference_key or 0, bench.band, bench.limit_swr, _wish(asked))
    if not found:
        raise FairleadError("nothing that can be built matches it", "choose another frequency")
    return next((one for one in found if one.kind == asked.network), found[0])
