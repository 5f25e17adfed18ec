"""One sweep read off at one frequency: a value, a lower bound, or none with its reason.

The SWR is that of the band edges (`fairlead.core.in_band.swr`): interpolated, without the noise
that raises it, and not where the points are too far apart to say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.viewed import NO_PHASE
from fairlead.core.in_band.part import is_supported, within
from fairlead.core.in_band.swr import edge_swr
from fairlead.core.views.points import Sample
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.views.quantity import Quantity

_NOTHING_THERE = "nothing to compare with at this frequency"
_NO_VALUE = "no such value: all comes back"
_BOUND = "beyond the meter's scale"


@dataclass(frozen=True, slots=True)
class PointValue:
    """A quantity of a sweep at a frequency.

    Attributes
    ----------
    value : float or None
        None if it does not exist; may be infinite.
    why_not : str
        The reason if there is none.
    is_bound : bool
        Only a bound is known: the SWR is at least that, the return loss at most.
    """

    value: float | None
    why_not: str = ""
    is_bound: bool = False


def value_at(quantity: Quantity, analysis: Analysis, frequency_hz: float) -> PointValue:
    """A quantity of a sweep at a frequency in Hz.

    A change must be bound to its reference already (`Quantity.against`).
    """
    inside_hz = within(analysis, frequency_hz)
    swr = edge_swr(analysis, inside_hz)
    if quantity is SWR:
        return PointValue(swr.value, swr.why_not, swr.is_bound)
    if inside_hz is None or not is_supported(analysis, inside_hz):
        return PointValue(None, swr.why_not)
    if not quantity.occurs_in(analysis):
        return PointValue(None, NO_PHASE)
    at_hz, track = np.array([inside_hz]), analysis.track
    is_bound = track.is_bound_at(inside_hz)
    power = track.least_power_at_one(inside_hz) if is_bound else track.calm_power_at_one(inside_hz)
    if is_bound and quantity.of_magnitude is None:
        return PointValue(None, _BOUND)
    reflection = None if analysis.reflection is None else analysis.reflection_at(at_hz)
    value = float(quantity.values(Sample(at_hz, np.array([power]), reflection, analysis.z0_ohm))[0])
    if math.isnan(value):
        why_not = swr.why_not if not quantity.exists_above_one else ""
        is_change = quantity.id.endswith("-change")
        return PointValue(None, why_not or (_NOTHING_THERE if is_change else _NO_VALUE))
    return PointValue(value, is_bound=is_bound)


def reflection_at(analysis: Analysis, frequency_hz: float) -> complex | None:
    """The reflection of a sweep at a frequency in Hz; None where `value_at` has no resistance."""
    inside_hz = within(analysis, frequency_hz)
    if inside_hz is None or analysis.reflection is None or not is_supported(analysis, inside_hz):
        return None
    return complex(analysis.reflection_at(np.array([inside_hz]))[0])
