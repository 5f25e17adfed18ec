"""The change of a quantity: its value in a sweep minus that in the reference, at each frequency.

Grids may differ: the reference is interpolated where its points are close enough. Outside the
reference's span, and where its points are too far apart, there is no change and no line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.views.points import Sample, joined_points, known_magnitude
from fairlead.core.views.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray
    from fairlead.core.uncertainty.point_range import PointRange
    from fairlead.core.views.points import Points
    from fairlead.core.views.scale import Scale

    _Get = Callable[[Points], FloatArray]


def change_of(
    base: Quantity,
    *,
    menu: str,
    hint: str,
    scale: Scale,
    text: Callable[[float], str],
    specimen: str,
    keys: tuple[str, ...] = (),
) -> Quantity:
    """The change of a quantity against the reference, as a view of its own.

    Its values are NaN until `Quantity.against` was given a reference. An SWR limit says nothing
    about a change, so it has no limit line.

    Parameters
    ----------
    base : Quantity
        What is subtracted; with a period, the change is the shorter way round.
    menu, hint, scale, text, specimen, keys
        As those of `Quantity`.
    """
    made = Quantity(
        id=f"{base.id}-change",
        title=menu.replace("&", ""),
        menu=menu,
        unit=base.unit,
        hint=hint,
        needs_phase=base.needs_phase,
        values=lambda points: np.full(points.power.shape, math.nan),
        scale=scale,
        text=text,
        specimen=specimen,
        above_one="" if base.exists_above_one else base.above_one,
        period=base.period,
        keys=keys,
    )

    def against(reference: Analysis) -> Quantity:
        beside = _Beside.of(reference)

        def values(points: Points) -> FloatArray:
            there = beside.values(base, points.frequency_hz)
            # Infinite minus infinite is not drawn, and no reason for a warning.
            with np.errstate(invalid="ignore"):
                return _difference(base, base.values(points), there)

        return replace(made, values=values, of_two=partial(_range_of, base, beside))

    return replace(made, against=against)


def _range_of(
    base: Quantity,
    beside: _Beside,
    own: Analysis,
    points: PointRange,
    other: PointRange,
    index: IntArray,
) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest change, shape (k,) each, from two statements of one kind.

    Noise of two sweeps is independent: root of the sum of squares. Bounds are added: nobody states
    that two sweeps share one calibration, and even then its errors cancel only as far as both
    reflections have one phase.
    """
    at_hz = own.frequency_hz[index]
    halves = (
        points.half[index],
        np.interp(at_hz, beside.reference.frequency_hz, other.half),
    )
    mine = partial(_picked, own, index)
    there = partial(beside.values_by, at_hz)
    with np.errstate(invalid="ignore"):
        (value, low, high), (their_value, their_low, their_high) = (
            _sides(base, values_by, half, own.z0_ohm)
            for values_by, half in zip((mine, there), halves, strict=True)
        )
        change = _difference(base, value, their_value)
        joined = np.add if points.is_accuracy else np.hypot
        # What raises the reference lowers the change.
        return (
            change - joined(value - low, their_high - their_value),
            change + joined(high - value, their_value - their_low),
        )


def _picked(own: Analysis, index: IntArray, get: _Get) -> FloatArray:
    return get(Sample.picked(own, index))


def _sides(
    base: Quantity, values_by: Callable[[_Get], FloatArray], half: FloatArray, z0_ohm: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Value of a quantity, the lowest and the highest it may have, shape (k,) each."""
    if base.of_disc is not None:
        gamma = values_by(_real) + 1j * values_by(_imag)
        value = base.of_disc(gamma, np.zeros_like(half), z0_ohm)[0]
        # An open circuit has no impedance, and so no change of one.
        value = np.where(np.isfinite(value), value, math.nan)
        return value, *base.of_disc(gamma, half, z0_ohm)
    size = values_by(known_magnitude)
    (value, _), ends = base.extremes(size, np.zeros_like(half)), base.extremes(size, half)
    return value, np.minimum(*ends), np.maximum(*ends)


def _real(points: Points) -> FloatArray:
    return _reflection(points).real


def _imag(points: Points) -> FloatArray:
    return _reflection(points).imag


def _reflection(points: Points) -> ComplexArray:
    found: ComplexArray = np.asarray(points.reflection, dtype=np.complex128)
    return found


def _difference(base: Quantity, value: FloatArray, their_value: FloatArray) -> FloatArray:
    """The change, the shorter way round for what has a period."""
    change: FloatArray = value - their_value
    if base.period is not None:
        half = base.period / 2
        change = (change + half) % base.period - half
    return change


@dataclass(frozen=True, slots=True, eq=False)
class _Beside:
    """The reference at the frequencies of another sweep.

    Attributes
    ----------
    reference : Analysis
    joined : IntArray, shape (k,)
        Its points that the curve goes through.
    grid_hz : FloatArray, shape (k,)
    """

    reference: Analysis
    joined: IntArray
    grid_hz: FloatArray

    @classmethod
    def of(cls, reference: Analysis) -> _Beside:
        joined = joined_points(reference)
        if joined is None:
            joined = np.arange(reference.power.size)
        return cls(reference, joined, reference.frequency_hz[joined])

    def values(self, base: Quantity, at_hz: FloatArray) -> FloatArray:
        """Values of the reference at frequencies, shape (m,): as measured, or interpolated."""
        if not base.occurs_in(self.reference):
            return np.full(at_hz.shape, math.nan)
        return self.values_by(at_hz, base.values)

    def values_by(self, at_hz: FloatArray, get: _Get) -> FloatArray:
        """The same for whatever points have."""
        values = np.full(at_hz.shape, math.nan)
        place = np.minimum(np.searchsorted(self.grid_hz, at_hz), self.grid_hz.size - 1)
        is_measured = self.grid_hz[place] == at_hz
        measured = Sample.picked(self.reference, self.joined[place[is_measured]])
        values[is_measured] = get(measured)
        is_between = ~is_measured & self._is_supported(at_hz)
        if is_between.any():
            values[is_between] = get(Sample.between(self.reference, at_hz[is_between]))
        return values

    def _is_supported(self, at_hz: FloatArray) -> BoolArray:
        """Inside the span, and not where points are too far apart."""
        found: BoolArray = (at_hz >= self.grid_hz[0]) & (at_hz <= self.grid_hz[-1])
        for low_hz, high_hz in self.reference.gaps:
            found &= (at_hz <= low_hz) | (at_hz >= high_hz)
        return found
