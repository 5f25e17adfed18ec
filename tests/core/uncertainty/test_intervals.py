"""Intervals of figures: when they exist, what they hold, and what the analyzer adds."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise
from plain_intervals import intervals_of

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures_of
from fairlead.core.reflection import magnitude_from_swr
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.error_model import UNKNOWN, ErrorModel, errors_along
from fairlead.core.uncertainty.intervals import assess
from fairlead.core.uncertainty.noise import Noise

GRID_HZ = np.linspace(45e6, 57e6, 401)
CIRCUIT = SeriesCircuit(51e6, 62, 8)
EXACT = CIRCUIT.reflection(GRID_HZ)
BAND = Band(50e6, 52e6)
KEYS = {
    *("best_match_hz", "best_match_swr", "swr_low_edge", "swr_high_edge", "usable_low_hz"),
    *("usable_high_hz", "usable_width_hz", "worst_swr", "q"),
    "worst_mismatch_loss_db",
}
NOISE = 0.002


def noisy(seed=0, noise=NOISE, exact=EXACT):
    return exact + complex_noise(exact.size, noise, seed)


def found_in(values, model=None, band=BAND, limit=2.0, grid_hz=GRID_HZ):
    sweep = Sweep(grid_hz, values) if np.iscomplexobj(values) else ScalarSweep(grid_hz, values)
    analysis = analyse(sweep, 50.0)
    figures = figures_of(analysis, band, limit)
    errors = None if model is None else errors_along(model, np.asarray(values, complex))
    return assess(analysis, figures, band, limit, errors)


def half(interval):
    return (interval.high - interval.low) / 2


def test_every_figure_of_a_good_sweep_has_an_interval_and_no_accuracy_unasked():
    found = found_in(noisy())
    assert found.intervals.keys() == KEYS | {"resonance_hz", "resonance_resistance_ohm"}
    assert all(one.repeatability is not None for one in found.intervals.values())
    assert all(one.accuracy is None for one in found.intervals.values())


def test_an_unknown_directivity_says_nothing_about_accuracy():
    for model in (UNKNOWN, ErrorModel(None, 30.0, 0.1)):
        found = found_in(noisy(), model)
        assert all(one.accuracy is None for one in found.intervals.values())


def test_refined_figures_lie_in_their_intervals_nearer_to_the_truth():
    low_hz, high_hz = CIRCUIT.edges_hz(2.0)
    errors = []
    for seed in range(20):
        found = found_in(noisy(seed))
        analysis = analyse(Sweep(GRID_HZ, noisy(seed)), 50.0)
        plain = figures_of(analysis, BAND, 2.0)
        held = intervals_of(analysis, plain, BAND, 2.0)
        for key, at in (("usable_low_hz", "low_hz"), ("usable_high_hz", "high_hz")):
            for figures, intervals in ((found.figures, found.intervals), (plain, held)):
                one = intervals[key].repeatability
                assert one.low <= getattr(figures.main_segment, at) <= one.high
        errors.append(
            [
                (figures.main_segment.low_hz - low_hz, figures.main_segment.high_hz - high_hz)
                for figures in (found.figures, plain)
            ]
        )
    refined, plain = np.sqrt((np.array(errors) ** 2).mean(axis=(0, 2)))
    assert refined < 0.5 * plain


def test_a_computed_sweep_keeps_its_figures_with_tiny_intervals():
    found = found_in(EXACT)
    analysis = analyse(Sweep(GRID_HZ, EXACT), 50.0)
    assert found.figures is not None
    assert found.figures == figures_of(analysis, BAND, 2.0)
    one = found.intervals["best_match_hz"].repeatability
    assert one.low <= 51e6 <= one.high
    assert half(one) < 500


def test_a_scalar_sweep_has_all_but_q():
    found = found_in(np.abs(noisy()))
    assert found.intervals.keys() == KEYS - {"q"}
    one = found.intervals["usable_low_hz"].repeatability
    assert one.low <= CIRCUIT.edges_hz(2.0)[0] <= one.high


def test_without_a_fit_the_figure_stays_alone():
    jagged = 0.3 * np.exp(2j * np.arange(401) ** 2)
    found = found_in(jagged)
    assert found.intervals == {}
    assert found.figures.swr_low_edge is None


def test_where_the_noise_cannot_be_told_nothing_is_said():
    found = found_in(noisy()[::40], grid_hz=GRID_HZ[::40])
    assert found.intervals == {}
    assert found.figures.swr_low_edge is not None


def test_outside_the_sweep_there_is_neither_figure_nor_interval():
    found = found_in(noisy(), band=Band(80e6, 81e6))
    assert found.intervals == {}


def test_an_open_segment_has_one_end():
    part = GRID_HZ > 50.4e6
    found = found_in(noisy()[part], grid_hz=GRID_HZ[part], band=Band(50.5e6, 52e6))
    assert "usable_high_hz" in found.intervals
    assert not {"usable_low_hz", "usable_width_hz"} & found.intervals.keys()


def test_a_match_at_the_end_of_the_sweep_has_none():
    part = GRID_HZ < 50.4e6
    found = found_in(noisy(noise=2e-5)[part], grid_hz=GRID_HZ[part], band=Band(49e6, 50.38e6))
    assert found.figures.best_match_at_end
    assert not {"best_match_hz", "best_match_swr", "q"} & found.intervals.keys()
    assert "swr_low_edge" in found.intervals


def test_no_segment_no_ends():
    bad = SeriesCircuit(51e6, 150, 8).reflection(GRID_HZ)
    found = found_in(noisy(exact=bad))
    assert not {"usable_low_hz", "usable_high_hz", "usable_width_hz"} & found.intervals.keys()
    assert "best_match_hz" in found.intervals


def test_a_worst_swr_between_the_edges():
    """Two dips and a hill between them."""
    circuits = [SeriesCircuit(hz, 55, 25) for hz in (49e6, 53e6)]
    y = sum(1 / circuit.impedance_ohm(GRID_HZ) for circuit in circuits)
    exact = (1 - 50 * y) / (1 + 50 * y)
    band = Band(49e6, 53e6)
    inside = np.abs(exact)[(band.low_hz < GRID_HZ) & (band.high_hz > GRID_HZ)].max()
    for values in (noisy(exact=exact), np.abs(noisy(exact=exact))):
        one = found_in(values, band=band).intervals["worst_swr"].repeatability
        assert one.low <= (1 + inside) / (1 - inside) <= one.high


def test_a_worst_swr_lost_in_what_reads_as_noise_reaches_up_to_the_highest_point():
    """A ripple of -26 dB that turns at random from point to point reads as 3 % of noise."""
    turn = np.random.default_rng(5).uniform(0, 2 * np.pi, 201)
    ripple = 0.05 * np.exp(1j * turn)
    one = found_in(ripple, ErrorModel(40.0), grid_hz=np.linspace(45e6, 57e6, 201))
    assert one.figures.worst_swr < 1.05 / 0.95
    for part in ("repeatability", "accuracy"):
        assert getattr(one.intervals["worst_swr"], part).high > 1.05 / 0.95
        assert getattr(one.intervals["worst_mismatch_loss_db"], part).high > 0.0109


def test_a_worst_swr_on_a_plateau_is_taken_where_it_was_found():
    """A long line turns a constant |G|: no turning point, but a value."""
    exact = behind_line(np.full(401, 0.4 + 0j), GRID_HZ, 3.0)
    found = found_in(noisy(exact=exact))
    one = found.intervals["worst_swr"].repeatability
    # The worst of a flat curve is where noise put it: the interval is that of one place.
    assert one.low - 0.005 < 1.4 / 0.6 < one.high


def test_total_reflection_within_the_noise_may_be_infinite():
    exact = np.exp(1j * np.linspace(0.5, 1.5, 401)) * 0.999
    found = found_in(noisy(3, 0.004, exact))
    tops = [
        one.repeatability.high
        for key, one in found.intervals.items()
        if key in ("swr_low_edge", "swr_high_edge")
    ]
    assert math.inf in tops


def test_a_perfect_match_begins_at_one():
    perfect = SeriesCircuit(51e6, 50, 8).reflection(GRID_HZ)
    found = found_in(noisy(exact=perfect), band=Band(51e6, 52e6))
    assert found.intervals["swr_low_edge"].repeatability.low == 1.0


def test_the_refined_match_stays_on_its_side_of_the_edge():
    """An edge of the band within the noise of the match."""
    for seed in range(12):
        analysis = analyse(Sweep(GRID_HZ, noisy(seed, 0.01)), 50.0)
        free = found_in(noisy(seed, 0.01))
        band = Band(free.figures.best_match_hz + 1.0, 54e6)
        plain = figures_of(analysis, band, 2.0)
        if plain.best_match_hz is not None and not plain.best_match_at_end:
            inside = plain.best_match_hz >= band.low_hz
            own = assess(analysis, plain, band, 2.0).figures
            assert (own.best_match_hz >= band.low_hz) == inside


def test_a_match_carried_over_the_edge_keeps_its_place():
    analysis = analyse(Sweep(GRID_HZ, noisy()), 50.0)
    plain = figures_of(analysis, BAND, 2.0)
    band = Band(51.5e6, 53e6)
    moved = dataclasses.replace(plain, best_match_hz=51.6e6)
    own = assess(analysis, moved, band, 2.0).figures
    assert own.best_match_hz == 51.6e6


# The analyzer's errors


def test_directivity_moves_the_edges_by_the_published_bound():
    found = found_in(noisy(noise=3e-5), ErrorModel(35.0))
    rho = abs(CIRCUIT.reflection(50e6))
    one = found.intervals["swr_low_edge"].accuracy
    assert magnitude_from_swr(one.low) == pytest.approx(rho - 10 ** (-35 / 20), abs=1e-4)
    assert magnitude_from_swr(one.high) == pytest.approx(rho + 10 ** (-35 / 20), abs=1e-4)


def test_directivity_moves_the_best_match_by_about_d_f_over_q():
    """Series circuit of 50 ohm: |G'| = Q/f and w' = |G'|^2, so that D moves it by D f/Q."""
    exact = SeriesCircuit(51e6, 50, 8).reflection(GRID_HZ)
    found = found_in(noisy(noise=3e-5, exact=exact), ErrorModel(40.0))
    assert half(found.intervals["best_match_hz"].accuracy) == pytest.approx(
        0.01 * 51e6 / 8, rel=0.02
    )


