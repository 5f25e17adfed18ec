"""The answer as lines of text and as an object for JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.comparison.repeats.answer import caution
from fairlead.core.comparison.repeats.drying import Drying
from fairlead.core.comparison.repeats.words import cable_verdict
from fairlead.core.json_values import json_ends

if TYPE_CHECKING:
    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.repeats.difference import Difference
    from fairlead.core.comparison.repeats.stages import Stages


def lines_of(answer: Answer) -> list[str]:
    """The sentences of the answer, one per line, after the caution for such sweeps, if any."""
    return [*filter(None, [caution(answer.question)]), *answer.sentences]


def as_object(answer: Answer) -> dict[str, object]:
    """Numbers in Hz, minutes and plain ratios; null for what does not exist, with its reason."""
    found = answer.compared
    if isinstance(found, str):
        return {"kind": answer.question.kind, "figures": None, "why_not": found}
    after = found.after
    drying = answer.drying
    return {
        "kind": answer.question.kind,
        "before": found.before.entry.label,
        "during": found.during.entry.label,
        "after": None if after is None else after.entry.label,
        "minutes": None if found.minutes is None else list(found.minutes),
        "minutes_why_not": answer.why_no_minutes or None,
        "figures": {key: _stages(one) for key, one in found.figures.items()},
        "why_not": dict(found.why_not),
        "cable_is_part": None if answer.question.kind == "weather" else cable_verdict(found),
        "drying": _drying(drying) if isinstance(drying, Drying) else None,
        "drying_why_not": drying if isinstance(drying, str) else None,
        "sentences": list(answer.sentences),
    }


def _stages(found: Stages) -> dict[str, object]:
    return {
        "before": found.before,
        "during": found.during,
        "after": found.after,
        "drift": None if found.drift is None else _difference(found.drift),
        "effect": _difference(found.effect),
    }


def _difference(found: Difference) -> dict[str, object]:
    return {
        "value": found.value,
        "repeatability": json_ends(found.intervals.repeatability),
        "accuracy": json_ends(found.intervals.accuracy),
        "resolved": found.is_resolved,
    }


def _drying(found: Drying) -> dict[str, object]:
    return {
        "half_time_minutes": found.half_time_minutes,
        "interval_minutes": json_ends(found.interval_minutes),
        "start_hz": found.start,
        "end_hz": found.end,
        "points": found.points,
    }
