"""The part of an uncertainty that moves a whole traced curve is no scatter of its points."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes
from fairlead.core.document.bench import Bench
from fairlead.core.errors import SweepError
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep
from fairlead.core.traced import Traced
from fairlead.core.traced_text import traced_lines, traced_of

HZ = np.linspace(50e6, 52e6, 41)
SIGMA = np.full(HZ.size, 0.01)


def sweep(line_share):
    magnitude = np.abs(HZ - 51e6) / 4e6 + 0.1
    return ScalarSweep(HZ, magnitude, traced=Traced(SIGMA, line_share=line_share))


def test_only_the_line_s_own_share_counts_as_noise():
    assert analyse(sweep(0.2), 50.0).noise.sigma == pytest.approx(0.002)
    assert analyse(sweep(1.0), 50.0).noise.sigma == pytest.approx(0.01)
    assert sweep(0.2) != sweep(0.3)


@pytest.mark.parametrize("share", [0.0, 1.1, float("nan")])
def test_a_share_is_above_0_and_no_more_than_1(share):
    with pytest.raises(SweepError, match="share"):
        Traced(SIGMA, line_share=share)


def test_it_is_kept_in_benches_and_tables():
    bench = Bench().with_readings([Reading(sweep(0.25), "a", "")])
    assert bench_from_bytes(bench_to_bytes(bench), "x") == bench
    traced = bench.entries[0].sweep.traced
    lines = [f"# {line}" for line in traced_lines(traced, HZ)]
    assert traced_of(lines, HZ, (HZ, SIGMA)).line_share == 0.25
    without = [line for line in lines if "share of it" not in line]
    assert traced_of(without, HZ, (HZ, SIGMA)).line_share == 1
