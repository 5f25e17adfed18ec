"""What a view draws of a bench: planes, impedances, best matches, and why a sweep is missing."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.viewed import compared_with, needs_bench, viewed
from fairlead.core.document.bench import Bench
from fairlead.core.document.planes import line_step, with_feed_line
from fairlead.core.feed_line import FeedLine
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.views.registry import POINT_VIEWS, view_named

GRID_HZ = np.linspace(140e6, 150e6, 201)
DRY, WET = SeriesCircuit(145e6, 40.0, 8.0), SeriesCircuit(143.4e6, 46.0, 7.5)
CHANGE, OHMS, SHAPE = (view_named(name) for name in ("swr-change", "resistance-change", "shape"))
LINE = FeedLine("a line", 50.0, 0.66, 0.2, 0.0)


def sweep_of(circuit, grid_hz=GRID_HZ):
    return Sweep(grid_hz, circuit.reflection(grid_hz))


def bench_of(*sweeps):
    readings = [Reading(sweep, f"sweep {i}", "") for i, sweep in enumerate(sweeps)]
    return Bench().with_readings(readings).with_band(Band(142e6, 147e6))


def test_only_views_that_compare_need_the_bench():
    assert not any(needs_bench(view) for view in POINT_VIEWS)
    assert needs_bench(CHANGE)
    assert needs_bench(SHAPE)


def test_an_empty_bench_shows_nothing():
    assert viewed(Bench(), Analyses(), CHANGE).drawn == {}
    assert viewed(Bench(), Analyses(), SHAPE).drawn == {}


def test_the_same_comes_back_while_nothing_differs():
    bench, analyses = bench_of(sweep_of(DRY), sweep_of(WET)), Analyses()
    for view in (CHANGE, SHAPE):
        first = viewed(bench, analyses, view)
        assert viewed(bench.with_limit(1.5), analyses, view, first) is first
    other = viewed(bench.with_reference(bench.entries[1].key), analyses, CHANGE, first)
    assert other.quantity is not first.quantity
    # A sweep less: the quantity for the reference stays the same object, and with it the curves.
    before = viewed(bench, analyses, CHANGE)
    fewer = viewed(bench.without([bench.entries[1].key]), analyses, CHANGE, before)
    assert fewer is not before
    assert fewer.quantity is before.quantity
    assert fewer.remarks(bench.without([bench.entries[1].key])) == (
        "nothing to compare: only the reference is shown",
    )
    assert before.remarks(bench) == ()


def test_a_known_line_leads_to_where_the_reference_is_seen():
    dry = sweep_of(DRY)
    bench = bench_of(dry, dry)
    _, other = (entry.key for entry in bench.entries)
    step = line_step("feed", LINE, 3.0)
    bench = with_feed_line(bench, [bench.reference_key], "feed", None)
    away = with_feed_line(bench, [other], "feed", step)
    found = viewed(away, Analyses(), CHANGE)
    # The other one is seen at the radio; at the feed point both are the same.
    assert away.entry(other).seen_at == "radio"
    values = found.quantity.values(found.drawn[other])
    assert np.abs(values).max() < 1e-9
    unknown = with_feed_line(bench, [other], "radio", None)
    found = viewed(unknown, Analyses(), CHANGE)
    (line,) = found.remarks(unknown)
    assert line.startswith("not comparable")
    assert line.endswith("1 sweep is not shown here")
    assert found.drawn.keys() == {bench.reference_key}


def test_what_has_no_phase_takes_part_where_it_can():
    scalar = ScalarSweep(GRID_HZ, np.abs(WET.reflection(GRID_HZ)))
    bench = bench_of(sweep_of(DRY), scalar, scalar)
    assert len(viewed(bench, Analyses(), CHANGE).drawn) == 3
    assert viewed(bench, Analyses(), OHMS).remarks(bench) == (
        "no phase measured: 2 sweeps are not shown here",
    )
    turned = bench.with_reference(bench.entries[1].key)
    assert viewed(turned, Analyses(), OHMS).remarks(turned) == (
        "the reference has no phase: 1 sweep is not shown here",
        "no phase measured: 2 sweeps are not shown here",
    )


def test_a_scalar_sweep_of_another_impedance_is_not_compared():
    at_75 = ScalarSweep(GRID_HZ, np.abs(WET.reflection(GRID_HZ)), 75.0)
    bench = bench_of(sweep_of(DRY), at_75).with_z0(50.0)
    (line,) = viewed(bench, Analyses(), CHANGE).remarks(bench)
    assert line.startswith("stated at a different reference impedance")


def test_best_matches_stand_at_a_hundred_per_cent():
    """A circuit's SWR depends on f/f0 - f0/f alone, so scaled copies lie on each other."""
    moved = SeriesCircuit(143.4e6, 40.0, 8.0)
    scalar = ScalarSweep(GRID_HZ, np.abs(moved.reflection(GRID_HZ)))
    bench = bench_of(sweep_of(DRY), sweep_of(moved), scalar)
    found = viewed(bench, Analyses(), SHAPE)
    first, *others = found.drawn.values()
    places_hz = np.linspace(98e6, 102e6, 41)
    for other in others:
        assert other.power_at(places_hz) == pytest.approx(first.power_at(places_hz), abs=2e-5)
    at_match = [float(one.frequency_hz[one.power.argmin()]) for one in found.drawn.values()]
    assert at_match == pytest.approx([100e6] * 3, abs=0.04e6)
    assert found.quantity is SHAPE


def test_a_best_match_that_is_not_known_cannot_be_aligned():
    beyond = SeriesCircuit(152e6, 40.0, 8.0)
    flat = Sweep(GRID_HZ, np.full(201, 0.5 + 0j))
    bench = bench_of(sweep_of(DRY), sweep_of(beyond), flat)
    assert viewed(bench, Analyses(), SHAPE).remarks(bench) == (
        "the best match lies beyond the end of the sweep: 1 sweep is not shown here",
        "the best match is not known: 1 sweep is not shown here",
    )


def test_frequencies_that_would_fall_together_cannot_be_aligned():
    circuit = SeriesCircuit(99.4e6, 40.0, 8.0)
    grid_hz = np.linspace(80e6, 120e6, 201)
    low_hz = 66.8e6
    grid_hz = np.concatenate(([low_hz, np.nextafter(low_hz, np.inf)], grid_hz))
    bench = bench_of(sweep_of(circuit, grid_hz)).with_band(Band(90e6, 110e6))
    found = viewed(bench, Analyses(), SHAPE)
    for step in range(40):
        if found.why_not:
            break
        grid_hz[0] = low_hz + step * 100e3 / 40
        grid_hz[1] = np.nextafter(grid_hz[0], np.inf)
        bench = bench_of(sweep_of(circuit, grid_hz)).with_band(Band(90e6, 110e6))
        found = viewed(bench, Analyses(), SHAPE)
    assert list(found.why_not.values()) == ["the best match is not known"]


def test_a_sweep_moved_along_a_line_first_is_not_compared_as_it_is_seen():
    bench = bench_of(sweep_of(DRY), sweep_of(WET))
    first, other = bench.entries
    assert compared_with(bench, other) is first
    assert compared_with(bench, first) is None
    assert compared_with(Bench(), other) is None
    at_feed = with_feed_line(bench, [first.key], "feed", None)
    away = with_feed_line(at_feed, [other.key], "feed", line_step("feed", LINE, 3.0))
    assert compared_with(away, away.entry(other.key)) is None
