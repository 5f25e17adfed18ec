"""Groups in the table of figures: one row a group, its cells from the spread of each figure.

Everything iterates `fairlead.core.figure_table.FIGURES`: a figure that says which member is the
worst in it has a spread in the window, the texts and JSON.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.comparison.groups import FigureSpread, coverage_of, figure_spread
from fairlead.core.document.groups import mixture
from fairlead.core.figure_table import FIGURES
from fairlead.core.figure_table.values import one_line
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.comparison.groups import Coverage
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import Group
    from fairlead.core.figure_table import FigureSpec, Number
    from fairlead.core.uncertainty.interval import Interval

_REFERENCE_INSIDE = "the reference sweep is itself a member"
_OTHER_IMPEDANCE = "its sweeps are stated at different reference impedances"
NORMAL = "if the values are normally distributed, which so few cannot show"
"""The assumption behind every interval of a group."""


_TOLD_OF_NEXT = ("best_match", "worst")


@dataclass(frozen=True, slots=True)
class GroupRow:
    """A group with the spread of every figure.

    Attributes
    ----------
    group : Group
    rows : tuple of Row
        The members, in the order of the bench.
    spreads : mapping of str to FigureSpread
        By the figure's JSON key.
    coverage : Coverage or None
    why_not : str
        Why the members cannot be pooled, for example because they were taken at different ends of
        the line; then there are no spreads.
    """

    group: Group
    rows: tuple[Row, ...]
    spreads: Mapping[str, FigureSpread] = field(default_factory=dict)
    coverage: Coverage | None = None
    why_not: str = ""

    @property
    def title(self) -> str:
        """Name with the number and kind of members."""
        what = self.group.kind if len(self.rows) != 1 else self.group.kind.removesuffix("s")
        return f"{one_line(self.group.label)} ({len(self.rows)} {what})"

    @property
    def centre_words(self) -> str:
        """What the members are compared with."""
        key = self.group.reference_key
        return "their mean" if key is None else f'"{self.name_of(key)}"'

    def name_of(self, key: int | None) -> str:
        """Label of a member; empty for none."""
        return next((row.entry.label for row in self.rows if row.entry.key == key), "")


def group_rows(bench: Bench, rows: Sequence[Row]) -> tuple[GroupRow, ...]:
    """Every group of a bench that has rows, in the order of the groups."""
    by_key = {row.entry.key: row for row in rows}
    found = []
    for group in bench.groups:
        members = [by_key[key] for key in group.members if key in by_key]
        if members:
            found.append(group_row(group, members))
    return tuple(found)


def group_row(group: Group, members: Sequence[Row]) -> GroupRow:
    """One group from the rows of its members."""
    problem = mixture([row.entry for row in members])
    if len({row.figures.z0_ohm for row in members}) > 1:
        problem = problem or _OTHER_IMPEDANCE
    if problem:
        return GroupRow(group, tuple(members), why_not=problem)
    spreads = {spec.key: _spread(spec, group, members) for spec in spread_specs()}
    verdicts = [row.figures.verdict for row in members]
    coverage = coverage_of([one.covers for one in verdicts if one is not None])
    return GroupRow(group, tuple(members), spreads, coverage)


def spread_specs() -> tuple[FigureSpec, ...]:
    """The figures that have a spread."""
    return tuple(spec for spec in FIGURES if spec.worst is not None)


def _spread(spec: FigureSpec, group: Group, members: Sequence[Row]) -> FigureSpread:
    if spec.is_change and any(row.is_reference for row in members):
        return FigureSpread(0, why_not=_REFERENCE_INSIDE)
    return figure_spread(
        {row.entry.key: figure_value(spec, row) for row in members},
        spec.worst or "furthest",
        reference_key=group.reference_key,
        least=spec.least,
        bounds={row.entry.key: row.entry.label for row in members if _is_bound(spec, row)},
    )


def figure_value(spec: FigureSpec, row: Row) -> float | None:
    """The number of a figure, in the unit of its key; None where it does not exist."""
    # Where the sweep stops before the dip, neither its place nor its depth is known.
    if spec.id in ("best_match", "best_swr") and row.figures.best_match_at_end:
        return None
    value = spec.value(row)
    return float(value) if isinstance(value, (int, float)) else None


def _is_bound(spec: FigureSpec, row: Row) -> bool:
    return spec.key in row.figures.at_least


def group_cell(spec: FigureSpec, found: GroupRow) -> str:
    """The text of a group's cell: "50.72 (sd 0.11)", how many cover the band, or a dash."""
    if spec.id == "label":
        return found.title
    if spec.id == "condition":
        return one_line(_condition(found))
    if spec.id == "verdict" and found.coverage is not None:
        coverage = found.coverage
        unsure = f", {coverage.cannot_tell} unsure" if coverage.cannot_tell else ""
        return f"{coverage.yes} of {coverage.n}{unsure}"
    spread = found.spreads.get(spec.key)
    if spread is None or spread.mean is None:
        return DASH
    text = number_text(spec, found, spread.mean, spread.sd)
    words = []
    if spread.sd is not None:
        words.append(f"sd {number_text(spec, found, spread.sd, spread.sd, is_size=True)}")
    if spread.n < len(found.rows):
        words.append(f"{spread.n} of {len(found.rows)}")
    return f"{text} ({', '.join(words)})" if words else text


