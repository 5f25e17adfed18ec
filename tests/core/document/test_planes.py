"""Where a sweep was taken, and where it is seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.document.planes import (
    line_of,
    line_step,
    seen_at,
    with_feed_line,
)
from fairlead.core.line_types import line_of_type
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.feed_line import LineAdded, LineRemoved
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.step import StepError, is_comparable

GRID_HZ = np.linspace(48e6, 54e6, 101)
FEED = Sweep(GRID_HZ, SeriesCircuit(51e6, 40.0, 9.0).reflection(GRID_HZ))
RG_58 = line_of_type("RG-58")
AWAY = line_step("radio", RG_58, 12.0)
RADIO = line_step("feed", RG_58, 12.0).applied(FEED)


def bench_of(*sweeps):
    return Bench().with_readings([Reading(sweep, f"s{i}", "") for i, sweep in enumerate(sweeps)])


def test_a_line_removed_leads_to_the_feed_point():
    bench = with_feed_line(bench_of(RADIO), [1], "radio", AWAY)
    entry = bench.entry(1)
    assert (entry.plane, entry.seen_at) == ("radio", "feed")
    assert np.abs(entry.sweep.reflection - FEED.reflection).max() < 1e-12
    assert line_of(entry.steps) is AWAY


def test_a_sweep_of_the_feed_point_is_seen_through_a_line():
    bench = with_feed_line(bench_of(FEED), [1], "feed", line_step("feed", RG_58, 12.0))
    assert bench.entry(1).seen_at == "radio"
    assert bench.entry(1).sweep == RADIO


def test_saying_it_again_replaces_the_line_and_keeps_other_steps():
    bench = bench_of(RADIO).with_step(1, FrequencyScale(1.0))
    bench = with_feed_line(bench, [1], "radio", AWAY)
    bench = with_feed_line(bench, [1], "radio", line_step("radio", RG_58, 6.0))
    assert [step.kind for step in bench.entry(1).steps] == ["line-taken-away", "frequency-scale"]
    assert line_of(bench.entry(1).steps).length_m == 6.0
    bench = with_feed_line(bench, [1], None, None)
    assert bench.entry(1).seen_at is None
    assert line_of(bench.entry(1).steps) is None


def test_all_sweeps_at_one_end_and_back():
    bench = with_feed_line(bench_of(RADIO, FEED, FEED), [1], "radio", AWAY)
    bench = with_feed_line(bench, [2], "feed", line_step("feed", RG_58, 12.0))
    at_feed, left = seen_at(bench, "feed")
    assert [entry.seen_at for entry in at_feed.entries] == ["feed", "feed", None]
    assert left == ("s2",)
    at_radio, left = seen_at(at_feed, "radio")
    assert [entry.seen_at for entry in at_radio.entries] == ["radio", "radio", None]
    assert isinstance(line_of(at_radio.entry(1).steps), LineRemoved)
    assert isinstance(line_of(at_radio.entry(2).steps), LineAdded)
    assert at_radio.entry(1).sweep is RADIO


def test_what_may_be_subtracted():
    assert is_comparable("feed", "feed")
    assert is_comparable(None, "feed")
    assert is_comparable("radio", None)
    assert not is_comparable("radio", "feed")


def test_tolerances_of_length_and_velocity_stand_together():
    assert line_step("radio", RG_58, 12.0, 1.0).length_tolerance_percent == pytest.approx(
        1.0 + 100 * 0.01 / 0.66
    )


def test_where_a_line_cannot_be_taken_nothing_changes():
    bench = bench_of(RADIO, ScalarSweep(GRID_HZ, np.full(101, 0.2)))
    other = line_step("radio", line_of_type("RG-59"), 3.0)
    with pytest.raises(StepError):
        with_feed_line(bench, [1, 2], "radio", other)


def test_a_change_is_converted_along_a_known_line():
    """The reference at the feed point, the other left at the radio with its line switched off."""
    bench = with_feed_line(bench_of(FEED, RADIO), [1], "feed", None)
    unknown = with_feed_line(bench, [2], "radio", None)
    assert "not comparable" in compare(unknown)[1].change.why_not
    bench = with_feed_line(bench, [2], "radio", AWAY)
    bench, _ = seen_at(bench, "radio")
    own = compare(bench)[1]
    assert own.entry.seen_at == "radio"
    assert own.entry.sweep is RADIO
    assert own.change.why_not == ""
    assert own.change.best_match_shift_hz == pytest.approx(0, abs=20)
    assert own.change.q_ratio == pytest.approx(1, rel=1e-6)


def test_a_line_that_cannot_be_taken_leads_nowhere():
    scalar = ScalarSweep(GRID_HZ, np.full(101, 0.2))
    other = line_step("radio", line_of_type("RG-59"), 3.0)
    entry = replace(bench_of(scalar).entry(1), plane="radio", steps=(replace(other, is_on=False),))
    assert entry.sweep_at("feed") is None
    assert entry.sweep_at("radio") is entry.sweep