@pytest.mark.unmeasured
@pytest.mark.parametrize("is_guaranteed", [True, False])
@pytest.mark.parametrize("directivity_db", [26.0, 34.0, 46.0])
def test_no_phase_of_the_errors_leaves_the_interval(directivity_db, is_guaranteed):
    """All three errors at full size and many phases, added to a sweep by the one-port formula."""
    model = ErrorModel(directivity_db, 34.0, 0.1, is_guaranteed=is_guaranteed)
    truth = found_in(EXACT).figures
    rng = np.random.default_rng(3)
    for _ in range(12):
        d, t, m = np.exp(2j * np.pi * rng.random(3))
        off = d * model.directivity + t * model.tracking * EXACT
        found = found_in(EXACT + off + m * model.source_match * EXACT**2, model)
        for key, one in found.intervals.items():
            value = (
                {"usable_low_hz": truth.main_segment.low_hz}
                | {"usable_high_hz": truth.main_segment.high_hz}
                | {"resonance_hz": truth.main_resonance.frequency_hz}
                | {"resonance_resistance_ohm": truth.main_resonance.resistance_ohm}
            ).get(key) or getattr(truth, key)
            # The errors are not small against the sweep: 3 % of the half width for the rest.
            room = 0.03 * half(one.accuracy)
            assert one.accuracy.low - room <= value <= one.accuracy.high + room, key


