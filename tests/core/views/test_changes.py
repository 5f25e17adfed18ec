"""Changes against the reference: closed forms, other grids, and where there is none."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import skrf
from circuits import SeriesCircuit

from fairlead.core.analysis.analysis import analyse
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.point_range import PointRange
from fairlead.core.views.registry import POINT_VIEWS, VIEWS, view_named

GRID_HZ = np.linspace(140e6, 150e6, 201)
FINE_HZ = np.linspace(138e6, 149e6, 331)
DRY, WET = SeriesCircuit(145e6, 40.0, 8.0), SeriesCircuit(143.4e6, 46.0, 7.5)
CHANGES = [view for view in VIEWS if view.against is not None]


def analysis_of(circuit, grid_hz=GRID_HZ):
    return analyse(Sweep(grid_hz, circuit.reflection(grid_hz)), 50.0)


def change(name, own, reference):
    return view_named(name).against(reference).values(own)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("swr-change", lambda n: n.s_vswr[:, 0, 0]),
        ("return-loss-change", lambda n: -n.s_db[:, 0, 0]),
        ("resistance-change", lambda n: n.z[:, 0, 0].real),
        ("reactance-change", lambda n: n.z[:, 0, 0].imag),
    ],
)
@pytest.mark.parametrize("grid_hz", [GRID_HZ, FINE_HZ[75:]], ids=["same grid", "another"])
def test_changes_are_differences_of_what_scikit_rf_says(name, value, grid_hz):
    """On another grid the reference is interpolated; the truth is the closed form there."""

    def network(circuit):
        gamma = circuit.reflection(grid_hz).reshape(-1, 1, 1)
        return skrf.Network(f=grid_hz, f_unit="hz", s=gamma, z0=50)

    wanted = value(network(WET)) - value(network(DRY))
    found = change(name, analysis_of(WET, grid_hz), analysis_of(DRY))
    assert found == pytest.approx(wanted, rel=1e-4, abs=2e-3)


def test_the_phase_changes_the_shorter_way_round():
    def turned(degrees):
        return analyse(Sweep(GRID_HZ, np.full(201, 0.5 * np.exp(1j * np.radians(degrees)))), 50.0)

    assert change("phase-change", turned(-170), turned(170)) == pytest.approx(np.full(201, 20.0))
    assert change("phase-change", turned(170), turned(-170)) == pytest.approx(np.full(201, -20.0))


@pytest.mark.parametrize("view", CHANGES, ids=lambda view: view.id)
def test_the_reference_itself_has_not_changed(view):
    dry = analysis_of(DRY)
    bound = view.against(dry)
    assert bound.values(dry) == pytest.approx(np.zeros(201), abs=1e-12)
    assert bound.against is None
    assert bound.limit is None
    assert bound.limit_position(2.0) is None
    assert (bound.id, bound.title, bound.keys) == (view.id, view.title, view.keys)
    # Without a reference there is nothing, not a made-up number.
    assert np.isnan(view.values(dry)).all()
    assert "–" in view.text(math.nan)
    assert "–" in view.text(math.inf)
    assert "−3" in view.text(-3.0)


def test_there_is_no_change_where_the_reference_was_not_measured():
    found = change("swr-change", analysis_of(WET, FINE_HZ), analysis_of(DRY))
    assert np.isnan(found).tolist() == (GRID_HZ[0] > FINE_HZ).tolist()


def test_nothing_is_interpolated_where_the_points_of_the_reference_are_too_far_apart():
    coarse_hz = np.linspace(46e6, 58e6, 4)
    reference = analyse(Sweep(coarse_hz, 0.9 * np.exp(-2j * np.arange(4))), 50.0)
    assert reference.gaps
    grid_hz = np.linspace(46e6, 58e6, 7)
    own = analyse(Sweep(grid_hz, np.full(7, 0.2 + 0j)), 50.0)
    # Measured points of the reference are there all the same.
    assert np.isnan(change("swr-change", own, reference)).tolist() == [False, True] * 3 + [False]


def test_an_outlier_of_the_reference_makes_no_spike():
    dry = analysis_of(DRY)
    spiky = replace(dry, outliers=np.array([30]), power=dry.power.copy())
    spiky.power[30] = 0.9
    found = change("swr-change", dry, spiky)
    assert abs(found[30]) < 1e-3
    assert found == pytest.approx(np.zeros(201), abs=1e-3)


def test_without_phase_swr_and_return_loss_change_and_the_rest_does_not():
    dry = analysis_of(DRY)
    scalar = analyse(ScalarSweep(GRID_HZ, np.abs(WET.reflection(GRID_HZ))), 50.0)
    for view in CHANGES:
        found = view.against(scalar).values(dry)
        assert np.isfinite(found).all() == (view.id in ("swr-change", "return-loss-change"))
        assert view.occurs_in(scalar) == (view.id in ("swr-change", "return-loss-change"))


def test_above_one_there_is_no_change_of_the_swr_and_infinity_less_itself_is_none():
    own = analyse(Sweep(GRID_HZ[:5], np.array([1.05, 0.5, 1.0, 0.2, 1.0], dtype=complex)), 50.0)
    one = analyse(Sweep(GRID_HZ[:5], np.array([0.5, 1.05, 1.0, 0.2, 0.2], dtype=complex)), 50.0)
    view = view_named("swr-change")
    found = view.against(one).values(own)
    assert np.isnan(found[:3]).all()
    assert found[3] == 0
    assert found[4] == math.inf
    assert view.above_one == "no SWR there"


def test_every_quantity_of_a_point_stands_before_the_ones_that_compare():
    assert VIEWS[: len(POINT_VIEWS)] == POINT_VIEWS
    assert [view.id for view in VIEWS[len(POINT_VIEWS) :]] == [
        *("swr-change", "return-loss-change", "resistance-change", "reactance-change"),
        *("phase-change", "shape"),
    ]
    assert view_named("shape").frequency_title == "Frequency / best match (%)"
    assert view_named("swr-change").frequency_title == "Frequency (MHz)"
    assert view_named("resistance-change").axis_title == "Change of resistance R (Ω)"


def flat(size, grid_hz=GRID_HZ):
    return analyse(Sweep(grid_hz, np.full(grid_hz.size, size + 0j)), 50.0)


def spread(half, grid_hz=GRID_HZ, *, is_accuracy):
    return PointRange(np.full(grid_hz.size, half), is_accuracy)


def swr(size):
    """Definition of the SWR."""
    return (1 + size) / (1 - size)


@pytest.mark.parametrize("grid_hz", [GRID_HZ, FINE_HZ[75:]], ids=["same grid", "another"])
def test_bounds_of_both_sweeps_are_added(grid_hz):
    """|reflection| 0.3 +/- 0.02 less 0.2 +/- 0.01, as SWR."""
    view = view_named("swr-change").against(flat(0.2))
    ranges = spread(0.02, grid_hz, is_accuracy=True), spread(0.01, is_accuracy=True)
    low, high = view.shaded_of(flat(0.3, grid_hz), *ranges, np.array([40, 41]))
    assert low == pytest.approx(np.full(2, swr(0.28) - swr(0.21)))
    assert high == pytest.approx(np.full(2, swr(0.32) - swr(0.19)))


def test_noise_of_both_sweeps_adds_in_quadrature():
    """Also where the value falls with |reflection|: return loss, in dB."""
    view = view_named("return-loss-change").against(flat(0.2))
    ranges = spread(0.02, is_accuracy=False), spread(0.01, is_accuracy=False)
    low, high = view.of_two(flat(0.3), *ranges, np.array([40]))

    def db(size, other):
        return -20 * math.log10(size / other)

    change = db(0.3, 0.2)
    assert low[0] == pytest.approx(change - math.hypot(db(0.3, 0.32), db(0.19, 0.2)))
    assert high[0] == pytest.approx(change + math.hypot(db(0.28, 0.3), db(0.2, 0.21)))


def test_a_range_needs_both_sweeps_and_one_kind_of_statement():
    view = view_named("swr-change").against(flat(0.2))
    bound, noise = spread(0.02, is_accuracy=True), spread(0.02, is_accuracy=False)
    for other in (None, noise):
        assert not view.can_shade(bound, other)
        assert view.shaded_of(flat(0.3), bound, other, np.arange(3)) is None
    assert not view.can_shade(None, bound)
    assert view.can_shade(noise, noise)
    assert not view_named("swr-change").can_shade(bound, bound)
    assert view_named("reactance-change").against(flat(0.2)).can_shade(bound, bound)
    assert not view_named("reactance").can_shade(bound, None)
    assert view_named("swr").can_shade(bound, None)
    least, largest = view_named("swr").shaded_of(flat(0.3), bound, None, np.arange(1))
    assert (least[0], largest[0]) == pytest.approx(
        tuple(view_named("swr").scale.positions(np.array([swr(0.28), swr(0.32)])))
    )
    with pytest.raises(ValueError, match="depends on the phase"):
        view_named("reactance").extremes(np.ones(1), np.ones(1))


DISC = np.exp(2j * np.pi * np.arange(3600) / 3600)


@pytest.mark.parametrize("is_accuracy", [True, False])
@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("resistance-change", lambda gamma: (50 * (1 + gamma) / (1 - gamma)).real),
        ("reactance-change", lambda gamma: (50 * (1 + gamma) / (1 - gamma)).imag),
        ("phase-change", lambda gamma: np.degrees(np.angle(gamma))),
    ],
)
def test_what_depends_on_the_phase_lies_between_its_ends_over_both_discs(name, value, is_accuracy):
    """Against 3,600 points of each circle around what was measured."""
    mine, theirs = 0.3 + 0.2j, 0.25 + 0.1j
    view = view_named(name).against(flat(theirs))
    ranges = spread(0.02, is_accuracy=is_accuracy), spread(0.01, is_accuracy=is_accuracy)
    low, high = view.of_two(flat(mine), *ranges, np.array([40]))
    own, other = value(mine + 0.02 * DISC), value(theirs + 0.01 * DISC)
    joined = (lambda a, b: a + b) if is_accuracy else math.hypot
    change = value(mine) - value(theirs)
    down = joined(value(mine) - own.min(), other.max() - value(theirs))
    up = joined(own.max() - value(mine), value(theirs) - other.min())
    assert (low[0], high[0]) == pytest.approx((change - down, change + up), rel=1e-5)
    assert view.can_shade(*ranges)


def test_a_disc_that_holds_an_open_circuit_or_the_centre_of_the_chart_has_no_end():
    ranges = spread(0.02, is_accuracy=True), spread(0.01, is_accuracy=True)
    at = np.array([40])
    low, high = view_named("resistance-change").against(flat(0.2)).of_two(flat(0.99), *ranges, at)
    assert (low[0], high[0]) == (-math.inf, math.inf)
    low, high = view_named("phase-change").against(flat(0.2)).of_two(flat(0.01), *ranges, at)
    assert low[0] < -180
    assert high[0] > 180
    for name in ("resistance-change", "phase-change"):
        view = view_named(name).against(flat(0.2))
        wide = spread(0.02, FINE_HZ, is_accuracy=True), ranges[1]
        outside = view.of_two(flat(0.3, FINE_HZ), *wide, np.array([0]))
        assert np.isnan(outside).all()
    opened = view_named("reactance-change").against(flat(0.2)).of_two(flat(1.0), *ranges, at)
    assert np.isnan(opened).all()


def test_outside_the_reference_and_up_to_infinity_the_range_is_as_far_as_it_goes():
    view = view_named("swr-change").against(flat(0.2))
    ranges = spread(0.3, FINE_HZ, is_accuracy=True), spread(0.01, is_accuracy=True)
    low, high = view.of_two(flat(0.8, FINE_HZ), *ranges, np.array([0, 100]))
    assert np.isnan([low[0], high[0]]).all()
    assert low[1] == pytest.approx(swr(0.5) - swr(0.21))
    assert math.isinf(high[1])
