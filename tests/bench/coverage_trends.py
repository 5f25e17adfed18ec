"""How often what is said of trends and of the next unit holds the truth. 95 % is aimed at.

    python tests/bench/coverage_trends.py [CASES] [SEED]

No timed test: a table for people, after a change of the method. Small seeded versions are in
tests/core/test_trend_lines.py, tests/core/comparison/test_group_spread.py and
tests/core/comparison/test_next_unit.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from next_units import next_unit_held

from fairlead.core.over_time.line import OUTLIER, chance_of_a_mark, fitted_line, studentised

SIGMA_HZ = 20e3
SLOPE_HZ = -30e3
WARM_HZ = -1.2e3


def print_lines(cases: int, seed: int) -> None:
    """Slope, the band at a date in between and beyond, the slope with the temperature held."""
    rng = np.random.default_rng(seed)
    print(f"trends, {cases} cases each, seed {seed}; years at random, normal scatter, held in %")
    print(
        f"{'n':>4}{'slope':>8}{'band':>8}{'beyond':>8}{'held':>8}{'warm':>8}{'marked':>9}{'most':>7}"
    )
    for n in (3, 4, 6, 10, 20):
        held = np.zeros(5)
        marked = with_two = 0
        for _ in range(cases):
            years = np.sort(rng.uniform(0, 5, n))
            warm = rng.normal(12, 5, n) + 2 * rng.standard_normal() * years
            values = SLOPE_HZ * years + rng.normal(0, SIGMA_HZ, n)
            line = fitted_line(years[:, None], values)
            inside = np.array([[2.5], [7.0]])
            at, half = line.at(inside)
            held[0] += abs(line.slopes[0].value - SLOPE_HZ) <= line.slopes[0].half
            held[1:3] += np.abs(at - SLOPE_HZ * inside[:, 0]) <= half
            marked += any(one is not None and abs(one) > OUTLIER for one in studentised(line))
            if n > 3:
                both = fitted_line(np.column_stack([years, warm]), values + WARM_HZ * warm)
                with_two += 1
                for i, truth in enumerate((SLOPE_HZ, WARM_HZ)):
                    held[3 + i] += abs(both.slopes[i].value - truth) <= both.slopes[i].half
        shares = [*(100 * held[:3] / cases), *(100 * held[3:] / max(1, with_two))]
        print(
            f"{n:4}",
            *(f"{share:7.1f}" for share in shares),
            f"{100 * marked / cases:8.1f}",
            f"{100 * chance_of_a_mark(n):6.1f}",
        )


def print_bounds(cases: int, seed: int) -> None:
    """With the bound: errors of each date even within it, always at it, and at its worst corner."""
    rng = np.random.default_rng(seed)
    bound = 30e3
    print("\nslope with a bound of 30 kHz a date, held in %")
    print(f"{'n':>4}{'even':>8}{'at it':>8}{'worst':>8}{'  scatter alone, worst':>24}")
    for n in (3, 6, 10, 20):
        held = np.zeros(4)
        for _ in range(cases):
            years = np.sort(rng.uniform(0, 5, n))
            clean = SLOPE_HZ * years + rng.normal(0, SIGMA_HZ / 4, n)
            worst = bound * np.sign(years - years.mean())
            errors = rng.uniform(-bound, bound, n), bound * rng.choice([-1, 1], n), worst
            for i, error in enumerate(errors):
                line = fitted_line(years[:, None], clean + error, np.full(n, bound))
                off = abs(line.slopes[0].value - SLOPE_HZ)
                held[i] += off <= line.slopes[0].half_with_bound
                held[3] += i == 2 and off <= line.slopes[0].half
        print(f"{n:4}", *(f"{100 * one / cases:7.1f}" for one in held))


def print_next_units(cases: int, seed: int) -> None:
    """Through the whole program: units of noisy sweeps, the next one inside what was said."""
    print(f"\nthe next unit, {cases} kits each, held in %")
    for n in (2, 3, 5, 10):
        held = next_unit_held(cases, n, seed)
        print(f"{n:4}  " + "  ".join(f"{key} {100 * share:.1f}" for key, share in held.items()))


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    cases, seed = (given + [2000, 1][len(given) :])[:2]
    print_lines(cases, seed)
    print_bounds(cases, seed)
    print_next_units(cases // 5, seed)
