"""What is known of one sweep before any band is chosen, computed once and kept.

Dragging a band edge asks for figures sixty times a second; everything that does not depend on
the band (renormalised reflection, crossings of the limit, resonances, noise) is found here, once
for each sweep, reference impedance and limit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import numpy as np

from core.interpolation import interpolate, polynomial, refine, roots_between
from core.reflection import (
    UNITY_TOLERANCE,
    impedance_ohm,
    magnitude_from_swr,
    renormalise,
)
from core.sweep import Sweep

if TYPE_CHECKING:
    from core.arrays import ComplexArray, FloatArray
    from core.sweep import AnySweep

# Extra interpolated points in every interval, so that a dip between two points is not missed.
_REFINEMENT = 4
# A crossing of X = 0 counts when the reactance leaves the noise on both sides of it.
_NOISE_SIGMAS = 3.0


@dataclass(frozen=True, slots=True)
class Resonance:
    """Where the reactance crosses zero.

    Attributes
    ----------
    frequency_hz : float
    resistance_ohm : float
        Resistance there; large at a parallel resonance.
    """

    frequency_hz: float
    resistance_ohm: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of frequencies in which the SWR stays under a limit.

    Attributes
    ----------
    low_hz, high_hz : float
        Ends, interpolated between points.
    low_is_open, high_is_open : bool
        True where the sweep stops before the SWR reaches the limit: the true end is unknown.
    """

    low_hz: float
    high_hz: float
    low_is_open: bool
    high_is_open: bool

    @property
    def width_hz(self) -> float | None:
        """Width in Hz, or None if an end is open."""
        return None if self.low_is_open or self.high_is_open else self.high_hz - self.low_hz


@dataclass(frozen=True, slots=True, eq=False)
class Analysis:
    """One sweep at one reference impedance.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,), or None
        At ``z0_ohm``; None for a scalar sweep.
    power : FloatArray, shape (n,)
        |reflection|^2.
    z0_ohm : float
        Reference impedance; a scalar sweep keeps its own, whatever was asked for.
    noise : float
        Estimated standard deviation of the real (and of the imaginary) part of the reflection
        from point to point; 0 if the sweep is too short to tell.
    step_hz : float
        Median distance of the points.
    above_one : int
        Points with |reflection| > 1.
    q_by_frequency : dict
        Kept by `core.q_factor.q_at`.
    """

    frequency_hz: FloatArray
    reflection: ComplexArray | None
    power: FloatArray
    z0_ohm: float
    noise: float
    step_hz: float
    above_one: int
    q_by_frequency: dict[float, float | None] = field(default_factory=dict, repr=False)
    _stretches: dict[float, tuple[Stretch, ...]] = field(default_factory=dict, repr=False)
    _resonances: list[tuple[Resonance, ...]] = field(default_factory=list, repr=False)
    _extremes: dict[tuple[int, bool], tuple[float, float]] = field(default_factory=dict, repr=False)

    def power_at(self, frequency_hz: FloatArray) -> FloatArray:
        """|reflection|^2 interpolated, shape (m,); never negative."""
        if self.reflection is not None:
            gamma = interpolate(self.frequency_hz, self.reflection, frequency_hz)
            power: FloatArray = gamma.real**2 + gamma.imag**2
            return power
        return np.maximum(interpolate(self.frequency_hz, self.power, frequency_hz), 0.0)

    def extreme(self, index: int, *, largest: bool = False) -> tuple[float, float]:
        """Least (or largest) |reflection|^2 near a point that is already the least (largest).

        Parameters
        ----------
        index : int
            The point; the intervals on both sides of it are searched.
        largest : bool

        Returns
        -------
        frequency_hz, power : float
        """
        key = (index, largest)
        if key not in self._extremes:
            self._extremes[key] = self._find_extreme(index, largest=largest)
        return self._extremes[key]

    def usable(self, limit_swr: float) -> tuple[Stretch, ...]:
        """Every stretch with an SWR below the limit, over the whole sweep, in rising order."""
        if limit_swr not in self._stretches:
            # A limit that is being dragged must not fill the memory.
            if len(self._stretches) > 16:
                self._stretches.clear()
            self._stretches[limit_swr] = _find_stretches(self, limit_swr)
        return self._stretches[limit_swr]

    def resonances(self) -> tuple[Resonance, ...]:
        """Every resonance over the whole sweep, in rising order; none for a scalar sweep."""
        if not self._resonances:
            self._resonances.append(_find_resonances(self))
        return self._resonances[0]

    def _find_extreme(self, index: int, *, largest: bool) -> tuple[float, float]:
        sign = -1.0 if largest else 1.0
        best = (float(self.frequency_hz[index]), float(self.power[index]))
        for interval in (index - 1, index):
            if not 0 <= interval < self.frequency_hz.size - 1:
                continue
            for frequency_hz, power in self._extremes_in(interval):
                # A cubic through |G|^2 of a scalar sweep can dip below zero: no such match exists.
                if power >= 0 and sign * power < sign * best[1]:
                    best = (frequency_hz, power)
        return best

    def _extremes_in(self, interval: int) -> list[tuple[float, float]]:
        if self.reflection is None:
            origin_hz, scale_hz, power = polynomial(self.frequency_hz, self.power, interval)
        else:
            origin_hz, scale_hz, gamma = polynomial(self.frequency_hz, self.reflection, interval)
            power = np.polyadd(
                np.polymul(gamma.real, gamma.real), np.polymul(gamma.imag, gamma.imag)
            )
        turns = np.roots(np.polyder(power))
        inside = turns.real[(np.abs(turns.imag) < 1e-9) & (turns.real > 0) & (turns.real < 1)]
        return [(origin_hz + scale_hz * float(t), float(np.polyval(power, t))) for t in inside]


