"""One sweep that makes the program's own work fail takes no other along, whichever part fails."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.analysis import analyses as analyses_module
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison import knowledge
from fairlead.core.comparison.findings import findings_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.soundness import reported
from fairlead.core.sweep import ScalarSweep, Sweep

BAND = Band(50e6, 52e6)
ODD_HZ = np.linspace(46e6, 58e6, 77)
PARTS = [
    (analyses_module, "analyse", "ArithmeticError"),
    (reported, "check_sweep", "ArithmeticError"),
    (knowledge, "assess", "ArithmeticError"),
]


def reading(name, frequency_hz, is_scalar=False):
    gamma = SeriesCircuit(51e6, 60, 8).reflection(frequency_hz)
    sweep = ScalarSweep(frequency_hz, abs(gamma)) if is_scalar else Sweep(frequency_hz, gamma)
    return Reading(sweep, name, "")


def fail_for_the_odd_one(monkeypatch, module, name):
    """Let one part of the work raise for the sweep of 77 points."""
    real = getattr(module, name)

    def work(of, *rest):
        if of.frequency_hz.size == ODD_HZ.size:
            raise ArithmeticError
        return real(of, *rest)

    monkeypatch.setattr(module, name, work)


def bench_with_odd(is_scalar=False):
    plain_hz = np.linspace(46e6, 58e6, 101)
    readings = [
        reading("dry", plain_hz),
        reading("odd", ODD_HZ, is_scalar),
        reading("wet", plain_hz),
    ]
    return Bench().with_readings(readings).with_band(BAND)


@pytest.mark.parametrize("is_scalar", [False, True])
@pytest.mark.parametrize(("module", "name", "cause"), PARTS)
def test_the_others_stay_as_they_were(monkeypatch, module, name, cause, is_scalar):
    bench = bench_with_odd(is_scalar)
    whole, said = compare_known(bench), findings_of(bench, compare(bench))
    fail_for_the_odd_one(monkeypatch, module, name)
    found, now = compare_known(bench), findings_of(bench, compare(bench))
    dry, odd, wet = bench.entries
    for place, entry in ((0, dry), (2, wet)):
        assert found[place].figures == whole[place].figures
        assert found[place].intervals == whole[place].intervals
        assert now[entry.key] == said[entry.key]
    if name == "analyse":
        assert found[1].figures.best_match_hz is None
        assert cause in found[1].figures.why_not["best_match_hz"]
        assert found[1].figures.verdict.covers == "cannot tell"
    else:
        assert found[1].figures.best_match_hz is not None
    if name == "assess":
        assert not found[1].intervals
        assert now == said
    else:
        assert [one.code for one in now[odd.key]][:1] == [reported.NOT_CHECKED]
        assert cause in now[odd.key][0].text
    for form in (as_text, as_csv, as_markdown):
        assert "odd" in form(bench)
    assert len(as_json(bench)["sweeps"]) == 3


@pytest.mark.parametrize("is_scalar", [False, True])
def test_a_sweep_that_cannot_be_worked_out_keeps_its_points(monkeypatch, is_scalar):
    sweep = reading("odd", ODD_HZ, is_scalar).sweep
    sound = Analyses().of(sweep, 75.0)
    fail_for_the_odd_one(monkeypatch, analyses_module, "analyse")
    bare = Analyses().of(sweep, 75.0)
    assert bare.failure
    assert not sound.failure
    assert bare.z0_ohm == sound.z0_ohm
    np.testing.assert_array_equal(bare.power, sound.power)
    if not is_scalar:
        np.testing.assert_array_equal(bare.reflection, sound.reflection)
    # Between the points nothing is claimed.
    assert bare.gaps == ((ODD_HZ[0], ODD_HZ[-1]),)
