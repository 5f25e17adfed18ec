"""What one condition costs compared with another, with its uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.advice.places import Place, PlaceKey, SweepBudget


@dataclass(frozen=True, slots=True)
class Difference:
    """More or less power into the antenna than with the reference.

    Attributes
    ----------
    key : str
        low_edge, high_edge or worst: of the last each sweep has its own frequency.
    difference_db : float
        Negative: less power.
    half_db : float or None
        Half width of its interval.
    """

    key: PlaceKey
    difference_db: float
    half_db: float | None

    @property
    def is_resolved(self) -> bool:
        """Whether it is at least as large as its uncertainty; true if that is unknown."""
        return self.half_db is None or abs(self.difference_db) >= self.half_db


def differences(own: SweepBudget, reference: SweepBudget) -> tuple[Difference, ...]:
    """Power against that of a reference at each place that both have.

    Half widths from noise add in quadrature; bounds of the analyzer's error add.
    """
    found = []
    keys: tuple[PlaceKey, ...] = ("low_edge", "high_edge", "worst")
    for key in keys:
        pair = own.place(key), reference.place(key)
        powers_w = [0.0 if one.steps is None else one.steps.power_w for one in pair]
        if min(powers_w) <= 0:
            continue
        halves = [_half_db(one) for one in pair]
        known = [half for half in halves if half is not None]
        is_bound = any(one.is_bound for one in pair)
        half_db = None
        if len(known) == len(halves):
            half_db = sum(known) if is_bound else math.hypot(*known)
        found.append(Difference(key, 10 * math.log10(powers_w[0] / powers_w[1]), half_db))
    return tuple(found)


def _half_db(place: Place) -> float | None:
    if place.power is None:
        return None
    if place.power.low <= 0:
        return math.inf
    return 10 * math.log10(place.power.high / place.power.low) / 2
