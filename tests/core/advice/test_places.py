"""The budget of a sweep at edges, best match and worst point, with what is known of it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.advice.budget import Station, budget
from fairlead.core.advice.differences import differences
from fairlead.core.advice.places import budget_of
from fairlead.core.advice.radio import FIXED, TUNER
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.document.planes import line_step, with_feed_line
from fairlead.core.feed_line import FeedLine
from fairlead.core.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.transformer import TransformerRemoved
from fairlead.core.uncertainty.error_model import ErrorModel
from fairlead.core.uncertainty.interval import Interval

BAND = Band(50e6, 52e6)
AT_HZ = np.linspace(48e6, 54e6, 121)
LINE = FeedLine("RG-58", 50.0, 0.66, 1.4, 0.02)
DRY = SeriesCircuit(50.8e6, 45.0, 8.0)
WET = SeriesCircuit(50.3e6, 42.0, 7.5)


def bench_of(*sweeps, band=BAND):
    bench = Bench().with_band(band)
    return bench.with_readings(Reading(sweep, f"sweep {i}", "") for i, sweep in enumerate(sweeps))


def sweep_of(circuit, sigma=0.0, seed=1, at_hz=AT_HZ):
    return Sweep(at_hz, circuit.reflection(at_hz) + complex_noise(at_hz.size, sigma, seed))


def test_each_place_has_the_budget_of_its_reflection():
    row = compare(bench_of(sweep_of(DRY)))[0]
    station = Station(100, FIXED, LINE, 20.0)
    found = budget_of(row, BAND, station)
    for place in found.places:
        at_hz = np.array([place.frequency_hz])
        truth = budget(station, at_hz, DRY.reflection(at_hz), 50.0).at(0)
        assert place.steps.power_w == pytest.approx(truth.power_w, rel=1e-4)
        assert place.power is None
    assert found.place("worst").frequency_hz == 52e6
    assert found.place("best_match").frequency_hz == pytest.approx(50.8e6, rel=1e-3)
    assert found.assumptions == (
        "a 50 Ω transmitter without a tuner",
        "20 m of RG-58",
        "the sweep counts as taken at the feed point, because nothing else is stated",
    )


@pytest.mark.parametrize("kind", ["phase", "sizes"])
def test_the_same_antenna_from_the_radios_end(kind):
    """Through its own line at 50 ohm, seen at the radio, or at the feed point: one answer."""
    feed = sweep_of(DRY)
    radio = line_step("feed", LINE, 20.0).applied(feed)
    if kind == "sizes":
        feed, radio = (ScalarSweep(AT_HZ, one.magnitude) for one in (feed, radio))
    bench = bench_of(feed, radio)
    for key, plane in ((1, "feed"), (2, "radio")):
        bench = bench.with_plane(key, plane)
    rows = compare(bench)
    found = [budget_of(row, BAND, Station(100, FIXED, LINE, 20.0)) for row in rows]
    for key in ("low_edge", "high_edge", "worst"):
        powers = [one.place(key).steps.power_w for one in found]
        assert powers[0] == pytest.approx(powers[1], rel=1e-4)
    assert ("without phase the line is assumed to be 50 Ω" in found[0].assumptions) == (
        kind == "sizes"
    )


def test_a_sweep_with_its_own_line_does_not_need_the_stations():
    bench = bench_of(line_step("feed", LINE, 20.0).applied(sweep_of(DRY)))
    bench = with_feed_line(bench, [1], "radio", line_step("radio", LINE, 20.0))
    found = budget_of(compare(bench)[0], BAND, Station(100, TUNER))
    truth = budget(
        Station(100, TUNER, LINE, 20.0), np.array([52e6]), DRY.reflection(np.array([52e6])), 50.0
    )
    assert found.place("high_edge").steps.power_w == pytest.approx(truth.power_w[0], rel=1e-4)


@pytest.mark.parametrize(
    "sweep", [sweep_of(DRY), ScalarSweep(AT_HZ, np.abs(DRY.reflection(AT_HZ)))]
)
def test_at_the_radio_without_a_line_nothing_is_said_of_its_loss(sweep):
    row = compare(bench_of(sweep).with_plane(1, "radio"))[0]
    found = budget_of(row, BAND, Station())
    assert "taken at the radio: the loss of the line is not included" in found.assumptions
    assert found.place("worst").steps.line_db == 0


def test_a_transformer_that_was_removed_is_put_back():
    circuit = SeriesCircuit(50.8e6, 2450.0, 8.0)
    behind = Sweep(AT_HZ, circuit.reflection(AT_HZ, 2450.0) * 10**-0.05)
    bench = bench_of(behind)
    plain = budget_of(compare(bench)[0], BAND, Station(transformer_loss_db=0.5))
    bench = bench.with_steps(1, (TransformerRemoved(49.0, 0.5),)).with_z0(50.0)
    found = budget_of(compare(bench)[0], BAND, Station())
    assert found.station.transformer_ratio == 49.0
    for key in ("low_edge", "high_edge"):
        # At 50 ohm the antenna's reflection is next to 1: a millionth of it is a thousandth.
        power_w = plain.place(key).steps.power_w
        assert found.place(key).steps.power_w == pytest.approx(power_w, rel=2e-2)
    assert found.assumptions[-1] == "0.5 dB lost in a matched transformer"


def test_noise_and_analyzer_give_the_power_an_interval():
    bench = bench_of(sweep_of(DRY, 0.003), sweep_of(DRY))
    noisy, exact = (budget_of(row, BAND, Station()) for row in compare_known(bench))
    stated = bench.with_accuracy([1], ErrorModel(35.0, 30.0, 0.2))
    bounded = budget_of(compare_known(stated)[0], BAND, Station())
    for key in ("low_edge", "high_edge", "worst"):
        truth = exact.place(key).steps.power_w
        power = noisy.place(key).power
        assert power.low < truth < power.high
        assert power.low <= noisy.place(key).steps.power_w <= power.high
        wide = bounded.place(key)
        assert wide.is_bound
        assert wide.power.high - wide.power.low > power.high - power.low


def test_the_power_of_a_dead_match_has_an_upper_end_of_all():
    circuit = SeriesCircuit(51e6, 50.0, 8.0)
    row = compare_known(bench_of(sweep_of(circuit, 0.003)))[0]
    power = budget_of(row, BAND, Station()).place("best_match").power
    assert power.high == pytest.approx(100.0, abs=0.01)


def test_rain_costs_what_both_budgets_say():
    rows = compare_known(bench_of(sweep_of(DRY, 0.001, 1), sweep_of(WET, 0.001, 2)))
    dry, wet = (budget_of(row, BAND, Station(100, FIXED, LINE, 20.0)) for row in rows)
    low, high, worst = differences(wet, dry)
    assert (low.key, high.key, worst.key) == ("low_edge", "high_edge", "worst")
    assert low.difference_db > 0 > high.difference_db
    assert high.difference_db == pytest.approx(worst.difference_db)
    assert 0 < high.half_db < 0.1
    assert high.is_resolved
    assert not any(one.is_resolved for one in differences(dry, dry))


def test_bounds_of_a_difference_add():
    bench = bench_of(sweep_of(DRY, 0.001, 1), sweep_of(WET, 0.001, 2))
    bench = bench.with_accuracy([1, 2], ErrorModel(35.0))
    dry, wet = (budget_of(row, BAND, Station()) for row in compare_known(bench))
    halves = [
        10 * math.log10(one.place("low_edge").power.high / one.place("low_edge").power.low) / 2
        for one in (dry, wet)
    ]
    assert differences(wet, dry)[0].half_db == pytest.approx(sum(halves))


def test_without_intervals_a_difference_is_only_a_number():
    rows = compare(bench_of(sweep_of(DRY), sweep_of(WET)))
    dry, wet = (budget_of(row, BAND, Station()) for row in rows)
    assert all(one.half_db is None and one.is_resolved for one in differences(wet, dry))


def test_a_sweep_that_ends_inside_the_band_has_no_worst_point():
    row = compare(bench_of(sweep_of(DRY, at_hz=np.linspace(49e6, 51.5e6, 51))))[0]
    found = budget_of(row, BAND, Station())
    assert found.place("low_edge").steps is not None
    assert found.place("high_edge").why_not == "outside the sweep"
    assert found.place("worst").why_not == "the sweep does not cover the band"
    assert [one.key for one in differences(found, found)] == ["low_edge"]


def test_more_than_was_sent_and_total_reflection():
    gamma = np.where(AT_HZ > 51e6, 1.2, 1.0) * np.exp(-0.2j * AT_HZ / 1e6)
    found = budget_of(compare(bench_of(Sweep(AT_HZ, gamma)))[0], BAND, Station())
    assert found.place("low_edge").steps.power_w == pytest.approx(0.0, abs=1e-4)
    assert "above 1" in found.place("high_edge").why_not
    assert found.place("worst").steps is None
    assert found.place("worst").why_not


def test_sizes_at_75_ohm_have_no_budget():
    row = compare(bench_of(ScalarSweep(AT_HZ, np.abs(DRY.reflection(AT_HZ)), 75.0)))[0]
    found = budget_of(row, BAND, Station())
    assert all("without phase" in one.why_not for one in found.places)


def test_a_sweep_whose_analysis_failed_says_why(monkeypatch):
    def fail(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("fairlead.core.analysis.analyses.analyse", fail)
    row = compare(bench_of(sweep_of(DRY)))[0]
    assert all(
        one.why_not == row.analysis.failure for one in budget_of(row, BAND, Station()).places
    )


def test_the_worst_of_power_need_not_be_the_worst_of_swr():
    """A line loses more at the high edge than the slightly larger SWR of the low edge costs."""
    at_hz = np.linspace(20e6, 60e6, 401)
    ratio = np.linspace(1.21, 1.20, 401)
    gamma = ((ratio - 1) / (ratio + 1)) * np.exp(-1e-7j * at_hz)
    band = Band(22e6, 58e6)
    row = compare_known(bench_of(Sweep(at_hz, gamma), band=band))[0]
    worst = budget_of(row, band, Station(100, TUNER, LINE, 20.0)).place("worst")
    assert (row.figures.worst_hz, worst.frequency_hz) == (22e6, 58e6)
    assert worst.power is None


def test_a_power_that_may_be_nothing_makes_no_difference_certain():
    rows = compare_known(bench_of(sweep_of(DRY, 0.003), sweep_of(WET, 0.003)))
    dry, wet = (budget_of(row, BAND, Station()) for row in rows)
    lost = replace(wet.places[0], power=Interval(0.0, 90.0))
    found = differences(replace(wet, places=(lost, *wet.places[1:])), dry)[0]
    assert (found.half_db, found.is_resolved) == (math.inf, False)
