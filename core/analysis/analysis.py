"""Everything about one sweep that does not depend on the band, computed once and kept.

Dragging a band edge asks for figures sixty times a second. The renormalised reflection, the noise,
the crossings of the limit and the resonances do not depend on the band, so they are computed once
for each sweep, reference impedance and limit.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from fairlead.core.analysis.bounded import led_on_floor, longest_run, sampling_beside
from fairlead.core.analysis.dips import fitted_bottom
from fairlead.core.analysis.interpolation.delay import delay_of, turned
from fairlead.core.analysis.interpolation.track import make_track
from fairlead.core.analysis.resonances import find_resonances
from fairlead.core.analysis.segments import find_segments
from fairlead.core.arrays import median
from fairlead.core.reflection import UNITY_TOLERANCE, renormalise
from fairlead.core.sweep import LARGEST_MAGNITUDE, ScalarSweep, Sweep
from fairlead.core.uncertainty.noise import Noise, noise_of
from fairlead.core.uncertainty.outliers import outliers_of
from fairlead.core.uncertainty.rounded import MOST_TYPED, TESTED, dip_parabola, rounding_of
from fairlead.core.uncertainty.sampling import points_wanted, sampling_of

_Kept = TypeVar("_Kept")
_Value = TypeVar("_Value", np.float64, np.complex128)

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from fairlead.core.analysis.interpolation.track import Track
    from fairlead.core.analysis.resonances import Resonance
    from fairlead.core.analysis.segments import Segment
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray
    from fairlead.core.soundness.finding import Finding
    from fairlead.core.sweep import AnySweep
    from fairlead.core.traced import Traced
    from fairlead.core.uncertainty.rounded import Parabola, Rounding
    from fairlead.core.uncertainty.sampling import Sampling

# Above this noise no figure is given: the random error of a point may reach a third of the chart.
MOST_NOISE = 0.06
# Intervals of the track from one typed reading to the next.
_BETWEEN = 32
# Dragging a limit or a band edge must not fill the memory.
_KEPT = 16


@dataclass(frozen=True, eq=False)
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
        Reference impedance; a scalar sweep always keeps its own.
    track : Track
        The curve between the points, without the outliers.
    noise : Noise
        Standard deviation of the real (and of the imaginary) part of the reflection from point to
        point, or why it cannot be estimated.
    sampling : Sampling
        Whether the points are close enough, for each interval of ``track.frequency_hz``.
    outliers : IntArray
        Indices of single points and pairs that lie off the curve; no figure uses them.
    rounding : Rounding or None
        The step to which the values of a scalar sweep were rounded.
    typed : Parabola or None
        Through a few rounded readings that describe one dip; with four or more readings the track
        follows it.
    step_hz : float
        Median spacing of the points.
    above_one : int
        Points with |reflection| > 1.
    q_by_frequency : dict
        Filled by `fairlead.core.analysis.q_factor.q_at`.
    is_bound : BoolArray, shape (n,), or None
        Points of which ``power`` is only a lower bound; None for none.
    traced : Traced or None
        How well it is known, if it was traced from a picture: its sigma stands for the noise, and
        where the curve was lost nothing is known between the points.
    failure : str
        Why the analysis failed, in which case only the points are known; empty if it succeeded.
    moved_from : tuple of Analysis and float, or None
        The analysis that `scaled` made this one from, and the factor.
    findings : list of tuple of Finding
        Filled by `fairlead.core.soundness.checks.check_sweep`: one tuple after the first call.
    """

    frequency_hz: FloatArray
    reflection: ComplexArray | None
    power: FloatArray
    z0_ohm: float
    track: Track
    noise: Noise
    sampling: Sampling
    outliers: IntArray
    rounding: Rounding | None
    typed: Parabola | None
    step_hz: float
    above_one: int
    is_bound: BoolArray | None = None
    traced: Traced | None = None
    failure: str = ""
    moved_from: tuple[Analysis, float] | None = field(default=None, repr=False)
    q_by_frequency: dict[float, float | None] = field(default_factory=dict, repr=False)
    findings: list[tuple[Finding, ...]] = field(default_factory=list, repr=False)
    _bottoms: dict[float, tuple[float, float]] = field(default_factory=dict, repr=False)
    _no_match: list[str] = field(default_factory=list, repr=False)
    _segments: dict[float, tuple[Segment, ...]] = field(default_factory=dict, repr=False)
    _resonances: list[tuple[Resonance, ...]] = field(default_factory=list, repr=False)

    def scaled(self, factor: float) -> Analysis:
        """The analysis of the same sweep with all its frequencies multiplied by a factor.

        No result depends on the unit of frequency, so everything slow is computed once, by the
        first analysis: moving a curve costs no more than scaling numbers.
        """
        first, before = self.moved_from or (self, 1.0)
        factor *= before
        track = replace(
            first.track,
            frequency_hz=first.track.frequency_hz * factor,
            turn_hz=first.track.turn_hz * factor,
            delay_s=first.track.delay_s / factor,
        )
        return replace(
            first,
            frequency_hz=first.frequency_hz * factor,
            track=track,
            step_hz=first.step_hz * factor,
            traced=None if first.traced is None else first.traced.scaled(factor),
            moved_from=(first, factor),
            q_by_frequency={},
            findings=[],
            _bottoms={},
            _no_match=[],
            _segments={},
            _resonances=[],
        )

    @property
    def family(self) -> Analysis:
        """The same object for all analyses scaled from one: their points are spaced alike."""
        return self if self.moved_from is None else self.moved_from[0]

    @property
    def factor(self) -> float:
        """What frequencies of the first of the family were multiplied by."""
        return 1.0 if self.moved_from is None else self.moved_from[1]

    @property
    def sigma(self) -> float:
        """The noise as a number, 0 where it cannot be estimated."""
        return self.noise.or_zero

    @cached_property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Low and high end in Hz of the ranges whose points are too far apart; in rising order."""
        if self.moved_from is not None:
            first, factor = self.moved_from
            return tuple((low * factor, high * factor) for low, high in first.gaps)
        is_gap = self.track.is_gap
        bounds = np.flatnonzero(np.diff(np.concatenate(([False], is_gap, [False]))))
        ends_hz = self.track.frequency_hz[bounds].tolist()
        return tuple(zip(ends_hz[::2], ends_hz[1::2], strict=True))

    @property
    def typed_dip(self) -> tuple[float, float] | None:
        """Frequency in Hz and |reflection|^2 of the dip described by a few rounded readings."""
        return None if self.typed is None else self.typed.bottom

    @cached_property
    def is_phase_unknown(self) -> bool:
        """Whether a line rotates the phase too far per step where the points suffice for |G|."""
        return bool((self.sampling.is_supported & ~self.sampling.is_phase_known).any())

    @cached_property
    def power_range(self) -> tuple[float, float]:
        """Highest and lowest |reflection|^2 of the whole track."""
        return float(self.track.turn_power.max()), float(self.track.turn_power.min())

    @cached_property
    def gap_floor(self) -> FloatArray:
        """Lower bound of |G| in each gap, shape (n - 1,); infinite in intervals that are no gap.

        A curve may deviate from the chord between two points by as much as their distance.
        """
        track = self.track
        floor = np.full(track.is_straight.size, np.inf)
        if self.traced is not None:
            return np.where(track.is_gap, led_on_floor(track.frequency_hz, track.power), floor)
        if track.smooth is None:
            floor[track.is_gap] = 0.0
            return floor
        gap = np.flatnonzero(track.is_straight)
        first, last = track.smooth[gap], track.smooth[gap + 1]
        floor[gap] = np.maximum(0.0, np.abs(first + last) / 2 - np.abs(last - first))
        return floor

    @property
    def points_wanted(self) -> int | None:
        """How many points over the same span would suffice; None if there are enough."""
        if not self.gaps:
            return None
        return points_wanted(self.frequency_hz.size, max(2.0, self.sampling.factor))

    def power_at(self, frequency_hz: FloatArray) -> FloatArray:
        """|reflection|^2 interpolated within the sweep, shape (m,); never negative."""
        return self.track.power_at(frequency_hz)

    def reflection_at(self, frequency_hz: FloatArray) -> ComplexArray:
        """Reflection interpolated within the sweep, shape (m,); ValueError for a scalar sweep."""
        return self.track.reflection_at(frequency_hz)

    def reason_of_no_match(self, find: Callable[[Analysis], str]) -> str:
        """Why there is no best match in any band, computed once; empty if there may be one."""
        if not self._no_match:
            self._no_match.append(find(self))
        return self._no_match[0]

    def fitted_bottom(self, dip: tuple[float, float]) -> tuple[float, float]:
        """The bottom of a dip by a fit, as in `fairlead.core.analysis.dips`; kept."""
        found = self._bottoms.get(dip[0])
        if found is None:
            if self.moved_from is None:
                found = fitted_bottom(
                    self.track, self.sigma, self.rounding, self.typed, dip, self.traced
                )
            else:
                first, factor = self.moved_from
                hz, power = first.fitted_bottom((at_first(dip[0], factor), dip[1]))
                found = hz * factor, power
            _keep(self._bottoms, dip[0], found)
        return found

    def usable(self, limit_swr: float) -> tuple[Segment, ...]:
        """Segments with an SWR below the limit, as in `fairlead.core.analysis.segments`; kept."""
        found = self._segments.get(limit_swr)
        if found is None:
            if self.moved_from is None:
                found = find_segments(self.track, self.sigma, limit_swr)
            else:
                first, factor = self.moved_from
                found = tuple(
                    replace(one, low_hz=one.low_hz * factor, high_hz=one.high_hz * factor)
                    for one in first.usable(limit_swr)
                )
            _keep(self._segments, limit_swr, found)
        return found

    def resonances(self) -> tuple[Resonance, ...]:
        """Every resonance over the whole sweep, in rising order; none for a scalar sweep."""
        if self.reflection is None:
            return ()
        if not self._resonances:
            if self.moved_from is None:
                found = find_resonances(
                    self.track,
                    _without(self.reflection, self.outliers),
                    self.sampling.is_phase_known,
                    self.sigma,
                    self.z0_ohm,
                )
            else:
                first, factor = self.moved_from
                found = tuple(
                    replace(one, frequency_hz=one.frequency_hz * factor)
                    for one in first.resonances()
                )
            self._resonances.append(found)
        return self._resonances[0]


def at_first(hz: float, factor: float) -> float:
    """The frequency in the first analysis for one in a scaled analysis.

    Rounded to the millihertz; otherwise the last bit would make a lookup by frequency fail.
    """
    return round(hz / factor, 3)


def _keep(kept: dict[float, _Kept], key: float, value: _Kept) -> None:
    """Remember one more result; the docstring of `Analyses` has the rules for threads."""
    if len(kept) >= _KEPT:
        kept.clear()
    kept[key] = value


def analyse(sweep: AnySweep, z0_ohm: float) -> Analysis:
    """Analyse a sweep at a reference impedance; `Analyses` keeps the result."""
    # A file may contain 1e-300 Hz: values that overflow compare false and support no figure.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        return _analyse(sweep, z0_ohm)


def _analyse(sweep: AnySweep, z0_ohm: float) -> Analysis:
    if isinstance(sweep, ScalarSweep) and sweep.is_bound is not None:
        return _analyse_beside_bounds(sweep, sweep.is_bound)
    frequency_hz = sweep.frequency_hz
    reflection, power, z0_ohm = at_reference(sweep, z0_ohm)
    delay_s = 0.0 if reflection is None else delay_of(frequency_hz, reflection)
    smooth = reflection
    if reflection is not None and delay_s != 0:
        smooth = reflection * turned(frequency_hz, delay_s)
    magnitude: FloatArray = np.sqrt(power)
    traced = sweep.traced
    if traced is None:
        noise = noise_of(frequency_hz, magnitude if smooth is None else smooth)
    else:
        # Given, because neighbouring points share their errors.
        noise = Noise(traced.scatter)
    # More noise than this hides the curve, so it must not make wide spacing look acceptable.
    sigma: FloatArray | float = min(noise.or_zero, MOST_NOISE)
    if smooth is None:
        # |G|^2 has the noise of |G| times its slope.
        sigma = sigma * (2 * magnitude + sigma)
    curve = power if smooth is None else smooth
    none = np.zeros(0, dtype=np.intp)
    outliers = none if traced is not None else outliers_of(frequency_hz, curve, sigma)
    kept_hz, kept_power = (_without(values, outliers) for values in (frequency_hz, power))
    kept = None if smooth is None else _without(smooth, outliers)
    sampling = sampling_of(
        kept_hz,
        kept_power if kept is None else kept,
        sigma if isinstance(sigma, float) else _without(sigma, outliers),
        delay_s,
    )
    if traced is not None:
        sampling = sampling.without(traced.is_lost)
    rounding = None if reflection is not None or traced is not None else rounding_of(magnitude)
    typed = None
    if rounding is not None and magnitude.size <= MOST_TYPED:
        lowest_hz = float(frequency_hz[magnitude.argmin()])
        typed = dip_parabola(frequency_hz, magnitude, rounding, lowest_hz)
    if typed is None or magnitude.size < TESTED:
        track = make_track(kept_hz, kept_power, kept, delay_s, sampling.is_supported, noise.or_zero)
    else:
        track = _along(typed, frequency_hz)
    return Analysis(
        frequency_hz=frequency_hz,
        reflection=reflection,
        power=power,
        z0_ohm=z0_ohm,
        track=track,
        noise=noise,
        sampling=sampling,
        outliers=outliers,
        rounding=rounding,
        typed=typed,
        step_hz=median(np.diff(frequency_hz)),
        above_one=int(np.count_nonzero(power > (1 + UNITY_TOLERANCE) ** 2)),
        traced=traced,
    )


def _analyse_beside_bounds(sweep: ScalarSweep, is_bound: BoolArray) -> Analysis:
    """Of a sweep with bounds: nothing is fitted, because no fit knows what a bound is."""
    frequency_hz, power = sweep.frequency_hz, sweep.magnitude**2
    run = longest_run(is_bound)
    noise = noise_of(frequency_hz[run], sweep.magnitude[run])
    sigma = min(noise.or_zero, MOST_NOISE)
    sampling = sampling_beside(frequency_hz, power, is_bound, sigma * (2 * sweep.magnitude + sigma))
    return Analysis(
        frequency_hz=frequency_hz,
        reflection=None,
        power=power,
        z0_ohm=sweep.z0_ohm,
        track=make_track(frequency_hz, power, None, 0.0, sampling.is_supported, is_bound=is_bound),
        noise=noise,
        sampling=sampling,
        outliers=np.zeros(0, dtype=np.intp),
        rounding=None,
        typed=None,
        step_hz=median(np.diff(frequency_hz)),
        above_one=int(np.count_nonzero(power > (1 + UNITY_TOLERANCE) ** 2)),
        is_bound=is_bound,
    )


def _along(typed: Parabola, frequency_hz: FloatArray) -> Track:
    """The track of one resonance through a few readings, with points dense enough for cubics."""
    places = np.linspace(0, frequency_hz.size - 1, _BETWEEN * (frequency_hz.size - 1) + 1)
    dense_hz = np.interp(places, np.arange(frequency_hz.size), frequency_hz)
    is_known = np.ones(dense_hz.size - 1, dtype=np.bool_)
    return make_track(dense_hz, typed.power(dense_hz), None, 0.0, is_known, 0.0)


def at_reference(sweep: AnySweep, z0_ohm: float) -> tuple[ComplexArray | None, FloatArray, float]:
    """The points at a reference impedance.

    Parameters
    ----------
    sweep : Sweep or ScalarSweep
    z0_ohm : float

    Returns
    -------
    reflection : ComplexArray, shape (n,), or None
        None for a scalar sweep.
    power : FloatArray, shape (n,)
        |reflection|^2.
    z0_ohm : float
        As given; a scalar sweep keeps its own.
    """
    if not isinstance(sweep, Sweep):
        return None, sweep.magnitude**2, sweep.z0_ohm
    reflection = _bounded(renormalise(sweep.reflection, sweep.z0_ohm, z0_ohm))
    return reflection, reflection.real**2 + reflection.imag**2, z0_ohm


def _without(values: NDArray[_Value], left_out: IntArray) -> NDArray[_Value]:
    """The values without some of them, shape (n - k,); the same array if none is left out."""
    return values if left_out.size == 0 else np.delete(values, left_out)


def _bounded(reflection: ComplexArray) -> ComplexArray:
    """Replace infinite reflection by a large number; neither has an SWR.

    Z = -z0 has no finite reflection, and |G| > 1 at another reference impedance can mean that.
    """
    is_wild = ~(np.abs(reflection) <= LARGEST_MAGNITUDE)
    if not is_wild.any():
        return reflection
    return np.where(is_wild, LARGEST_MAGNITUDE, reflection)
