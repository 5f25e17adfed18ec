"""Initial values for a fit of two sweeps: the delay of their line by a coarse and a fine search.

With the right delay removed, each sweep is (a0 + a1 t) / (1 + b t), t = f/fc - fc/f: a linear
problem, solved for all delays at once. Iteration after Sanathanan and Koerner, IEEE Transactions on
Automatic Control, 1963 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import ComplexArray, FloatArray

_LONGEST_DELAY_S = 0.7e-6
# Step of the coarse search, as a share of 1/span.
_COARSE = 0.15
_FINE = 0.02
_MOST_DELAYS = 600
# Delays that rotate by more than this share of a turn per step are not searched.
_MOST_TURN = 0.25
_POINTS = 64
_STEPS = 3
_LEAST = 1e-3


@dataclass(frozen=True, slots=True)
class Start:
    """What the scan found.

    Attributes
    ----------
    delay_s : float
        Of the reflection, there and back.
    centre_hz : float
    factor : complex
        Of the line and of constant reactances, at the centre.
    resonances : tuple of (f0 in Hz, r, Q)
        Of each sweep; r relative to the reference impedance.
    """

    delay_s: float
    centre_hz: float
    factor: complex
    resonances: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Circles:
    """One sweep at every delay, shape (m,) each; the cost is infinite if no resonator fits."""

    cost: FloatArray
    factor: ComplexArray
    resonance_hz: FloatArray
    r: FloatArray
    q: FloatArray


def start_of(sweeps: Sequence[tuple[FloatArray, ComplexArray]], centre_hz: float) -> Start | None:
    """Resonance and delay of sweeps that share a line.

    Parameters
    ----------
    sweeps : sequence of (frequency in Hz, reflection)
        Shapes (n,) alike in pairs.
    centre_hz : float
        Near the resonances.

    Returns
    -------
    Start or None
        None if no delay makes the sweeps a passive resonator.
    """
    thin = tuple(_thinned(*sweep) for sweep in sweeps)
    span_hz = max(float(hz[-1] - hz[0]) for hz, _ in sweeps)
    step_hz = max(float(hz[-1] - hz[0]) / (hz.size - 1) for hz, _ in thin)
    longest_s = min(_LONGEST_DELAY_S, _MOST_TURN / step_hz)
    coarse_s = max(_COARSE / span_hz, longest_s / _MOST_DELAYS)
    delays_s: FloatArray = np.arange(-coarse_s, longest_s + coarse_s, coarse_s, dtype=np.float64)
    fine_s = min(_FINE / span_hz, coarse_s / 4)
    found = _best(thin, centre_hz, delays_s)
    if found is None:
        return None
    around_s: FloatArray = found.delay_s + fine_s * np.arange(-8, 9, dtype=np.float64)
    return _best(thin, centre_hz, around_s)


def _thinned(frequency_hz: FloatArray, values: ComplexArray) -> tuple[FloatArray, ComplexArray]:
    every = max(1, frequency_hz.size // _POINTS)
    return frequency_hz[::every], values[::every]


def _best(
    sweeps: Sequence[tuple[FloatArray, ComplexArray]], centre_hz: float, delays_s: FloatArray
) -> Start | None:
    found = [_circles(*sweep, centre_hz, delays_s) for sweep in sweeps]
    cost = np.sum([one.cost for one in found], axis=0)
    at = int(cost.argmin())
    if not math.isfinite(cost[at]):
        return None
    factor = complex(found[0].factor[at])
    return Start(
        float(delays_s[at]),
        centre_hz,
        factor,
        tuple((float(c.resonance_hz[at]), float(c.r[at]), float(c.q[at])) for c in found),
    )


def _circles(
    frequency_hz: FloatArray, values: ComplexArray, centre_hz: float, delays_s: FloatArray
) -> _Circles:
    t = frequency_hz / centre_hz - centre_hz / frequency_hz
    scale = float(np.abs(t).max())
    t = t / scale
    turn = np.exp(2j * np.pi * delays_s[:, None] * (frequency_hz - centre_hz))
    y = values * turn
    size = np.abs(values) ** 2
    # Rows are 1, t and -t y; their products need only sums along the sweep, and |y| has no delay.
    of_weight = np.stack([np.ones_like(t), t, t * t, t * size, t * t * size], axis=1)
    of_y = of_weight[:, :3].astype(np.complex128)
    below = np.ones_like(y)
    square = np.zeros((delays_s.size, 3, 3), dtype=np.complex128)
    for _ in range(_STEPS):
        weight = 1 / (below.real**2 + below.imag**2)
        (one, first, second, first_size, second_size) = (weight @ of_weight).T
        zeroth_y, first_y, second_y = ((weight * y) @ of_y).T
        square[:, 0, 0], square[:, 0, 1], square[:, 0, 2] = one, first, -first_y
        square[:, 1, 0], square[:, 1, 1], square[:, 1, 2] = first, second, -second_y
        square[:, 2, 0], square[:, 2, 1] = -first_y.conj(), -second_y.conj()
        square[:, 2, 2] = second_size
        square[:, range(3), range(3)] += 1e-12
        right = np.stack([zeroth_y, first_y, -first_size + 0j], axis=1)
        a0, a1, b = np.linalg.solve(square, right[..., None])[..., 0].T
        below = 1 + b[:, None] * t
        below = np.where(np.abs(below) < _LEAST, _LEAST, below)
    cost = (np.abs(y - (a0[:, None] + a1[:, None] * t) / below) ** 2).sum(axis=1)
    b = np.where(np.abs(b) < _LEAST, _LEAST, b)
    factor, v = a1 / b, -scale / b
    pole = centre_hz * (v / 2 + np.sqrt(1 + v * v / 4))
    pole = np.where(pole.real < 0, -pole, pole)
    resonance_hz = np.abs(pole)
    loaded_q = resonance_hz / np.maximum(2 * np.abs(pole.imag), 1e-9 * resonance_hz)
    at = (resonance_hz / centre_hz - centre_hz / resonance_hz) / scale
    middle = (a0 + a1 * at) / (1 + b * at)
    safe = np.where(np.abs(factor) < _LEAST, 1, factor)
    depth = 1 - (middle / safe).real
    is_passive = (depth > 0.02) & (depth < 1.98) & (np.abs(factor) < 1.3) & (np.abs(factor) > 0.05)
    is_passive &= (resonance_hz > 0.5 * frequency_hz[0]) & (resonance_hz < 2 * frequency_hz[-1])
    depth = np.where(is_passive, depth, 1.0)
    return _Circles(
        np.where(is_passive, cost, np.inf),
        factor,
        resonance_hz,
        2 / depth - 1,
        loaded_q / (1 - depth / 2),
    )
