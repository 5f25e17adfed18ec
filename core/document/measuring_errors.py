"""The analyzer's errors of one sweep, through all steps from measured to shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

import numpy as np

from fairlead.core.reflection import renormalise
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.error_model import (
    UNKNOWN,
    ErrorModel,
    PointErrors,
    errors_along,
    gain_of,
)

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Instrument
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Step


def instrument_of(bench: Bench, entry: Entry) -> Instrument | None:
    """The instrument that measured a sweep; None if not stated."""
    return next((one for one in bench.instruments if one.key == entry.instrument_key), None)


def error_model_of(bench: Bench, entry: Entry) -> ErrorModel:
    """The errors of the instrument that measured a sweep; `UNKNOWN` if not stated."""
    one = instrument_of(bench, entry)
    if one is None:
        return UNKNOWN
    return ErrorModel(one.directivity_db, one.source_match_db, one.tracking_db)


def errors_of(bench: Bench, entry: Entry) -> PointErrors | None:
    """The analyzer's errors along a sweep as shown, at the bench's reference impedance.

    What a step's own tolerances may add counts as one more error of unknown phase. None where the
    analyzer's errors are not known.
    """
    model = error_model_of(bench, entry)
    if not model.is_known:
        return None
    measured, z0_ohm = entry.measured, bench.z0_ohm
    if isinstance(measured, Sweep):
        reflection = measured.reflection
        gain = gain_of(lambda gamma: _through(entry, measured, gamma, z0_ohm), reflection)
        along = errors_along(model, reflection, gain)
    else:
        # Without phase the relative phase of the errors is unknown: magnitudes are enough.
        along = errors_along(model, measured.magnitude.astype(np.complex128), _size_gain(entry))
    added = _added(entry)
    return PointErrors(model, (*along.terms, added)) if added.any() else along


def _through(entry: Entry, measured: Sweep, gamma: ComplexArray, z0_ohm: float) -> ComplexArray:
    """The reflection that would be shown, had this one been measured."""
    sweep: AnySweep = Sweep(measured.frequency_hz, gamma, measured.z0_ohm)
    for step in _taken(entry):
        sweep = step.applied(sweep)
    # Every step keeps the kind of a sweep.
    return renormalise(cast("Sweep", sweep).reflection, sweep.z0_ohm, z0_ohm)


def _taken(entry: Entry) -> list[Step]:
    return [step for step in entry.steps if step.is_on]


def _size_gain(entry: Entry) -> ComplexArray:
    gain, sweep = np.ones(len(entry.measured), dtype=np.complex128), entry.measured
    for step in _taken(entry):
        sweep = step.applied(sweep)
        gain = gain * step.error_gain(sweep)
    return gain


def _added(entry: Entry) -> ComplexArray:
    added, sweep = np.zeros(len(entry.measured), dtype=np.complex128), entry.measured
    for step in _taken(entry):
        sweep = step.applied(sweep)
        added = added * step.error_gain(sweep) + step.added_error(sweep)
    return added
