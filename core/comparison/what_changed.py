"""What changed between two sweeps: tuning, match and damping, each with what is not known of it.

Both sweeps are fitted together by one resonance each behind one feed line (`parts.resonator`), in
windows from wide to narrow, until nothing is left but noise. The parts are taken from the next
narrower one, because what the test could not see must stay small, and by how much they differ from
the wider one widens them. Where that ends before the window is two 2:1 widths wide there are no
parts, and the reason is said: a wrong part is worse than none.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.parts.fit import fit_pair, parameters_of
from fairlead.core.comparison.parts.points import TOO_NARROW, used_of, windowed
from fairlead.core.comparison.parts.resonator import LOSS, PHI, SIZE, THETA, own
from fairlead.core.comparison.parts.result import Part, Parts
from fairlead.core.comparison.parts.start import start_of
from fairlead.core.transform.step import is_comparable
from fairlead.core.uncertainty.interval import Interval, Intervals

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.comparison.parts.fit import PairFit
    from fairlead.core.comparison.parts.points import Used
    from fairlead.core.comparison.rows import Planes
    from fairlead.core.uncertainty.error_model import PointErrors

# Half windows in Q (f/f0 - f0/f); the 2:1 width of a matched circuit reaches to 0.707.
_WINDOWS = (5.6, 4.0, 2.8, 2.0, 1.42)
_FIRST_WINDOW = 6.0
_FEWEST_POINTS = 12
_MOST_LAG = 2.0
_MOST_EXCESS = 1.25
# No analyzer's points are better: what is left of a computed sweep may be so large.
LEAST_NOISE = 3e-4
_MOST_NOISE = 0.05
_MOST_GAIN = 0.05
_QUANTILE = 1.96
# Parts that are known no better than this say nothing: a tenth of f0/Q, and 30 %.
_WORST_TUNING = 0.1
_WORST_RATIO = 0.3
# Lesser parameters so many standard deviations from where antennas are: the wrong place was found.
_MOST_UNUSUAL = 3.5
# What the model may be off for antennas that it does not describe, from a solver's dipoles and
# monopoles behind lines: a share of the whole change, and a rest. In f0/Q, and as a logarithm.
_MODEL_TUNING = 0.02, 0.002
_MODEL_MATCH = 0.012, 0.0007
_MODEL_DAMPING = 0.025, 0.0007
_UNCONFIRMED = 2.0
# The phase of the line at no frequency tells a series from a parallel circuit, if so well known.
_SURE_OF_KIND_RAD = 0.8
_DB = 20 / math.log(10)

_OTHER_PLANE = "the sweeps are seen at different ends of the feed line"
_NO_PHASE = "the phase was not measured"
_OTHER_IMPEDANCE = "the sweeps are stated at different reference impedances"
_TOO_NOISY = "too noisy"
_TOO_FEW = "too few points"
_TOO_FAR = "the points are too far apart near the best match"
_NO_RESONANCE = "no single resonance with loss is seen near the best match"
_NOT_WHITE = "one resonance does not describe both sweeps: {excess:.1f} times the noise is left"
_RELATED = "one resonance does not describe both sweeps: what is left over is no noise"
_UNUSUAL = "the resonances that would fit are not those of an antenna"
_GAIN = "more comes back than the line lets through: no passive antenna fits"
_ILL = "tuning, match and damping cannot be told apart from these points"
_UNKNOWN_KIND = "a series and a parallel resonance cannot be told apart behind this line"


Errors = tuple["PointErrors | None", "PointErrors | None"]
_NO_ERRORS: Errors = (None, None)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A fit, the one of the next wider window, and the points of the fit.

    Without a narrower window that agrees the fit is its own wider one, and the model is trusted
    half as far.
    """

    fit: PairFit
    wider: PairFit
    used: tuple[Used, Used]

    @property
    def doubt(self) -> float:
        """By what to multiply the model's error."""
        return _UNCONFIRMED if self.fit is self.wider else 1.0