def test_tracking_alone_does_not_move_the_match():
    found = found_in(noisy(noise=3e-5), ErrorModel(120.0, 120.0, 0.5))
    both = found.intervals["best_match_hz"]
    assert half(both.accuracy) == pytest.approx(half(both.repeatability), rel=0.2)


def test_a_large_error_follows_the_curve_to_both_sides():
    """12 dB at SWR 2: inwards as far as the best match, outwards farther than the slope says."""
    found = found_in(noisy(noise=3e-5), ErrorModel(12.0))
    low, high = (found.intervals[key].accuracy for key in ("usable_low_hz", "usable_high_hz"))
    assert low.high == pytest.approx(found.figures.best_match_hz, rel=1e-3)
    assert high.low == pytest.approx(found.figures.best_match_hz, rel=1e-3)
    assert low.low < CIRCUIT.edges_hz(2.0)[0] < low.high
    assert found.intervals["usable_width_hz"].accuracy.low == 0


def test_where_the_sweep_ends_first_the_end_is_infinitely_far():
    part = (GRID_HZ > 48.6e6) & (GRID_HZ < 53.6e6)
    found = found_in(noisy(noise=3e-5)[part], ErrorModel(15.0), grid_hz=GRID_HZ[part])
    assert found.intervals["usable_low_hz"].accuracy.low == -math.inf
    assert found.intervals["usable_high_hz"].accuracy.high == math.inf
    assert found.intervals["usable_width_hz"].accuracy.high == math.inf


