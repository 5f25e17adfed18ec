"""The same content loaded twice is found on the bench."""

from __future__ import annotations

from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.soundness.duplicates import duplicates
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
