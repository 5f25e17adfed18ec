"""The small table of parts: the change, both halves, and the reason of each dash."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from circuits import SeriesCircuit, complex_noise

from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.part_lines import HEADINGS, part_lines
from fairlead.core.document.bench import Bench
from fairlead.core.document.joining import joined
from fairlead.core.document.radiation import radiates_alike, with_same_radiation
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.error_model import ErrorModel

GRID_HZ = np.linspace(46e6, 56e6, 301)
DRY, LOSSY = SeriesCircuit(51e6, 45.0, 10.0), SeriesCircuit(51e6, 50.0, 9.0)


def bench_of(*circuits, plane="feed", model=None):
    bench = Bench().with_readings(
        Reading(
            Sweep(GRID_HZ, one.reflection(GRID_HZ) + complex_noise(301, 1e-3, seed), 50.0),
            f"antenna {seed}",
            f"{seed}.s1p",
        )
        for seed, one in enumerate(circuits)
    )
    keys = [entry.key for entry in bench.entries]
    bench = replace(bench, entries=tuple(replace(one, plane=plane) for one in bench.entries))
    return bench if model is None else bench.with_accuracy(keys, model)


def told(bench):
    (summary,) = changes_of(bench, compare_known(bench)).values()
    return summary


def texts(summary):
    return {line.texts[0]: line for line in part_lines(summary)}


def test_every_part_has_its_change_and_what_is_known_of_it():
    lines = texts(told(bench_of(DRY, LOSSY)))
    assert list(lines) == ["Tuning", "Match", "Damping", "Left over"]
    name, change, near, bound = lines["Damping"].texts
    assert (name, bound) == ("Damping", "–")
    # 10 log10(9/10) = -0.458 dB.
    assert abs(float(change.removesuffix(" dB of Q").replace("−", "-")) + 0.458) < 0.1
    assert near.startswith("± 0.")
    assert near.endswith(" dB of Q")
    assert "accuracy is not stated" in lines["Damping"].hint
    assert len(HEADINGS) == 4


def test_with_the_analyzer_stated_both_stand_beside_each_other():
    lines = texts(told(bench_of(DRY, LOSSY, model=ErrorModel(40.0, 34.0, 0.1))))
    _, _, near, bound = lines["Tuning"].texts
    assert near != bound
    assert bound.endswith("Hz")
    assert "not stated" not in lines["Tuning"].hint


def test_without_parts_there_are_dashes_and_the_reason():
    summary = replace(told(bench_of(DRY, LOSSY)), parts="no phase")
    (line,) = part_lines(summary)
    assert line.texts == ("No parts: no phase", "", "", "")
    assert line.hint == "no phase"


def test_an_unknown_kind_of_circuit_leaves_the_match_out():
    summary = told(bench_of(DRY, LOSSY))
    parts = replace(summary.parts, match_ohm=None, why_not_match="cannot be told apart")
    line = texts(replace(summary, parts=parts))["Match"]
    assert (line.texts[1], line.hint) == ("–", "cannot be told apart")


def test_added_loss_only_where_the_user_says_so_and_all_else_is_there():
    model = ErrorModel(60.0, 60.0, 0.001)
    bench = bench_of(DRY, LOSSY, model=model)
    key = bench.entries[1].key
    assert told(bench).added_loss is None
    said = with_same_radiation(bench, [key, bench.reference_key], is_same=True)
    summary = told(said)
    assert "if nothing but loss changed" in summary.sentence
    assert abs(summary.added_loss.loss_db - 0.458) < summary.added_loss.half_db
    _, change, near, _ = texts(summary)["Added loss"].texts
    assert change.startswith("+0.4")
    assert near.startswith("± 0.")
    at_radio = with_same_radiation(bench_of(DRY, LOSSY, plane="radio"), [key], is_same=True)
    assert texts(told(at_radio))["Added loss"].texts[1] == "–"
    assert "remove the feed line first" in told(at_radio).sentence
    unstated = with_same_radiation(bench_of(DRY, LOSSY), [key], is_same=True)
    assert "one calibration" in told(unstated).sentence


def test_what_is_said_belongs_to_a_pair():
    bench = bench_of(DRY, LOSSY, DRY)
    one, two, three = (entry.key for entry in bench.entries)
    said = with_same_radiation(bench, [two, three], is_same=True)
    assert with_same_radiation(said, [two], is_same=True) is said
    assert said.with_reference(two).same_radiation == said.same_radiation
    assert radiates_alike(said.with_reference(two), one)
    assert not radiates_alike(said.with_reference(two), three)
    back = with_same_radiation(said.with_reference(two), [one], is_same=False)
    assert back.same_radiation == ((one, three),)
    assert said.without([two]).same_radiation == ((one, three),)
    assert with_same_radiation(Bench(), [1], is_same=True) == Bench()


def test_what_is_said_comes_along_with_another_bench():
    bench = bench_of(DRY, LOSSY)
    one, two = (entry.key for entry in bench.entries)
    said = with_same_radiation(bench, [two], is_same=True)
    both = joined(said, said)
    three, four = (entry.key for entry in both.entries[2:])
    assert both.same_radiation == ((one, two), (three, four))
