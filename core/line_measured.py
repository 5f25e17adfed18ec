"""A feed line from its own sweeps: far end open, far end shorted, or one of the two.

An open line shows Zc coth(gamma l), a shorted one Zc tanh(gamma l) (Pozar, Microwave Engineering,
2nd ed., section 2.3). Characteristic impedance, delay and loss law are fitted to the points of both
sweeps at once by least squares in the reflection plane, so that resonances of the line, where the
impedances run away, weigh no more than other points; the residual gives the uncertainties.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import SPEED_OF_LIGHT_M_S, FeedLine, carried, constants_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.sweep import Sweep

_FEWEST_POINTS = 12
# Root mean square of what the model leaves; above it, it is no line that is open or shorted.
_MOST_RESIDUAL = 0.05
_STEPS = 30
_HALVINGS = 12
_SMALLEST_GAIN = 1e-9
# Longest line looked for: 1 km of air.
_LONGEST_S = 3.3e-6
_MOST_TRIED = 400
_GOLDEN = (math.sqrt(5) - 1) / 2
_MOST_PEAKS = 8
# Impedances tried first, as shares of the analyzer's.
_FIRST_Z0 = (1.0, 1.5, 6.0, 9.0)
# Starts that are followed to their end.
_MOST_STARTS = 6
_SLOWEST_RISE = 3.0
"""Below this ratio of highest to lowest frequency the two parts of the loss look alike."""


@dataclass(frozen=True, slots=True)
class MeasuredLine:
    """A line as its own sweeps show it.

    Attributes
    ----------
    z0_ohm, delay_s : float
        Characteristic impedance and delay of one way.
    k1_db, k2_db : float
        Loss of one way over the whole length: k1 sqrt(f) + k2 f dB, f in MHz.
    z0_sigma_ohm, delay_sigma_s : float
        Standard uncertainties of the fit.
    low_hz, high_hz : float
        Where it was measured.
    residual : float
        Root mean square of what the model leaves of the reflection, one component.
    """

    z0_ohm: float
    delay_s: float
    k1_db: float
    k2_db: float
    z0_sigma_ohm: float
    delay_sigma_s: float
    low_hz: float
    high_hz: float
    residual: float
    _loss_covariance: tuple[tuple[float, float], tuple[float, float]]

    @property
    def electrical_length_m(self) -> float:
        """The length of air that takes as long."""
        return self.delay_s * SPEED_OF_LIGHT_M_S

    def loss_db(self, frequency_hz: float) -> tuple[float, float]:
        """Matched loss of one way at a frequency and its standard uncertainty, both in dB."""
        mhz = frequency_hz / 1e6
        row = np.array([math.sqrt(mhz), mhz])
        variance = float(row @ np.array(self._loss_covariance) @ row)
        return self.k1_db * math.sqrt(mhz) + self.k2_db * mhz, math.sqrt(max(variance, 0.0))

    def as_line(self, name: str, length_m: float | None = None) -> tuple[FeedLine, float]:
        """The line by itself, and its length in m.

        Without a length the electrical one stands for it, with a velocity factor of 1.

        Raises
        ------
        FairleadError
            If the length is longer than light could run in the delay.
        """
        length = self.electrical_length_m if length_m is None else length_m
        factor = length / self.electrical_length_m
        if not 0 < factor <= 1:
            raise FairleadError(
                f"a line of {length:.4g} m cannot delay by {self.delay_s * 1e9:.4g} ns",
                f"its electrical length is {self.electrical_length_m:.4g} m",
            )
        middle_hz = math.sqrt(self.low_hz * self.high_hz)
        loss_db, sigma_db = self.loss_db(middle_hz)
        line = FeedLine(
            name=name,
            z0_ohm=self.z0_ohm,
            velocity_factor=factor,
            k1_db=self.k1_db * 100 / length,
            k2_db=self.k2_db * 100 / length,
            z0_tolerance_ohm=2 * self.z0_sigma_ohm,
            loss_tolerance_percent=min(100.0, 200 * sigma_db / loss_db) if loss_db > 0 else 0.0,
            velocity_tolerance=2 * self.delay_sigma_s / self.delay_s * factor,
            low_hz=self.low_hz,
            high_hz=self.high_hz,
            source="measured",
        )
        return line, length


def measure_line(far_open: Sweep | None = None, far_short: Sweep | None = None) -> MeasuredLine:
    """The line that the two sweeps, or one of them, were taken of.

    Parameters
    ----------
    far_open, far_short : Sweep or None
        At the near end, with nothing and with a short at the far end. Their grids may differ.

    Returns
    -------
    MeasuredLine
        From one sweep alone the impedance is only as good as the ripple in it.

    Raises
    ------
    FairleadError
        With too few points, points too far apart to follow the line's turns, or sweeps that no
        such line could give.
    """
    ends = [(sweep, end) for sweep, end in ((far_open, 1.0), (far_short, -1.0)) if sweep]
    if not ends:
        raise FairleadError("no sweep of the line", "sweep it with the far end open and shorted")
    fewest = min(len(sweep) for sweep, _ in ends)
    if fewest < _FEWEST_POINTS:
        raise FairleadError(
            f"{fewest} points are too few to measure a line", f"take {_FEWEST_POINTS} or more"
        )
    low_hz = min(float(sweep.frequency_hz[0]) for sweep, _ in ends)
    high_hz = max(float(sweep.frequency_hz[-1]) for sweep, _ in ends)
    has_both_laws = high_hz >= _SLOWEST_RISE * low_hz
    scale_hz = high_hz
    fit, found = _best_fit(ends, scale_hz, has_both_laws=has_both_laws)
    if found[3] < 0 or found[2] < 0:
        # Neither part of the loss can be negative: the conductors' carries it all.
        fit, found = _best_fit(ends, scale_hz, has_both_laws=False)
    delay_s = fit.delay_s
    residual, covariance = fit.spread(found)
    if residual > _MOST_RESIDUAL or found[1] <= 0:
        raise FairleadError(
            f"no line that is {' and '.join(_WORDS[end] for _, end in ends)} at its far end would "
            f"give {'these sweeps' if len(ends) > 1 else 'this sweep'} (off by {residual:.2g})",
            "check which sweep is which, and that nothing else was connected",
        )
    root, whole = math.sqrt(scale_hz / 1e6), scale_hz / 1e6
    to_law = np.diag([1 / root, 1 / whole])
    loss = to_law @ covariance[2:, 2:] @ to_law
    return MeasuredLine(
        z0_ohm=math.exp(found[0]),
        delay_s=delay_s * found[1],
        k1_db=max(0.0, found[2]) / root,
        k2_db=max(0.0, found[3]) / whole,
        z0_sigma_ohm=math.exp(found[0]) * math.sqrt(covariance[0, 0]),
        delay_sigma_s=delay_s * math.sqrt(covariance[1, 1]),
        low_hz=low_hz,
        high_hz=high_hz,
        residual=residual,
        _loss_covariance=((loss[0, 0], loss[0, 1]), (loss[1, 0], loss[1, 1])),
    )


def _best_fit(
    ends: Sequence[tuple[Sweep, float]], scale_hz: float, *, has_both_laws: bool
) -> tuple[_Fit, FloatArray]:
    """The fit that leaves least, from the most hopeful of many starts."""
    loss_db = _first_loss_db(ends, scale_hz)
    starts = []
    for delay_s in _first_delays_s(ends):
        fit = _Fit(ends, float(delay_s), scale_hz, has_both_laws=has_both_laws)
        for share in _FIRST_Z0:
            start = np.array([math.log(ends[0][0].z0_ohm * share), 1.0, loss_db, 0.0])
            starts.append((fit.left(start), fit, start))
    starts.sort(key=lambda one: one[0])
    ended = [(fit, fit.solve(start)) for _, fit, start in starts[:_MOST_STARTS]]
    return min(ended, key=lambda one: one[0].left(one[1]))


_WORDS = {1.0: "open", -1.0: "shorted"}


def _first_delays_s(ends: Sequence[tuple[Sweep, float]]) -> FloatArray:
    """Delays of one way for which the turned reflections add up best, the best one first.

    They are tried in eighths of a period of the highest frequency: in a narrow span the slope of
    the phase leaves open by how many whole turns the line is longer.
    """
    widest_hz = max(float(np.diff(sweep.frequency_hz).max()) for sweep, _ in ends)
    highest_hz = max(float(sweep.frequency_hz[-1]) for sweep, _ in ends)
    longest_s = min(1 / (4 * widest_hz), _LONGEST_S)
    count = max(8, math.ceil(16 * longest_s * highest_hz))
    delays_s = np.linspace(0, longest_s, count + 1)[1:]
    sums = np.zeros(count)
    for sweep, end in ends:
        # Uneven places: evenly thinned points would take one delay for another.
        place = (np.arange(min(len(sweep), _MOST_TRIED)) * _GOLDEN) % 1
        part = np.unique((place * len(sweep)).astype(np.intp))
        turn = 4j * np.pi * sweep.frequency_hz[part]
        reflection = end * sweep.reflection[part]
        sums += [float(np.sum(reflection * np.exp(turn * delay_s)).real) for delay_s in delays_s]
    inner = np.flatnonzero((sums[1:-1] >= sums[:-2]) & (sums[1:-1] >= sums[2:])) + 1
    peaks = inner if inner.size else np.array([int(np.argmax(sums))])
    best: FloatArray = delays_s[peaks[np.argsort(-sums[peaks], kind="stable")][:_MOST_PEAKS]]
    return best


def _first_loss_db(ends: Sequence[tuple[Sweep, float]], high_hz: float) -> float:
    """Loss of one way at the highest frequency, from the mean size of the reflections."""
    sizes = [float(np.mean(sweep.magnitude)) for sweep, _ in ends]
    middle_hz = float(np.mean([np.mean(sweep.frequency_hz) for sweep, _ in ends]))
    loss_db = -10 * math.log10(min(max(float(np.mean(sizes)), 1e-3), 0.999))
    return loss_db * math.sqrt(high_hz / middle_hz)


# A search may step far aside; beyond these no line lies, and exp would overflow.
_LEAST = np.array([math.log(1.0), 0.01, -100.0, -100.0])
_MOST = np.array([math.log(5000.0), 100.0, 100.0, 100.0])


class _Fit:
    """Least squares of four numbers: log z0, delay over its start, two losses at the top in dB."""

    def __init__(
        self,
        ends: Sequence[tuple[Sweep, float]],
        delay_s: float,
        scale_hz: float,
        *,
        has_both_laws: bool,
    ) -> None:
        self._ends = ends
        self.delay_s = delay_s
        self._scale_hz = scale_hz
        self._free = np.array([True, True, True, has_both_laws])

    def solve(self, start: FloatArray) -> FloatArray:
        """Gauss-Newton with halving from a start, shape (4,)."""
        at, least = start, self.left(start)
        for _ in range(_STEPS):
            step = np.zeros(4)
            jacobian, residual = self._jacobian(at), self._residual(at)
            step[self._free] = -np.linalg.lstsq(jacobian, residual, rcond=None)[0]
            before = least
            for halvings in range(_HALVINGS):
                aside = at + 0.5**halvings * step
                left = self.left(aside)
                if left < least:
                    at, least = aside, left
                    break
            if before - least <= _SMALLEST_GAIN * before:
                break
        return at

    def left(self, at: FloatArray) -> float:
        """Sum of the squares that are left; infinite where nothing finite is."""
        residual = self._residual(at)
        total = float(residual @ residual)
        return total if math.isfinite(total) else math.inf

    def spread(self, at: FloatArray) -> tuple[float, FloatArray]:
        """Root mean square of the residual, and the covariance of the numbers, shape (4, 4)."""
        residual = self._residual(at)
        jacobian = self._jacobian(at)
        variance = float(residual @ residual) / max(1, residual.size - jacobian.shape[1])
        covariance = np.zeros((4, 4))
        inverse = np.linalg.pinv(jacobian.T @ jacobian)
        covariance[np.ix_(self._free, self._free)] = variance * inverse
        return math.sqrt(variance), covariance

    def _jacobian(self, at: FloatArray) -> FloatArray:
        columns = []
        for index in np.flatnonzero(self._free):
            aside = np.zeros(4)
            aside[index] = 1e-6
            columns.append((self._residual(at + aside) - self._residual(at - aside)) / 2e-6)
        return np.stack(columns, axis=1)

    def _residual(self, at: FloatArray) -> FloatArray:
        parts: list[FloatArray] = []
        at = np.clip(at, _LEAST, _MOST)
        for sweep, end in self._ends:
            left: ComplexArray = self._model(sweep, end, at) - sweep.reflection
            parts += [left.real, left.imag]
        return np.concatenate(parts)

    def _model(self, sweep: Sweep, end: float, at: FloatArray) -> ComplexArray:
        """A line of the first electrical length; while searching, losses may be negative."""
        length_m = self.delay_s * SPEED_OF_LIGHT_M_S
        mhz = self._scale_hz / 1e6
        per_100_m = 100 / length_m
        constants = constants_of(
            math.exp(at[0]),
            1 / at[1],
            at[2] / math.sqrt(mhz) * per_100_m,
            at[3] / mhz * per_100_m,
            sweep.frequency_hz,
        )
        far: ComplexArray = np.full(len(sweep), end, dtype=np.complex128)
        return carried(constants, length_m, far, sweep.z0_ohm)
