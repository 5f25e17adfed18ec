"""Pairs of sweeps with known changes, for tests of coverage; nothing here is ours to test.

Each family draws a reference and a changed antenna behind one line: frequencies, the two
reflections at 50 ohm, and the truth. Element values are invented.
"""

from __future__ import annotations

import collections
import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from antenna_families import C_M_PER_S, FAMILIES, has_solver, log_uniform, solved

from fairlead.core.analysis.analysis import analyse
from fairlead.core.comparison.parts.result import Parts
from fairlead.core.comparison.what_changed import parts_of
from fairlead.core.sweep import ScalarSweep, Sweep

NOISES = (0.0005, 0.001, 0.002, 0.005, 0.01)
NAMES = ("tuning", "match", "damping")


@dataclass(frozen=True)
class Pair:
    """Truth: tuning in Hz, logarithms of the ratios of resistance and Q."""

    frequency_hz: object
    reflections: tuple
    tuning_hz: float
    log_r: float
    log_q: float


def through(z_ohm, hz, length_m, loss_db_per_m, line_ohm=50.0):
    """Reflection at 50 ohm at the near end of a line of any impedance."""
    turn = 4 * np.pi * hz * length_m / (0.66 * C_M_PER_S)
    loss_db = 2 * length_m * loss_db_per_m * np.sqrt(hz / 10e6)
    far = (z_ohm - line_ohm) / (z_ohm + line_ohm) * 10 ** (-loss_db / 20) * np.exp(-1j * turn)
    near_ohm = line_ohm * (1 + far) / (1 - far)
    return (near_ohm - 50) / (near_ohm + 50)


def _grid(rng, f0_hz, q, tuning, widest=1.2):
    points = int(rng.choice([101, 201, 401, 801]))
    span_hz = min(rng.uniform(4, 12) / q * f0_hz, widest * f0_hz)
    middle_hz = f0_hz * (1 + tuning / 2)
    hz = np.linspace(middle_hz - span_hz / 2, middle_hz + span_hz / 2, points)
    # No more than a fifth of a turn from point to point.
    longest_m = 0.1 * 0.66 * C_M_PER_S * points / span_hz
    return hz, min(log_uniform(rng, 0.5, 30), longest_m), rng.uniform(0, 0.03)


def _circuits(rng, *, is_rising=False, has_line=True, ripple_db=None):
    f0_hz, q, r = log_uniform(rng, 3.5e6, 440e6), log_uniform(rng, 5, 60), rng.uniform(28, 90)
    tuning = rng.uniform(-0.6, 0.6) / q
    log_r, log_q = rng.uniform(-0.2, 0.2, 2).tolist()
    hz, length_m, loss = _grid(rng, f0_hz, q, tuning)
    rise, bend = (rng.uniform(0, 2.5), rng.uniform(0, 0.2)) if is_rising else (0.0, 0.0)

    def impedance(at_hz, r_ohm, own_q):
        u = hz / at_hz - at_hz / hz
        return r_ohm * ((hz / at_hz) ** rise + 1j * own_q * u * (1 + bend * u))

    both = (
        impedance(f0_hz, r, q),
        impedance(f0_hz * math.exp(tuning), r * math.exp(log_r), q * math.exp(log_q)),
    )
    length_m = length_m if has_line else 0.0
    seen = [through(z, hz, length_m, loss) for z in both]
    if ripple_db is not None:
        delay_s = rng.uniform(0, 20e-9)
        false = 10 ** (-ripple_db / 20) * np.exp(2j * np.pi * (rng.uniform() - hz * delay_s))
        seen = [one + false for one in seen]
    return Pair(hz, tuple(seen), f0_hz * math.expm1(tuning), log_r, log_q)


def _resonance_of(impedance, low_hz, high_hz):
    """Frequency, resistance and Q where the reactance of a function of frequency is zero."""
    for _ in range(60):
        middle_hz = (low_hz + high_hz) / 2
        if impedance(middle_hz).imag < 0:
            low_hz = middle_hz
        else:
            high_hz = middle_hz
    slope = (impedance(low_hz * 1.0001).imag - impedance(low_hz * 0.9999).imag) / (2e-4 * low_hz)
    r_ohm = float(impedance(low_hz).real)
    return low_hz, r_ohm, float(slope) * low_hz / 2 / r_ohm


