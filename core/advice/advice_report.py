"""The answers as text and as Markdown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.advice.cautions import cautions
from fairlead.core.advice.places import PLACE_WORDS
from fairlead.core.advice.wording import (
    budget_sentence,
    difference_sentence,
    match_sentence,
    named,
    power_text,
    shift_assumption,
    shift_sentence,
    trim_sentences,
    unmatched_sentence,
)
from fairlead.core.report import escaped
from fairlead.core.table_lines import heading_line, interval_line, plain_mhz
from fairlead.core.units import DASH, format_number, format_swr

if TYPE_CHECKING:
    from fairlead.core.advice.answers import Advice
    from fairlead.core.advice.places import Place

Said = tuple[str, list[str]]
_HEADINGS = (
    *("sweep", "place", "MHz", "SWR", "SWR at radio", "fold-back dB", "mismatch dB", "line dB"),
    *("added dB", "transformer dB", "total dB", "W into antenna"),
)
_MAY_GO = ("fold-back dB", "line dB", "added dB", "transformer dB")


def sections(advice: Advice) -> list[Said]:
    """Headings and their sentences, in order, without the table of budgets."""
    found: list[Said] = [
        ("Power into the antenna, not radiated", power_sentences(advice)),
        ("What the difference costs", difference_sentences(advice)),
        ("Lost in the conductor, at least", dc_sentences(advice)),
    ]
    if advice.shift is not None:
        count = len(advice.rows) - len(advice.left_out)
        said = [shift_sentence(advice.shift, advice.bench.band, count, advice.shift_at_radio_swr)]
        said += [f"{label} is left out: {why}." for label, why in advice.left_out.items()]
        found.append(("One tuning for all", [*said, shift_assumption(advice.shift)]))
    if advice.question.trim is not None:
        said = [f"No answer: {advice.problems['trim']}."] if "trim" in advice.problems else []
        if advice.trim is not None:
            said = trim_sentences(advice.trim)
        found.append(("Length", said))
    if advice.question.match is not None:
        said = [match_sentence(one, advice.bench.band) for one in advice.matches]
        if said:
            said.insert(0, unmatched_sentence(advice.unmatched, advice.bench.band))
        else:
            why = advice.problems.get("match", "nothing that can be built matches it")
            said = [f"No answer: {why}."]
        found.append(("Match", said))
    found += [
        ("Assumed", assumptions(advice)),
        ("Before you do any of this", list(cautions(advice))),
    ]
    return [(heading, said) for heading, said in found if said]


def power_sentences(advice: Advice) -> list[str]:
    """One for each sweep."""
    return [
        budget_sentence(named(row.entry), budget)
        for row, budget in zip(advice.rows, advice.budgets, strict=True)
    ]


def difference_sentences(advice: Advice) -> list[str]:
    """One for each sweep except the reference."""
    reference = advice.bench.reference
    return [
        difference_sentence(named(row.entry), named(reference), advice.differences[row.entry.key])
        for row in advice.rows
        if reference is not None and row.entry.key in advice.differences
    ]


def dc_sentences(advice: Advice) -> list[str]:
    """One for each sweep with a DC reading that shows a loss."""
    return [
        f"{named(row.entry)}: {found.sentence}."
        for row, found in zip(advice.rows, advice.dc_losses, strict=True)
        if found.share is not None
    ]


def assumptions(advice: Advice) -> list[str]:
    """Assumptions of the budgets: common ones once, those of one sweep with its name."""
    if not advice.budgets:
        return []
    shared = [
        one
        for one in advice.budgets[0].assumptions
        if all(one in other.assumptions for other in advice.budgets)
    ]
    said = [f"All sweeps: {'; '.join(shared)}."] if shared else []
    for row, budget in zip(advice.rows, advice.budgets, strict=True):
        own = [one for one in budget.assumptions if one not in shared]
        if own:
            said.append(f"{named(row.entry)}: {'; '.join(own)}.")
    sign = interval_line(advice.rows)
    return [*said, sign] if sign else said


def table(advice: Advice) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Headings, and a row for each sweep and place; a loss that is zero everywhere is left out."""
    rows = [
        _table_row(named(row.entry), place)
        for row, budget in zip(advice.rows, advice.budgets, strict=True)
        for place in budget.places
    ]
    kept = [
        i
        for i, heading in enumerate(_HEADINGS)
        if heading not in _MAY_GO or any(row[i] not in (DASH, "0.00") for row in rows)
    ]
    return tuple(_HEADINGS[i] for i in kept), [tuple(row[i] for i in kept) for row in rows]


def _table_row(label: str, place: Place) -> tuple[str, ...]:
    at = DASH if place.frequency_hz is None else plain_mhz(round(place.frequency_hz, -3))
    head = (label, PLACE_WORDS[place.key], at)
    steps = place.steps
    if steps is None:
        return (*head, *[DASH] * 9)
    losses = (
        *(steps.fold_back_db, steps.mismatch_db, steps.line_db, steps.added_db),
        *(steps.transformer_db, steps.total_db),
    )
    return (
        *head,
        format_swr(steps.swr_antenna),
        format_swr(steps.swr_radio),
        *(format_number(one, 2) for one in losses),
        power_text(steps.power_w, place.power),
    )


def as_text(advice: Advice) -> str:
    """For a terminal: the table in columns, then the sentences."""
    headings, rows = table(advice)
    lines = [heading_line(advice.bench), ""]
    if rows:
        widths = [max(map(len, column)) for column in zip(headings, *rows, strict=True)]
        lines += [
            "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in (headings, *rows)
        ]
    for heading, said in sections(advice):
        lines += ["", heading, *(f"  {one}" for one in said)]
    return "\n".join(lines) + "\n"


def as_markdown(advice: Advice) -> str:
    """For a newsletter."""
    headings, rows = table(advice)
    lines = [heading_line(advice.bench), ""]
    if rows:
        lines += [
            f"| {' | '.join(headings)} |",
            f"|{'|'.join([' --- '] * len(headings))}|",
            *(f"| {' | '.join(map(escaped, row))} |" for row in rows),
        ]
    for heading, said in sections(advice):
        lines += ["", f"## {heading}", "", *(f"- {escaped(one)}" for one in said)]
    return "\n".join(lines) + "\n"
