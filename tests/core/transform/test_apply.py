"""One result for as long as somebody holds it, and no memory of it afterwards."""

from __future__ import annotations

import gc
import threading
from dataclasses import replace
from weakref import ref

import numpy as np
import pytest

from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform import apply as room
from fairlead.core.transform.apply import apply
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise
from fairlead.core.transform.step import StepError

STEPS = (Renormalise(75.0), FrequencyScale(1.0))


def measured():
    return Sweep([50e6, 51e6, 52e6], [0.5, 0.2j, -0.3], 50.0)


def test_without_a_step_that_is_on_the_measured_sweep_comes_back():
    sweep = measured()
    assert apply(sweep, ()) is sweep
    assert apply(sweep, [replace(step, is_on=False) for step in STEPS]) is sweep


def test_steps_are_taken_one_after_the_other():
    found = apply(measured(), STEPS)
    assert found == STEPS[1].applied(STEPS[0].applied(measured()))
    assert found.z0_ohm == 75


def test_the_same_result_for_equal_steps_also_beside_one_that_is_off():
    sweep = measured()
    found = apply(sweep, STEPS)
    assert apply(sweep, tuple(replace(step) for step in STEPS)) is found
    assert apply(sweep, (FrequencyScale(3.0, is_on=False), *STEPS)) is found
    assert apply(sweep, STEPS[:1]) is not found


def test_an_equal_sweep_that_is_another_has_a_result_of_its_own():
    one, other = measured(), measured()
    assert apply(one, STEPS) is not (found := apply(other, STEPS))
    assert apply(other, STEPS) is found


def test_nothing_is_remembered_of_what_nobody_holds():
    before = len(room._made)
    sweep = measured()
    gone = ref(apply(sweep, STEPS))
    gc.collect()
    assert gone() is None
    assert len(room._made) == before + 1
    del sweep
    gc.collect()
    assert len(room._made) == before


def test_a_step_that_cannot_be_taken_says_so():
    with pytest.raises(StepError):
        apply(ScalarSweep([1e6, 2e6], [0.1, 0.2]), STEPS)


def test_all_threads_get_the_same_object():
    sweep = Sweep(np.linspace(50e6, 52e6, 20_001), np.full(20_001, 0.1j), 50.0)
    barrier, found = threading.Barrier(8), []

    def work():
        barrier.wait()
        found.append(apply(sweep, STEPS))

    threads = [threading.Thread(target=work) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len({id(one) for one in found}) == 1
