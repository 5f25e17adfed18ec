"""Envelope and mean of sweeps on different grids."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.analysis.analysis import analyse
from fairlead.core.comparison.group_curves import group_curves
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.views.registry import VIEWS, view_named
from fairlead.core.views.swr import SWR

CIRCUITS = [SeriesCircuit(50.5e6, 45.0, 7.0), SeriesCircuit(51.0e6, 60.0, 6.0)]
SPANS = [(46e6, 56e6, 101), (47e6, 58e6, 241)]


def analyses(z0_ohm=50.0):
    return [
        analyse(Sweep(hz := np.linspace(*span), circuit.reflection(hz)), z0_ohm)
        for circuit, span in zip(CIRCUITS, SPANS, strict=True)
    ]


def test_on_the_densest_grid_inside_what_all_cover():
    found = group_curves(analyses())
    assert (found.frequency_hz[0], found.frequency_hz[-1]) == (47e6, 56e6)
    assert np.isin(found.frequency_hz[1:-1], np.linspace(*SPANS[1])).all()
    assert found.is_known.all()
    assert np.diff(found.frequency_hz).min() > 0


def test_members_are_those_of_the_circuits():
    """The closed form of each circuit on the common grid."""
    found = group_curves(analyses())
    for circuit, own in zip(CIRCUITS, found.reflections, strict=True):
        assert np.abs(own - circuit.reflection(found.frequency_hz)).max() < 2e-4


def test_the_mean_of_the_swr_is_that_of_the_mean_magnitude():
    found = group_curves(analyses())
    sizes = np.abs([one.reflection(found.frequency_hz) for one in CIRCUITS])
    envelope = found.envelope(SWR)
    # Places of an SWR axis are |reflection|.
    assert envelope.low == pytest.approx(sizes.min(axis=0), abs=2e-4)
    assert envelope.mean == pytest.approx(sizes.mean(axis=0), abs=2e-4)
    assert envelope.high == pytest.approx(sizes.max(axis=0), abs=2e-4)
    assert (envelope.low <= envelope.mean).all()
    assert (envelope.mean <= envelope.high).all()


def test_return_loss_tells_the_same_as_swr():
    found = group_curves(analyses())
    loss = view_named("return-loss")
    mean_db = loss.scale.value_at(float(found.envelope(loss).mean[100]))
    assert 10 ** (-mean_db / 20) == pytest.approx(found.envelope(SWR).mean[100])


def test_the_mean_of_ohms_is_that_of_the_ohms():
    found = group_curves(analyses())
    envelope = found.envelope(view_named("resistance"))
    # The circuits' resistances are 45 and 60 ohm at every frequency.
    assert envelope.mean == pytest.approx(52.5, abs=0.1)
    assert envelope.low == pytest.approx(45, abs=0.1)
    assert envelope.high == pytest.approx(60, abs=0.1)


def test_what_goes_round_or_has_scales_of_its_own_has_no_envelope():
    found = group_curves(analyses())
    without = {view.id for view in VIEWS if found.envelope(view) is None}
    assert without == {"phase", "phase-change", "shape"}


def test_a_change_against_the_reference_has_its_mean():
    found = group_curves(analyses())
    change = view_named("resistance-change").against(analyses()[0])
    # 45 and 60 ohm against 45.
    inside = slice(5, -5)
    assert found.envelope(change).mean[inside] == pytest.approx(7.5, abs=0.1)


def test_nothing_is_claimed_between_points_that_are_too_far_apart():
    fine, _ = analyses()
    hz = np.concatenate((np.linspace(46e6, 50e6, 81), np.linspace(53e6, 56e6, 61)))
    gappy = analyse(Sweep(hz, SeriesCircuit(51.5e6, 60.0, 40.0).reflection(hz)), 50.0)
    assert gappy.gaps
    found = group_curves([fine, gappy])
    unknown_hz = found.frequency_hz[~found.is_known]
    assert unknown_hz.size
    ((low_hz, high_hz),) = gappy.gaps
    assert low_hz < unknown_hz.min() <= unknown_hz.max() < high_hz
    for places in found.envelope(SWR):
        assert (np.isnan(places) == ~found.is_known).all()
    assert np.isnan(found.reflections[:, ~found.is_known]).all()


def test_a_sweep_without_phase_takes_part_where_it_can():
    fine, other = analyses()
    scalar = analyse(ScalarSweep(other.frequency_hz, np.sqrt(other.power), 50.0), 50.0)
    found = group_curves([fine, scalar])
    assert found.reflections is None
    assert found.envelope(view_named("resistance")) is None
    assert found.envelope(SWR).mean == pytest.approx(
        group_curves(analyses()).envelope(SWR).mean, abs=2e-4
    )


def test_very_many_points_are_thinned():
    hz = np.linspace(46e6, 56e6, 10_001)
    many = analyse(Sweep(hz, CIRCUITS[0].reflection(hz)), 50.0)
    assert group_curves([many, many]).frequency_hz.size == 2001


@pytest.mark.parametrize(
    ("second", "reason"),
    [
        (Sweep(hz := np.linspace(60e6, 62e6, 51), CIRCUITS[0].reflection(hz)), "in common"),
        (ScalarSweep(np.linspace(46e6, 56e6, 51), np.full(51, 0.3), 75.0), "reference impedances"),
        (Sweep(np.array([46e6, 56e6]), np.array([0.9, -0.9j])), "too far apart everywhere"),
    ],
)
def test_no_curves_and_why(second, reason):
    found = group_curves([analyses()[0], analyse(second, 50.0)])
    assert reason in found.why_not
    assert found.envelope(SWR) is None
    assert found.reflections is None