_CACHE: WeakKeyDictionary[AnySweep, dict[float, Analysis]] = WeakKeyDictionary()


def analyse(sweep: AnySweep, z0_ohm: float) -> Analysis:
    """The sweep's analysis at a reference impedance, kept as long as the sweep lives."""
    by_z0 = _CACHE.setdefault(sweep, {})
    if z0_ohm not in by_z0:
        by_z0.clear()
        by_z0[z0_ohm] = _make(sweep, z0_ohm)
    return by_z0[z0_ohm]


def _make(sweep: AnySweep, z0_ohm: float) -> Analysis:
    reflection: ComplexArray | None
    if isinstance(sweep, Sweep):
        reflection = renormalise(sweep.reflection, sweep.z0_ohm, z0_ohm)
        power: FloatArray = reflection.real**2 + reflection.imag**2
        noise = _noise(reflection)
    else:
        reflection, z0_ohm = None, sweep.z0_ohm
        power = sweep.magnitude**2
        noise = _noise(sweep.magnitude.astype(np.complex128))
    return Analysis(
        frequency_hz=sweep.frequency_hz,
        reflection=reflection,
        power=power,
        z0_ohm=z0_ohm,
        noise=noise,
        step_hz=float(np.median(np.diff(sweep.frequency_hz))),
        above_one=int(np.count_nonzero(power > (1 + UNITY_TOLERANCE) ** 2)),
    )


def _noise(values: ComplexArray) -> float:
    """Standard deviation of one component, from sixth differences.

    A smooth curve leaves next to nothing in its sixth difference, white noise leaves
    sqrt(924) sigma (sum of the squared binomial coefficients). The median of the magnitude of a
    two-dimensional Gaussian is sqrt(2 ln 2) sigma, and is not moved by a few outliers.
    """
    if values.size < 12:
        return 0.0
    sixth = np.abs(np.diff(values, n=6))
    return float(np.median(sixth)) / float(np.sqrt(2 * np.log(2) * 924))


def _find_stretches(analysis: Analysis, limit_swr: float) -> tuple[Stretch, ...]:
    limit_power = float(magnitude_from_swr(limit_swr)) ** 2
    if analysis.reflection is None:
        fine_hz, power = refine(analysis.frequency_hz, analysis.power, _REFINEMENT)
    else:
        fine_hz, fine = refine(analysis.frequency_hz, analysis.reflection, _REFINEMENT)
        power = fine.real**2 + fine.imag**2
    below = power < limit_power
    change = np.flatnonzero(below[1:] != below[:-1])
    ends_hz = roots_between(
        lambda at_hz: analysis.power_at(at_hz) - limit_power, fine_hz[change], fine_hz[change + 1]
    )
    edges = [float(end) for end in ends_hz]
    starts_inside, ends_inside = bool(below[0]), bool(below[-1])
    if starts_inside:
        edges.insert(0, float(fine_hz[0]))
    if ends_inside:
        edges.append(float(fine_hz[-1]))
    last = len(edges) // 2 - 1
    return tuple(
        Stretch(
            edges[2 * i],
            edges[2 * i + 1],
            low_is_open=starts_inside and i == 0,
            high_is_open=ends_inside and i == last,
        )
        for i in range(last + 1)
    )


def _find_resonances(analysis: Analysis) -> tuple[Resonance, ...]:
    if analysis.reflection is None:
        return ()
    # X = 2 z0 Im G / |1 - G|^2, so X and Im G cross zero together; Im G has even noise.
    imag: FloatArray = np.ascontiguousarray(analysis.reflection.imag)
    certain = np.flatnonzero(np.abs(imag) > _NOISE_SIGMAS * analysis.noise)
    if certain.size < 2:
        return ()
    signs = imag[certain] > 0
    flips = np.flatnonzero(signs[1:] != signs[:-1])
    found = []
    for left, right in zip(certain[flips], certain[flips + 1], strict=True):
        frequency_hz = _crossing(analysis.frequency_hz, imag, int(left), int(right))
        gamma = interpolate(analysis.frequency_hz, analysis.reflection, np.array([frequency_hz]))[0]
        resistance_ohm = float(impedance_ohm(gamma, analysis.z0_ohm).real)
        if np.isfinite(resistance_ohm):
            found.append(Resonance(frequency_hz, resistance_ohm))
    return tuple(found)


def _crossing(frequency_hz: FloatArray, imag: FloatArray, left: int, right: int) -> float:
    """Zero between two certain points; between them the noise may cross zero several times."""
    positive = imag[left : right + 1] > 0
    flips = left + np.flatnonzero(positive[1:] != positive[:-1])
    if flips.size > 1:
        # The straight line through all points lost in the noise, where it crosses zero there.
        part_hz, part = frequency_hz[left : right + 1], imag[left : right + 1]
        centre_hz = float(part_hz.mean())
        slope, offset = np.polyfit(part_hz - centre_hz, part, 1)
        root_hz = centre_hz - float(offset / slope) if slope != 0 else centre_hz
        if part_hz[0] <= root_hz <= part_hz[-1]:
            return root_hz
    middle = flips[flips.size // 2]
    root = roots_between(
        lambda at_hz: interpolate(frequency_hz, imag, at_hz),
        frequency_hz[middle : middle + 1],
        frequency_hz[middle + 1 : middle + 2],
    )
    return float(root[0])
