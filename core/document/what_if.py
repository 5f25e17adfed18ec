"""Sweeps moved along the frequency axis together, as if their antennas were shorter or longer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.transform.apply import apply
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.registry import with_step

if TYPE_CHECKING:
    from collections.abc import Collection

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Step


def with_shift(bench: Bench, keys: Collection[int], change_percent: float) -> Bench:
    """Each of these sweeps with one shift in place of any that it had; 0 leaves none.

    Raises
    ------
    FairleadError
        If one cannot be moved so far.
    """
    step = FrequencyScale(change_percent)
    found = {}
    for key in keys:
        steps = without_shift(bench.entry(key))
        found[key] = with_step(steps, step) if change_percent else steps
    return bench.with_steps_of(found)


def without_shift(entry: Entry) -> tuple[Step, ...]:
    """The steps of a sweep but those that move it along the frequency axis."""
    return tuple(one for one in entry.steps if not isinstance(one, FrequencyScale))


def unmoved(entry: Entry) -> AnySweep:
    """The sweep without those steps."""
    return apply(entry.measured, without_shift(entry))


def shift_of(entry: Entry) -> float:
    """By how many per cent a sweep is moved as it is shown."""
    factor = 1.0
    for one in entry.steps:
        if one.is_on and isinstance(one, FrequencyScale):
            factor *= 1 + one.change_percent / 100
    return 100 * (factor - 1)


def is_last(entry: Entry) -> bool:
    """Whether nothing that depends on the frequency comes after the shift.

    Then the moved sweep is the other one with its frequencies multiplied, point by point.
    """
    return all(isinstance(one, FrequencyScale) or one.leads_to != "radio" for one in _taken(entry))


def _taken(entry: Entry) -> list[Step]:
    return [one for one in entry.steps if one.is_on]