def _condition(found: GroupRow) -> str:
    conditions = {row.entry.condition for row in found.rows}
    return conditions.pop() if len(conditions) == 1 else ""


def number_text(
    spec: FigureSpec, found: GroupRow, value: float, sd: float | None, *, is_size: bool = False
) -> str:
    """A value with as many decimals as two digits of the deviation have; a size has no sign."""
    number = spec.number
    if number is None:
        return DASH
    if math.isinf(value):
        return number.text(found.rows[0], value)
    decimals = _decimals(number, found, value, sd)
    value = round(value / number.scale, decimals)
    places = max(0, decimals)
    return f"{value:.{places}f}" if is_size else number.write(value, places)


def _decimals(number: Number, found: GroupRow, value: float, sd: float | None) -> int:
    most = min(number.decimals(row, value / number.scale) for row in found.rows)
    return min(most, 1 - math.floor(math.log10(sd / number.scale))) if sd else most


def group_tips(spec: FigureSpec, found: GroupRow) -> tuple[str, ...]:
    """What there is to say of one cell of a group beside its text, a line each."""
    if found.why_not:
        return (f"No spread: {found.why_not}",)
    if spec.id == "verdict" and found.coverage is not None:
        return (coverage_words(found.coverage),)
    spread = found.spreads.get(spec.key)
    return (spec.hint,) if spread is None else tuple(spread_words(spec, found, spread))


def coverage_words(coverage: Coverage) -> str:
    """How many cover, and what that says of all such units."""
    unsure = f", {coverage.cannot_tell} undecided" if coverage.cannot_tell else ""
    return (
        f"{coverage.yes} of {coverage.n} cover the band{unsure}; of all such units, between "
        f"{100 * coverage.share.low:.1f} and {100 * coverage.share.high:.1f} % do (95 %, Clopper "
        "and Pearson)"
    )


def next_words(found: GroupRow) -> str:
    """In one sentence where the next unit, or repeat, lies; empty where nothing is known of it."""
    said = []
    for spec in spread_specs():
        spread = found.spreads.get(spec.key)
        if spec.id in _TOLD_OF_NEXT and spread is not None and spread.of_next is not None:
            low, high = (
                number_text(spec, found, one, spread.sd)
                for one in (spread.of_next.low, spread.of_next.high)
            )
            unit = f" {spec.unit}" if spec.unit else ""
            said.append(f"{spec.heading[0].lower()}{spec.heading[1:]} {low} to {high}{unit}")
    if not said:
        return ""
    name = one_line(found.group.label)
    return f"The next of {name}, with 95 % each ({NORMAL}): {'; '.join(said)}."


def spread_words(spec: FigureSpec, found: GroupRow, spread: FigureSpread) -> list[str]:
    """The statements about one figure, one per line."""
    unit = f" {spec.unit}" if spec.unit else ""

    def shown(value: float) -> str:
        return number_text(spec, found, value, spread.sd)

    def between(interval: Interval) -> str:
        return f"between {shown(interval.low)} and {shown(interval.high)}{unit}"

    words = []
    if spread.mean is not None and spread.sd is not None:
        sd = number_text(spec, found, spread.sd, spread.sd, is_size=True)
        words.append(f"Mean of {spread.n}: {shown(spread.mean)}{unit}, standard deviation {sd}")
    else:
        words.append(f"No mean: {spread.why_not}")
    if spread.n > 1 and None not in (spread.median, spread.lowest, spread.highest):
        median, low, high = (
            shown(one or 0.0) for one in (spread.median, spread.lowest, spread.highest)
        )
        words.append(f"Median {median}, from {low} to {high}")
    if spread.worst_key is not None:
        worst = f"Furthest from {found.centre_words}" if spec.worst == "furthest" else "Worst"
        words.append(f'{worst}: "{found.name_of(spread.worst_key)}"')
    if spread.of_next is not None and spread.of_mean is not None:
        words.append(f"The next one lies {between(spread.of_next)} (95 %, {NORMAL})")
        words.append(f"The mean of all such sweeps lies {between(spread.of_mean)}")
    return words
