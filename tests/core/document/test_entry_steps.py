"""What was measured stays; what is seen follows the steps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from benches import full_bench

from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Entry, Typed
from fairlead.core.errors import FairleadError
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise

SWEEP = Sweep([50e6, 51e6, 52e6], [0.5, 0.2j, -0.3], 50.0)
SCALAR = ScalarSweep([50e6, 51e6, 52e6], [0.5, 0.2, 0.3], 50.0)
SCALE, NORM = FrequencyScale(2.0), Renormalise(75.0)


@pytest.fixture
def bench():
    return Bench().with_readings([Reading(SWEEP, "dry", "dry.s1p"), Reading(SCALAR, "meter", "")])


def test_a_step_changes_what_is_seen_and_never_what_was_measured(bench):
    after = bench.with_step(1, SCALE)
    entry = after.entry(1)
    assert entry.measured is SWEEP
    assert entry.sweep.frequency_hz[0] == 51e6
    assert after.entry(2) is bench.entry(2)
    assert after.with_steps(1, ()) == bench


def test_the_sweep_stays_the_same_object_whatever_is_said_of_it(bench):
    after = bench.with_step(1, SCALE)
    sweep = after.entry(1).sweep
    assert after.with_condition(1, "wet").entry(1).sweep is sweep
    assert bench.with_step(1, SCALE).entry(1).sweep is sweep
    assert bench.entry(1).sweep is SWEEP


def test_a_band_that_is_not_chosen_follows_what_is_seen(bench):
    after = bench.without([2]).with_step(1, SCALE)
    assert after.band == Band(51e6, 52e6 * 1.02)
    chosen = bench.with_band(Band(50e6, 51e6))
    assert chosen.with_step(1, SCALE).band is chosen.band


def test_steps_stand_in_their_order_and_the_same_ones_change_nothing(bench):
    after = bench.with_step(1, SCALE).with_step(1, NORM)
    assert after.entry(1).steps == (NORM, SCALE)
    assert after.with_steps(1, (NORM, SCALE)) is after


def test_a_step_that_is_off_is_kept_and_does_nothing(bench):
    off = replace(SCALE, is_on=False)
    entry = bench.with_steps(1, [off]).entry(1)
    assert entry.steps == (off,)
    assert entry.sweep is SWEEP
    assert not entry.is_what_if
    assert entry.caption == entry.title == "dry"


def test_a_step_that_cannot_be_taken_is_refused(bench):
    with pytest.raises(FairleadError, match="without phase"):
        bench.with_step(2, NORM)
    assert bench.with_steps(2, [replace(NORM, is_on=False)]).entry(2).sweep is SCALAR


def test_a_what_if_is_named_wherever_the_sweep_is_named(bench):
    entry = bench.with_condition(1, "wet").with_step(1, SCALE).with_step(1, NORM).entry(1)
    assert entry.is_what_if
    assert entry.steps_caption == "what-if: frequency +2 %, renormalised to 75 Ω"
    assert entry.title == "what-if: dry (renormalised to 75 Ω, frequency +2 %)"
    assert entry.caption == "what-if: dry (wet, renormalised to 75 Ω, frequency +2 %)"
    assert entry.measured_caption == "dry (wet)"
    assert entry.in_legend("name").caption == entry.title
    norm = Entry(1, SWEEP, "a", steps=(NORM,))
    assert not norm.is_what_if
    assert norm.caption == "a (renormalised to 75 Ω)"


def test_steps_stay_with_a_sweep_that_is_read_again(bench):
    new = Reading(Sweep([60e6, 61e6], [0.1, 0.2]), "dry", "dry.s1p")
    after = bench.with_step(1, SCALE).with_sweeps({1: new})
    assert after.entry(1).steps == (SCALE,)
    np.testing.assert_allclose(after.entry(1).sweep.frequency_hz, [61.2e6, 62.22e6])


def test_steps_that_no_longer_fit_are_switched_off_and_kept(bench):
    before = bench.with_step(1, NORM).with_step(1, SCALE)
    after = before.with_sweeps({1: Reading(SCALAR, "dry", "dry.s1p")})
    assert after.entry(1).steps == (replace(NORM, is_on=False), replace(SCALE, is_on=False))
    assert after.entry(1).sweep is SCALAR
    typed = Typed("swr", (("50", "3"),))
    assert before.with_typed(1, SCALAR, typed).entry(1).typed == typed


def test_a_copy_stands_below_its_original_and_looks_different(bench):
    after = bench.with_step(1, SCALE).with_copy(1)
    assert [entry.key for entry in after.entries] == [1, 3, 2]
    assert after.entry(3).measured is SWEEP
    assert after.entry(3).sweep is after.entry(1).sweep
    assert after.next_key == 4
    assert len({entry.style for entry in after.entries}) == 3


def test_steps_stand_in_every_text_of_the_figures(bench):
    after = bench.with_step(1, SCALE)
    for text in (as_text(after), as_markdown(after), as_csv(after)):
        assert "what-if: dry (frequency +2 %)" in text
    dry, meter = as_json(after)["sweeps"]
    assert dry["label"] == "dry"
    assert dry["steps"] == [
        {
            "kind": "frequency-scale",
            "is_on": True,
            "caption": "what-if: frequency +2 %",
            "change_percent": 2.0,
        }
    ]
    assert meter["steps"] == []


def test_where_a_sweep_was_taken(bench):
    after = bench.with_plane(1, "feed")
    assert after.entry(1).plane == "feed"
    assert after.with_plane(1, "feed") is after
    assert after.with_plane(1, None) == bench


def test_a_sweep_that_goes_leaves_its_groups_and_what_the_log_says_of_it_stays():
    bench = full_bench()
    about = replace(bench, log=(replace(bench.log[0], about_key=3), *bench.log[1:]))
    after = about.without([3])
    assert after.groups[0].members == (1,)
    assert after.log == (replace(bench.log[0], about_key=None),)
    assert after.contradiction is None
    kept = replace(bench, groups=(replace(bench.groups[0], members=(1,)),))
    assert kept.without([3]).groups[0] is kept.groups[0]


def test_sweeps_of_another_bench_leave_its_instruments_and_pictures_there():
    """A key of the other bench would be that of another thing on this one."""
    after = Bench().with_entries(full_bench().entries)
    assert after.contradiction is None
    assert after.entries[0].steps == full_bench().entries[0].steps


def test_what_was_read_is_known_whatever_the_steps_make_of_it(bench):
    after = bench.with_step(1, SCALE).with_copy(1).with_label(3, "copy")
    assert after.as_read() == {SWEEP: "dry", SCALAR: "meter"}
    assert after.as_read([2]) == {SCALAR: "meter"}
