"""A sweep: what an analyzer measured at one port over frequency.

Two kinds, never mixed up: `Sweep` carries the complex reflection coefficient, `ScalarSweep`
only its magnitude (a meter that showed SWR or return loss), from which no impedance follows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import SweepError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray
    from fairlead.core.traced import Traced


LARGEST_MAGNITUDE = 1e9
"""No |reflection| is larger; what is comes from other quantities taken for reflections."""


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class Sweep:
    """Complex reflection coefficient over frequency.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,), n >= 2
        Strictly increasing, positive, finite. Read-only.
    reflection : ComplexArray, shape (n,)
        Reflection coefficient at ``z0_ohm``; may exceed 1 in magnitude. Read-only.
    z0_ohm : float
        Real, positive reference impedance of ``reflection``.
    traced : Traced or None
        How well it is known, if it was not measured but traced from a picture.

    Raises
    ------
    SweepError
        If the arrays break any of the rules above.
    """

    frequency_hz: FloatArray
    reflection: ComplexArray
    z0_ohm: float = 50.0
    traced: Traced | None = None
    _digest: int = field(init=False, repr=False)

    def __post_init__(self) -> None:
        frequency_hz = _checked_frequency(self.frequency_hz)
        reflection = _as_complexes(self.reflection)
        _check_values(frequency_hz, reflection, "reflection")
        object.__setattr__(self, "frequency_hz", frequency_hz)
        object.__setattr__(self, "reflection", reflection)
        object.__setattr__(self, "z0_ohm", _checked_z0(self.z0_ohm))
        digest = _digest(frequency_hz, reflection, self.z0_ohm)
        object.__setattr__(self, "_digest", _with_traced(digest, self.traced, frequency_hz))

    def at_frequencies(self, frequency_hz: FloatArray) -> Sweep:
        """The same values at other frequencies, shape (n,); the array of values is shared.

        How well a traced sweep is known is left out: it depends on what moved it.

        Raises
        ------
        SweepError
            If the frequencies break any of the rules, or are of another number.
        """
        moved = _checked_frequency(frequency_hz)
        _check_number(moved, self.reflection, "reflection")
        sweep = object.__new__(Sweep)
        object.__setattr__(sweep, "frequency_hz", moved)
        object.__setattr__(sweep, "reflection", self.reflection)
        object.__setattr__(sweep, "z0_ohm", self.z0_ohm)
        object.__setattr__(sweep, "traced", None)
        object.__setattr__(sweep, "_digest", _digest(moved, self.reflection, self.z0_ohm))
        return sweep

    @property
    def magnitude(self) -> FloatArray:
        """|reflection|, shape (n,), dimensionless; computed at each call."""
        magnitude: FloatArray = np.abs(self.reflection)
        return magnitude

    @property
    def has_phase(self) -> bool:
        """True: impedance is known."""
        return True

    def __len__(self) -> int:
        """Number of points."""
        return self.frequency_hz.size

    def __eq__(self, other: object) -> bool:
        """Equal kind, points, values and reference impedance."""
        return self is other or (
            isinstance(other, Sweep)
            and self._digest == other._digest
            and self.z0_ohm == other.z0_ohm
            and np.array_equal(self.frequency_hz, other.frequency_hz)
            and np.array_equal(self.reflection, other.reflection)
            and self.traced == other.traced
        )

    def __hash__(self) -> int:
        """Hash of the content, computed once: sweeps are keys of caches."""
        return self._digest


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class ScalarSweep:
    """Magnitude of the reflection coefficient over frequency; the phase was not measured.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,), n >= 2
        Strictly increasing, positive, finite. Read-only.
    magnitude : FloatArray, shape (n,)
        |reflection|, finite, not negative, may exceed 1. Read-only.
    z0_ohm : float
        Reference impedance of the instrument that measured it.
    is_bound : BoolArray, shape (n,), or None
        Where ``magnitude`` is only a lower bound, because the meter's scale ended ("> 10"). None
        if nowhere. Read-only.
    traced : Traced or None
        How well it is known, if it was not measured but traced from a picture.

    Raises
    ------
    SweepError
        If the arrays break any of the rules above.
    """

    frequency_hz: FloatArray
    magnitude: FloatArray
    z0_ohm: float = 50.0
    is_bound: BoolArray | None = None
    traced: Traced | None = None
    _digest: int = field(init=False, repr=False)

    def __post_init__(self) -> None:
        frequency_hz = _checked_frequency(self.frequency_hz)
        magnitude = _as_floats(self.magnitude)
        _check_values(frequency_hz, magnitude, "magnitude")
        if (magnitude < 0).any():
            raise SweepError(
                "a magnitude of the reflection is negative",
                "give |G| from 0 upwards, not decibels",
            )
        is_bound = _checked_bounds(self.is_bound, frequency_hz)
        object.__setattr__(self, "frequency_hz", frequency_hz)
        object.__setattr__(self, "magnitude", magnitude)
        object.__setattr__(self, "z0_ohm", _checked_z0(self.z0_ohm))
        object.__setattr__(self, "is_bound", is_bound)
        digest = _digest(frequency_hz, magnitude, self.z0_ohm)
        if is_bound is not None:
            digest = hash((digest, is_bound.tobytes()))
        object.__setattr__(self, "_digest", _with_traced(digest, self.traced, frequency_hz))

    def with_values(
        self,
        frequency_hz: FloatArray | None = None,
        magnitude: FloatArray | None = None,
        z0_ohm: float | None = None,
    ) -> ScalarSweep:
        """The same points with other values; bounds stay bounds."""
        return ScalarSweep(
            self.frequency_hz if frequency_hz is None else frequency_hz,
            self.magnitude if magnitude is None else magnitude,
            self.z0_ohm if z0_ohm is None else z0_ohm,
            self.is_bound,
            self.traced,
        )

    @property
    def has_phase(self) -> bool:
        """False: no impedance, no resonance, no Q."""
        return False

    def __len__(self) -> int:
        """Number of points."""
        return self.frequency_hz.size

    def __eq__(self, other: object) -> bool:
        """Equal kind, points, values and reference impedance."""
        return self is other or (
            isinstance(other, ScalarSweep)
            and self._digest == other._digest
            and self.z0_ohm == other.z0_ohm
            and np.array_equal(self.frequency_hz, other.frequency_hz)
            and np.array_equal(self.magnitude, other.magnitude)
            and _is_same(self.is_bound, other.is_bound)
            and self.traced == other.traced
        )

    def __hash__(self) -> int:
        """Hash of the content, computed once: sweeps are keys of caches."""
        return self._digest


AnySweep = Sweep | ScalarSweep


def _as_floats(values: ArrayLike) -> FloatArray:
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def _as_complexes(values: ArrayLike) -> ComplexArray:
    array = np.array(values, dtype=np.complex128)
    array.flags.writeable = False
    return array


def _checked_frequency(values: ArrayLike) -> FloatArray:
    frequency_hz = _as_floats(values)
    if frequency_hz.ndim != 1:
        raise SweepError(
            "frequencies are not a single row of numbers", "give one frequency per point"
        )
    if frequency_hz.size < 2:
        raise SweepError("fewer than 2 points", "a sweep needs at least 2 frequencies")
    if not np.isfinite(frequency_hz).all():
        raise SweepError("a frequency is not a finite number", "remove or repair that point")
    if frequency_hz.min() <= 0:
        raise SweepError("a frequency is zero or negative", "remove that point")
    if (np.diff(frequency_hz) <= 0).any():
        raise SweepError(
            "frequencies do not rise from point to point", "sort the points by frequency"
        )
    return frequency_hz


def _check_number(frequency_hz: FloatArray, values: FloatArray | ComplexArray, what: str) -> None:
    if values.shape != frequency_hz.shape:
        raise SweepError(
            f"{frequency_hz.size} frequencies but {what} of shape {values.shape}",
            f"give one {what} per frequency",
        )


def _check_values(frequency_hz: FloatArray, values: FloatArray | ComplexArray, what: str) -> None:
    _check_number(frequency_hz, values, what)
    if not np.isfinite(values).all():
        raise SweepError(f"a {what} is not a finite number", "remove or repair that point")
    with np.errstate(over="ignore"):
        largest = float(np.abs(values).max())
    if largest > LARGEST_MAGNITUDE:
        raise SweepError(
            f"a {what} of {largest:.3g} cannot be", "check which quantity and unit the numbers are"
        )


def _checked_bounds(is_bound: ArrayLike | None, frequency_hz: FloatArray) -> BoolArray | None:
    """One truth a point, or None where none of them is true."""
    if is_bound is None:
        return None
    found = np.array(is_bound, dtype=np.bool_)
    if found.shape != frequency_hz.shape:
        raise SweepError(
            f"{frequency_hz.size} frequencies but bounds of shape {found.shape}",
            "state for each point whether it is a bound",
        )
    found.flags.writeable = False
    return found if found.any() else None


def _is_same(one: BoolArray | None, other: BoolArray | None) -> bool:
    if one is None or other is None:
        return one is other
    return np.array_equal(one, other)


def _checked_z0(z0_ohm: float) -> float:
    if not (math.isfinite(z0_ohm) and z0_ohm > 0):
        raise SweepError(
            f"reference impedance {z0_ohm!r} ohm is not a positive number", "50 ohm is usual"
        )
    return float(z0_ohm)


def _digest(frequency_hz: FloatArray, values: FloatArray | ComplexArray, z0_ohm: float) -> int:
    # + 0.0 makes -0.0 equal to 0.0, as array comparison does.
    return hash((frequency_hz.tobytes(), (values + 0.0).tobytes(), z0_ohm))


def _with_traced(digest: int, traced: Traced | None, frequency_hz: FloatArray) -> int:
    if traced is None:
        return digest
    if traced.sigma.shape != frequency_hz.shape:
        raise SweepError(
            f"{frequency_hz.size} frequencies but {traced.sigma.size} uncertainties",
            "trace the curve again",
        )
    return hash((digest, traced))