def parts_of(
    reference: Analysis, other: Analysis, planes: Planes = (None, None), errors: Errors = _NO_ERRORS
) -> Parts | str:
    """The change from the reference to another sweep taken apart.

    Parameters
    ----------
    reference, other : Analysis
        At one reference impedance.
    planes : tuple of Plane or None
        Where the two are seen.
    errors : tuple of PointErrors or None
        The analyzer's errors along each of the two, where they are known.

    Returns
    -------
    Parts or str
        The reason where there are none.
    """
    why = _why_not(reference, other, planes)
    if why:
        return why
    found = _fitted(reference, other)
    if isinstance(found, str):
        return found
    return _taken_apart(found, reference.z0_ohm, errors)


def _why_not(reference: Analysis, other: Analysis, planes: Planes) -> str:
    if not is_comparable(*planes):
        return _OTHER_PLANE
    why = _why_not_one(reference) or _why_not_one(other)
    return why or ("" if reference.z0_ohm == other.z0_ohm else _OTHER_IMPEDANCE)


def _why_not_one(one: Analysis) -> str:
    if one.failure:
        return one.failure
    if one.reflection is None:
        return _NO_PHASE
    if one.noise.sigma is None:
        return one.noise.reason
    if one.sigma > _MOST_NOISE:
        return _TOO_NOISY
    return "" if one.track.frequency_hz.size >= _FEWEST_POINTS else _TOO_FEW


def _fitted(reference: Analysis, other: Analysis) -> _Found | str:
    sweeps = used_of(reference, LEAST_NOISE), used_of(other, LEAST_NOISE)
    lowest_hz = [one.frequency_hz[int(np.abs(one.values).argmin())] for one in sweeps]
    centre_hz = math.sqrt(float(lowest_hz[0]) * float(lowest_hz[1]))
    start = start_of([(one.frequency_hz, one.values) for one in sweeps], centre_hz)
    if start is None:
        return _NO_RESONANCE
    # Once more without what lies farther away.
    places = [(hz, q) for hz, _, q in start.resonances]
    near = windowed(sweeps, places, _FIRST_WINDOW)
    if near is None:
        return TOO_NARROW
    start = start_of([(one.frequency_hz, one.values) for one in near], centre_hz) or start
    found = _narrowed(sweeps, parameters_of(start), centre_hz)
    if isinstance(found, str):
        return found
    for one, used in zip((reference, other), found.used, strict=True):
        low_hz, high_hz = float(used.frequency_hz[0]), float(used.frequency_hz[-1])
        if any(gap[0] < high_hz and gap[1] > low_hz for gap in one.gaps):
            return _TOO_FAR
    return found


def _narrowed(sweeps: tuple[Used, Used], start: FloatArray, centre_hz: float) -> _Found | str:
    """The fit of the window next to the widest that holds, or why none does."""
    good: _Found | None = None
    parameters, why, sizes = start, TOO_NARROW, (0, 0)
    for half in _WINDOWS:
        places = [
            (centre_hz * math.exp(parameters[own(k)][0]), math.exp(parameters[own(k)][2]))
            for k in (0, 1)
        ]
        used = windowed(sweeps, places, half)
        if used is None:
            break
        if (used[0].index.size, used[1].index.size) == sizes:
            continue
        sizes = used[0].index.size, used[1].index.size
        points = used[0].averaged, used[1].averaged
        if good is None:
            rough = fit_pair(points, start, centre_hz, is_rough=True)
            parameters = start if rough is None else rough.parameters
        fit = fit_pair(points, parameters, centre_hz)
        if fit is None:
            return _ILL
        why = _fault(fit, used)
        if good is not None:
            return why or _Found(fit, good.fit, used)
        if not why:
            good, parameters = _Found(fit, fit, used), fit.parameters
    return good or why


def _fault(fit: PairFit, used: tuple[Used, Used]) -> str:
    """Why a fit does not hold; empty if it does."""
    if fit.excess > _MOST_EXCESS:
        return _NOT_WHITE.format(excess=fit.excess)
    if fit.lag > _MOST_LAG and max(one.sigma for one in used) > LEAST_NOISE:
        return _RELATED
    if fit.parameters[LOSS] < -_MOST_GAIN:
        return _GAIN
    return _UNUSUAL if fit.unusual > _MOST_UNUSUAL else ""


