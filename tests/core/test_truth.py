"""A fast part of `tests/bench/truth.py`: no false dip or resonance, nothing sound withheld."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))

from truth import measure


@pytest.fixture(scope="module")
def sets():
    return {row.name: row for row in measure(40, seed=7)}


@pytest.mark.unmeasured
@pytest.mark.parametrize("name", ["clean", "noisy", "thinned", "coarse", "few"])
def test_nothing_false_is_claimed(sets, name):
    row = sets[name]
    assert row.sweeps == 40
    assert (row.false_dips, row.false_segments, row.false_resonances) == (0, 0, 0)


def test_no_figure_of_a_well_sampled_clean_sweep_is_withheld(sets):
    assert sets["clean"].sound > 5
    assert sets["clean"].withheld == 0
