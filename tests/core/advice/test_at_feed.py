"""Sweeps as they are at the feed point, and what the radio sees after a shift."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line

from fairlead.core.advice.at_feed import at_feed, worst_at_radio
from fairlead.core.advice.budget import Station
from fairlead.core.advice.compromise import compromise
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.planes import line_step, with_feed_line
from fairlead.core.feed_line import FeedLine
from fairlead.core.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.uncertainty.error_model import ErrorModel

BAND = Band(50e6, 52e6)
AT_HZ = np.linspace(46e6, 58e6, 301)
LINE = FeedLine("", 50.0, 0.66, k1_db=10 / np.sqrt(51))  # 2 dB in 20 m at 51 MHz
CIRCUIT = SeriesCircuit(50.5e6, 50.0, 8.0)


def bench_of(*sweeps):
    readings = [Reading(sweep, f"sweep {i}", "") for i, sweep in enumerate(sweeps)]
    return Bench().with_band(BAND).with_readings(readings)


def feed_sweep():
    return Sweep(AT_HZ, CIRCUIT.reflection(AT_HZ))


def test_a_what_if_does_not_move_what_is_moved():
    bench = bench_of(feed_sweep())
    moved = bench.with_steps(1, (FrequencyScale(3.0),))
    for one in (bench, moved):
        found, left_out = at_feed(one, Analyses(), Station())
        assert left_out == {}
        assert found[0].moved.best_match_hz == pytest.approx(50.5e6, rel=1e-4)
        assert found[0].moved.bound is None


def test_only_the_chosen_ones():
    found, _ = at_feed(bench_of(feed_sweep(), feed_sweep()), Analyses(), Station(), {2})
    assert [(one.key, one.label) for one in found] == [(2, "sweep 1")]


def test_a_line_is_removed_its_own_or_the_stations():
    radio = line_step("feed", LINE, 20.0).applied(feed_sweep())
    bench = bench_of(radio, radio).with_plane(1, "radio")
    bench = with_feed_line(bench, [2], "radio", line_step("radio", LINE, 20.0))
    seen = bench.with_steps(2, bench.entry(2).steps_at("radio"))
    for one in (bench, seen):
        found, left_out = at_feed(one, Analyses(), Station(line=LINE, length_m=20.0))
        assert left_out == {}
        for sweep in found:
            gamma = sweep.moved.analysis.reflection
            np.testing.assert_allclose(gamma, CIRCUIT.reflection(AT_HZ), atol=1e-9)
            assert sweep.station.length_m == 20.0
    _, left_out = at_feed(bench, Analyses(), Station())
    assert list(left_out) == ["sweep 0"]
    assert "state the line" in left_out["sweep 0"]


def test_the_analyzers_error_comes_along():
    bench = bench_of(feed_sweep()).with_accuracy([1], ErrorModel(40.0))
    found, _ = at_feed(bench, Analyses(), Station())
    assert found[0].moved.bound == pytest.approx(np.full(301, 0.01))


def test_a_sweep_that_fails_is_left_out_with_its_reason(monkeypatch):
    def fail(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("fairlead.core.analysis.analyses.analyse", fail)
    found, left_out = at_feed(bench_of(feed_sweep()), Analyses(), Station())
    assert found == ()
    assert left_out["sweep 0"]


@pytest.mark.parametrize("kind", ["phase", "sizes"])
def test_the_radio_sees_the_moved_antenna_through_the_line(kind):
    sweep = feed_sweep()
    if kind == "sizes":
        sweep = ScalarSweep(AT_HZ, sweep.magnitude)
    found, _ = at_feed(bench_of(sweep), Analyses(), Station(line=LINE, length_m=20.0))
    shift = compromise([one.moved for one in found], BAND).shift_percent
    at_hz = np.linspace(50e6, 52e6, 201)
    loss_db = LINE.loss_db(at_hz, 20.0)
    gamma = behind_line(CIRCUIT.reflection(at_hz / (1 + shift / 100)), at_hz, 20.0)
    size = (np.abs(gamma) * 10 ** (-loss_db / 10)).max()
    ratio = worst_at_radio(found, BAND, shift)
    assert ratio == pytest.approx((1 + size) / (1 - size), rel=1e-4)
    assert worst_at_radio(found, BAND, 30.0) is None
    assert worst_at_radio(found, BAND, -30.0) is None
