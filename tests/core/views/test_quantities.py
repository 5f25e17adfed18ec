"""What is plotted: values against published ones and against scikit-rf, axes, limits, texts."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import skrf
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.analysis.analysis import analyse
from fairlead.core.errors import FairleadError
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.views import smith
from fairlead.core.views.points import Sample, above_one_points, in_gap, joined_points
from fairlead.core.views.quantity import swr_at
from fairlead.core.views.registry import POINT_VIEWS, VIEWS, view_named
from fairlead.core.views.scale import Linear, SwrScale, swr_position

GRID_HZ = np.linspace(50e6, 52e6, 5)
GAMMA = np.array([0.2, 0.5j, -0.3 + 0.1j, 1.05, 0.0])


def analysis_of(gamma=GAMMA, z0_ohm=50.0):
    return analyse(Sweep(GRID_HZ, np.asarray(gamma, dtype=complex), 50.0), z0_ohm)


def values(name, gamma=GAMMA):
    return view_named(name).values(analysis_of(gamma))


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("swr", lambda n: n.s_vswr),
        ("return-loss", lambda n: -n.s_db),
        ("resistance", lambda n: n.z.real),
        ("reactance", lambda n: n.z.imag),
        ("phase", lambda n: n.s_deg),
        ("impedance", lambda n: np.abs(n.z)),
    ],
)
def test_values_are_those_of_scikit_rf(name, wanted):
    gamma = np.array([0.2, 0.5j, -0.3 + 0.1j, -0.9j, 0.05 + 0.3j])
    network = skrf.Network(f=GRID_HZ, f_unit="hz", s=gamma.reshape(-1, 1, 1), z0=50)
    assert values(name, gamma) == pytest.approx(wanted(network)[:, 0, 0])


def test_what_does_not_exist_is_nan_and_never_a_number():
    assert np.isnan(values("swr")).tolist() == [False, False, False, True, False]
    # No SWR above 1, but a return loss below 0 dB and a negative resistance.
    assert values("return-loss")[3] < 0
    assert values("resistance")[3] < 0
    assert np.isinf(values("return-loss")[4])
    # Nothing reflected has no phase, an open circuit no impedance.
    assert np.isnan(values("phase")[4])
    assert np.isnan(values("impedance", [1, 1, 1, 1, 1])).all()


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_a_sweep_without_phase_has_swr_and_return_loss_only(view):
    scalar = analyse(ScalarSweep(GRID_HZ, np.abs(GAMMA)), 50.0)
    assert view.occurs_in(scalar) == (view.id in ("swr", "return-loss"))
    assert np.isfinite(view.values(scalar)).any() == view.occurs_in(scalar)
    assert ("–" in view.text_at(scalar, 0)) != view.occurs_in(scalar)
    assert "–" not in view.text_at(analysis_of(), 0)


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_places_are_never_infinite_and_lead_back_to_values(view):
    places = view.positions(analysis_of())
    assert not np.isinf(places).any()
    for place, value in zip(places[:3], view.values(analysis_of())[:3], strict=True):
        assert view.scale.value_at(float(place)) == pytest.approx(value)


@pytest.mark.parametrize(
    ("ratio", "loss_db"), [(1.5, 13.98), (2.0, 9.54), (3.0, 6.02), (1.1, 26.44)]
)
def test_an_swr_limit_is_a_return_loss_limit(ratio, loss_db):
    """Return loss of an SWR to two places: 20 log10 ((s + 1) / (s - 1)), computed by hand."""
    view = view_named("return-loss")
    assert view.limit.value(ratio) == pytest.approx(loss_db, abs=0.005)
    assert view.limit_text(ratio) == f"{loss_db:.1f} dB"
    assert swr_at(view, view.limit_position(ratio)) == pytest.approx(ratio)
    # Lower on the axis is better, as with the SWR.
    assert view.limit_position(ratio) == pytest.approx(-loss_db, abs=0.005)
    assert view.limit.swr(-3.0) == math.inf


@pytest.mark.parametrize(("ratio", "text"), [(2.0, "2.0"), (1.5, "1.5"), (2.05, "2.05")])
def test_an_swr_limit_has_one_decimal_or_two(ratio, text):
    view = view_named("swr")
    assert view.limit_text(ratio) == text
    assert swr_at(view, view.limit_position(ratio)) == pytest.approx(ratio)


def test_the_other_quantities_have_no_limit():
    for view in POINT_VIEWS[2:]:
        assert view.limit_position(2.0) is None
        assert view.limit_text(2.0) == ""
        with pytest.raises(ValueError, match="cannot be shown as a limit"):
            swr_at(view, 1.0)


def test_every_view_has_words_and_a_name_of_its_own():
    assert len({view.id for view in VIEWS}) == len(VIEWS)
    for view in VIEWS:
        assert view.menu.replace("&", "") == view.title
        assert view.hint[-1] != "."
        assert view.axis_title.startswith(view.title)
        assert view_named(view.id) is view
    with pytest.raises(FairleadError, match="choose swr, return-loss"):
        view_named("colour")


def test_the_phase_jumps_without_a_stroke():
    view = view_named("phase")
    turned = np.array([170.0, 178.0, -175.0, math.nan, -170.0])
    assert view.breaks(turned).tolist() == [False, True, True, True]
    assert view_named("reactance").breaks(turned).tolist() == [False, False, True, True]


def test_what_is_seen_counts_what_lies_beyond_an_infinite_swr():
    low, high = view_named("swr").seen(analysis_of())
    assert (low, high) == (0.0, 1.0)
    low, high = view_named("resistance").seen(analysis_of([0, 0.5, 0.2, 0.1, 0.3]))
    assert (low, high) == (pytest.approx(50), pytest.approx(150))
    assert view_named("impedance").seen(analysis_of([1] * 5)) is None


def test_what_a_directivity_leaves_open_of_a_return_loss():
    """A return loss of 20 dB seen with a directivity of 40 dB.

    A vector 20 dB below another makes +0.8279 or -0.9151 dB (Anritsu, "RF measurement chart", from
    memory).
    """
    analysis = analysis_of([0.1, 0.2, 0.1j, -0.1, 0.3])
    bound = np.full(5, 0.01)
    least, largest = view_named("return-loss").shaded(analysis, bound, np.array([0, 2]))
    assert -least == pytest.approx([20 + 0.9151] * 2, abs=1e-4)
    assert -largest == pytest.approx([20 - 0.8279] * 2, abs=1e-4)


def test_an_swr_is_shaded_from_one_to_infinity_at_most():
    view = view_named("swr")
    bound = np.full(5, 0.1)
    least, largest = view.shaded(analysis_of(), bound, np.arange(5))
    # The axis is even in |reflection|: 0.2, 0.5, 0.316, 1.05, 0.
    assert least == pytest.approx([0.1, 0.4, math.hypot(0.3, 0.1) - 0.1, 0.95, 0.0])
    assert largest == pytest.approx([0.3, 0.6, math.hypot(0.3, 0.1) + 0.1, 1.0, 0.1])


def test_a_return_loss_is_shaded_as_far_as_the_axis_goes():
    least, largest = view_named("return-loss").shaded(analysis_of(), np.full(5, 0.1), np.arange(5))
    assert least[4] < -1e6
    assert largest[3] == pytest.approx(20 * math.log10(1.15))


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_what_needs_the_phase_is_not_shaded(view):
    shaded = view.shaded(analysis_of(), np.full(5, 0.1), np.arange(5))
    assert (shaded is None) == view.needs_phase


def test_between_which_frequencies_there_is_a_gap():
    # Too few to tell.
    analysis = analyse(Sweep(np.linspace(46e6, 58e6, 4), 0.9 * np.exp(-2j * np.arange(4))), 50.0)
    assert analysis.gaps == ((46e6, 58e6),)
    frequency_hz = np.array([44e6, 46e6, 47e6, 57e6, 60e6])
    assert in_gap(analysis, frequency_hz).tolist() == [False, True, True, False]


def test_points_are_picked_and_interpolated():
    analysis = analysis_of()
    picked = Sample.picked(analysis, np.array([1, 2]))
    assert picked.reflection.tolist() == GAMMA[1:3].tolist()
    between = Sample.between(analysis, GRID_HZ[:2])
    assert between.power == pytest.approx(np.abs(GAMMA[:2]) ** 2)
    scalar = analyse(ScalarSweep(GRID_HZ, np.abs(GAMMA)), 50.0)
    assert Sample.picked(scalar, np.array([0])).reflection is None
    assert Sample.between(scalar, GRID_HZ[:1]).reflection is None
    assert above_one_points(analysis).tolist() == [3]


def test_outliers_are_not_joined():
    analysis = analysis_of()
    assert joined_points(analysis) is None
    assert joined_points(replace(analysis, outliers=np.array([1, 3]))).tolist() == [0, 2, 4]
    assert joined_points(replace(analysis, outliers=np.arange(4))) is None


# --- axes ---------------------------------------------------------------------------------------


@given(st.floats(1e-3, 1e4), st.floats(-1e4, 1e4), st.floats(3, 40))
def test_numbers_of_an_even_axis_are_round_true_and_apart(width, low, count):
    scale = Linear(least=(0, 1), most=(-1e5, 1e5))
    gap = width / count
    ticks = scale.ticks((low, low + width), gap)
    for tick in ticks:
        assert float(tick.text.replace("−", "-")) == pytest.approx(tick.position, abs=gap / 100)
    distances = np.diff([tick.position for tick in ticks])
    assert (distances >= gap * (1 - 1e-6)).all()
    assert (distances <= 2.6 * gap).all()


def test_degrees_get_their_own_steps():
    scale = view_named("phase").scale
    assert [tick.text for tick in scale.ticks((-180.0, 180.0), 60)] == [
        *("−180", "−90", "0", "90", "180")
    ]
    # Beyond the steps that are named there are the usual ones.
    assert [tick.position for tick in scale.ticks((-500.0, 500.0), 400)] == [-500, 0, 500]


def test_return_loss_grows_downwards():
    scale = view_named("return-loss").scale
    bottom, top = scale.fit((-31.0, -2.0), -9.5, 50.0, near=False)
    assert top == 0
    assert -34 < bottom < -31
    assert [tick.text for tick in scale.ticks((-20.0, 0.0), 5)] == ["20", "15", "10", "5", "0"]
    assert scale.rounded((-31.0, -2.0), -9.5, 50.0) == (-40.0, 0.0)
    # Below 0 dB there is room above, and a perfect match does not squeeze the rest.
    assert scale.fit((-1e9, 0.4), None, 50.0, near=False)[1] > 0.4
    assert scale.fit((-1e9, 0.4), None, 50.0, near=False)[0] > -70
    assert scale.fit(None, None, 50.0, near=True) == (-21.0, 0)


def test_ohms_go_with_the_reference_impedance():
    scale = view_named("resistance").scale
    assert scale.rounded(None, None, 50.0) == (0.0, 100.0)
    assert scale.rounded(None, None, 75.0) == (0.0, 150.0)
    assert scale.rounded((10.0, 1e9), None, 50.0) == (0.0, 500.0)


def test_a_zoom_stops_at_both_ends():
    loss = view_named("return-loss").scale
    assert loss.clamped((-30.0, 0.0)) == (-30.0, 0.0)
    assert loss.clamped((-1e6, 0.0)) == (-200.0, 0.0)
    size = view_named("impedance").scale
    assert size.clamped((0.0, 1e-9))[0] == 0
    assert size.clamped((0.0, 80.0)) == (0.0, 80.0)
    phase = view_named("phase").scale
    assert phase.clamped((-1000.0, 200.0)) == (-580.0, -220.0)
    swr = view_named("swr").scale
    assert swr.clamped((0.0, 0.5)) == (0.0, 0.5)
    assert swr.clamped((0.0, 5.0))[1] == swr_position(50.0)


def test_the_swr_axis_fits_what_is_seen_within_reason():
    scale = SwrScale()
    assert scale.fit(None, None, 50.0, near=False) == (0.0, swr_position(3.5))
    assert scale.fit(None, None, 50.0, near=True) == (0.0, swr_position(2.2))
    assert scale.fit((0.1, 0.7), 0.3, 50.0, near=True) == (0.0, pytest.approx(0.756))
    assert scale.fit((0.1, 1.0), 0.3, 50.0, near=False) == (0.0, swr_position(10.0))
    assert scale.rounded(None, swr_position(2.0), 50.0) == (0.0, swr_position(3.0))
    assert scale.rounded((0.0, 1.3), None, 50.0) == (0.0, 1.0)


# --- Smith chart --------------------------------------------------------------------------------


def test_the_chart_speaks_in_ohms():
    assert smith.ohm_text("resistance", 25.0) == "25"
    assert smith.ohm_text("reactance", 25.0) == "+j25"
    assert smith.ohm_text("reactance", -250.0) == "−j250"
    assert smith.centre_text(75.0) == "Numbers in Ω, centre 75 Ω"
    analysis = analysis_of([1j / (2 + 1j), -0.2j, 0, 0, 0])
    # (1 + G) / (1 - G) with G = j / (2 + j) is 1 + j1 (Kulkarni, ex. 3.5).
    assert smith.point_text(analysis, 0) == "50.0 + j50.0 Ω"
    assert "− j" in smith.point_text(analysis, 1)
    scalar = analyse(ScalarSweep(GRID_HZ, np.abs(GAMMA)), 50.0)
    assert smith.point_text(scalar, 0) == ""
    assert smith.has_position(analysis)
    assert not smith.has_position(scalar)


def test_noise_does_not_shrink_the_chart():
    assert smith.extent(1.015, 1.3) == 1.0
    assert smith.extent(1.1, 1.3) == 1.1
    assert smith.extent(7.0, 1.3) == 1.3
