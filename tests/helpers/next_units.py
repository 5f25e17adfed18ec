"""Invented kits of which one unit more is built, to see whether it lies where it was said to."""

from __future__ import annotations

import numpy as np
from circuits import SeriesCircuit, complex_noise

from fairlead.core.bands import Band
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.document.groups import with_group
from fairlead.core.group_table import figure_value, group_rows, spread_specs
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

GRID_HZ = np.linspace(46e6, 56e6, 81)
KEYS = ("best_match_hz", "worst_swr", "usable_width_hz")


def next_unit_held(cases: int, n: int, seed: int) -> dict[str, float]:
    """Share of kits whose next unit lies inside the stated interval, by figure.

    Tuning, resistance and Q of the units are normally distributed; every sweep has noise.
    """
    rng = np.random.default_rng(seed)
    specs = {spec.key: spec for spec in spread_specs()}
    held = dict.fromkeys(KEYS, 0)
    for case in range(cases):
        bench = Bench().with_band(Band(50e6, 52e6))
        circuits = [
            SeriesCircuit(rng.normal(50.8e6, 0.2e6), rng.normal(43, 1.5), rng.normal(7, 0.2))
            for _ in range(n + 1)
        ]
        bench = bench.with_readings(
            [
                Reading(
                    Sweep(
                        GRID_HZ,
                        circuit.reflection(GRID_HZ)
                        + complex_noise(GRID_HZ.size, 5e-4, (n + 1) * case + i),
                    ),
                    f"unit {i}",
                    "",
                )
                for i, circuit in enumerate(circuits)
            ]
        )
        bench = with_group(bench, range(1, n + 1), "Kit")
        rows = compare(bench)
        (found,) = group_rows(bench, rows)
        for key in KEYS:
            of_next, value = found.spreads[key].of_next, figure_value(specs[key], rows[-1])
            held[key] += of_next.low <= value <= of_next.high
    return {key: count / cases for key, count in held.items()}
