"""What a plan asks for, against README's example, published t quantiles and invented sweeps."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.bench import Bench
from fairlead.core.document.session import Plan
from fairlead.core.errors import FairleadError
from fairlead.core.planning.needs import good_enough, needs
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.error_model import ErrorModel

BAND = Band(50e6, 52e6)


def error_hz(model, f_hz, q, loss_db=0.0):
    """Most that an analyzer moves a best match: D f/Q, times a line's loss."""
    return model.directivity * 10 ** (loss_db / 10) * f_hz / q


def best_match_hz(gamma_of, q):
    """Where |G| is least, by a fine grid around 50 MHz."""
    hz = np.linspace(49.5e6, 50.5e6, 200_001)
    return float(hz[np.argmin(np.abs(gamma_of(SeriesCircuit(50e6, 50.0, q).reflection(hz))))])


def test_directivity_moves_the_best_match_as_the_handbook_figure_says():
    """README: 40 dB and Q 8 at 50 MHz are about 60 kHz (D f/Q = 62.5 kHz)."""
    told_hz = error_hz(ErrorModel(40.0), 50e6, 8.0)
    assert told_hz == pytest.approx(62.5e3)
    found_hz = best_match_hz(lambda gamma: gamma + 0.01j, 8.0) - 50e6
    assert abs(found_hz) == pytest.approx(told_hz, rel=0.02)
    # Published: A dB of line taken away multiply an error by 10^(A/10).
    assert error_hz(ErrorModel(40.0), 50e6, 8.0, 3.0103) == pytest.approx(125e3, rel=1e-4)


def test_the_directivity_asked_for_leaves_the_error_that_was_allowed():
    found = needs(Plan(shift_hz=100e3, q=8.0), BAND)
    part_hz = 50e3 / np.sqrt(2)
    assert 2 * error_hz(ErrorModel(found.anew_db), 51e6, 8.0) == pytest.approx(part_hz)
    assert 0.2 * error_hz(ErrorModel(found.kept_db), 51e6, 8.0) == pytest.approx(part_hz)
    assert found.least_db == found.kept_db
    behind = needs(Plan(shift_hz=100e3, q=8.0, line_loss_db=1.5), BAND)
    assert behind.kept_db == pytest.approx(found.kept_db + 3.0)


def test_swr_to_a_tenth_takes_thirty_db():
    """|G| is 0.2 at SWR 1.5 and 0.2308 at 1.6: by (s - 1)/(s + 1)."""
    found = needs(Plan(cover_swr=1.5, q=8.0), BAND)
    assert 10 ** (-found.cover_db / 20) == pytest.approx(0.6 / 2.6 - 0.2)
    assert (found.kept_db, found.anew_db, found.repeats) == (None, None, 1)
    assert good_enough(found.least_db) == ("own-kit", "good-kit")


def test_span_and_points_follow_width_and_line():
    narrow = needs(Plan(shift_hz=20e3, q=200.0), Band(14.0e6, 14.35e6))
    # (f/Q) (s - 1)/sqrt(s), Yaghjian and Best 2005.
    assert narrow.width_hz == pytest.approx(14.175e6 / 200 / np.sqrt(2))
    assert narrow.low_hz == pytest.approx(14.0e6 - narrow.width_hz - 20e3)
    assert narrow.clock == "noise"
    wide = needs(Plan(shift_hz=20e3, q=200.0), Band(14.0e6, 15e6))
    assert wide.clock == "width"
    assert wide.width_hz / wide.step_hz >= 4
    line = needs(Plan(cover_swr=2.0, q=10.0, line_m=200.0, velocity_factor=0.66), BAND)
    assert line.clock == "turn"
    # Half a wavelength of line is a whole turn: an eighth is a sixteenth of a wavelength.
    assert line.step_hz <= 0.66 * 299_792_458 / (16 * 200.0)
    assert (line.high_hz - line.low_hz) / (line.points - 1) == pytest.approx(line.step_hz)


def test_repeats_are_the_fewest_by_students_t():
    """t(0.975) with 2, 4, 6 degrees of freedom: 4.303, 2.776, 2.447 (NIST/SEMATECH table)."""
    scatter_hz, part = 4e3, 0.5 / np.sqrt(2)
    shift_hz = 1.001 * 2.776 * scatter_hz * np.sqrt(2 / 3) / part
    plan = Plan(shift_hz=shift_hz, q=8.0, repeatability_hz=scatter_hz)
    assert needs(plan, BAND).repeats == 3
    closer = Plan(shift_hz=0.998 * shift_hz, q=8.0, repeatability_hz=scatter_hz)
    assert needs(closer, BAND).repeats == 4
    far = needs(Plan(shift_hz=1e3, q=8.0, repeatability_hz=scatter_hz), BAND)
    assert far.repeats is None
    assert "would not be enough" in far.why_no_repeats
    assert needs(Plan(shift_hz=1e3, q=1e5, line_m=0.01), BAND).clock == "width"
    unknown = needs(Plan(shift_hz=1e3, q=8.0), BAND)
    assert unknown.repeats is None
    assert "neither" in unknown.why_no_repeats


def test_the_noise_told_beforehand_is_about_what_the_interval_says_afterwards():
    """Of a sweep with the span, points, Q and noise of the plan: within a factor of two."""
    found = needs(Plan(shift_hz=50e3, q=8.0, noise=0.002), BAND)
    hz = np.linspace(found.low_hz, found.high_hz, found.points)
    ratios = []
    for seed in range(6):
        gamma = SeriesCircuit(51e6, 50.0, 8.0).reflection(hz)
        gamma = gamma + complex_noise(hz.size, 0.002, seed)
        bench = Bench().with_readings([Reading(Sweep(hz, gamma), "a", "a.s1p", ())])
        (row,) = compare_known(bench.with_band(BAND), Analyses())
        half_hz = row.intervals["best_match_hz"].repeatability.half_width
        ratios.append(half_hz / (1.96 * found.best_match_sd_hz))
    assert 0.5 < np.median(ratios) < 2.0


@pytest.mark.parametrize(
    ("plan", "reason"), [(Plan(q=8.0), "nothing"), (Plan(shift_hz=1e4), "how sharp")]
)
def test_a_plan_without_aim_or_antenna_is_refused(plan, reason):
    with pytest.raises(FairleadError, match=reason):
        needs(plan, BAND)
