"""Curves become sweeps: scalar, complex by two curves, by hand, without what is erased."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import skrf
from test_trace_follow import HEIGHT, WIDTH, dip, drawn

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.sweeps import traced_sweeps
from fairlead.core.picture_trace.trace import Curve, PictureTrace, follow

FREQUENCY = FrequencyAxis((AxisPoint(0.5, 120, 50e6, 0.2), AxisPoint(399.5, 120, 54e6, 0.2)))


def axis(kind, low, high):
    return ValueAxis(kind, (AxisPoint(200, 230, low, 0.2), AxisPoint(200, 10, high, 0.2)))


def line(x):
    return 60 + x / 10


def value(y, low, high):
    return low + (high - low) * (230 - y) / 220


BOTH = drawn(line, colour=(200, 30, 30), picture=drawn(dip)).astype(np.uint8)
TRACE = PictureTrace(
    picture_sha256="0" * 64, frequency=FREQUENCY, region=(0, 0, WIDTH, HEIGHT), z0_ohm=75.0
)
ON_DIP, ON_LINE = ((180.0, dip(180)),), ((300.0, line(300)),)


@pytest.mark.parametrize(
    ("kind", "low", "high", "magnitude"),
    [
        ("swr", 1, 5, lambda v: (v - 1) / (v + 1)),
        ("magnitude", 0, 1, lambda v: v),
        ("return_loss_db", -30, 0, lambda v: 10 ** (v / 20)),
        ("return_loss_db", 30, 0, lambda v: 10 ** (-v / 20)),
    ],
)
def test_a_magnitude_alone_is_a_scalar_sweep(kind, low, high, magnitude):
    trace = replace(TRACE, values=(axis(kind, low, high),), curves=(Curve("dry", kind, ON_DIP),))
    (found,) = traced_sweeps(BOTH, trace)
    sweep = found.sweep
    assert (found.name, found.curves, sweep.z0_ohm) == ("dry", (0,), 75.0)
    assert sweep.traced.picture_sha256 == "0" * 64
    x = 0.5 + (sweep.frequency_hz - 50e6) / 4e6 * 399
    true = magnitude(value(dip(x), low, high))
    assert np.abs(sweep.magnitude - true).max() < 0.02
    assert np.mean(np.abs(sweep.magnitude - true) < 1.96 * sweep.traced.sigma) > 0.85


def test_resistance_and_reactance_are_one_complex_sweep():
    values = axis("resistance_ohm", 0, 220), axis("reactance_ohm", -110, 110)
    curves = Curve("a", "reactance_ohm", ON_DIP), Curve("a", "resistance_ohm", ON_LINE)
    (found,) = traced_sweeps(BOTH, replace(TRACE, values=values, curves=curves))
    sweep = found.sweep
    assert found.curves == (1, 0)
    x = 0.5 + (sweep.frequency_hz - 50e6) / 4e6 * 399
    z = value(line(x), 0, 220) + 1j * value(dip(x), -110, 110)
    true = skrf.network.z2s(z.reshape(-1, 1, 1), 75.0)[:, 0, 0]
    assert np.abs(sweep.reflection - true).max() < 0.02
    assert sweep.traced.sigma.shape == sweep.frequency_hz.shape


def test_magnitude_and_phase_are_one_complex_sweep_and_gaps_of_both_count():
    picture = BOTH.copy()
    picture[:120, 300:330] = 255  # hides the phase
    picture[120:, 60:90] = 255  # hides the magnitude
    values = axis("swr", 1, 5), axis("phase_deg", -180, 180)
    clicks = (*ON_DIP, (30.0, dip(30)))
    curves = Curve("a", "swr", clicks), Curve("a", "phase_deg", ((200.0, line(200)),))
    (found,) = traced_sweeps(picture, replace(TRACE, values=values, curves=curves))
    x = 0.5 + (found.sweep.frequency_hz - 50e6) / 4e6 * 399
    angle = np.degrees(np.angle(found.sweep.reflection))
    assert np.abs(angle - value(line(x), -180, 180)).max() < 3
    lost = np.flatnonzero(found.sweep.traced.is_lost)
    assert x[lost] == pytest.approx([59, 299], abs=3)


@pytest.mark.parametrize(
    ("curves", "words"),
    [
        ((), "no curve is traced"),
        ((Curve("a", "phase_deg", ON_DIP),), "a phase alone is no sweep"),
        ((Curve("a", "reactance_ohm", ON_DIP),), "a reactance alone is no sweep"),
        ((Curve("a", "resistance_ohm", ON_DIP),), "a resistance alone is no sweep"),
        (
            (Curve("a", "swr", ON_DIP), Curve("b", "phase_deg", ON_LINE)),
            "a phase alone is no sweep",
        ),
    ],
)
def test_curves_that_are_no_sweep_are_refused(curves, words):
    values = tuple(
        axis(kind, 0, 5) if kind != "swr" else axis(kind, 1, 5)
        for kind in ("swr", "phase_deg", "resistance_ohm", "reactance_ohm")
    )
    with pytest.raises(FairleadError, match=words):
        traced_sweeps(BOTH, replace(TRACE, values=values, curves=curves))


def test_two_curves_that_are_never_seen_together_are_refused():
    values = axis("swr", 1, 5), axis("phase_deg", -180, 180)
    curves = (
        Curve("a", "swr", ((250.0, dip(250)),), erased=((0, 0, 180, HEIGHT),)),
        Curve("a", "phase_deg", ((100.0, line(100)),), erased=((190, 0, WIDTH, HEIGHT),)),
    )
    with pytest.raises(FairleadError, match="different frequencies only"):
        traced_sweeps(BOTH, replace(TRACE, values=values, curves=curves))


def test_a_level_curve_is_no_grid_line():
    def level(_x):
        return np.full_like(_x, 180.5)

    trace = replace(
        TRACE, values=(axis("swr", 1, 5),), curves=(Curve("a", "swr", ((100.0, 180.5),)),)
    )
    found = follow(drawn(level).astype(np.uint8), trace, 0)
    assert found.value == pytest.approx(np.full(found.value.size, value(180.5, 1, 5)), abs=0.01)
    assert found.value.size > 0.98 * np.ptp(found.places[:, 0])


def test_what_is_erased_is_left_out_and_lost():
    curve = Curve("a", "swr", ON_DIP, erased=((250, 0, 220, 240), (0, 0, 20, 10)))
    trace = replace(TRACE, values=(axis("swr", 1, 5),), curves=(curve,))
    found = follow(BOTH, trace, 0)
    x = found.places[:, 0]
    assert not ((x >= 220) & (x <= 250)).any()
    assert np.flatnonzero(found.is_lost_after).size == 1
    everything = replace(curve, erased=((0, 0, WIDTH, HEIGHT),))
    with pytest.raises(FairleadError, match="cannot be told from its background"):
        follow(BOTH, replace(trace, curves=(everything,)), 0)


def hand_run(*places):
    return tuple((float(x), float(dip(x))) for x in places)


def test_a_run_by_hand_fills_a_gap():
    picture = BOTH.copy()
    picture[120:, 160:210] = 255
    clicks = ((100.0, dip(100)), (300.0, dip(300)))
    curve = Curve("a", "swr", clicks, hand=(hand_run(157, 170, 180, 190, 200, 212),))
    found = follow(picture, replace(TRACE, values=(axis("swr", 1, 5),), curves=(curve,)), 0)
    assert not found.is_lost_after.any()
    x = found.places[:, 0]
    inside = (x > 160) & (x < 210)
    assert inside.sum() > 45
    assert np.abs(found.value - value(dip(x), 1, 5))[inside].max() < 0.03
    assert found.sigma[inside].min() > 2 * np.median(found.sigma[~inside])


def test_a_curve_wholly_by_hand_with_a_gap_between_its_runs():
    runs = hand_run(200, 250, 300), hand_run(50, 100, 150)
    trace = replace(TRACE, values=(axis("swr", 1, 5),), curves=(Curve("a", "swr", hand=runs),))
    found = follow(BOTH, trace, 0)
    x = found.places[:, 0]
    assert (x[0], x[-1]) == pytest.approx((50.5, 299.5), abs=1)
    assert np.flatnonzero(found.is_lost_after).size == 1
    beyond = hand_run(50, 100, 150), hand_run(200, 250, 300)
    other = follow(BOTH, replace(trace, curves=(Curve("a", "swr", hand=beyond),)), 0)
    assert other.value == pytest.approx(found.value)
    short = replace(trace, curves=(Curve("a", "swr", hand=(((50.0, 60.0),),)),))
    with pytest.raises(FairleadError, match="two or more points"):
        follow(BOTH, short, 0)


def test_axes_that_run_backwards_and_a_picture_without_a_region():
    frequency = FrequencyAxis((AxisPoint(20.5, 230, 54e6), AxisPoint(379.5, 230, 50e6)))
    swr = ValueAxis("swr", (AxisPoint(200, 10, 1.0), AxisPoint(200, 230, 5.0)))
    curve = Curve("a", "swr", ON_DIP, erased=((220, 0, 250, 240),))
    trace = PictureTrace(frequency=frequency, values=(swr,), curves=(curve,))
    found = follow(BOTH, trace, 0)
    assert (np.diff(found.frequency_hz) > 0).all()
    x = found.places[:, 0]
    assert np.abs(found.value - (1 + 4 * (dip(x) - 10) / 220)).max() < 0.1
    lost = int(np.flatnonzero(found.is_lost_after)[0])
    assert x[lost] > 249
    assert x[lost + 1] < 221


def test_corners_limit_the_search():
    corners = ((50.0, 20.0), (350.0, 20.0), (350.0, 235.0), (50.0, 235.0))
    trace = replace(
        TRACE,
        region=None,
        corners=corners,
        values=(axis("swr", 1, 5),),
        curves=(Curve("a", "swr", ON_DIP),),
    )
    x = follow(BOTH, trace, 0).places[:, 0]
    assert x.min() > 40
    assert x.max() < 360


def test_a_region_of_nothing_is_refused():
    trace = replace(TRACE, values=(axis("swr", 1, 5),), curves=(Curve("a", "swr", ON_DIP),))
    with pytest.raises(FairleadError, match="enlarge the region"):
        follow(BOTH, replace(trace, region=(10, 10, 20, 20)), 0)


def test_a_wide_picture_is_scaled_down_in_the_raster():
    wide = np.repeat(BOTH, 5, axis=1)
    frequency = FrequencyAxis((AxisPoint(2.5, 120, 50e6), AxisPoint(1997.5, 120, 54e6)))
    curve = Curve("a", "swr", ((900.0, dip(180)),))
    trace = PictureTrace(
        frequency=frequency,
        values=(axis("swr", 1, 5),),
        curves=(curve,),
        region=(0, 100, 2000, HEIGHT),
    )
    found = follow(wide, trace, 0)
    x = found.places[:, 0] / 5
    assert np.median(np.abs(found.value - value(dip(x), 1, 5))) < 0.03


def test_specks_that_stand_alone_are_left_out():
    picture = BOTH.copy()
    picture[:, 230:] = 255
    picture[:, 300:302] = BOTH[:, 300:302]
    trace = replace(TRACE, values=(axis("swr", 1, 5),), curves=(Curve("a", "swr", ON_DIP),))
    assert follow(picture, trace, 0).places[:, 0].max() < 235
