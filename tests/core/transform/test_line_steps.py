"""Lines and transformers as steps: what they do to sweeps, and to what is known of their errors."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.errors import FairleadError
from fairlead.core.reflection import swr
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.feed_line import LineAdded, LineRemoved
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.registry import KINDS
from fairlead.core.transform.step import StepError
from fairlead.core.transform.transformer import TransformerRemoved

GRID_HZ = np.linspace(48e6, 54e6, 31)
LINE = {"name": "RG-58", "length_m": 12.0, "k1_db": 1.328, "k2_db": 0.02639}


def sweep_of(gamma=0.3 + 0.1j):
    return Sweep(GRID_HZ, np.full(31, gamma))


def test_added_and_removed_leaves_the_sweep():
    there = LineAdded(**LINE).applied(sweep_of())
    back = LineRemoved(**LINE).applied(there)
    assert np.abs(back.reflection - sweep_of().reflection).max() < 1e-12
    assert there.magnitude.max() < sweep_of().magnitude.max()


def test_loss_is_taken_from_a_scalar_sweep():
    """1 dB one way: SWR 1.7203 at the radio is 2.000 at the antenna (closed form)."""
    rho = (1.7203 - 1) / (1.7203 + 1)
    line = LineRemoved("1 dB", 100.0, k1_db=1 / np.sqrt(50))
    found = line.applied(ScalarSweep([50e6, 50e6 + 1], [rho, rho]))
    assert swr(found.magnitude)[0] == pytest.approx(2.0, abs=1e-4)
    assert line.error_gain(found)[0] == pytest.approx(10**0.1)
    assert line.added_error(found)[0] == 0
    back = LineAdded("1 dB", 100.0, k1_db=1 / np.sqrt(50)).applied(found)
    assert back.magnitude[0] == pytest.approx(rho)


def test_a_line_of_another_impedance_is_not_taken_from_a_scalar_sweep():
    with pytest.raises(StepError, match="without phase"):
        LineRemoved("", 10.0, z0_ohm=75.0).applied(ScalarSweep([1e6, 2e6], [0.1, 0.2]))


def test_the_analyzer_s_error_grows_by_the_loss_removed_and_shrinks_by_what_is_added():
    sweep = sweep_of()
    away, put_in = LineRemoved(**LINE), LineAdded(**LINE)
    assert away.error_gain(sweep) * put_in.error_gain(sweep) == pytest.approx(1)
    loss_db = away.line.loss_db(GRID_HZ, 12.0)
    assert away.error_gain(sweep) == pytest.approx(10 ** (loss_db / 10))
    assert FrequencyScale(1.0).error_gain(sweep) == pytest.approx(1)
    assert FrequencyScale(1.0).added_error(sweep) == pytest.approx(0)


@pytest.mark.parametrize(
    "error", [{"loss": 1.1}, {"loss": 0.9}, {"length": 1.01}, {"z0": 52.0}, {"z0": 48.0}]
)
def test_the_line_s_tolerances_bound_what_a_wrong_line_does(error):
    seen = LineAdded(**LINE).applied(sweep_of(0.4j))
    wrong = LineRemoved(
        "RG-58",
        12.0 * error.get("length", 1.0),
        error.get("z0", 50.0),
        k1_db=1.328 * error.get("loss", 1.0),
        k2_db=0.02639 * error.get("loss", 1.0),
        z0_tolerance_ohm=2.0,
        loss_tolerance_percent=10.0,
        length_tolerance_percent=1.0,
    )
    found = wrong.applied(seen)
    off = np.abs(found.reflection - 0.4j)
    assert (off <= 1.15 * wrong.added_error(found) + 1e-9).all()
    assert off.max() > 0


def test_planes():
    assert (LineRemoved.leads_to, LineAdded.leads_to) == ("feed", "radio")
    assert FrequencyScale.leads_to == TransformerRemoved.leads_to is None


def test_words():
    assert LineRemoved(**LINE).caption == "12 m RG-58 removed"
    assert LineAdded(**LINE).caption == "through 12 m RG-58"
    assert TransformerRemoved(49.0, 0.5).caption == "49:1 transformer removed (0.5 dB)"
    assert TransformerRemoved(4.0).caption == "4:1 transformer removed"


def test_a_transformer_multiplies_the_impedance():
    found = TransformerRemoved(49.0).applied(sweep_of(0.0))
    assert found.z0_ohm == 2450
    assert found.reflection[0] == 0
    lossy = TransformerRemoved(4.0, 1.0).applied(ScalarSweep([1e6, 2e6], [0.1, 0.2]))
    assert lossy.z0_ohm == 200
    assert lossy.magnitude[1] == pytest.approx(0.2 * 10**0.1)
    assert TransformerRemoved(4.0, 1.0).error_gain(lossy)[0] == pytest.approx(10**0.1)


@pytest.mark.parametrize(
    "make",
    [
        lambda: LineRemoved("", -1.0),
        lambda: LineAdded("", 1.0, z0_ohm=-50.0),
        lambda: TransformerRemoved(0.0),
        lambda: TransformerRemoved(4.0, -1.0),
        lambda: TransformerRemoved(4.0, 30.0),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(StepError):
        make()


def test_too_much_loss_removed_is_one_clear_error():
    with pytest.raises(FairleadError, match="finite"):
        LineRemoved("", 10_000.0, k1_db=10.0).applied(sweep_of())


@pytest.mark.parametrize("kind", ["line-taken-away", "line-put-in", "transformer-taken-away"])
def test_steps_come_back_from_their_parameters(kind):
    step = KINDS[kind]()
    assert KINDS[kind].from_parameters(step.parameters, is_on=True) == step
