"""Sweeps with something wrong in them, and good ones, made in closed form; nothing is measured."""

from __future__ import annotations

import math

import numpy as np
from circuits import C_M_PER_S, SeriesCircuit, behind_line, complex_noise, detuning, reflection_of

from fairlead.core.analysis.analysis import analyse
from fairlead.core.figures import figures_of
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.sweep import ScalarSweep, Sweep

WIDE_HZ = np.linspace(400e6, 470e6, 201)
NOISE = complex_noise(201, 0.001, 1)
ANTENNA = SeriesCircuit(435e6, 60, 30).reflection(WIDE_HZ)
CLEAN = ANTENNA + NOISE


def sweep_of(frequency_hz, reflection, *, scalar=False):
    if scalar:
        return ScalarSweep(frequency_hz, np.abs(reflection))
    return Sweep(frequency_hz, reflection)


def found_in(frequency_hz, reflection, band=None, *, scalar=False):
    """Findings by code."""
    analysis = analyse(sweep_of(frequency_hz, reflection, scalar=scalar), 50.0)
    figures = None if band is None else figures_of(analysis, band)
    return {one.code: one for one in check_sweep(analysis, figures, band)}


def cable(frequency_hz, length_m, loss_db, velocity_factor=0.66):
    """Reflection of a line that is open at its far end."""
    return behind_line(np.ones(len(frequency_hz)), frequency_hz, length_m, velocity_factor, loss_db)


def good_model(generator):
    """A well-measured sweep of one of four kinds.

    Series circuit of Q 2 to 300, the same behind 0 to 60 m of line with at most 1.5 dB, small loop
    (resistance by the square of the frequency), end-fed through a transformer 49 to 1; SWR at best
    up to 2; 4 points or more a 2:1 width, 1.2 to 20 of these widths wide, noise 0 to 0.5 %.

    Returns
    -------
    tuple
        Kind, line in metres, frequencies, reflection.
    """
    f0_hz = 10 ** generator.uniform(6.3, 8.7)
    q = 10 ** generator.uniform(math.log10(2), math.log10(300))
    r_ohm = generator.uniform(25, 90)
    kind = str(generator.choice(["series", "loop", "end-fed", "line"]))
    points = int(generator.choice([101, 201, 401, 1001]))
    span = min(generator.uniform(1.2, min(20, points / 8)) * 0.707 / q, 1.2)
    off = generator.uniform(-0.3, 0.3) * span
    low, high = max(1 - span / 2 + off, 0.15), 1 + span / 2 + off
    hz = f0_hz * np.linspace(low, high, points)
    if kind == "loop":
        z_ohm = r_ohm * (hz / f0_hz) ** 2 + 1j * r_ohm * q * detuning(hz, f0_hz)
    elif kind == "end-fed":
        z_ohm = generator.uniform(1800, 3200) / 49 / (1 + 1j * q * detuning(hz, f0_hz))
    else:
        z_ohm = r_ohm * (1 + 1j * q * detuning(hz, f0_hz))
    gamma, line_m = reflection_of(z_ohm), 0.0
    if kind == "line":
        line_m = generator.uniform(0, 60)
        loss_db = generator.uniform(2, 8) * line_m / 100 * np.sqrt(hz / 50e6)
        turn = 2 * line_m / (C_M_PER_S * 0.66) * (hz[1] - hz[0])
        shorter = min(1, 1.5 / max(loss_db.max(), 1e-9), 0.06 / max(turn, 1e-9))
        line_m *= shorter
        gamma = behind_line(gamma, hz, line_m, 0.66, loss_db * shorter)
    noise = generator.choice([0, 0.0005, 0.001, 0.002, 0.005])
    return kind, line_m, hz, gamma + complex_noise(points, noise, int(generator.integers(1 << 30)))