def test_a_scalar_sweep_has_bounds_too():
    found = found_in(np.abs(noisy(noise=3e-5)), ErrorModel(40.0))
    rho = abs(CIRCUIT.reflection(50e6))
    one = found.intervals["swr_low_edge"].accuracy
    assert one.low < (1 + rho - 0.01) / (1 - rho + 0.01)
    assert one.high > (1 + rho + 0.01) / (1 - rho - 0.01)


def test_one_end_without_a_fit_leaves_the_other_alone():
    """Interference over the upper flank."""
    values = noisy()
    values[(GRID_HZ > 52.2e6)] += 0.1 * complex_noise(401, 1.0, 4)[GRID_HZ > 52.2e6]
    found = found_in(values)
    assert "usable_low_hz" in found.intervals
    assert "usable_width_hz" not in found.intervals


def put_over(values, **figures_there):
    """Figures of elsewhere over a sweep whose noise is said to be small."""
    analysis = analyse(Sweep(GRID_HZ, values), 50.0)
    analysis = dataclasses.replace(analysis, noise=Noise(1e-4))
    figures = dataclasses.replace(figures_of(analysis, BAND, 2.0), **figures_there)
    return intervals_of(analysis, figures, BAND, 2.0)


def test_where_nothing_fits_nothing_is_said():
    jagged = 0.3 * np.exp(2j * np.arange(401) ** 2)
    there = {"swr_low_edge": 2.0, "swr_high_edge": 2.0, "worst_swr": 2.0, "worst_hz": 51e6}
    assert put_over(jagged, best_match_hz=51e6, q=8.0, q_hz=51e6, **there) == {}


def test_a_q_needs_a_resistance():
    found = put_over(np.exp(1j * np.linspace(0, 1, 401)), best_match_hz=51e6, q=8.0, q_hz=51e6)
    assert "q" not in found


def test_a_dip_that_the_fit_does_not_see_has_no_interval_but_a_q():
    """The figure says 54 MHz, where the curve only rises."""
    slope = SeriesCircuit(40e6, 62, 8).reflection(GRID_HZ)
    found = put_over(noisy(exact=slope, noise=1e-4), best_match_hz=54e6, q=8.0, q_hz=54e6)
    assert "best_match_hz" not in found
    assert "q" in found


def test_a_q_far_from_the_best_match_has_a_fit_of_its_own():
    analysis = analyse(Sweep(GRID_HZ, noisy()), 50.0)
    figures = dataclasses.replace(figures_of(analysis, BAND, 2.0), q_hz=53e6)
    own = assess(analysis, figures, BAND, 2.0)
    assert own.intervals["q"].repeatability.low < own.figures.q
