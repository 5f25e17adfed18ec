"""Applies steps in order; each result is computed once and cached while it is in use."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import TYPE_CHECKING
from weakref import WeakValueDictionary, ref

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.sweep import AnySweep
    from fairlead.core.traced import Traced
    from fairlead.core.transform.step import Step

_Made = WeakValueDictionary["tuple[Step, ...]", "AnySweep"]

# |G| below which its growth by a step says nothing.
_TINY = 1e-6
# Re-entrant, because a measured sweep and its results can be deleted while this is held.
_lock = threading.RLock()
_made: dict[int, tuple[ref[AnySweep], _Made]] = {}


def apply(measured: AnySweep, steps: Sequence[Step]) -> AnySweep:
    """The result of the steps that are on, applied to a measured sweep.

    Parameters
    ----------
    measured : Sweep or ScalarSweep
        Compared by identity.
    steps : sequence of Step
        In order; with none, or none on, the measured sweep is returned.

    Returns
    -------
    Sweep or ScalarSweep
        The same object for the same measured sweep and equal steps while it is in use, because
        analyses are cached by identity. Safe on any thread.

    Raises
    ------
    FairleadError
        From the first step that cannot be applied.
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
    if measured.traced is not None:
        sweep = replace(sweep, traced=_traced(measured.traced, measured, sweep))
    with _lock:
        return by_steps.setdefault(taken, sweep)


def _traced(traced: Traced, before: AnySweep, after: AnySweep) -> Traced:
    """How well the result is known, point by point.

    Where a step enlarges |G|, it enlarges its error too; what reduces it is not trusted to.
    """
    larger = np.maximum(1.0, after.magnitude / np.maximum(before.magnitude, _TINY))
    stretch = float(after.frequency_hz[-1] / before.frequency_hz[-1])
    return replace(
        traced,
        sigma=traced.sigma * larger,
        frequency_sigma_hz=traced.frequency_sigma_hz * stretch,
    )


def _results_of(measured: AnySweep) -> _Made:
    key = id(measured)
    if key not in _made:
        # The id can be reused by another sweep as soon as this one is deleted.
        _made[key] = (ref(measured, lambda _: _made.pop(key, None)), WeakValueDictionary())
    return _made[key][1]
