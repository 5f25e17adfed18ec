"""Monte Carlo: the accuracy stated after a line was removed holds the truth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit
from plain_intervals import intervals_of

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.measuring_errors import errors_of
from fairlead.core.document.planes import line_step, with_feed_line
from fairlead.core.figures import figures_of
from fairlead.core.line_types import line_of_type
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.error_model import ErrorModel

GRID_HZ = np.linspace(46e6, 58e6, 201)
BAND = Band(50e6, 52e6)
CIRCUIT = SeriesCircuit(51e6, 40.0, 9.0)
CASES = 60


@pytest.mark.unmeasured
def test_the_stated_accuracy_holds_the_truth_behind_an_uncertain_line():
    """Loss within 10 %, length within 1 %, directivity of 40 dB at any phase, noise of 0.1 %."""
    rng = np.random.default_rng(11)
    line, told_m = line_of_type("RG-58"), 12.0
    step = line_step("radio", line, told_m, 1.0)
    true = figures_of(analyse(Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ)), 50.0), BAND)
    keys = ("best_match_hz", "best_match_swr", "swr_low_edge", "swr_high_edge", "usable_width_hz")
    hits = dict.fromkeys(keys, 0)
    for _ in range(CASES):
        own = line_step("feed", line, told_m * (1 + rng.uniform(-0.01, 0.01)))
        share = 1 + rng.uniform(-0.1, 0.1)
        own = replace(own, k1_db=line.k1_db * share, k2_db=line.k2_db * share)
        seen = own.applied(Sweep(GRID_HZ, CIRCUIT.reflection(GRID_HZ))).reflection
        noise = 1e-3 * (rng.normal(size=201) + 1j * rng.normal(size=201))
        sweep = Sweep(GRID_HZ, seen + 0.01 * np.exp(2j * np.pi * rng.random()) + noise)
        bench = Bench().with_readings([Reading(sweep, "radio", "")])
        bench = with_feed_line(bench, [1], "radio", step)
        bench = bench.with_accuracy([1], ErrorModel(40.0, None, None))
        entry = bench.entry(1)
        analysis = analyse(entry.sweep, 50.0)
        found = figures_of(analysis, BAND)
        known = intervals_of(analysis, found, BAND, 2.0, errors_of(bench, entry))
        for key in keys:
            interval = known[key].accuracy
            value = getattr(true, key)
            hits[key] += interval is not None and interval.low <= value <= interval.high
    assert min(hits.values()) >= 0.93 * CASES, hits
