"""The same content loaded twice is found on the bench."""

from __future__ import annotations

import numpy as np

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.comparison.findings import findings_of
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.notice import Notice
from fairlead.core.reading.reading import Reading
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.soundness.duplicates import duplicates
from fairlead.core.soundness.reported import reported
from fairlead.core.sweep import ScalarSweep, Sweep

F = [50e6, 51e6]


def bench(*sweeps):
    return Bench().with_readings(
        Reading(sweep, f"unit {i}", f"unit {i}.s1p") for i, sweep in enumerate(sweeps, 1)
    )


def test_a_sweep_with_the_very_numbers_of_an_earlier_one_is_named():
    found = duplicates(
        bench(
            Sweep(F, [0.5, 0.5j]),
            Sweep(F, [0.5, 0.4j]),
            Sweep(F, [0.5, 0.5j]),
            Sweep(F, [0.5, 0.5j]),
        ).entries
    )
    assert found == {3: "unit 1", 4: "unit 1"}


def test_another_kind_or_reference_impedance_is_another_sweep():
    entries = bench(
        Sweep(F, [0.5, 0.5]), ScalarSweep(F, [0.5, 0.5]), Sweep(F, [0.5, 0.5], 75.0)
    ).entries
    assert duplicates(entries) == {}
    assert duplicates(()) == {}


# What is said about a sweep


def test_findings_stand_before_what_the_reader_noticed():
    hz = np.linspace(50e6, 52e6, 21)
    notices = (
        Notice("defaults-applied", "no R given: 50 Ω"),
        Notice("reflection-above-one", "seen by the reader"),
        Notice("nothing-measured", "seen by the reader"),
        Notice("unheard-of", "new"),
    )
    found = check_sweep(analyse(Sweep(hz, np.full(21, 1.0)), 50.0))
    said = reported(notices, found)
    assert [one.code for one in said] == ["values-repeat", "defaults-applied", "unheard-of"]
    assert said[1].reason == "The standard's defaults apply to what the file leaves out."
    assert (said[1].severity, said[2].reason) == ("note", "")
    assert [one.code for one in reported(notices, ())][1] == "nothing-measured"


def test_all_of_a_bench_with_its_band_and_its_copies():
    hz = np.linspace(50e6, 52e6, 201)
    gamma = 0.5 * np.exp(-1j * np.linspace(0, 1, 201))
    two = bench(Sweep(hz, gamma), Sweep(hz, gamma)).with_band(Band(51e6, 53e6))
    said = findings_of(two, compare(two))
    assert [one.code for one in said[1]] == ["band-not-covered"]
    assert [one.code for one in said[2]] == ["same-content", "band-not-covered"]
