"""Sweeps with points of which only a lower bound is known, because the meter's scale ended.

Such a point says that the curve passes above it, not where. So nothing is claimed between it and
its neighbours, and the curve between the other points must not bend towards it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.sampling import Sampling, sampling_of

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, FloatArray


_BESIDE = 8


def known_runs(is_bound: BoolArray) -> list[slice]:
    """Runs of points that are no bounds, in rising order."""
    ends = np.flatnonzero(np.diff(np.concatenate(([True], is_bound, [True]))))
    return [slice(a, b) for a, b in zip(ends[::2].tolist(), ends[1::2].tolist(), strict=True)]


def longest_run(is_bound: BoolArray) -> slice:
    """The longest of them; an empty one where all points are bounds."""
    return max(known_runs(is_bound), key=lambda run: run.stop - run.start, default=slice(0, 0))


def beside_bound(is_bound: BoolArray) -> BoolArray:
    """Which intervals begin or end in a bound, shape (n - 1,)."""
    found: BoolArray = is_bound[1:] | is_bound[:-1]
    return found


def without_bounds(frequency_hz: FloatArray, power: FloatArray, is_bound: BoolArray) -> FloatArray:
    """|reflection|^2 for the cubics: each run goes on as its last three points do.

    Parameters
    ----------
    frequency_hz, power : FloatArray, shape (n,)
    is_bound : BoolArray, shape (n,)

    Returns
    -------
    FloatArray, shape (n,)
        The bounds beside a run replaced by where the parabola (or line) through its end leads.
    """
    filled = power.copy()
    for run in known_runs(is_bound):
        count = min(3, run.stop - run.start)
        for outer, nearest in (
            (run.start - 1, slice(run.start, run.start + count)),
            (run.stop, slice(run.stop - count, run.stop)),
        ):
            if 0 <= outer < power.size:
                filled[outer] = _led_on(
                    frequency_hz[nearest], power[nearest], float(frequency_hz[outer])
                )
    return filled


def led_on_floor(frequency_hz: FloatArray, power: FloatArray) -> FloatArray:
    """Lower bound of |G| in each interval, shape (n - 1,), if the curve falls no faster than here.

    The curve may fall into the interval from both of its ends as steeply as it runs beside them, or
    as steeply as it runs through.
    """
    rho: FloatArray = np.sqrt(power)
    step_hz = np.diff(frequency_hz)
    slope = np.abs(np.diff(rho)) / step_hz
    # Some points further, because single ones carry the picture's raggedness.
    count = min(_BESIDE, max(1, rho.size - 2))
    over = np.abs(rho[count:] - rho[:-count]) / (frequency_hz[count:] - frequency_hz[:-count])
    before = np.concatenate([np.full(count, over[0]), over])[: slope.size]
    after = np.concatenate([over[1:], np.full(count, over[-1])])[: slope.size]
    steepest = np.maximum(np.maximum(before, after), slope)
    lowest = (rho[1:] + rho[:-1] - steepest * step_hz) / 2
    result: FloatArray = np.maximum(0.0, lowest)
    return result


def sampling_beside(
    frequency_hz: FloatArray, power: FloatArray, is_bound: BoolArray, sigma: FloatArray
) -> Sampling:
    """What the points support: each run judged by itself, and nothing beside a bound.

    Parameters
    ----------
    frequency_hz, power : FloatArray, shape (n,)
    is_bound : BoolArray, shape (n,)
    sigma : FloatArray, shape (n,)
        Noise of ``power``.
    """
    is_supported = np.zeros(frequency_hz.size - 1, dtype=np.bool_)
    factor = 1.0
    for run in known_runs(is_bound):
        if run.stop - run.start > 1:
            found = sampling_of(frequency_hz[run], power[run], sigma[run])
            is_supported[run.start : run.stop - 1] = found.is_supported
            factor = max(factor, found.factor)
    return Sampling(is_supported, is_supported, 0.0, factor)


def _led_on(frequency_hz: FloatArray, power: FloatArray, at_hz: float) -> float:
    """Lagrange's polynomial through one to three points, at a frequency."""
    total = 0.0
    for i, own_hz in enumerate(frequency_hz.tolist()):
        others_hz = np.delete(frequency_hz, i)
        total += float(power[i]) * float(np.prod((at_hz - others_hz) / (own_hz - others_hz)))
    return total
