"""How often an interval holds the truth: figure by family, points and noise. 95 % is aimed at.

    python tests/bench/coverage.py [CASES] [SEED]

No timed test: a table for people, after a change of the method. The small seeded version is
tests/core/uncertainty/test_coverage_of_intervals.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from antenna_families import has_solver
from coverage_cases import FIGURES, POINTS, covered, families

from fairlead.core.uncertainty.error_model import ErrorModel

OTHERS = (
    ("scalar sweeps", {"is_scalar": True}),
    ("25 points", {"points": 25}),
    ("10,001 points", {"points": 10_001}),
    *(
        (f"directivity {value} dB, guaranteed", {"errors": ErrorModel(value), "kind": "accuracy"})
        for value in (30, 40)
    ),
    (
        "directivity 35 dB, as it is",
        {"errors": ErrorModel(35, is_guaranteed=False), "kind": "accuracy"},
    ),
    ("directivity 35 dB, not told", {"errors": ErrorModel(35)}),
)


def print_table(cases: int, seed: int) -> None:
    """The main table, then one line for each other kind of sweep."""
    solver = has_solver()
    found = covered(cases, seed, solver=solver)
    columns = ["all", "noise < 1 %", "noise > 1 %", *families(solver=solver), *POINTS]
    print(f"coverage in %, {found.cases} cases, seed {seed}" + ("" if solver else ", no solver"))
    print(f"{'figure':16}{'cases':>6}{'none':>5}", *(f"{of!s:>11.11}" for of in columns))
    for key in FIGURES:
        _, known, existing = found.counts[key, "all"]
        shares = (f"{100 * found.share(key, of):11.1f}" for of in columns)
        print(f"{key:16}{known:6}{existing - known:5}", *shares)
    print(
        f"{found.seconds / found.cases * 1e3:.1f} ms a case, "
        f"{found.seconds / found.figure_seconds:.2f} x the figures"
    )
    print(f"\n{'other sweeps':32}", *(f"{key:>16}" for key in FIGURES))
    for name, options in OTHERS:
        one = covered(cases // 4, seed + 1, solver=solver, **options)
        print(f"{name:32}", *(f"{100 * one.share(key):16.1f}" for key in FIGURES))


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    print_table(*(given + [2000, 1][len(given) :]))
