"""Sweeps moved along the frequency axis: one shift each, the analysis moved with them."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise

from fairlead.app.look.palette import DASHES
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.q_factor import q_at
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import DASH_KINDS, Style
from fairlead.core.document.planes import line_step
from fairlead.core.document.what_if import is_last, shift_of, unmoved, with_shift, without_shift
from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import FeedLine
from fairlead.core.figures import figures_of
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise

AT_HZ = np.linspace(46e6, 58e6, 241)


def swept(sigma=0.001, length_m=0.0):
    gamma = SeriesCircuit(51e6, 62.0, 8.0).reflection(AT_HZ)
    gamma = behind_line(gamma, AT_HZ, length_m) + complex_noise(AT_HZ.size, sigma, 1)
    return Sweep(AT_HZ, gamma)


def bench_of(*steps):
    bench = Bench().with_readings([Reading(swept(), "a", "")])
    return bench.with_steps(1, steps)


def test_one_shift_takes_the_place_of_another():
    bench = with_shift(bench_of(FrequencyScale(1.0), Renormalise(75.0)), [1], 2.0)
    entry = bench.entry(1)
    assert shift_of(entry) == pytest.approx(2.0)
    assert [one.kind for one in entry.steps] == ["renormalise", "frequency-scale"]
    assert [one.kind for one in without_shift(entry)] == ["renormalise"]
    back = with_shift(bench, [1], 0.0).entry(1)
    assert (shift_of(back), back.is_what_if) == (0.0, False)
    with pytest.raises(FairleadError):
        with_shift(bench, [1], 300.0)


def test_a_step_that_is_off_moves_nothing_and_two_multiply():
    entry = bench_of(FrequencyScale(10.0), FrequencyScale(10.0), FrequencyScale(5.0, is_on=False))
    assert shift_of(entry.entry(1)) == pytest.approx(21.0)


def test_after_a_line_the_curve_is_not_only_moved():
    line = line_step("feed", FeedLine(""), 3.0)
    assert not is_last(bench_of(FrequencyScale(1.0), line).entry(1))
    assert is_last(bench_of(FrequencyScale(1.0), line_step("radio", FeedLine(""), 3.0)).entry(1))


@pytest.mark.parametrize("length_m", [0.0, 25.0])
@pytest.mark.parametrize("factor", [1.0127, 0.97])
def test_a_moved_analysis_is_that_of_the_moved_sweep(factor, length_m):
    """What is worked out anew says the same, whatever the factor; to the rounding of floats."""
    sweep = swept(length_m=length_m)
    first = analyse(sweep, 50.0)
    moved = first.scaled(1.2).scaled(factor / 1.2)
    anew = analyse(Sweep(AT_HZ * factor, sweep.reflection), 50.0)
    assert moved.family is first
    assert first.family is first
    band = Band(50e6 * factor, 52e6 * factor)
    for limit_swr in (1.5, 2.0):
        found, truth = (figures_of(one, band, limit_swr) for one in (moved, anew))
        for key in ("best_match_hz", "best_match_swr", "worst_swr", "swr_low_edge", "q"):
            one, other = getattr(found, key), getattr(truth, key)
            assert one == pytest.approx(other, rel=1e-7)
        assert len(found.usable) == len(truth.usable)
        for one, other in zip(found.usable, truth.usable, strict=True):
            assert (one.low_hz, one.high_hz) == pytest.approx((other.low_hz, other.high_hz))
        places = [[one.frequency_hz for one in each.resonances] for each in (found, truth)]
        assert places[0] == pytest.approx(places[1])
    assert q_at(moved, 51e6 * factor) == pytest.approx(q_at(first, 51e6))
    assert moved.step_hz == pytest.approx(anew.step_hz)


def test_gaps_move_with_the_sweep():
    """Points too far apart are where they were, at the other frequencies."""
    few_hz = AT_HZ[:: AT_HZ.size // 8]
    reflection = np.interp(few_hz, AT_HZ, swept(length_m=25.0).reflection)
    first = analyse(Sweep(few_hz, reflection), 50.0)
    moved = first.scaled(1.1)
    assert first.gaps
    assert moved.gaps == analyse(Sweep(few_hz * 1.1, reflection), 50.0).gaps


def test_a_moved_sweep_is_not_analysed_again(monkeypatch):
    analyses, sweep = Analyses(), swept()
    moved = Sweep(AT_HZ * 1.01, sweep.reflection)
    first = analyses.of(sweep, 50.0)

    def fail(*_):
        raise AssertionError

    monkeypatch.setattr("fairlead.core.analysis.analyses.analyse", fail)
    analyses.move(sweep, moved, 1.01, 50.0)
    assert analyses.of(moved, 50.0).family is first


def test_a_what_if_is_never_drawn_solid():
    assert len(DASHES) == DASH_KINDS
    assert not DASHES[0]
    plain = bench_of().entry(1)
    assert plain.drawn_style == plain.style == Style(0, 0, 0)
    assert bench_of(FrequencyScale(1.0)).entry(1).drawn_style == Style(0, 1, 0)
    dashed = bench_of(FrequencyScale(1.0)).with_next_style(1).entry(1)
    assert dashed.drawn_style == dashed.style


def test_without_the_shift_other_steps_stay():
    entry = with_shift(bench_of(Renormalise(75.0)), [1], 2.0).entry(1)
    alone = unmoved(entry)
    assert alone.z0_ohm == 75.0
    np.testing.assert_array_equal(alone.frequency_hz, AT_HZ)
    with pytest.raises(KeyError):
        bench_of().with_steps_of({99: ()})


def test_factors_multiply_and_the_family_stays():
    first = analyse(swept(), 50.0)
    assert (first.factor, first.family) == (1.0, first)
    twice = first.scaled(1.01).scaled(1.02)
    assert twice.factor == pytest.approx(1.0302)
    assert twice.family is first
