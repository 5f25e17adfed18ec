"""What is known of one sweep before any band is chosen, computed once and kept.

Dragging a band edge asks for figures sixty times a second; everything that does not depend on
the band (renormalised reflection, crossings of the limit, resonances, noise) is found here, once
for each sweep, reference impedance and limit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from fairlead.core.analysis.interpolation.delay import delay_of, turned
from fairlead.core.analysis.interpolation.rational import FEWEST_POINTS, fit_around
from fairlead.core.analysis.interpolation.roots import grouped_changes, root_between, roots_between
from fairlead.core.analysis.interpolation.track import make_track
from fairlead.core.arrays import median
from fairlead.core.reflection import (
    UNITY_TOLERANCE,
    impedance_ohm,
    magnitude_from_swr,
    renormalise,
)
from fairlead.core.sweep import LARGEST_MAGNITUDE, Sweep
from fairlead.core.uncertainty.noise import NOT_TO_SPEAK_OF, noise_of
from fairlead.core.uncertainty.outliers import outliers_of
from fairlead.core.uncertainty.rounded import MOST_TYPED, TESTED, dip_parabola, fit_dip, rounding_of
from fairlead.core.uncertainty.sampling import points_wanted, sampling_of

_Kept = TypeVar("_Kept")
_Value = TypeVar("_Value", np.float64, np.complex128)

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from fairlead.core.analysis.interpolation.track import Track
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray
    from fairlead.core.soundness.finding import Finding
    from fairlead.core.sweep import AnySweep
    from fairlead.core.uncertainty.noise import Noise
    from fairlead.core.uncertainty.rounded import Parabola, Rounding
    from fairlead.core.uncertainty.sampling import Sampling

# A place counts as above or below a limit, or as inductive or capacitive, when it leaves the noise
# by this many standard deviations: one false alarm in some 150 000 points.
_NOISE_SIGMAS = 4.5
# A third of what a point may be off by chance fills the chart: no figure stands above this noise.
MOST_NOISE = 0.06
# What an analyzer calibrated with care leaves: -40 dB (common practice, no source). What changes by
# less is flat, and a reactance that crosses zero by less does not cross it.
ANALYZER_ERROR = 0.01
# By no more than a plain calibration leaves, -30 dB, a short or an open may read above |G| = 1
# (common practice, no source).
_CALIBRATED = 10 ** (-30 / 20)
# |Im G| below this is rounding.
_ROUNDING = 1e-9
# G this near to 1 is an open circuit (100 megohm at 50 ohm).
_OPEN = 1e-6
# Places of zeros in Hz, relative to the sweep's highest frequency.
_ROOT_TOLERANCE = 1e-13
# Intervals of the track from one typed reading to the next.
_BETWEEN = 32
# A limit or a band edge that is being dragged must not fill the memory.
_KEPT = 16


@dataclass(frozen=True, slots=True)
class Resonance:
    """Where the reactance crosses zero.

    Attributes
    ----------
    frequency_hz : float
    resistance_ohm : float
        Resistance there, at least 0; large at a parallel resonance, and infinite where
        |reflection| is above 1 by no more than a calibration leaves. One without any loss is no
        figure and left out, and so is one where |reflection| is further above 1.
    """

    frequency_hz: float
    resistance_ohm: float


@dataclass(frozen=True, slots=True)
class Segment:
    """A segment of frequencies in which the SWR stays under a limit.

    Attributes
    ----------
    low_hz, high_hz : float
        Ends, interpolated between points.
    low_is_open, high_is_open : bool
        True where the true end is unknown: the sweep stops before the SWR reaches the limit, or it
        reaches it between two points that are too far apart. The segment goes at least so far.
    """

    low_hz: float
    high_hz: float
    low_is_open: bool
    high_is_open: bool

    @property
    def width_hz(self) -> float | None:
        """Width in Hz, or None if an end is open."""
        return None if self.low_is_open or self.high_is_open else self.high_hz - self.low_hz


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
        Reference impedance; a scalar sweep keeps its own, whatever was asked for.
    track : Track
        What lies between the points, the outliers left out.
    noise : Noise
        Standard deviation of the real (and of the imaginary) part of the reflection from point to
        point, or why it cannot be told.
    sampling : Sampling
        What the points support, by intervals of ``track.frequency_hz``.
    outliers : IntArray
        Indices of single points and pairs that stand off the curve; no figure uses them.
    rounding : Rounding or None
        What the values of a scalar sweep were rounded to.
    typed : Parabola or None
        Of a few rounded readings that describe one dip; from four on the track follows it.
    step_hz : float
        Median distance of the points.
    above_one : int
        Points with |reflection| > 1.
    q_by_frequency : dict
        Kept by `fairlead.core.analysis.q_factor.q_at`.
    failure : str
        Why working it out failed; then the points are all that is known. Empty for a sound one.
    moved_from : tuple of Analysis and float, or None
        The analysis that `scaled` made this one from, and the factor.
    findings : list of tuple of Finding
        Kept by `fairlead.core.soundness.checks.check_sweep`: one tuple, once it was asked.
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
    failure: str = ""
    moved_from: tuple[Analysis, float] | None = field(default=None, repr=False)
    q_by_frequency: dict[float, float | None] = field(default_factory=dict, repr=False)
    findings: list[tuple[Finding, ...]] = field(default_factory=list, repr=False)
    _settled: dict[float, tuple[float, float]] = field(default_factory=dict, repr=False)
    _no_match: list[str] = field(default_factory=list, repr=False)
    _segments: dict[float, tuple[Segment, ...]] = field(default_factory=dict, repr=False)
    _resonances: list[tuple[Resonance, ...]] = field(default_factory=list, repr=False)

    def scaled(self, factor: float) -> Analysis:
        """The analysis of the same sweep with all its frequencies multiplied by a factor.

        Nothing that was worked out depends on the unit of the frequency: what takes long is asked
        of the first one, so that moving a curve costs no more than moving it.
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
            moved_from=(first, factor),
            q_by_frequency={},
            findings=[],
            _settled={},
            _no_match=[],
            _segments={},
            _resonances=[],
        )

    @property
    def family(self) -> Analysis:
        """The same for all that were scaled from one: their points lie alike."""
        return self if self.moved_from is None else self.moved_from[0]

    @property
    def sigma(self) -> float:
        """The noise as a number, 0 where it cannot be told."""
        return self.noise.or_zero

    @cached_property
    def gaps(self) -> tuple[tuple[float, float], ...]:
        """Low and high end in Hz of the spans whose points are too far apart; in rising order."""
        is_straight = self.track.is_straight
        bounds = np.flatnonzero(np.diff(np.concatenate(([False], is_straight, [False]))))
        ends_hz = self.track.frequency_hz[bounds].tolist()
        return tuple(zip(ends_hz[::2], ends_hz[1::2], strict=True))

    @property
    def typed_dip(self) -> tuple[float, float] | None:
        """Frequency in Hz and |reflection|^2 of the dip that a few rounded readings describe."""
        return None if self.typed is None else self.typed.bottom

    @cached_property
    def is_phase_unknown(self) -> bool:
        """Whether the line turns too far a step somewhere where the points would do for |G|."""
        return bool((self.sampling.is_supported & ~self.sampling.is_phase_known).any())

    @cached_property
    def power_range(self) -> tuple[float, float]:
        """Highest and lowest |reflection|^2 of the whole track."""
        return float(self.track.turn_power.max()), float(self.track.turn_power.min())

    @cached_property
    def gap_floor(self) -> FloatArray:
        """The least |G| that may hide in each interval, shape (n - 1,); infinite where it is known.

        A curve between two points may go as far to the side as they are apart.
        """
        track = self.track
        floor = np.full(track.is_straight.size, np.inf)
        if track.smooth is None:
            floor[track.is_straight] = 0.0
            return floor
        gap = np.flatnonzero(track.is_straight)
        first, last = track.smooth[gap], track.smooth[gap + 1]
        floor[gap] = np.maximum(0.0, np.abs(first + last) / 2 - np.abs(last - first))
        return floor

    @property
    def points_wanted(self) -> int | None:
        """How many points over the same span would do; None where there are enough."""
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
        """Why it has no best match in any band, found once; empty if it may have one."""
        if not self._no_match:
            self._no_match.append(find(self))
        return self._no_match[0]

    def settled(self, dip: tuple[float, float]) -> tuple[float, float]:
        """The bottom of a dip as all points around show it, not as noise threw the lowest one.

        Parameters
        ----------
        dip : tuple of float
            Frequency in Hz and |reflection|^2 of a turning point.

        Returns
        -------
        tuple of float
            The same of the function fitted around it; the dip itself where there is no noise to
            speak of, or no fit that agrees with the track within the noise.
        """
        found = self._settled.get(dip[0])
        if found is None:
            if self.moved_from is None:
                found = _settle(self, dip)
            else:
                first, factor = self.moved_from
                hz, power = first.settled((at_first(dip[0], factor), dip[1]))
                found = hz * factor, power
            _keep(self._settled, dip[0], found)
        return found

    def usable(self, limit_swr: float) -> tuple[Segment, ...]:
        """Every segment with an SWR below the limit, over the whole sweep, in rising order.

        Noise makes no gap in a segment and cuts none off at its ends, but a dip that reaches below
        the limit by less than the noise still counts: its SWR was measured.
        """
        found = self._segments.get(limit_swr)
        if found is None:
            if self.moved_from is None:
                found = _find_segments(self, limit_swr)
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
        if not self._resonances:
            if self.moved_from is None:
                self._resonances.append(_find_resonances(self))
            else:
                first, factor = self.moved_from
                self._resonances.append(
                    tuple(
                        replace(one, frequency_hz=one.frequency_hz * factor)
                        for one in first.resonances()
                    )
                )
        return self._resonances[0]


