"""The spread of figures over a group: units of one kind, or repeats.

Every number states how many members have the figure, and why there is no mean if one of them has
only a bound or an infinite value. Leaving that member out would make the group look better than it
is.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from fairlead.core.arrays import median
from fairlead.core.uncertainty.interval import Interval
from fairlead.core.uncertainty.quantiles import share_interval
from fairlead.core.uncertainty.repeats import spread_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.verdict import Covers

Worst = Literal["highest", "lowest", "furthest"]
"""Which member is the worst in a figure; "furthest" from the group's reference or mean."""

# Two members equally far above and below their mean differ only by rounding.
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class FigureSpread:
    """One figure over the members that have it.

    Attributes
    ----------
    n : int
        Members that have it.
    mean, sd : float or None
        Mean, and standard deviation with n - 1. None with `why_not`.
    median : float or None
    lowest, highest : float or None
    centre : float or None
        What the members are compared with: the value of the chosen reference, else the mean.
    worst_key : int or None
        Key of the worst member; None if two are equally bad, or without a comparison.
    of_mean, of_next : Interval or None
        95 % t intervals of the mean and of the next member, if they are normally distributed. The
        second is limited to possible values. None with fewer than two.
    why_not : str
        Why there is no mean or no spread.
    """

    n: int
    mean: float | None = None
    sd: float | None = None
    median: float | None = None
    lowest: float | None = None
    highest: float | None = None
    centre: float | None = None
    worst_key: int | None = None
    of_mean: Interval | None = None
    of_next: Interval | None = None
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Coverage:
    """How many members cover the band.

    Attributes
    ----------
    yes, no, cannot_tell : int
        A member whose worst SWR is nearer to the limit than its own uncertainty counts as "cannot
        tell".
    share : Interval
        The share of all such units that cover it, at 95 % (`share_interval`): its low end counts
        undecided members as no, its high end as yes.
    """

    yes: int
    no: int
    cannot_tell: int
    share: Interval

    @property
    def n(self) -> int:
        """All members."""
        return self.yes + self.no + self.cannot_tell


def coverage_of(verdicts: Sequence[Covers]) -> Coverage:
    """Count the verdicts of all members."""
    found = Counter(verdicts)
    yes, unsure, n = found["yes"], found["cannot tell"], len(verdicts)
    low, high = share_interval(yes, n).low, share_interval(yes + unsure, n).high
    return Coverage(yes, found["no"], unsure, Interval(low, high))


def figure_spread(
    values: Mapping[int, float | None],
    worst: Worst,
    *,
    reference_key: int | None = None,
    least: float | None = None,
    bounds: Mapping[int, str] | None = None,
) -> FigureSpread:
    """The spread of one figure.

    Parameters
    ----------
    values : mapping of int to float or None
        By key of the member, None where it does not have the figure; may be infinite.
    worst : {"highest", "lowest", "furthest"}
    reference_key : int, optional
        The member that the others are compared with; by default their mean.
    least : float, optional
        No value can be less.
    bounds : mapping of int to str, optional
        Names of the members, by key, whose value is only a lower bound.
    """
    known = {key: value for key, value in values.items() if value is not None}
    if not known:
        return FigureSpread(0, why_not="no member has this figure")
    ordered = sorted(known.values())
    reference = None if reference_key is None else known.get(reference_key)
    found = FigureSpread(
        n=len(known),
        median=median(np.array(ordered)),
        lowest=ordered[0],
        highest=ordered[-1],
        centre=reference,
        why_not=_no_mean(known, bounds or {}),
    )
    if not found.why_not:
        spread = spread_of(ordered)
        if spread is None:
            found = replace(found, mean=ordered[0], why_not="only one member has this figure")
        else:
            low = spread.of_next.low if least is None else max(least, spread.of_next.low)
            found = replace(
                found,
                mean=spread.mean,
                sd=spread.sd,
                of_mean=spread.of_mean,
                of_next=Interval(low, spread.of_next.high),
            )
    if reference_key is None:
        found = replace(found, centre=found.mean)
    return replace(found, worst_key=_worst(known, worst, found.centre))


def _no_mean(known: Mapping[int, float], bounds: Mapping[int, str]) -> str:
    named = [name for key, name in bounds.items() if key in known]
    if named:
        return f'"{named[0]}" has only a lower bound of this figure'
    if any(math.isinf(value) for value in known.values()):
        return "a member has an infinite value"
    return ""


def _worst(known: Mapping[int, float], worst: Worst, centre: float | None) -> int | None:
    if len(known) < 2 or (worst == "furthest" and centre is None):
        return None

    def badness(key: int) -> float:
        if worst == "furthest":
            return abs(known[key] - (centre or 0.0))
        return known[key] if worst == "highest" else -known[key]

    first, second = sorted(known, key=badness, reverse=True)[:2]
    is_ahead = badness(first) - badness(second) > _SAME * abs(known[second])
    return first if is_ahead else None
