"""Hypothesis strategies: every kind of sweep, band and limit that the core must stand."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from fairlead.core.bands import Band
from fairlead.core.sweep import ScalarSweep, Sweep

LOWEST_HZ, HIGHEST_HZ = 1e3, 1e11


@st.composite
def grids(draw, most=60):
    """Strictly rising frequencies: even, logarithmic, or with steps of any size."""
    count = draw(st.integers(2, most))
    low_hz = draw(st.floats(LOWEST_HZ, HIGHEST_HZ / 10))
    span = draw(st.floats(1e-5, 9.0))
    kind = draw(st.sampled_from(["even", "logarithmic", "uneven"]))
    if kind == "even":
        return np.linspace(low_hz, low_hz * (1 + span), count)
    if kind == "logarithmic":
        return np.geomspace(low_hz, low_hz * (1 + span), count)
    steps = np.array(draw(st.lists(st.floats(1e-4, 1), min_size=count - 1, max_size=count - 1)))
    return low_hz * (1 + span * np.concatenate(([0], np.cumsum(steps))) / steps.sum())


def impedances_ohm(count):
    """Passive impedances, as far as short and nearly open."""
    parts = st.floats(-1e4, 1e4)
    return st.lists(
        st.builds(lambda r, x: complex(abs(r), x), parts, parts), min_size=count, max_size=count
    )


@st.composite
def smooth_sweeps(draw, most=60, fewest=2):
    """Antennas: one to three series circuits in parallel, some behind a line."""
    frequency_hz = draw(grids(most=most).filter(lambda grid: grid.size >= fewest))
    centre_hz = float(np.sqrt(frequency_hz[0] * frequency_hz[-1]))
    admittance = np.zeros(frequency_hz.size, dtype=complex)
    for _ in range(draw(st.integers(1, 3))):
        f0_hz = centre_hz * draw(st.floats(0.5, 2))
        r_ohm, q = draw(st.floats(5, 500)), draw(st.floats(0.5, 20))
        detuned = frequency_hz / f0_hz - f0_hz / frequency_hz
        admittance += 1 / (r_ohm * (1 + 1j * q * detuned))
    z0_ohm = draw(st.sampled_from([50.0, 75.0, 450.0, 12.5]))
    gamma = (1 - z0_ohm * admittance) / (1 + z0_ohm * admittance)
    turns = draw(st.sampled_from([0.0, 0.0, 0.4, 3.0]))
    swing = (frequency_hz - frequency_hz[0]) / (frequency_hz[-1] - frequency_hz[0])
    return Sweep(frequency_hz, gamma * np.exp(-2j * np.pi * turns * swing), z0_ohm)


@st.composite
def rough_sweeps(draw, most=40):
    """Anything a file may hold: no physics at all, magnitudes beyond 1 included."""
    frequency_hz = draw(grids(most=most))
    parts = st.one_of(
        st.floats(-1.2, 1.2), st.sampled_from([0.0, 1.0, -1.0, 1 + 1e-12, 0.5]), st.floats(-9, 9)
    )
    numbers = st.lists(
        st.builds(complex, parts, parts), min_size=frequency_hz.size, max_size=frequency_hz.size
    )
    if draw(st.booleans()):
        return Sweep(frequency_hz, draw(numbers), draw(st.floats(1, 1000)))
    return ScalarSweep(frequency_hz, np.abs(draw(numbers)), draw(st.floats(1, 1000)))


def any_sweeps():
    """Smooth and rough ones."""
    return st.one_of(smooth_sweeps(), rough_sweeps())


@st.composite
def bands_near(draw, sweep):
    """Bands inside, across, outside and around a sweep, wide and narrow, edges on points too."""
    low_hz, high_hz = float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1])
    width_hz = high_hz - low_hz
    places = st.one_of(
        st.floats(-0.5, 1.5).map(lambda part: low_hz + part * width_hz),
        st.sampled_from(sweep.frequency_hz.tolist()),
    ).filter(lambda hz: hz > 0)
    first, second = draw(places), draw(places)
    if abs(first - second) < 1e-6 * first:
        second = first * 1.001
    return Band(min(first, second), max(first, second))


limits = st.floats(1.05, 20)
reference_impedances_ohm = st.one_of(st.sampled_from([50.0, 75.0, 300.0]), st.floats(1, 1000))