def at_first(hz: float, factor: float) -> float:
    """A frequency of a scaled analysis as one of the first, the same for every factor.

    To the millihertz: what is kept by frequency would otherwise be missed by its last bit.
    """
    return round(hz / factor, 3)


def _keep(kept: dict[float, _Kept], key: float, value: _Kept) -> None:
    """Remember one more; `Analyses` says which threads may."""
    if len(kept) >= _KEPT:
        kept.clear()
    kept[key] = value


def analyse(sweep: AnySweep, z0_ohm: float) -> Analysis:
    """The sweep's analysis at a reference impedance, worked out now (`Analyses` keeps it)."""
    # A file may hold 1e-300 Hz: what that overflows compares false, and supports no figure.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        return _analyse(sweep, z0_ohm)


def _analyse(sweep: AnySweep, z0_ohm: float) -> Analysis:
    frequency_hz = sweep.frequency_hz
    reflection, power, z0_ohm = at_reference(sweep, z0_ohm)
    delay_s = 0.0 if reflection is None else delay_of(frequency_hz, reflection)
    smooth = reflection
    if reflection is not None and delay_s != 0:
        smooth = reflection * turned(frequency_hz, delay_s)
    magnitude: FloatArray = np.sqrt(power)
    noise = noise_of(frequency_hz, magnitude if smooth is None else smooth)
    # Beyond this noise the curve cannot be told from it, and so much is no excuse for a gap.
    sigma: FloatArray | float = min(noise.or_zero, MOST_NOISE)
    if smooth is None:
        # |G|^2 has the noise of |G| times its slope.
        sigma = sigma * (2 * magnitude + sigma)
    curve = power if smooth is None else smooth
    outliers = outliers_of(frequency_hz, curve, sigma)
    kept_hz, kept_power = (_without(values, outliers) for values in (frequency_hz, power))
    kept = None if smooth is None else _without(smooth, outliers)
    sampling = sampling_of(
        kept_hz,
        kept_power if kept is None else kept,
        sigma if isinstance(sigma, float) else _without(sigma, outliers),
        delay_s,
    )
    rounding = None if reflection is not None else rounding_of(magnitude)
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
    )


