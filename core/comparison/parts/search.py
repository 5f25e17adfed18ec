"""Looks for the window, and the error of the model, with which one resonance each fits two sweeps.

Windows go from wide to narrow, until nothing is left but noise; the fit that counts is the next
narrower one, because what the test could not see must stay small. If none holds, the model is
allowed to be off by more, step by step.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.comparison.parts.fit import CIRCUIT, ROUGH, fit_pair, parameters_of
from fairlead.core.comparison.parts.points import TOO_NARROW, used_of, windowed
from fairlead.core.comparison.parts.resonator import LOSS, own
from fairlead.core.comparison.parts.start import start_of

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.comparison.parts.fit import PairFit, Points
    from fairlead.core.comparison.parts.points import Used

# Half windows in Q (f/f0 - f0/f); the 2:1 width of a matched circuit reaches to 0.707.
_WINDOWS = (5.6, 4.0, 2.8, 2.0, 1.42)
_FIRST_WINDOW = 6.0
_MOST_EXCESS = 1.25
# What the model may be off at a point, tried one after the other. No analyzer's points are better
# than the first; beyond the last nothing of use is left.
_FLOORS = (3e-4, 1e-3, 2e-3, 4e-3, 8e-3, 1.6e-2)
_MOST_GAIN = 0.05
# Lesser parameters so many standard deviations from where antennas are: the wrong place was found.
_MOST_UNUSUAL = 3.5
_UNCONFIRMED = 2.0
# By how much the sum of squares of a plain circuit may exceed that of the full model, which has
# eight more parameters: 95 % of circuits stay below, 95 % of a solver's antennas are above 600.
_PLAIN_EXCESS = 8.0

ILL = "tuning, match and damping cannot be told apart from these points"
_TOO_FAR = "the points are too far apart near the best match"
_NO_RESONANCE = "no single resonance with loss is seen near the best match"
_NOT_WHITE = "one resonance does not describe both sweeps: |reflection| is off by {off:.3f}"
_RELATED = "one resonance does not describe both sweeps: the residual is more than noise"
_UNUSUAL = "the resonances that would fit are not those of an antenna"
_GAIN = "more comes back than the line lets through: no passive antenna fits"


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """A fit, the one of the next wider window, and the points of the fit.

    Without a narrower window that agrees the fit is its own wider one, and the model is trusted
    half as far. Where a plain circuit fits as well, the model has no error of its own.
    """

    fit: PairFit
    wider: PairFit
    used: tuple[Used, Used]
    is_circuit: bool = False

    @property
    def doubt(self) -> float:
        """By what to multiply the model's error."""
        if self.is_circuit:
            return 0.0
        return _UNCONFIRMED if self.fit is self.wider else 1.0


def found_in(reference: Analysis, other: Analysis) -> Found | str:
    """The fit of two sweeps with phase, or the reason why none holds."""
    sweeps = used_of(reference, _FLOORS[0]), used_of(other, _FLOORS[0])
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
    search = _Search(parameters_of(start), centre_hz)
    found: Found | str = _NO_RESONANCE
    for floor in _FLOORS:
        allowed = replace(sweeps[0], floor=floor), replace(sweeps[1], floor=floor)
        found = search.narrowed(allowed)
        # A larger error of the model would not help where the equations cannot be solved.
        if not isinstance(found, str) or found == ILL:
            break
    if isinstance(found, str):
        return found
    for one, used in zip((reference, other), found.used, strict=True):
        low_hz, high_hz = float(used.frequency_hz[0]), float(used.frequency_hz[-1])
        if any(gap[0] < high_hz and gap[1] > low_hz for gap in one.gaps):
            return _TOO_FAR
    return replace(found, is_circuit=_is_circuit(found))


class _Search:
    """Remembers, from one error of the model to the next, where each window led."""

    def __init__(self, start: FloatArray, centre_hz: float) -> None:
        self._start = start
        self._centre_hz = centre_hz
        self._rough: dict[float, FloatArray] = {}
        self._tried: dict[float, PairFit] = {}

    def narrowed(self, sweeps: tuple[Used, Used]) -> Found | str:
        """The fit of the window next to the widest that holds, or why none does."""
        good: Found | None = None
        parameters, why, sizes = self._start, TOO_NARROW, (0, 0)
        for half in _WINDOWS:
            places = [
                (self._centre_hz * math.exp(parameters[own(k)][0]), math.exp(parameters[own(k)][2]))
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
                parameters = self._begun(half, points)
                if self._is_hopeless(half, points):
                    why = _fault(self._tried[half], used)
                    continue
            fit = fit_pair(points, parameters, self._centre_hz)
            if fit is None:
                return ILL
            why = _fault(fit, used)
            if good is not None:
                return why or Found(fit, good.fit, used)
            self._tried[half] = fit
            if not why:
                good, parameters = Found(fit, fit, used), fit.parameters
        return good or why

    def _begun(self, half: float, points: tuple[Points, Points]) -> FloatArray:
        """Where the fit of a window begins."""
        if half not in self._rough:
            rough = fit_pair(points, self._start, self._centre_hz, ROUGH)
            self._rough[half] = self._start if rough is None else rough.parameters
        return self._rough[half]

    def _is_hopeless(self, half: float, points: tuple[Points, Points]) -> bool:
        """Whether the earlier fit left so much that a larger error of the model does not hold it.

        The earlier one had the points counted for more, so it left no more of them.
        """
        before = self._tried.get(half)
        if before is None:
            return False
        grown = max(one.sigma / s for one, s in zip(points, before.sigmas, strict=True))
        return before.excess > _MOST_EXCESS * grown


def _is_circuit(found: Found) -> bool:
    """Whether a plain circuit behind a line leaves hardly more than the full model does."""
    if found.used[0].floor > _FLOORS[0]:
        return False
    points = found.used[0].averaged, found.used[1].averaged
    plain = fit_pair(points, found.fit.parameters, found.fit.centre_hz, CIRCUIT)
    if plain is None or plain.is_related:
        return False
    return plain.chi_square - found.fit.chi_square < _PLAIN_EXCESS


def _fault(fit: PairFit, used: tuple[Used, Used]) -> str:
    """Why a fit does not hold; empty if it does."""
    if fit.excess > _MOST_EXCESS:
        return _NOT_WHITE.format(off=fit.off)
    if fit.is_related and min(fit.sigmas) > max(one.floor for one in used):
        return _RELATED
    if fit.parameters[LOSS] < -_MOST_GAIN:
        return _GAIN
    return _UNUSUAL if fit.unusual > _MOST_UNUSUAL else ""
