"""What is known of a whole bench: the analyzer, the steps, and what need not be done again."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known, knowledge_of
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.document.measuring_errors import errors_of
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.feed_line import LineAdded, LineRemoved
from fairlead.core.uncertainty.error_model import UNKNOWN, ErrorModel

GRID_HZ = np.linspace(45e6, 57e6, 201)
EXACT = SeriesCircuit(51e6, 62, 8).reflection(GRID_HZ)
GOOD = ErrorModel(40.0, 34.0, 0.1)


def bench_of(*sweeps):
    bench = Bench().with_readings([Reading(one, f"sweep {i}", "") for i, one in enumerate(sweeps)])
    return bench.with_band(Band(50e6, 52e6))


def noisy(seed, z0_ohm=50.0):
    return Sweep(GRID_HZ, EXACT + complex_noise(201, 0.002, seed), z0_ohm)


BENCH = bench_of(noisy(1), noisy(2))
KEYS = [entry.key for entry in BENCH.entries]


# The analyzer, stated once


def test_an_analyzer_for_all_is_one_and_taken_back_it_is_gone():
    told = BENCH.with_accuracy(KEYS, GOOD, "own kit")
    (one,) = told.instruments
    assert (one.directivity_db, one.source_match_db, one.tracking_db) == (40.0, 34.0, 0.1)
    assert one.calibration == "own kit"
    assert {entry.instrument_key for entry in told.entries} == {one.key}
    assert told.contradiction is None
    assert told.with_accuracy(KEYS, GOOD, "own kit") is told
    back = told.with_accuracy(KEYS, UNKNOWN)
    assert back.instruments == ()
    assert {entry.instrument_key for entry in back.entries} == {None}


def test_one_sweep_may_have_an_analyzer_of_its_own():
    told = BENCH.with_accuracy(KEYS, GOOD).with_accuracy(KEYS[:1], ErrorModel(30.0))
    assert len(told.instruments) == 2
    assert told.contradiction is None
    again = told.with_accuracy(KEYS[1:], ErrorModel(30.0))
    assert len(again.instruments) == 1


def test_without_an_analyzer_or_its_directivity_there_are_no_errors():
    assert errors_of(BENCH, BENCH.entries[0]) is None
    told = BENCH.with_accuracy(KEYS, ErrorModel(None, 30.0))
    assert errors_of(told, told.entries[0]) is None


def test_errors_at_another_reference_impedance_are_what_the_map_makes_of_them():
    told = BENCH.with_accuracy(KEYS, ErrorModel(40.0)).with_z0(75.0)
    found = errors_of(told, told.entries[0])
    gamma = told.entries[0].measured.reflection
    k = (50 - 75) / (50 + 75)
    np.testing.assert_allclose(
        found.bound, 0.01 * (1 - k**2) / np.abs(1 + k * gamma) ** 2, rtol=1e-5
    )


def line(kind, **changes):
    return kind(length_m=20.0, k1_db=2.0, **changes)


def test_a_line_removed_multiplies_the_directivity_by_its_loss():
    told = BENCH.with_accuracy(KEYS, ErrorModel(40.0))
    step = line(LineRemoved)
    told = told.with_step(KEYS[0], step)
    entry = told.entry(KEYS[0])
    terms = errors_of(told, entry).terms
    loss_db = step.line.loss_db(GRID_HZ, 20.0)
    np.testing.assert_allclose(np.abs(terms[0]), 0.01 * 10 ** (loss_db / 10), rtol=0.02)
    # Each turn of the phase through the line is there: the directivity now turns with frequency.
    assert np.ptp(np.unwrap(np.angle(terms[0]))) > 2 * np.pi


def test_what_is_not_known_of_a_line_joins_the_errors():
    told = BENCH.with_accuracy(KEYS, ErrorModel(40.0))
    exact = told.with_step(KEYS[0], line(LineRemoved))
    vague = told.with_step(KEYS[0], line(LineRemoved, loss_tolerance_percent=20.0))
    bounds = [errors_of(one, one.entry(KEYS[0])).bound for one in (exact, vague)]
    assert (bounds[1] > bounds[0]).all()


@pytest.mark.parametrize("is_on", [True, False])
def test_a_scalar_sweep_through_a_line(is_on):
    bench = bench_of(ScalarSweep(GRID_HZ, np.abs(EXACT)))
    key = bench.entries[0].key
    told = bench.with_accuracy([key], ErrorModel(40.0))
    step = LineAdded(**line(LineAdded).parameters, is_on=is_on)
    told = told.with_step(key, step)
    terms = errors_of(told, told.entry(key)).terms
    expected = step.error_gain(told.entry(key).sweep) if is_on else np.ones(201)
    np.testing.assert_allclose(np.abs(terms[0]), 0.01 * expected)


# Working it out


def test_rows_hold_intervals_and_refined_figures():
    told = BENCH.with_accuracy(KEYS, GOOD)
    rows = compare_known(told)
    assert all(row.intervals["best_match_hz"].accuracy is not None for row in rows)
    assert rows[0].figures != compare(told)[0].figures
    assert rows[1].change.best_match_shift_hz == pytest.approx(
        rows[1].figures.best_match_hz - rows[0].figures.best_match_hz
    )
    assert "best_match_shift_hz" in rows[1].unresolved


def test_of_an_empty_bench_nothing_is_known():
    assert compare_known(Bench(), Analyses()) == ()


def test_only_what_changed_is_worked_out_again():
    analyses = Analyses()
    first = knowledge_of(BENCH, analyses)
    named = BENCH.with_label(KEYS[0], "another name")
    assert knowledge_of(named, analyses, first).figures[KEYS[0]] is first.figures[KEYS[0]]
    for other in (
        BENCH.with_accuracy(KEYS[:1], GOOD),
        BENCH.with_sweeps({KEYS[0]: Reading(noisy(3), "sweep 0", "")}),
    ):
        again = knowledge_of(other, analyses, first)
        assert again.figures[KEYS[1]] is first.figures[KEYS[1]]
        assert again.figures[KEYS[0]] is not first.figures[KEYS[0]]
    for other in (BENCH.with_limit(1.5), BENCH.with_band(Band(50e6, 51.5e6)), BENCH.with_z0(75)):
        again = knowledge_of(other, analyses, first)
        assert again.figures[KEYS[1]] is not first.figures[KEYS[1]]


def test_the_range_of_each_point_is_the_same_object_while_it_holds():
    analyses = Analyses()
    told = BENCH.with_accuracy(KEYS[:1], GOOD)
    first, second = told.entries
    known = knowledge_of(told, analyses)
    points = known.range_of(told, first)
    # The bound of the one-port model (Keysight AN 1287-3): D + T |G| + M |G|^2.
    assert points.is_accuracy
    assert points.half == pytest.approx(GOOD.bound(np.abs(first.sweep.reflection)))
    assert points.radius(7) == points.half[7]
    assert not known.range_of(told, second).is_accuracy
    moved = told.with_band(Band(50e6, 51.5e6))
    assert knowledge_of(moved, analyses, known).range_of(moved, first) is points
    # Of another state of the sweep it says nothing.
    for other in (told.with_z0(75), BENCH, told.with_accuracy(KEYS, ErrorModel(30.0))):
        assert known.range_of(other, other.entries[0]) is None
    assert known.range_of(bench_of(noisy(4)), bench_of(noisy(4)).entries[0]) is None


def test_it_stops_when_nobody_wants_it_any_more():
    answers = iter([True, False])
    assert knowledge_of(BENCH, Analyses(), is_wanted=lambda: next(answers)) is None
