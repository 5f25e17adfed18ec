"""Trends in words and as a table of texts; from the numbers only, and none beyond them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fairlead.core.comparison.amounts import frequency_text, with_half
from fairlead.core.figure_table.values import one_line
from fairlead.core.over_time.line import FEWEST_FOR_OUTLIERS, OUTLIER, chance_of_a_mark
from fairlead.core.over_time.trends import trend_specs
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.line import Slope
    from fairlead.core.over_time.trends import OverTime, Trend

ALIKE = 0.8
"""Correlation from which two causes cannot be told apart (common practice, no source)."""
SCATTER_NOTE = (
    "±: 95 %, from the scatter about the line, taken to be independent and normal. At 95 % one "
    "figure in twenty shows a trend by chance alone."
)
_NAMES_LISTED = 4


def trend_table(bench: Bench, found: OverTime) -> list[list[str]]:
    """A line of cells for each figure that has a trend, the headings first."""
    beside = found.beside
    headings = ["Trend", "n", found.unit.words.capitalize(), "With the analyzer's error"]
    if beside is not None:
        headings += [f"{found.unit.words.capitalize()}, {beside.name} held", f"A {beside.unit}"]
    table = [[*headings, "Stands out"]]
    for spec in trend_specs():
        trend = found.trends.get(spec.key)
        if trend is None or trend.slope is None:
            continue
        slope = trend.slope.times(found.unit.days)
        cells = [spec.title(bench), str(len(trend.points)), slope_text(spec, slope)]
        cells.append(
            DASH
            if slope.half_with_bound is None
            else slope_text(spec, slope, slope.half_with_bound)
        )
        if beside is not None:
            cells += _held_cells(spec, trend, found)
        marked = [one.row for one in trend.points if one.row.entry.key in trend.marked]
        table.append([*cells, _names(marked) or DASH])
    return table


def _held_cells(spec: FigureSpec, trend: Trend, found: OverTime) -> list[str]:
    if trend.held is None:
        return [DASH, DASH]
    first, second = trend.held.slopes
    first = first.times(found.unit.days)
    return [slope_text(spec, one, one.widest) for one in (first, second)]


def slope_text(spec: FigureSpec, slope: Slope, half: float | None = None) -> str:
    """A slope with its half interval (that of the scatter if not given) and its unit."""
    half = slope.half if half is None else half
    if spec.unit in ("MHz", "kHz"):
        return frequency_text(slope.value, half, signed=True)
    scale = 1.0 if spec.number is None else spec.number.scale
    scaled = None if half is None else half / scale
    text = with_half(slope.value / scale, scaled, signed=True)
    return f"{text} {spec.unit}" if spec.unit else text


def trend_sentence(bench: Bench, spec: FigureSpec, found: OverTime) -> str:
    """What one figure does over time, or why nothing can be said."""
    name = spec.heading.format(limit=f"{bench.limit_swr:.4g}")
    if found.why_not:
        return f"No trend: {found.why_not}."
    trend = found.trends[spec.key]
    if trend.slope is None:
        return f"{name}: no trend, because {trend.why_not}."
    slope = trend.slope.times(found.unit.days)
    told = slope_text(spec, slope, slope.widest)
    dates = f"{len(trend.points)} sweeps"
    if slope.widest is None:
        return (
            f"{name}: {told} {found.unit.words}, from {dates}; without a third date nothing says "
            "how much of it is chance."
        )
    is_bound = slope.half_with_bound is not None
    ground = "the scatter and the analyzer's bound" if is_bound else "the scatter"
    if not slope.is_resolved:
        return (
            f"{name}: no trend shows in {dates} ({told} {found.unit.words}, less than "
            f"{ground} leave{'' if is_bound else 's'} open)."
        )
    way = "rises" if slope.value > 0 else "falls"
    return f"{name} {way}: {told} {found.unit.words}, from {dates} (95 %, from {ground})."


def trend_sentences(bench: Bench, spec: FigureSpec, found: OverTime) -> list[str]:
    """All that is said of one figure: its trend, what stands out, what was noted beside."""
    said = [trend_sentence(bench, spec, found)]
    trend = found.trends.get(spec.key)
    if trend is not None and trend.marked:
        marked = [one.row for one in trend.points if one.row.entry.key in trend.marked]
        stands = f"{_names(marked)} stand{'s' if len(marked) == 1 else ''} out and stay"
        words = f"{stands}{'s' if len(marked) == 1 else ''} in the line"
        if trend.others is not None:
            slope = trend.others.slopes[0].times(found.unit.days)
            told = slope_text(spec, slope, slope.widest)
            words += f"; the others alone: {told} {found.unit.words}"
        said.append(f"{words}.")
    return [*said, *beside_sentences(spec, found)]


def beside_sentences(spec: FigureSpec, found: OverTime) -> list[str]:
    """What the quantity beside the date does to one figure, and whether both can be told apart."""
    beside, trend = found.beside, found.trends.get(spec.key)
    if beside is None or trend is None:
        return []
    if trend.alike is None:
        return [f"{beside.title} is stated for too few of these sweeps."]
    said = []
    if trend.held is not None:
        first, second = trend.held.slopes
        first = first.times(found.unit.days)
        said.append(
            f"With the {beside.name} held: {slope_text(spec, first, first.widest)} "
            f"{found.unit.words}, and {slope_text(spec, second, second.widest)} a {beside.unit}."
        )
    return [*said, alike_words(beside.name, trend.alike)]


def alike_words(name: str, alike: float) -> str:
    """Whether the date and what was noted beside it can be told apart."""
    if abs(alike) < ALIKE:
        return f"Correlation of date and {name}: {_signed(alike)}."
    way = "rose" if alike > 0 else "fell"
    return (
        f"The {name} {way} with the date (correlation {_signed(alike)}): what the one did and what "
        "the other did can hardly be told apart."
    )


def _signed(value: float) -> str:
    return f"{value:.2f}".replace("-", "−")


def mark_note(n: int) -> str:
    """The rule by which sweeps are marked, with how often chance alone does it."""
    if n < FEWEST_FOR_OUTLIERS:
        return f"Nothing is marked as standing out with fewer than {FEWEST_FOR_OUTLIERS} dates."
    return f"Stands out: {mark_rule(n)}. What is marked stays in the line."


def mark_rule(n: int) -> str:
    """What is marked in a series of n, and how often chance alone does it."""
    share = math.ceil(100 * chance_of_a_mark(n))
    return (
        f"a studentised residual over {OUTLIER} (common practice, no source), which chance alone "
        f"gives in up to {share} % of series of {n}"
    )


def left_out_notes(found: OverTime) -> list[str]:
    """How many sweeps have no place in time, and which."""
    notes = []
    for rows, one, several in (
        (found.undated, "has no date", "have no date"),
        (found.unclear, "has a date that cannot be read", "have dates that cannot be read"),
    ):
        if rows:
            advice = ", write it as 2026-05-14" if rows is found.unclear else ""
            what = one if len(rows) == 1 else several
            notes.append(f"{len(rows)} left out: {_names(rows)} {what}{advice}.")
    return notes


def condition_notes(found: OverTime) -> list[str]:
    """A warning where sweeps of different conditions are in one line."""
    conditions = dict.fromkeys(row.entry.condition or "not stated" for row in found.rows)
    if len(conditions) < 2 or found.why_not:
        return []
    listed = ", ".join(conditions)
    return [f"Conditions differ ({listed}): what came with them may pass for a trend."]


def notes(found: OverTime) -> list[str]:
    """All that is said below a table of trends."""
    said = [*left_out_notes(found), *condition_notes(found)]
    if found.why_not:
        return [f"No trend: {found.why_not}.", *said]
    if all(trend.slope is None for trend in found.trends.values()):
        return said
    return [*said, SCATTER_NOTE, mark_note(len(found.rows))]


def _names(rows: Sequence[Row]) -> str:
    listed = ", ".join(one_line(row.entry.label) for row in rows[:_NAMES_LISTED])
    more = len(rows) - _NAMES_LISTED
    return f"{listed} and {more} more" if more > 0 else listed