def _along(typed: Parabola, frequency_hz: FloatArray) -> Track:
    """The track of one resonance through a few readings: near enough for cubics to follow it."""
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
        As asked for; a scalar sweep keeps its own.
    """
    if not isinstance(sweep, Sweep):
        return None, sweep.magnitude**2, sweep.z0_ohm
    reflection = _bounded(renormalise(sweep.reflection, sweep.z0_ohm, z0_ohm))
    return reflection, reflection.real**2 + reflection.imag**2, z0_ohm


def _without(values: NDArray[_Value], left_out: IntArray) -> NDArray[_Value]:
    """The values but for some, shape (n - k,); the same array where none is left out."""
    return values if left_out.size == 0 else np.delete(values, left_out)


def _bounded(reflection: ComplexArray) -> ComplexArray:
    """Z = -z0, which |G| > 1 in another reference impedance can mean, has no finite reflection.

    A large number stands for it; neither has an SWR.
    """
    is_wild = ~(np.abs(reflection) <= LARGEST_MAGNITUDE)
    if not is_wild.any():
        return reflection
    return np.where(is_wild, LARGEST_MAGNITUDE, reflection)


def _settle(analysis: Analysis, dip: tuple[float, float]) -> tuple[float, float]:
    curve, noise = analysis.track.smooth, analysis.sigma
    if analysis.typed is not None:
        return analysis.typed.bottom
    if analysis.rounding is not None:
        grid_hz, magnitude = analysis.track.frequency_hz, np.sqrt(analysis.track.power)
        return fit_dip(grid_hz, magnitude, analysis.rounding, dip[0]) or dip
    if curve is None or curve.size < FEWEST_POINTS or noise < NOT_TO_SPEAK_OF:
        return dip
    fit = fit_around(analysis.track.frequency_hz, curve, noise, dip[0])
    bottom = fit.least() if fit.is_good else None
    if bottom is None:
        return dip
    near = math.sqrt(analysis.track.power_at_one(bottom[0])), math.sqrt(dip[1])
    is_alike = all(abs(rho - math.sqrt(bottom[1])) <= _NOISE_SIGMAS * noise for rho in near)
    return bottom if is_alike else dip


def _find_segments(analysis: Analysis, limit_swr: float) -> tuple[Segment, ...]:
    limit = float(magnitude_from_swr(limit_swr))
    turn_hz, turn_power = analysis.track.turn_hz, analysis.track.turn_power
    is_below = turn_power < limit**2
    is_certain = np.abs(np.sqrt(turn_power) - limit) > _NOISE_SIGMAS * analysis.sigma
    change = _real_edges(is_below, grouped_changes(is_below, is_certain))
    edges = [_crossing(analysis, turn, limit**2) for turn in change]
    if is_below[0]:
        edges.insert(0, (float(turn_hz[0]), True))
    if is_below[-1]:
        edges.append((float(turn_hz[-1]), True))
    return tuple(
        Segment(low_hz, high_hz, low_is_open=low_is_open, high_is_open=high_is_open)
        for (low_hz, low_is_open), (high_hz, high_is_open) in zip(
            edges[::2], edges[1::2], strict=True
        )
    )


def _crossing(analysis: Analysis, turn: int, limit_power: float) -> tuple[float, bool]:
    """Where the track crosses the limit between a turn and the next, and whether that is open.

    Between points that are too far apart nobody knows where; the point below the limit stands.
    """
    track = analysis.track
    left_hz, right_hz = (float(hz) for hz in track.turn_hz[turn : turn + 2])
    first = int(track.frequency_hz.searchsorted(left_hz, side="right"))
    stop = int(track.frequency_hz.searchsorted(right_hz, side="left"))
    starts_below = bool(track.turn_power[turn] < limit_power)
    is_over = (track.power[first:stop] < limit_power) != starts_below
    over = first + int(is_over.argmax()) if is_over.any() else stop
    low_hz = float(track.frequency_hz[over - 1]) if over > first else left_hz
    high_hz = float(track.frequency_hz[over]) if over < stop else right_hz
    if track.is_straight[over - 1]:
        return (low_hz if starts_below else high_hz), True
    found_hz = root_between(
        lambda at_hz: track.power_at_one(at_hz) - limit_power,
        low_hz,
        high_hz,
        _ROOT_TOLERANCE * right_hz,
    )
    return found_hz, False


def _real_edges(is_below: BoolArray, groups: list[IntArray]) -> list[int]:
    """Of each group of crossings of the limit those that bound a segment."""
    kept: list[int] = []
    for group in groups:
        if group.size % 2 == 1:
            kept.append(int(group[group.size // 2]))
        elif not is_below[group[0]]:
            kept += [int(group[0]), int(group[-1])]
    return kept


def _find_resonances(analysis: Analysis) -> tuple[Resonance, ...]:
    if analysis.reflection is None:
        return ()
    # X = 2 z0 Im G / |1 - G|^2, so X and Im G cross zero together; Im G has even noise.
    imag: FloatArray = np.ascontiguousarray(_without(analysis.reflection, analysis.outliers).imag)
    is_certain = np.abs(imag) > max(_NOISE_SIGMAS * analysis.sigma, _ROUNDING)
    frequency_hz = _crossings_hz(analysis, imag, is_certain)
    frequency_hz = frequency_hz[_goes_through(analysis, imag, frequency_hz)]
    gamma = analysis.reflection_at(frequency_hz).real
    # At an open circuit, a parallel resonance without loss, the resistance is infinite, and where
    # more comes back than was sent there is none; by no more than the noise or a plain calibration
    # it is 0 ohm at a short and infinite at an open.
    beyond = max(_NOISE_SIGMAS * analysis.sigma, _CALIBRATED)
    exists = (np.abs(1 - gamma) > _OPEN) & (np.abs(gamma) <= 1 + beyond)
    resistance_ohm = impedance_ohm(gamma[exists], analysis.z0_ohm).real
    resistance_ohm[gamma[exists] > 1] = np.inf
    return tuple(
        Resonance(hz, max(ohm, 0.0))
        for hz, ohm in zip(frequency_hz[exists].tolist(), resistance_ohm.tolist(), strict=True)
    )


def _goes_through(analysis: Analysis, imag: FloatArray, crossing_hz: FloatArray) -> BoolArray:
    """Which crossings lead from one side of zero to the other by more than an analyzer's error."""
    clear = np.flatnonzero(np.abs(imag) > max(ANALYZER_ERROR, _NOISE_SIGMAS * analysis.sigma))
    after = analysis.track.frequency_hz[clear].searchsorted(crossing_hz)
    has_both = (after > 0) & (after < clear.size)
    if not has_both.any():
        return has_both
    is_up = imag[clear] > 0
    last = clear.size - 1
    crosses: BoolArray = is_up[np.clip(after - 1, 0, last)] != is_up[np.clip(after, 0, last)]
    return has_both & crosses


