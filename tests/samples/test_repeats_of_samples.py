"""The invented weekend: rain told apart from drift, and the half time that the model has."""

from __future__ import annotations

from pathlib import Path

import pytest

from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.repeats.answer import answer
from fairlead.core.comparison.repeats.preset import likely_question
from fairlead.core.document.bench import Bench
from fairlead.core.reading import open_sweeps

SAMPLES = Path(__file__).parents[2] / "samples"
ROOF = [f"ground-plane-{state}.s1p" for state in ("dry", "wet", "iced", "dry-again")]


@pytest.fixture(scope="module")
def told():
    drying = sorted(path.relative_to(SAMPLES) for path in (SAMPLES / "drying").iterdir())
    bench = Bench()
    for name in (*ROOF, *drying):
        bench = bench.with_readings(open_sweeps(str(SAMPLES / name)))
    bench = bench.with_band(Band(50e6, 52e6))
    question = likely_question(bench)
    names = [bench.entry(key).label for key in (question.before, question.during, question.after)]
    assert names == ["ground-plane-dry", "ground-plane-wet", "ground-plane-dry-again"]
    return answer(compare_known(bench), question)


def test_rain_is_told_apart_from_the_drift(told):
    assert told.compared.minutes == (0.0, 150.0, 1810.0)
    stages = told.compared.figures["best_match_hz"]
    # The element came out 0.8 mm longer on 1.385 m; radials and calibrations have their part.
    assert stages.drift.value == pytest.approx(-0.8e-3 / 1.385 * 50.8e6, abs=15e3)
    assert stages.drift.is_resolved
    assert stages.effect.value == pytest.approx(-318e3, abs=8e3)
    assert "in 30 hours" in told.sentences[1]


def test_the_ice_is_no_part_of_the_drying_curve(told):
    """The model halves the water every 40 minutes, and the shift is nearly proportional to it."""
    drying = told.drying
    assert drying.points == 8
    assert drying.interval_minutes.low < 42 < drying.interval_minutes.high
    assert drying.half_time_minutes == pytest.approx(42, rel=0.25)
