"""The answers as the JSON of the headless contract."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.advice.advice_report import sections
from fairlead.core.advice.budget import range_factor, s_units
from fairlead.core.advice.elements import Lumped, Section
from fairlead.core.advice.wording import budget_sentence, named, network_words
from fairlead.core.json_values import json_ends, json_unread, json_value
from fairlead.core.report import FORMAT, dc_object

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.advice.answers import Advice, TrimAnswer
    from fairlead.core.advice.compromise import Compromise
    from fairlead.core.advice.elements import Element
    from fairlead.core.advice.matching import Match
    from fairlead.core.advice.places import Place
    from fairlead.core.errors import ReadError


def as_json(
    advice: Advice, unread: Sequence[ReadError] = (), *, program: str = "fairlead"
) -> dict[str, object]:
    """The object of the headless contract: null for what does not exist, "inf" for infinity."""
    bench, station = advice.bench, advice.question.station
    reference = bench.reference
    return {
        "format": FORMAT,
        "program": program,
        "band": {
            "name": bench.band.name,
            "low_hz": bench.band.low_hz,
            "high_hz": bench.band.high_hz,
        },
        "reference": None if reference is None else reference.label,
        "power_w": station.power_w,
        "radio": {
            "kind": station.radio.kind,
            "curve": [list(point) for point in station.radio.curve],
            "is_rule_of_thumb": station.radio.is_rule_of_thumb,
        },
        "sweeps": [
            {
                "label": row.entry.label,
                "file": row.entry.file,
                "what_if": row.entry.is_what_if,
                "assumptions": list(budget.assumptions),
                "sentence": budget_sentence(named(row.entry), budget),
                "places": [_place_object(place) for place in budget.places],
                "dc_loss": dc_object(dc_loss),
            }
            for row, budget, dc_loss in zip(
                advice.rows, advice.budgets, advice.dc_losses, strict=True
            )
        ],
        "differences": [
            {
                "label": row.entry.label,
                "place": one.key,
                "difference_db": one.difference_db,
                "half_db": json_value(one.half_db),
                "is_resolved": one.is_resolved,
                "s_units": s_units(one.difference_db),
                "range_factor": range_factor(one.difference_db),
            }
            for row in advice.rows
            for one in advice.differences.get(row.entry.key, ())
        ],
        "shift": None if advice.shift is None else _shift_object(advice, advice.shift),
        "trim": None if advice.trim is None else _trim_object(advice.trim),
        "matches": [_match_object(one) for one in advice.matches],
        "why_not": dict(advice.problems),
        "left_out": dict(advice.left_out),
        "sentences": dict(sections(advice)),
        "unread": json_unread(unread),
    }


def _place_object(place: Place) -> dict[str, object]:
    steps = place.steps
    found: dict[str, object] = {"place": place.key, "frequency_hz": place.frequency_hz}
    names = (
        *("fold_back_db", "mismatch_db", "line_db", "added_db", "transformer_db", "total_db"),
        *("swr_antenna", "swr_radio", "power_w", "line_peak_v", "antenna_peak_v"),
    )
    found |= {name: None if steps is None else json_value(getattr(steps, name)) for name in names}
    found["power_interval_w"] = json_ends(place.power)
    found["is_bound"] = place.is_bound
    found["why_not"] = place.why_not or None
    return found


def _shift_object(advice: Advice, found: Compromise) -> dict[str, object]:
    return {
        "shift_percent": found.shift_percent,
        "worst_swr": json_value(found.worst_swr),
        "worst_swr_interval": json_ends(found.worst),
        "as_good_percent": json_ends(found.as_good),
        "worst_swr_now": json_value(found.now_swr),
        "worst_swr_at_radio": json_value(advice.shift_at_radio_swr),
        "sweep_from_hz": found.low_hz,
        "sweep_to_hz": found.high_hz,
    }


def _trim_object(answer: TrimAnswer) -> dict[str, object]:
    found, slope = answer.trim, answer.slope
    # Without a length the calculation used 100 mm, so that millimetres are per cent.
    percent = found.change_mm if answer.is_percent else found.change_percent
    return {
        "label": answer.label,
        "target_hz": answer.target_hz,
        "offset_hz": found.offset_hz,
        "direction": found.direction,
        "change_percent": percent,
        "change_mm": None if answer.is_percent else found.change_mm,
        "change_interval_mm": None if answer.is_percent else json_ends(found.change),
        "first_mm": None if answer.is_percent else found.first_mm,
        "stop_mm": None if answer.is_percent else found.stop_mm,
        "hz_per_mm": None if slope is None else slope.hz_per_mm,
        "hz_per_mm_interval": None if slope is None else json_ends(slope.interval),
    }


def _match_object(match: Match) -> dict[str, object]:
    return {
        "kind": match.kind,
        "at_hz": match.at_hz,
        "words": network_words(match.network),
        "network": [_element_object(one) for one in match.network],
        "exact": [_element_object(one) for one in match.exact],
        "worst_swr": json_value(match.worst_swr),
        "notes": list(match.build_notes),
        "sweeps": [
            {
                "label": one.label,
                "worst_swr": json_value(one.figures.worst_swr),
                "usable_width_hz": one.figures.usable_width_hz,
                "loss_db": json_value(one.loss_db),
                "power_w": one.power_w,
            }
            for one in match.outcomes
        ],
    }


def _element_object(element: Element) -> dict[str, object]:
    if isinstance(element, Lumped):
        unit = "henry" if element.part == "coil" else "farad"
        return {
            "part": element.part,
            "where": element.where,
            unit: element.value,
            "q": json_value(element.q),
        }
    line = {
        "length_mm": element.length_m * 1e3,
        "z0_ohm": element.line.z0_ohm,
        "velocity_factor": element.line.velocity_factor,
    }
    if isinstance(element, Section):
        return {"part": "section", **line}
    return {"part": "stub", "where": element.where, "end": element.end, **line}
