"""A few typed readings: their last digit is an interval of each figure."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.bench import Bench
from fairlead.core.figures import figures_of
from fairlead.core.reading.reading import Reading
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.table_lines import interval_line
from fairlead.core.uncertainty.error_model import ErrorModel, errors_along
from fairlead.core.uncertainty.intervals import assess
from fairlead.core.uncertainty.rounded import Rounding, fit_parabola

BAND = Band(50.2e6, 51.8e6)
HZ = np.array([49.5, 50.5, 51.0, 52.0]) * 1e6
CIRCUIT = SeriesCircuit(50.8e6, 60, 10)


def typed(circuit=CIRCUIT, hz=HZ, decimals=1):
    swr = np.round(circuit.swr(hz), decimals)
    return ScalarSweep(hz, (swr - 1) / (swr + 1))


def assessed(sweep, limit=2.0, errors=None, band=BAND):
    analysis = analyse(sweep, 50.0)
    return assess(analysis, figures_of(analysis, band, limit), band, limit, errors)


def true_figures(circuit, limit=2.0, band=BAND):
    low_hz, high_hz = circuit.edges_hz(limit)
    edges = [float(circuit.swr(hz)) for hz in (band.low_hz, band.high_hz)]
    return {
        "best_match_hz": circuit.f0_hz,
        "best_match_swr": float(circuit.swr(circuit.f0_hz)),
        "swr_low_edge": edges[0],
        "swr_high_edge": edges[1],
        "worst_swr": max(edges),
        "usable_low_hz": low_hz,
        "usable_high_hz": high_hz,
        "usable_width_hz": high_hz - low_hz,
    }


@pytest.mark.unmeasured
@pytest.mark.parametrize("decimals", [1, 2])
def test_intervals_hold_the_truth_in_95_of_100_cases(decimals):
    """400 invented antennas read at four to six places; three standard deviations of the count."""
    rng = np.random.default_rng(5)
    held: dict[str, list[bool]] = {}
    for _ in range(400):
        circuit = SeriesCircuit(
            rng.uniform(50.4e6, 51.6e6), rng.uniform(25, 90), rng.uniform(3, 14)
        )
        count = int(rng.integers(4, 7))
        hz = np.round(np.linspace(49.4e6, 52.6e6, count) + rng.uniform(-1e5, 1e5, count), -4)
        own, truth = assessed(typed(circuit, hz, decimals)), true_figures(circuit)
        for key, one in own.intervals.items():
            if key in truth:
                part = one.repeatability
                held.setdefault(key, []).append(part.low <= truth[key] <= part.high)
    assert set(held) == set(true_figures(CIRCUIT))
    for key, found in held.items():
        assert len(found) > 100, key
        assert np.mean(found) >= 0.95 - 3 * (0.95 * 0.05 / len(found)) ** 0.5, key


def test_three_readings_have_a_best_match_and_nothing_between():
    own = assessed(typed(hz=HZ[[0, 1, 3]], decimals=2))
    assert own.intervals.keys() == {"best_match_hz", "best_match_swr"}
    part = own.intervals["best_match_hz"].repeatability
    assert part.low < 50.8e6 < part.high
    assert own.figures.worst_swr is None
    assert "points too far apart" in own.figures.why_not["worst_swr"]


def test_four_readings_have_a_worst_swr_in_the_band():
    own = assessed(typed(decimals=2))
    assert own.figures.worst_swr == pytest.approx(max(map(CIRCUIT.swr, (50.2e6, 51.8e6))), abs=0.02)
    assert own.figures.gaps == ()
    assert check_sweep(analyse(typed(), 50.0)) == ()


def test_the_verdict_goes_by_the_last_digit():
    worst = assessed(typed()).figures.worst_swr
    bench = Bench().with_readings([Reading(typed(), "meter", "")]).with_band(BAND)
    close = compare_known(bench.with_limit(worst + 0.01))[0].figures.verdict
    assert close.covers == "cannot tell"
    assert "within the last digit of the readings" in close.reason
    assert compare_known(bench.with_limit(3.0))[0].figures.verdict.covers == "yes"
    assert compare_known(bench.with_limit(1.5))[0].figures.verdict.covers == "no"


def test_readings_that_are_no_single_dip_stay_readings():
    hz = np.linspace(49e6, 53e6, 5)
    swr = np.array([3, 1.5, 2.5, 1.2, 4])
    own = assessed(ScalarSweep(hz, (swr - 1) / (swr + 1)))
    assert own.intervals == {}
    assert own.figures.gaps


def test_another_bands_figures_have_no_intervals_of_this_dip():
    assert assessed(typed(), band=Band(20e6, 21e6)).intervals == {}


def test_a_meter_of_stated_accuracy_has_bounds_and_open_ends_none():
    sweep = typed(decimals=2)
    errors = errors_along(ErrorModel(30.0), sweep.magnitude.astype(complex))
    own = assessed(sweep, errors=errors)
    for one in own.intervals.values():
        assert one.accuracy.low <= one.repeatability.low
        assert one.accuracy.high > one.repeatability.high
    open_ended = assessed(sweep, limit=9.0)
    assert not {"usable_low_hz", "usable_high_hz", "usable_width_hz"} & open_ended.intervals.keys()
    below = assessed(sweep, limit=1.1)
    assert "usable_width_hz" not in below.intervals


def test_a_digit_that_can_make_the_dip_vanish_leaves_no_interval():
    """SWR 1.2, 1.1, 1.2 to a tenth: three even readings may be level."""
    hz = np.array([50.0, 51.0, 52.0]) * 1e6
    swr = np.array([1.3, 1.1, 1.2])
    own = assessed(ScalarSweep(hz, (swr - 1) / (swr + 1)))
    assert own.figures.best_match_hz is None or own.intervals == {}


def test_what_lies_beyond_the_readings_has_no_interval():
    own = assessed(typed(decimals=2), band=Band(48e6, 51.8e6))
    assert own.figures.swr_low_edge is None
    assert own.figures.worst_swr is None
    assert {"best_match_hz", "swr_high_edge"} <= own.intervals.keys()
    assert not {"swr_low_edge", "worst_swr"} & own.intervals.keys()


def test_a_limit_that_the_last_digit_may_put_below_the_dip_leaves_no_usable_interval():
    bottom_swr = assessed(typed()).figures.best_match_swr
    own = assessed(typed(), limit=bottom_swr + 0.01)
    assert own.figures.main_segment is not None
    assert "best_match_swr" in own.intervals
    assert "usable_width_hz" not in own.intervals


def test_total_reflection_and_a_plateau_are_no_parabola():
    step = Rounding(0.1, is_swr=True)
    assert fit_parabola(HZ, np.array([1.0, 0.2, 0.1, 0.3]), step, 51e6) is None
    assert fit_parabola(HZ, np.full(4, 0.2), step, 51e6) is None
    found = fit_parabola(HZ, np.abs(CIRCUIT.reflection(HZ)), step, 51e6)
    assert found.ends_hz(0.01) is None
    assert found.ends_hz(1 / 3) == pytest.approx(CIRCUIT.edges_hz(2.0), rel=1e-5)
    assert found.power(HZ) == pytest.approx(np.abs(CIRCUIT.reflection(HZ)) ** 2, abs=1e-5)


@pytest.mark.parametrize("count", [51, 101, 401])
def test_a_plateau_across_an_edge_of_the_band_has_its_bottom_where_it_is(count):
    """SWR to a tenth: the plateau reaches from 50.0 to 52 MHz, its first point lies out of band."""
    hz = np.linspace(48e6, 54e6, count)
    circuit = SeriesCircuit(51.2e6, 45, 3.5)
    own = assessed(typed(circuit, hz))
    assert own.figures.best_match_hz == pytest.approx(51.2e6, abs=60e3)
    assert own.figures.best_match_in_band


def test_rounded_swr_is_held_by_at_least_half_its_step():
    hz = np.linspace(48e6, 54e6, 101)
    circuit = SeriesCircuit(51.03e6, 62, 8)
    own = assessed(typed(circuit, hz, 2))
    part = own.intervals["best_match_swr"].repeatability
    assert part.high - part.low >= 0.0099
    assert part.low <= circuit.swr(51.03e6) <= part.high


def test_the_line_below_the_table_names_the_last_digit():
    meter = Reading(typed(decimals=2), "meter", "")
    alone = compare_known(Bench().with_readings([meter]).with_band(BAND))
    assert interval_line(alone).startswith(
        "± covers 95 % of repeated sweeps, from the last digit of the readings alone;"
    )
    hz = np.linspace(48e6, 54e6, 301)
    noisy = Sweep(hz, CIRCUIT.reflection(hz) + complex_noise(301, 0.002, 1))
    both = compare_known(Bench().with_readings([meter, Reading(noisy, "vna", "")]).with_band(BAND))
    assert "from noise or the last digit of the readings alone" in interval_line(both)
