"""Dry, wet, dry again: the effect of water, separated from drift.

Two sweeps of one antenna hours apart also differ because it has moved, warmed up, or been plugged
in again. A third sweep, taken when the condition is over, shows that drift. The rest of the change
is the effect. The same applies to a cable that is choked, held by hand, and choked again.

With times, the baseline at the time of the middle sweep is on the straight line between the other
two: the drift is assumed to be steady. Without times it may be anywhere between them, and half of
the drift is added to the uncertainty.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.repeats.difference import Difference, weighted
from fairlead.core.comparison.rows import OTHER_IMPEDANCE, OTHER_PLANE
from fairlead.core.transform.step import is_comparable
from fairlead.core.uncertainty.interval import Intervals

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.uncertainty.interval import Interval

FIGURES = ("best_match_hz", "best_match_swr", "worst_swr", "usable_width_hz", "q")
"""JSON keys of the figures to compare, the most telling first."""

_SAME = "choose a different sweep for each"
_NOT_BETWEEN = "the sweep during was not taken between the other two; check times and choices"
_MISSING = "one of the sweeps does not have it"
_INFINITE = "it is infinite in one of the sweeps"
_AT_END = "it is at the end of one of the sweeps"
_AT_RADIO = "at the radio's end it is that of feed line and antenna together"


@dataclass(frozen=True, slots=True)
class Stages:
    """One figure in all sweeps, with the drift and the effect that came and went.

    Attributes
    ----------
    before, during : float
    after : float or None
    drift : Difference or None
        After minus before; None without a sweep after.
    effect : Difference
        During minus the baseline at that time.
    """

    before: float
    during: float
    after: float | None
    drift: Difference | None
    effect: Difference


@dataclass(frozen=True, slots=True)
class Compared:
    """All figures of the sweeps before, during and after.

    Attributes
    ----------
    before, during : Row
    after : Row or None
    minutes : tuple of float, or None
        Times of the three; None if they are unknown or there are only two.
    figures : mapping of str to Stages
        By JSON key; a figure that one of the sweeps does not have is left out.
    why_not : mapping of str to str
        Why it is left out, by JSON key.
    """

    before: Row
    during: Row
    after: Row | None
    minutes: tuple[float, ...] | None
    figures: Mapping[str, Stages]
    why_not: Mapping[str, str]


def compare_stages(
    before: Row, during: Row, after: Row | None, minutes: tuple[float, ...] | None = None
) -> Compared | str:
    """The effect and the drift of every figure.

    Parameters
    ----------
    before, during, after : Row
        Of one bench, with their intervals. Without a sweep after, drift is unknown.
    minutes : tuple of float, length 3, or None
        When they were taken, if known.

    Returns
    -------
    Compared or str
        A string, the reason, if the sweeps cannot be compared at all.
    """
    rows = [before, during] if after is None else [before, during, after]
    if len({row.entry.key for row in rows}) < len(rows):
        return _SAME
    if len({row.figures.z0_ohm for row in rows}) > 1:
        return OTHER_IMPEDANCE
    planes = [row.entry.seen_at for row in rows]
    if not all(is_comparable(one, other) for one in planes for other in planes):
        return OTHER_PLANE
    if after is None:
        minutes = None
    elif minutes is not None and not minutes[0] < minutes[1] < minutes[2]:
        return _NOT_BETWEEN
    figures: dict[str, Stages] = {}
    why_not: dict[str, str] = {}
    for key in FIGURES:
        values = [getattr(row.figures, key) for row in rows]
        reason = _why_not(key, rows, values)
        if reason:
            why_not[key] = reason
        else:
            figures[key] = _stages(key, rows, values, minutes)
    return Compared(before, during, after, minutes, figures, why_not)


def _why_not(key: str, rows: Sequence[Row], values: Sequence[float | None]) -> str:
    if key == "q" and any(row.entry.seen_at == "radio" for row in rows):
        return _AT_RADIO
    if any(value is None for value in values):
        return _MISSING
    if any(value is not None and math.isinf(value) for value in values):
        return _INFINITE
    if key.startswith("best_match") and any(row.figures.best_match_at_end for row in rows):
        return _AT_END
    return ""


def _stages(
    key: str,
    rows: Sequence[Row],
    values: Sequence[float],
    minutes: tuple[float, ...] | None,
) -> Stages:
    known = [row.intervals.get(key) for row in rows]
    if len(rows) == 2:
        effect = weighted(values, known, (-1.0, 1.0))
        return Stages(values[0], values[1], None, None, effect)
    drift = weighted((values[0], values[2]), (known[0], known[2]), (-1.0, 1.0))
    if minutes is None:
        # Wherever the baseline lies between the two, its noise is at most that of the noisier one.
        middle = (values[0] + values[2]) / 2
        beside = (known[1], _wider(known[0], known[2]))
        effect = weighted((values[1], middle), beside, (1.0, -1.0), spread=abs(drift.value) / 2)
    else:
        share = (minutes[1] - minutes[0]) / (minutes[2] - minutes[0])
        effect = weighted(values, known, (share - 1, 1.0, -share))
    return Stages(values[0], values[1], values[2], drift, effect)


def _wider(one: Intervals | None, other: Intervals | None) -> Intervals | None:
    """The wider interval of each kind; None if one is unknown."""
    if one is None or other is None:
        return None

    def pick(first: Interval | None, second: Interval | None) -> Interval | None:
        if first is None or second is None:
            return None
        return max(first, second, key=lambda interval: interval.high - interval.low)

    return Intervals(
        pick(one.repeatability, other.repeatability), pick(one.accuracy, other.accuracy)
    )