def _of_solver(rng, impedance, around_hz, *, most_added_ohm=0.0, line_ohm=50.0):
    """A solver's antenna, changed by another scale of frequency and by a resistance."""
    own_hz, r_ohm, q = _resonance_of(impedance, *around_hz)
    f0_hz = log_uniform(rng, 3.5e6, 440e6)
    tuning, added_ohm = rng.uniform(-0.3, 0.3) / q, rng.uniform(0, most_added_ohm)
    hz, length_m, loss = _grid(rng, f0_hz, q, tuning, 0.3)
    scale = own_hz / f0_hz
    both = impedance(hz * scale), impedance(hz * scale / math.exp(tuning)) + added_ohm
    log_r = math.log1p(added_ohm / r_ohm)
    seen = tuple(through(z, hz, length_m, loss, line_ohm) for z in both)
    return Pair(hz, seen, f0_hz * math.expm1(tuning), log_r, -log_r)


@cache
def _bent():
    """A bent dipole over ground by NEC-2."""
    from PyNEC import nec_context  # noqa: PLC0415  (only where there is a solver)

    places_hz = np.linspace(11e6, 18e6, 57)
    values = []
    for hz in places_hz:
        context = nec_context()
        geometry = context.get_geometry()
        geometry.wire(1, 20, -3.6, 0, 5.4, -0.1, 0, 9.0, 1e-3, 1, 1)
        geometry.wire(2, 1, -0.1, 0, 9.0, 0.1, 0, 9.0, 1e-3, 1, 1)
        geometry.wire(3, 20, 0.1, 0, 9.0, 3.6, 0, 5.4, 1e-3, 1, 1)
        context.geometry_complete(0)
        context.gn_card(0, 0, 13.0, 0.005, 0, 0, 0, 0)
        context.ex_card(0, 2, 1, 0, 0, 1, 0, 0, 0, 0, 0)
        context.fr_card(0, 1, hz / 1e6, 0)
        context.xq_card(0)
        values.append(complex(context.get_input_parameters(0).get_impedance()[0]))
    x = (places_hz - 14.5e6) / 3.5e6
    parts = np.real(values), np.imag(values)
    both = [np.polynomial.chebyshev.chebfit(x, part, 20) for part in parts]

    def impedance(hz):
        at = (np.asarray(hz) - 14.5e6) / 3.5e6
        real, imag = (np.polynomial.chebyshev.chebval(at, one) for one in both)
        return real + 1j * imag

    return impedance


def _scaled(rng, family):
    """An antenna of another family, all of it scaled: tuning and nothing else."""
    antenna = FAMILIES[family](rng)
    tuning = rng.uniform(-0.5, 0.5) * antenna.width_hz / antenna.centre_hz
    span_hz = min(rng.uniform(4, 10) * antenna.width_hz, 0.8 * antenna.centre_hz)
    points = int(rng.choice([101, 201, 401, 801]))
    middle_hz = antenna.centre_hz * (1 + tuning / 2)
    hz = np.linspace(middle_hz - span_hz / 2, middle_hz + span_hz / 2, points)
    length_m, loss = min(log_uniform(rng, 0.5, 20), 2e7 * points / span_hz / 10), 0.01
    turn = np.exp(-4j * np.pi * hz * length_m / (0.66 * C_M_PER_S))
    k = turn * 10 ** (-2 * loss * length_m * np.sqrt(hz / 10e6) / 20)
    seen = antenna.reflection(hz) * k, antenna.reflection(hz / math.exp(tuning)) * k
    return Pair(hz, seen, antenna.centre_hz * math.expm1(tuning), 0.0, 0.0)


