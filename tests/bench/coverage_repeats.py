"""How often the intervals of effect, drift and half time hold the truth. 95 % is aimed at.

    python tests/bench/coverage_repeats.py [CASES] [SEED]

No timed test: a table for people, after a change of the method. Small seeded versions are in
tests/core/test_repeats.py and tests/core/test_drying_curve.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from circuits import SeriesCircuit, complex_noise

from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.repeats.drying import drying_curve
from fairlead.core.comparison.repeats.stages import compare_stages
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

NORMAL = 1.959964
GRID_HZ = np.linspace(46e6, 56e6, 101)


def print_half_times(cases: int, seed: int) -> None:
    """Points of the curve, whether the noise is known, share that holds the truth, refusals."""
    rng = np.random.default_rng(seed)
    print(f"half time, {cases} cases each, seed {seed}\n{'points':>7}{'noise':>9}{'held':>8}  none")
    for count, is_known in ((4, 1), (5, 1), (6, 1), (8, 1), (12, 1), (8, 0), (12, 0)):
        held = told = 0
        for _ in range(cases):
            half_time = rng.uniform(8, 30)
            minutes = half_time * rng.uniform(2.5, 5) * (np.arange(count) / (count - 1)) ** 1.5
            size = -3e5 * rng.uniform(0.3, 1)
            values = 51e6 + size * 0.5 ** (minutes / half_time) + 3e3 * rng.standard_normal(count)
            found = drying_curve(minutes, values, [NORMAL * 3e3 if is_known else None] * count)
            if not isinstance(found, str):
                told += 1
                held += found.interval_minutes.low <= half_time <= found.interval_minutes.high
        name = "known" if is_known else "unknown"
        print(f"{count:7}{name:>9}{100 * held / max(told, 1):8.1f}{cases - told:6}")


def print_effects(cases: int, seed: int) -> None:
    """Real sweeps with noise of their own, 101 points: best match and Q, with and without times."""
    rng = np.random.default_rng(seed)
    held = {(key, what): 0 for key in ("best_match_hz", "q") for what in ("drift", "effect")}
    untimed = told = 0
    for case in range(cases):
        noise = float(np.exp(rng.uniform(np.log(0.001), np.log(0.01))))
        drift_hz, share = float(rng.uniform(-6e4, 6e4)), float(rng.uniform(0.1, 0.9))
        places = 51e6, 51e6 - 3e5 + share * drift_hz, 51e6 + drift_hz
        readings = []
        for number, f0_hz in enumerate(places):
            gamma = SeriesCircuit(f0_hz, 42.0, 9.0).reflection(GRID_HZ)
            gamma = gamma + complex_noise(GRID_HZ.size, noise, seed + 3 * case + number)
            readings.append(Reading(Sweep(GRID_HZ, gamma), f"{number}", ""))
        bench = Bench().with_readings(readings).with_band(Band(50e6, 52e6))
        rows = compare_known(bench)
        found = compare_stages(*rows, (0.0, share, 1.0))
        other = compare_stages(*rows)
        if isinstance(found, str) or isinstance(other, str) or len(found.figures) < 5:
            continue
        told += 1
        truth = {
            ("best_match_hz", "drift"): drift_hz,
            ("best_match_hz", "effect"): -3e5,
            ("q", "drift"): 0.0,
            ("q", "effect"): 0.0,
        }
        for (key, what), value in truth.items():
            one = getattr(found.figures[key], what)
            held[key, what] += abs(one.value - value) <= (one.half or 0.0)
        one = other.figures["best_match_hz"].effect
        untimed += abs(one.value + 3e5) <= (one.half or 0.0)
    print(f"\nsweeps before, during, after: {told} of {cases} cases told")
    for (key, what), count in held.items():
        print(f"{key:15}{what:8}{100 * count / told:6.1f}")
    print(
        f"best_match_hz  effect{100 * untimed / told:8.1f}  without times, 95 or more is aimed at"
    )


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    cases, seed = given + [2000, 1][len(given) :]
    print_half_times(cases, seed)
    print_effects(cases, seed)
