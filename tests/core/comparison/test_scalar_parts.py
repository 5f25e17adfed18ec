"""Without phase: tuning and width from a parabola in frequency, the rest with its reason."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from change_families import TRIED, UNSEEN, WITHIN, tally_scalar
from circuits import SeriesCircuit, behind_line

from fairlead.core.analysis.analysis import analyse
from fairlead.core.comparison.added_loss import added_loss
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.part_lines import part_lines
from fairlead.core.comparison.parts import scalar
from fairlead.core.comparison.parts.result import Parts
from fairlead.core.comparison.sentence import sentence_of
from fairlead.core.comparison.what_changed import parts_of
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_json
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(44e6, 58e6, 401)
OLD, NEW = SeriesCircuit(51e6, 45.0, 10.0), SeriesCircuit(50.4e6, 45.0, 8.0)


def seen(circuit, seed, sigma=0.001, grid_hz=GRID_HZ, length_m=7.0, loss_db=0.4):
    exact = behind_line(circuit.reflection(grid_hz), grid_hz, length_m, loss_db=loss_db)
    noise = np.random.default_rng(seed).normal(size=grid_hz.size) * sigma
    return analyse(ScalarSweep(grid_hz, np.abs(np.abs(exact) + noise), 50.0), 50.0)


def width_hz(circuit):
    """Closed form: y = (r - 1)^2 / (4 r) + r Q^2 u^2 / 4 rises by 1/8 at u = 1 / (Q sqrt(2 r))."""
    return circuit.f0_hz * math.sqrt(0.5 / (circuit.r_ohm / 50)) / circuit.q


def test_tuning_and_width_come_back_behind_a_line_with_loss():
    found = parts_of(seen(OLD, 1), seen(NEW, 2))
    assert isinstance(found, Parts)
    assert abs(found.tuning_hz.value + 0.6e6) < found.tuning_hz.half < 0.15e6
    assert abs(found.width_hz.value - (width_hz(NEW) - width_hz(OLD))) < found.width_hz.half
    assert found.width_hz.is_resolved
    assert found.tuning_hz.intervals.accuracy is None
    assert (found.match_ohm, found.damping_q, found.damping_db) == (None, None, None)
    assert found.why_not_damping == found.why_not_match == scalar.NO_PHASE
    assert found.left_over == pytest.approx(0.001, rel=0.3)


def test_one_sweep_without_phase_is_enough_to_lose_it():
    whole = analyse(Sweep(GRID_HZ, OLD.reflection(GRID_HZ), 50.0), 50.0)
    found = parts_of(whole, seen(OLD, 3, length_m=0.1, loss_db=0.0))
    assert not found.tuning_hz.is_resolved
    loss = added_loss(found, ("feed", "feed"), is_one_calibration=True, is_radiation_unchanged=True)
    assert scalar.NO_PHASE in loss.text


def test_sentence_table_and_json_have_the_width_and_the_reasons():
    bench = Bench().with_readings(
        Reading(ScalarSweep(GRID_HZ, np.sqrt(one.power), 50.0), label, "")
        for label, one in (("old", seen(OLD, 1)), ("new", seen(NEW, 2)), ("same", seen(OLD, 3)))
    )
    rows = compare_known(bench)
    new, same = changes_of(bench, rows).values()
    assert " kHz wider" in new.sentence
    assert "width change unresolved (" in same.sentence
    lines = {line.texts[0]: line for line in part_lines(new)}
    assert lines["Damping"].texts[1] == "–"
    assert lines["Damping"].hint == scalar.NO_PHASE
    assert lines["Width"].texts[1].startswith("+")
    narrower = replace(new.parts.width_hz, value=-new.parts.width_hz.value)
    turned = replace(new.parts, width_hz=narrower)
    assert " narrower" in sentence_of(rows[1], rows[0], bench.band, 2.0, turned)
    parts = as_json(bench, rows=rows)["changes"][0]["parts"]
    assert parts["width_hz"] > 0
    assert (parts["damping_q"], parts["match_ohm"]) == (None, None)
    assert parts["why_not"]["damping_db"] == scalar.NO_PHASE
    assert parts["intervals"]["width_hz"]["accuracy"] is None


def test_too_little_was_swept():
    narrow = seen(OLD, 1, grid_hz=np.linspace(50e6, 52e6, 101))
    assert parts_of(narrow, narrow) == scalar._TOO_NARROW


def test_two_resonances_are_not_one():
    both = sum(1 / SeriesCircuit(f, 60, 30).impedance_ohm(GRID_HZ) for f in (50e6, 51.5e6))
    magnitude = np.abs((1 / both - 50) / (1 / both + 50))
    noise = np.random.default_rng(1).normal(size=401) * 0.001
    one = analyse(ScalarSweep(GRID_HZ, np.abs(magnitude + noise), 50.0), 50.0)
    assert parts_of(one, one) in (scalar._NOT_WHITE, scalar._TOO_NARROW)


@pytest.mark.parametrize("name", ["inv", "_WORST", "nan"])
def test_what_cannot_be_told_is_not(monkeypatch, name):
    sweeps = seen(OLD, 1), seen(NEW, 2)
    if name == "_WORST":
        monkeypatch.setattr(scalar, "_WORST", (0.0, 0.0))
    elif name == "nan":
        monkeypatch.setattr(scalar, "_MIDDLE", np.array([np.nan, 0.0]))
        sweeps = tuple(replace(one) for one in sweeps)
    else:

        def fails(_):
            raise np.linalg.LinAlgError

        monkeypatch.setattr(np.linalg, "inv", fails)
    assert parts_of(*sweeps) == scalar._ILL


@pytest.mark.unmeasured
def test_coverage_within_and_outside_the_family():
    """The full table is made by tests/bench/parts.py."""
    total = np.zeros(2)
    given = 0
    for family in (*WITHIN.values(), *TRIED.values(), *UNSEEN.values()):
        held, own, _ = tally_scalar(family, 4, seed=9)
        total += held * own
        given += own
    assert given >= 20
    assert (total / given >= 0.9).all()
