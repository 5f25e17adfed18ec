"""Intervals hold the truth as often as they say: the small version of tests/bench/coverage.py."""

from __future__ import annotations

import pytest
from antenna_families import FAMILIES, has_solver
from coverage_cases import covered

# Of 100 cases at 95 %, 99 % of all draws lie between these; the seeds are fixed. The bench
# has 2,000 of each.
LOWEST, HIGHEST = 0.89, 1.0


@pytest.mark.unmeasured
@pytest.mark.parametrize("is_scalar", [False, True], ids=["complex", "scalar"])
def test_figures_are_covered(is_scalar):
    share = covered(100, seed=20, solver=has_solver(), is_scalar=is_scalar).shares()
    assert len(share) == (9 if not is_scalar else 8)
    assert {key: value for key, value in share.items() if not LOWEST <= value <= HIGHEST} == {}


@pytest.mark.unmeasured
def test_nearly_every_case_has_an_interval():
    counts = covered(60, seed=21, solver=False).counts
    best = sum(counts["best_match_hz", family][1] for family in FAMILIES)
    assert best >= 57
