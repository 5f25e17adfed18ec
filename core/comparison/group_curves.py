"""Envelope and mean curve of a group.

All members are evaluated at the frequencies of the one with the most points, within the range that
all of them cover; the others are interpolated, as for their figures. Where the points of one are
too far apart, there is neither envelope nor mean.

The mean of SWR and return loss is the value at the mean |reflection|, so that an infinite SWR of
one unit does not make the mean infinite, and all views of |reflection| agree. The mean of R, X and
|Z| is that of the ohms; on the Smith chart it is that of the complex reflection, which is a
different curve: units that miss the centre on opposite sides have a mean closer to it than any of
them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from fairlead.core.views.points import Sample

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray
    from fairlead.core.views.quantity import Quantity
    from fairlead.core.views.scale import Span

_MOST_POINTS = 2001
_NO_SPAN = "its sweeps have no frequency in common"
_NO_SUPPORT = "the points of one sweep are too far apart everywhere"
_OTHER_IMPEDANCE = "its sweeps are stated at different reference impedances"


class Envelope(NamedTuple):
    """Positions on the axis of a quantity, shape (n,) each; NaN where there is none."""

    low: FloatArray
    mean: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class GroupCurves:
    """All members of a group at the same frequencies.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    members : tuple of Sample
        In the order of the group.
    is_known : BoolArray, shape (n,)
        Where the points of every member are close enough.
    why_not : str
        Why there are no curves; empty if there are.
    """

    frequency_hz: FloatArray = field(default_factory=lambda: np.empty(0))
    members: tuple[Sample, ...] = ()
    is_known: BoolArray = field(default_factory=lambda: np.empty(0, dtype=np.bool_))
    why_not: str = ""

    def envelope(self, quantity: Quantity) -> Envelope | None:
        """Least, mean and largest value of a quantity as positions on its axis.

        None without curves, if a member lacks the quantity, if the quantity is cyclic and so has no
        least value, or if each sweep has its own frequency scale.
        """
        lacks = quantity.needs_phase and any(one.reflection is None for one in self.members)
        if self.why_not or lacks or quantity.period is not None or quantity.is_scaled:
            return None
        if quantity.of_magnitude is None:
            values = np.stack([quantity.values(one) for one in self.members])
            mean = values.mean(axis=0)
        else:
            size = np.stack([np.sqrt(one.power) for one in self.members])
            values, mean = quantity.of_magnitude(size), quantity.of_magnitude(size.mean(axis=0))
        with np.errstate(invalid="ignore"):
            places = np.stack([quantity.scale.positions(one) for one in values])
            ends = places.min(axis=0), quantity.scale.positions(mean), places.max(axis=0)
        return Envelope(*(np.where(self.is_known, one, np.nan) for one in ends))

    def seen(self, quantity: Quantity, low_hz: float, high_hz: float) -> Span | None:
        """Lowest and highest position of the envelope between two frequencies; None without one."""
        envelope = self.envelope(quantity)
        if envelope is None:
            return None
        inside = (self.frequency_hz >= low_hz) & (self.frequency_hz <= high_hz)
        places = np.concatenate((envelope.low[inside], envelope.high[inside]))
        places = places[np.isfinite(places)]
        return (float(places.min()), float(places.max())) if places.size else None

    @property
    def reflections(self) -> ComplexArray | None:
        """Reflection of all members, shape (m, n), NaN if unknown; None without curves or phase."""
        own = [one.reflection for one in self.members if one.reflection is not None]
        if self.why_not or len(own) < len(self.members):
            return None
        return np.where(self.is_known, np.stack(own), complex(np.nan, np.nan))


def group_curves(analyses: Sequence[Analysis]) -> GroupCurves:
    """The curves of a group.

    Parameters
    ----------
    analyses : sequence of Analysis
        Of its members, all at one reference impedance.
    """
    if len({one.z0_ohm for one in analyses}) > 1:
        return GroupCurves(why_not=_OTHER_IMPEDANCE)
    low_hz = max(float(one.frequency_hz[0]) for one in analyses)
    high_hz = min(float(one.frequency_hz[-1]) for one in analyses)
    if low_hz >= high_hz:
        return GroupCurves(why_not=_NO_SPAN)
    frequency_hz = _grid(analyses, low_hz, high_hz)
    is_known = np.ones(frequency_hz.size, dtype=np.bool_)
    for one in analyses:
        for first_hz, last_hz in one.gaps:
            is_known &= ~((frequency_hz > first_hz) & (frequency_hz < last_hz))
    if not (is_known[1:] & is_known[:-1]).any():
        return GroupCurves(why_not=_NO_SUPPORT)
    members = tuple(Sample.between(one, frequency_hz) for one in analyses)
    return GroupCurves(frequency_hz, members, is_known)


def _grid(analyses: Sequence[Analysis], low_hz: float, high_hz: float) -> FloatArray:
    """Points of the densest member with both ends of the range; an even grid if there are many."""
    inside = [
        one.frequency_hz[(one.frequency_hz > low_hz) & (one.frequency_hz < high_hz)]
        for one in analyses
    ]
    densest = max(inside, key=len)
    if densest.size + 2 > _MOST_POINTS:
        return np.linspace(low_hz, high_hz, _MOST_POINTS)
    return np.concatenate(([low_hz], densest, [high_hz]))
