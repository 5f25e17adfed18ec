"""A DC reading noted with a bench, in what `fairlead advise` and `fairlead figures` say."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bands import Band
from fairlead.core.bench_file import save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep

AT_HZ = np.linspace(45e6, 57e6, 121)


@pytest.fixture
def noted(tmp_path):
    """The second of two sweeps has a reading along a quarter wave of 1.4 m."""
    sweeps = [Sweep(AT_HZ, SeriesCircuit(hz, 40.0, 8).reflection(AT_HZ)) for hz in (51e6, 50.5e6)]
    readings = [
        Reading(sweep, label, "") for sweep, label in zip(sweeps, ("dry", "wet"), strict=True)
    ]
    bench = Bench().with_readings(readings).with_band(Band(50e6, 52e6))
    last = bench.entries[1]
    circumstances = replace(last.circumstances, continuity="1.6 Ω along 1.4 m, quarter wave")
    save_bench(bench.with_circumstances(last.key, circumstances), tmp_path / "dc.fairlead")


@pytest.mark.usefixtures("noted")
def test_the_least_loss_is_said_in_every_form(fairlead):
    """Half of 1.6 ohm of 40 ohm at resonance: 2 %, 0.0877 dB."""
    advice = json.loads(fairlead("advise", "dc.fairlead", "--as", "json").out)
    dry, wet = (one["dc_loss"] for one in advice["sweeps"])
    assert (dry["least_share"], dry["sentence"]) == (None, None)
    assert dry["why_not"]
    assert wet["least_share"] == pytest.approx(0.02, rel=1e-2)
    assert wet["why_not"] is None
    for form in ("text", "markdown"):
        assert wet["sentence"] in fairlead("advise", "dc.fairlead", "--as", form).out
    figures = json.loads(fairlead("figures", "dc.fairlead", "--as", "json").out)
    (change,) = figures["changes"]
    assert change["dc_loss"]["least_loss_db"] == pytest.approx(0.0877, rel=1e-2)
    assert change["sentence"].endswith("dB lost in the conductor.")