class _PartMaker:
    """Makes the parts from a fit."""

    def __init__(self, found: _Found, errors: Errors) -> None:
        self._found = found
        self._errors = errors
        fit = found.fit
        # What is left of a computed sweep is no noise: neighbours are alike.
        alike = min(max(fit.correlation, 0.0), 0.98) if fit.lag > _MOST_LAG else 0.0
        self._widened = max(1.0, fit.excess) * math.sqrt((1 + alike) / (1 - alike))

    def noise_half(self, row: FloatArray) -> float:
        """Half the interval of a combination of parameters, shape (17,)."""
        fit, wider = self._found.fit, self._found.wider
        square = self._widened**2 * float(row @ fit.covariance @ row)
        apart = float(row @ (fit.parameters - wider.parameters)) ** 2
        by_chance = abs(float(row @ (fit.covariance - wider.covariance) @ row))
        return _QUANTILE * math.sqrt(square + max(0.0, apart - by_chance))

    def part(self, value: float, factors: tuple[float, float], place: int, model: float) -> Part:
        """The difference of a parameter of the two sweeps, each times its factor."""
        row = np.zeros(SIZE)
        row[own(0).start + place], row[own(1).start + place] = -factors[0], factors[1]
        noise = self.noise_half(row)
        half = math.hypot(noise, model)
        one, two = self._errors
        accuracy = None
        if one is not None and two is not None:
            bound = 0.0
            pairs = zip(self._found.used, self._found.fit.influence(row), (one, two), strict=True)
            for used, influence, errors in pairs:
                for term in errors.terms:
                    bound += abs(complex(np.vdot(influence, used.averaged_of(term))))
            both = max(known.model.combined(half, bound) for known in (one, two))
            accuracy = Interval(value - both, value + both)
        near = Interval(value - half, value + half)
        return Part(value, noise, model, Intervals(near, accuracy))


def _taken_apart(found: _Found, z0_ohm: float, errors: Errors) -> Parts | str:
    fit, maker = found.fit, _PartMaker(found, errors)
    (at_1, r_1, q_1), (at_2, r_2, q_2) = (fit.parameters[own(k)].tolist() for k in (0, 1))
    f_1, f_2 = (fit.centre_hz * math.exp(at) for at in (at_1, at_2))
    qs = math.exp(q_1), math.exp(q_2)
    whole = abs(at_2 - at_1) * qs[0] + abs(r_2 - r_1) + abs(q_2 - q_1)
    of_tuning, of_match, of_damping = (
        found.doubt * (share * whole + least)
        for share, least in (_MODEL_TUNING, _MODEL_MATCH, _MODEL_DAMPING)
    )
    of_tuning /= qs[0]
    tuning = maker.part(f_2 - f_1, (f_1, f_2), 0, of_tuning * f_1)
    match = maker.part(_DB * (r_2 - r_1), (_DB, _DB), 1, _DB * of_match)
    damping = maker.part(_DB / 2 * (q_2 - q_1), (_DB / 2, _DB / 2), 2, _DB / 2 * of_damping)
    worst = _DB * _WORST_RATIO
    is_told = tuning.noise_half < _WORST_TUNING * f_1 / qs[0] and match.noise_half < worst
    if not (is_told and damping.noise_half < worst / 2):
        return _ILL
    row = np.zeros(SIZE)
    row[[THETA, PHI]] = 1
    is_sure = maker.noise_half(row) < _SURE_OF_KIND_RAD
    # Where its line has no length left, a series circuit turns by nothing, a parallel one by half.
    sign = 1 if math.cos(float(row @ fit.parameters)) > 0 else -1
    ohms = z0_ohm * math.exp(sign * r_1), z0_ohm * math.exp(sign * r_2)
    levels = sign * ohms[0], sign * ohms[1]
    return Parts(
        tuning_hz=tuning,
        match_ohm=maker.part(ohms[1] - ohms[0], levels, 1, of_match * ohms[0]) if is_sure else None,
        damping_q=maker.part(qs[1] - qs[0], qs, 2, of_damping * qs[0]),
        match_db=match,
        damping_db=damping,
        resonance_hz=f_1,
        q=qs[0],
        level_ohm=ohms[0] if is_sure else None,
        left_over=fit.excess * max(one.sigma for one in found.used),
        why_not_match="" if is_sure else _UNKNOWN_KIND,
    )
