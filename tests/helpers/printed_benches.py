"""Benches to print, and a ruler that needs no font."""

from __future__ import annotations

from functools import cache

import numpy as np
from circuits import SeriesCircuit, complex_noise

from fairlead.core.band_tables import parse_band
from fairlead.core.document.bench import Bench
from fairlead.core.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(46e6, 58e6, 241)


class Ruler:
    """Every letter is as wide as half its height, bold ones a tenth wider."""

    def width_mm(self, text, size_pt, *, is_bold=False):
        return len(text) * size_pt * 25.4 / 72 * (0.55 if is_bold else 0.5)


def circuit(index=0):
    """Antennas of a made-up series: 0.25 MHz apart, each with a little more resistance."""
    return SeriesCircuit(50.4e6 + 0.25e6 * (index % 7), 38.0 + 4 * (index % 9), 6.0 + index % 4)


def reading(index=0, label=None, frequency_hz=GRID_HZ, noise=0.0, notices=()):
    gamma = circuit(index).reflection(frequency_hz) + complex_noise(frequency_hz.size, noise, index)
    label = f"sweep {index + 1}" if label is None else label
    return Reading(Sweep(frequency_hz, gamma), label, f"{label}.s1p", notices)


def scalar_reading(index=0, label="meter"):
    rho = np.abs(circuit(index).reflection(GRID_HZ))
    return Reading(ScalarSweep(GRID_HZ, rho), label, f"{label}.csv")


def bench_of(*readings, band="6m"):
    bench = Bench().with_readings(readings)
    return bench if band is None else bench.with_band(parse_band(band))


def bench_with(count, **changes):
    readings = (reading(i, **changes) if changes else _usual(i) for i in range(count))
    return bench_of(*readings)


@cache
def _usual(index):
    """The same sweep each time, so that what is known of it holds for every bench it is in."""
    return reading(index)
