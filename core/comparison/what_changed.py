"""What changed between two sweeps: tuning, match and damping, each with its uncertainty.

Both sweeps are fitted together, one resonance each behind one feed line (`parts.resonator`), in a
window where the residual is only noise (`parts.search`). Any difference from the parts of the next
wider window widens the intervals. If no window of two 2:1 widths fits, there are no parts, only the
reason: a wrong part is worse than none.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.parts.resonator import PHI, SIZE, THETA, own
from fairlead.core.comparison.parts.result import Part, Parts
from fairlead.core.comparison.parts.scalar import scalar_parts
from fairlead.core.comparison.parts.search import ILL, found_in
from fairlead.core.transform.step import is_comparable
from fairlead.core.uncertainty.interval import Interval, Intervals

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.comparison.parts.search import Found
    from fairlead.core.comparison.rows import Planes
    from fairlead.core.uncertainty.error_model import PointErrors

_FEWEST_POINTS = 12
_MOST_NOISE = 0.05
_QUANTILE = 1.96
# Parts that are known no better than this say nothing: a tenth of f0/Q, and 30 %.
_WORST_TUNING = 0.1
_WORST_RATIO = 0.3
# What the model may be off for antennas that it does not describe, from a solver's dipoles and
# monopoles behind lines: a share of the whole change, and a rest. In f0/Q, and as a logarithm.
_MODEL_TUNING = 0.02, 0.002
_MODEL_MATCH = 0.012, 0.0007
_MODEL_DAMPING = 0.025, 0.0007
# The phase of the line at no frequency tells a series from a parallel circuit, if so well known.
_SURE_OF_KIND_RAD = 0.8
_DB = 20 / math.log(10)

_OTHER_PLANE = "the sweeps are seen at different ends of the feed line"
_OTHER_IMPEDANCE = "the sweeps are stated at different reference impedances"
_TOO_NOISY = "too noisy"
_TOO_FEW = "too few points"
_UNKNOWN_KIND = "a series and a parallel resonance cannot be distinguished behind this line"


Errors = tuple["PointErrors | None", "PointErrors | None"]
_NO_ERRORS: Errors = (None, None)


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
    if reference.reflection is None or other.reflection is None:
        return scalar_parts(reference, other)
    found = found_in(reference, other)
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
    if one.noise.sigma is None:
        return one.noise.reason
    if one.sigma > _MOST_NOISE:
        return _TOO_NOISY
    return "" if one.track.frequency_hz.size >= _FEWEST_POINTS else _TOO_FEW


class _PartMaker:
    """Makes the parts from a fit."""

    def __init__(self, found: Found, errors: Errors) -> None:
        self._found = found
        self._errors = errors
        fit = found.fit
        # What is left of a computed sweep is no noise: neighbours are alike.
        alike = min(max(fit.correlation, 0.0), 0.98) if fit.is_related else 0.0
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


def _taken_apart(found: Found, z0_ohm: float, errors: Errors) -> Parts | str:
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
        return ILL
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
        left_over=fit.excess * max(max(one.sigma, one.floor) for one in found.used),
        why_not_match="" if is_sure else _UNKNOWN_KIND,
    )
