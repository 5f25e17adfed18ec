"""The points at which a quantity is worked out: all measured ones, some, or points between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from fairlead.core.reflection import UNITY_TOLERANCE

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray


class Points(Protocol):
    """What an `Analysis` and a `Sample` have in common.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    power : FloatArray, shape (n,)
        |reflection|^2.
    reflection : ComplexArray, shape (n,), or None
        None without phase.
    z0_ohm : float
        Reference impedance of both.
    is_bound : BoolArray, shape (n,), or None
        Points of which ``power`` is only a lower bound; None for none.
    """

    @property
    def frequency_hz(self) -> FloatArray:
        """Frequencies in Hz."""

    @property
    def power(self) -> FloatArray:
        """|reflection|^2."""

    @property
    def reflection(self) -> ComplexArray | None:
        """The reflection coefficient, or None."""

    @property
    def z0_ohm(self) -> float:
        """Reference impedance."""

    @property
    def is_bound(self) -> BoolArray | None:
        """Where |reflection|^2 is only a lower bound, or None."""


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """Points taken from an analysis; attributes as in `Points`."""

    frequency_hz: FloatArray
    power: FloatArray
    reflection: ComplexArray | None
    z0_ohm: float
    is_bound: BoolArray | None = None

    @classmethod
    def picked(cls, analysis: Analysis, index: IntArray) -> Sample:
        """Some of the measured points, index of shape (k,)."""
        reflection = None if analysis.reflection is None else analysis.reflection[index]
        return cls(
            analysis.frequency_hz[index],
            analysis.power[index],
            reflection,
            analysis.z0_ohm,
            None if analysis.is_bound is None else analysis.is_bound[index],
        )

    @classmethod
    def between(cls, analysis: Analysis, frequency_hz: FloatArray) -> Sample:
        """Interpolated at frequencies within the sweep, shape (m,)."""
        reflection = None if analysis.reflection is None else analysis.reflection_at(frequency_hz)
        # |reflection|^2 has its own interpolation between points, the one that the figures use.
        track, is_bound = analysis.track, None
        if track.is_bound is not None:
            # Between a bound and its neighbour nothing is known; the neighbour itself is.
            at_hz = frequency_hz.tolist()
            is_bound = np.array([track.is_bound_at(hz) for hz in at_hz], dtype=np.bool_)
        power = analysis.power_at(frequency_hz)
        return cls(frequency_hz, power, reflection, analysis.z0_ohm, is_bound)


def known_magnitude(points: Points) -> FloatArray:
    """|reflection|, shape (n,); NaN where only a lower bound is known."""
    magnitude: FloatArray = np.sqrt(points.power)
    return magnitude if points.is_bound is None else np.where(points.is_bound, np.nan, magnitude)


def above_one_points(points: Points) -> IntArray:
    """Indices of the points with |reflection| > 1 by more than rounding, rising, shape (k,)."""
    return np.flatnonzero(points.power > (1 + UNITY_TOLERANCE) ** 2)


def off_scale_points(points: Points) -> IntArray:
    """Indices of the points that are only known to be beyond the meter's scale, shape (k,)."""
    if points.is_bound is None:
        return np.zeros(0, dtype=np.intp)
    return np.flatnonzero(points.is_bound)


def in_gap(analysis: Analysis, frequency_hz: FloatArray) -> BoolArray:
    """Whether the points are too far apart between two frequencies, shape (n - 1,)."""
    middle_hz = (frequency_hz[1:] + frequency_hz[:-1]) / 2
    found = np.zeros(middle_hz.shape, dtype=np.bool_)
    for low_hz, high_hz in analysis.gaps:
        found |= (middle_hz > low_hz) & (middle_hz < high_hz)
    return found


def joined_points(analysis: Analysis) -> IntArray | None:
    """Indices of the points that a curve goes through, rising; None for all of them.

    Outliers are left out, unless fewer than two points would be left.
    """
    if not analysis.outliers.size:
        return None
    is_joined = np.ones(analysis.power.size, dtype=np.bool_)
    is_joined[analysis.outliers] = False
    joined = np.flatnonzero(is_joined)
    return joined if joined.size > 1 else None
