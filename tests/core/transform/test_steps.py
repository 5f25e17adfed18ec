"""Steps against closed forms, scikit-rf and the rules that every step keeps."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest
import skrf
from hypothesis import given
from hypothesis import strategies as st
from sweeps import smooth_sweeps

from fairlead.core.errors import FairleadError, SweepError
from fairlead.core.reflection import impedance_ohm
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.registry import KINDS, with_step
from fairlead.core.transform.renormalise import Renormalise
from fairlead.core.transform.step import StepError

HZ = np.linspace(50e6, 52e6, 5)
SWEEP = Sweep(HZ, [0.5, 0.2j, -0.3, 0.1 - 0.4j, 0.0], 50.0)
SCALAR = ScalarSweep(HZ, [0.5, 0.4, 0.3, 0.2, 0.1], 50.0)


def test_renormalised_as_scikit_rf_does():
    oracle = skrf.Network(f=HZ, f_unit="hz", s=SWEEP.reflection, z0=50.0)
    oracle.renormalize(75.0)
    found = Renormalise(75.0).applied(SWEEP)
    assert found.z0_ohm == 75
    np.testing.assert_allclose(found.reflection, oracle.s[:, 0, 0], atol=1e-14)


def test_a_load_of_75_ohm_is_matched_at_75_ohm():
    """G = (75 - 50) / (75 + 50) = 0.2 at 50 ohm, from the definition."""
    found = Renormalise(75.0).applied(Sweep([1e6, 2e6], [0.2, 0.2], 50.0))
    np.testing.assert_allclose(found.reflection, 0, atol=1e-16)


@given(smooth_sweeps(), st.floats(1.0, 1000.0))
def test_the_impedance_stays(sweep, z0_ohm):
    passive = Sweep(sweep.frequency_hz, 0.99 * sweep.reflection, sweep.z0_ohm)
    found = Renormalise(z0_ohm).applied(passive)
    before = impedance_ohm(passive.reflection, passive.z0_ohm)
    np.testing.assert_allclose(impedance_ohm(found.reflection, z0_ohm), before, rtol=1e-6)


def test_a_sweep_without_phase_is_not_renormalised():
    with pytest.raises(StepError, match="without phase cannot be renormalised"):
        Renormalise(75.0).applied(SCALAR)


def test_a_reflection_beyond_all_bounds_is_refused():
    """Z = -75 ohm has no reflection at 75 ohm."""
    with pytest.raises(SweepError):
        Renormalise(75.0).applied(Sweep([1e6, 2e6], [5.0, 5.0], 50.0))


@pytest.mark.parametrize("z0_ohm", [0.0, -50.0, math.inf, math.nan])
def test_no_reference_impedance(z0_ohm):
    with pytest.raises(StepError, match="is not a reference impedance"):
        Renormalise(z0_ohm)


def test_frequencies_scaled():
    """50 MHz and 0.58 % more: 50.29 MHz."""
    found = FrequencyScale(0.58).applied(SWEEP)
    np.testing.assert_allclose(found.frequency_hz[0], 50.29e6, rtol=1e-15)
    assert np.array_equal(found.reflection, SWEEP.reflection)
    scalar = FrequencyScale(-1.0).applied(SCALAR)
    assert isinstance(scalar, ScalarSweep)
    np.testing.assert_allclose(scalar.frequency_hz, HZ * 0.99, rtol=1e-15)


@pytest.mark.parametrize("percent", [-50.1, 100.1, math.nan, math.inf])
def test_no_scale_beyond_sense(percent):
    with pytest.raises(StepError, match=r"choose -50 to \+100 %"):
        FrequencyScale(percent)


def test_captions():
    assert Renormalise(75.0).caption == "renormalised to 75 Ω"
    assert FrequencyScale(0.58).caption == "what-if: frequency +0.58 %"
    assert FrequencyScale(-1.0).caption == "what-if: frequency -1 %"
    assert [name for name, kind in KINDS.items() if kind.is_what_if] == ["frequency-scale"]


@pytest.mark.parametrize("kind", KINDS.values())
def test_every_kind_is_frozen_has_usable_defaults_and_comes_back_from_its_parameters(kind):
    step = kind(is_on=False)
    assert step.caption
    assert step.applied(SWEEP) is not None
    assert step.caption.startswith("what-if: ") is kind.is_what_if
    assert kind.from_parameters(step.parameters, is_on=False) == step
    assert replace(step, is_on=True) != step
    assert hash(kind()) == hash(kind())
    with pytest.raises(FrozenInstanceError):
        step.is_on = True


@pytest.mark.parametrize(
    ("parameters", "words"),
    [
        ({}, '"z0_ohm" of the step "renormalise" is missing'),
        ({"z0_ohm": 50.0, "more": 1.0}, '"more" of the step "renormalise" is unknown'),
        ({"z0_ohm": "50"}, '"z0_ohm" of the step "renormalise" is not a number'),
        ({"z0_ohm": True}, "is not a number"),
        ({"z0_ohm": -1.0}, "is not a reference impedance"),
    ],
)
def test_parameters_that_no_step_has(parameters, words):
    with pytest.raises(FairleadError, match=words):
        Renormalise.from_parameters(parameters, is_on=True)


def test_kinds_are_known_by_their_names():
    assert [kind.kind for kind in KINDS.values()] == list(KINDS)


def test_steps_stand_in_the_order_of_the_registry():
    scale, other, norm = FrequencyScale(1.0), FrequencyScale(2.0), Renormalise(75.0)
    steps = with_step(with_step(with_step((), scale), norm), other)
    assert steps == (norm, scale, other)