def _crossings_hz(analysis: Analysis, imag: FloatArray, is_certain: BoolArray) -> FloatArray:
    """Where Im G crosses zero, between points of which the sign is certain; in rising order."""
    frequency_hz, certain = analysis.track.frequency_hz, np.flatnonzero(is_certain)
    is_known = analysis.sampling.is_phase_known & ~analysis.track.is_straight
    between, on_lines = [], []
    for group in grouped_changes(imag > 0, is_certain):
        before = int(certain.searchsorted(group[0], side="right")) - 1
        # Noise alone makes an even number of changes, or some with nothing certain beside them.
        if group.size % 2 == 0 or not 0 <= before < certain.size - 1:
            continue
        part = slice(int(certain[before]), int(certain[before + 1]))
        if not is_known[part].all():
            # The way between two points of these is not known, nor where it crosses.
            continue
        if group.size > 1:
            # The straight line through all points lost in the noise, where it crosses zero there.
            part = slice(part.start, part.stop + 1)
            on_lines.append(_zero_of_line(frequency_hz[part], imag[part]))
        else:
            between.append(int(group[0]))
    left = np.array(between, dtype=np.intp)
    roots_hz = roots_between(
        lambda at_hz: analysis.reflection_at(at_hz).imag,
        frequency_hz[left],
        frequency_hz[left + 1],
        _ROOT_TOLERANCE * float(frequency_hz[-1]),
    )
    return np.sort(np.concatenate((roots_hz, on_lines)))


def _zero_of_line(frequency_hz: FloatArray, values: FloatArray) -> float:
    """Where the least-squares line through some points is zero, at the farthest at their ends."""
    centre_hz = float(frequency_hz.mean())
    part = frequency_hz - centre_hz
    slope, offset = float((part * values).sum() / (part**2).sum()), float(values.mean())
    root_hz = centre_hz - (offset / slope if slope != 0 else 0.0)
    return min(max(root_hz, float(frequency_hz[0])), float(frequency_hz[-1]))