WITHIN = {
    "circuit": lambda rng: _circuits(rng, has_line=False),
    "circuit + line": _circuits,
    "rising R, bent X + line": lambda rng: _circuits(rng, is_rising=True),
}
"""The family of the model."""
TRIED = {
    "-35 dB ripple": lambda rng: _circuits(rng, ripple_db=35),
    "-30 dB ripple": lambda rng: _circuits(rng, ripple_db=30),
    "end-fed, scaled": lambda rng: _scaled(rng, "end-fed"),
}
"""Outside it, but seen before the model's error was fixed."""
UNSEEN = {"small loop, scaled": lambda rng: _scaled(rng, "small loop")}
"""Outside it, and of no influence on the method."""
if has_solver():
    _DIPOLE, _MONOPOLE = (13e6, 15.5e6), (12.5e6, 15.5e6)
    TRIED |= {
        "solver's dipole + line": lambda rng: _of_solver(rng, solved("dipole"), _DIPOLE),
        "solver's monopole + R": lambda rng: _of_solver(
            rng, solved("monopole"), _MONOPOLE, most_added_ohm=12
        ),
        "same, 75 ohm line": lambda rng: _of_solver(
            rng, solved("monopole"), _MONOPOLE, most_added_ohm=12, line_ohm=75.0
        ),
    }
    UNSEEN |= {
        "bent dipole + R": lambda rng: _of_solver(rng, _bent(), (12e6, 17e6), most_added_ohm=12),
        "same, 37.5 ohm line": lambda rng: _of_solver(
            rng, _bent(), (12e6, 17e6), most_added_ohm=12, line_ohm=37.5
        ),
    }


@dataclass
class Tally:
    """What came of many pairs."""

    cases: int
    given: int
    held: object
    held_by_noise: object
    reasons: object

    def shares(self):
        return dict(zip(NAMES, self.held / max(self.given, 1), strict=True))

    def shares_by_noise(self):
        return dict(zip(NAMES, self.held_by_noise / max(self.given, 1), strict=True))


def tally_scalar(family, cases, seed, noises=NOISES):
    """How often tuning and width hold the truth where only |G| was measured; noise is of |G|."""
    rng = np.random.default_rng(seed)
    held, given, reasons = np.zeros(2), 0, collections.Counter()
    for _ in range(cases):
        pair = family(rng)
        sigma = float(rng.choice(noises))
        analyses = []
        for exact in pair.reflections:
            noise = rng.normal(size=(2, exact.size)) * sigma
            magnitude = np.abs(exact + noise[0] + 1j * noise[1])
            analyses.append(analyse(ScalarSweep(pair.frequency_hz, magnitude, 50.0), 50.0))
        parts = parts_of(*analyses)
        if not isinstance(parts, Parts):
            reasons[parts] += 1
            continue
        given += 1
        # The width goes as f0 / (Q sqrt r), or its inverse level for a parallel circuit.
        ratio = 1 + pair.tuning_hz / parts.resonance_hz
        old = parts.resonance_hz / parts.q * math.sqrt(0.5)
        true = old * (ratio * math.exp(-pair.log_q - pair.log_r / 2) - 1)
        off = [abs(parts.tuning_hz.value - pair.tuning_hz), abs(parts.width_hz.value - true)]
        held += [off[0] <= parts.tuning_hz.half, off[1] <= parts.width_hz.half]
    return held / max(given, 1), given, reasons


def tally(family, cases, seed, noises=NOISES):
    """How often the parts of a family's pairs hold the truth."""
    rng = np.random.default_rng(seed)
    found = Tally(cases, 0, np.zeros(3), np.zeros(3), collections.Counter())
    for _ in range(cases):
        pair = family(rng)
        sigma = float(rng.choice(noises))
        analyses = []
        for exact in pair.reflections:
            noise = rng.normal(size=(2, exact.size)) * sigma
            measured = exact + noise[0] + 1j * noise[1]
            analyses.append(analyse(Sweep(pair.frequency_hz, measured, 50.0), 50.0))
        parts = parts_of(*analyses)
        if not isinstance(parts, Parts):
            found.reasons[parts] += 1
            continue
        found.given += 1
        db = 20 / math.log(10)
        own = parts.tuning_hz, parts.match_db, parts.damping_db
        truth = pair.tuning_hz, db * pair.log_r, db / 2 * pair.log_q
        off = np.array([abs(one.value - true) for one, true in zip(own, truth, strict=True)])
        # Behind a line that turns by half, a circuit is a parallel one with its inverse level.
        off[1] = min(off[1], abs(parts.match_db.value + truth[1]))
        found.held += off <= [one.half for one in own]
        found.held_by_noise += off <= [one.noise_half for one in own]
    return found
