"""Applies steps one after the other; each result is made once and kept while anybody uses it."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING
from weakref import WeakValueDictionary, ref

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Step

_Made = WeakValueDictionary["tuple[Step, ...]", "AnySweep"]

_lock = threading.RLock()  # a measured sweep may die, and its results with it, while it is held
_made: dict[int, tuple[ref[AnySweep], _Made]] = {}


def apply(measured: AnySweep, steps: Sequence[Step]) -> AnySweep:
    """What the steps that are on make of a measured sweep.

    Parameters
    ----------
    measured : Sweep or ScalarSweep
        Known by identity.
    steps : sequence of Step
        In the order in which they are taken; with none, or none on, the measured sweep comes back.

    Returns
    -------
    Sweep or ScalarSweep
        The same object for the same measured sweep and equal steps while it is held: what was
        worked out for a sweep is known by its identity. Safe on any thread.

    Raises
    ------
    FairleadError
        From the first step that cannot be taken.
    """
    taken = tuple(step for step in steps if step.is_on)
    if not taken:
        return measured
    with _lock:
        by_steps = _results_of(measured)
        found = by_steps.get(taken)
    if found is not None:
        return found
    sweep = measured
    for step in taken:
        sweep = step.applied(sweep)
    with _lock:
        return by_steps.setdefault(taken, sweep)


def _results_of(measured: AnySweep) -> _Made:
    key = id(measured)
    if key not in _made:
        # The number is free for another sweep the moment this one is gone.
        _made[key] = (ref(measured, lambda _: _made.pop(key, None)), WeakValueDictionary())
    return _made[key][1]
