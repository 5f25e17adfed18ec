"""A line found from its own sweeps, held against lines whose numbers are known."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import FeedLine, seen_through
from fairlead.core.line_measured import measure_line
from fairlead.core.line_types import line_of_type
from fairlead.core.sweep import Sweep


def sweeps_of(line, length_m, span_hz, points, noise=1e-3, seed=1):
    rng = np.random.default_rng(seed)
    frequency_hz = np.linspace(*span_hz, points)

    def one(end):
        far = np.full(points, end, dtype=complex)
        seen = seen_through(line, length_m, frequency_hz, far, 50.0)
        return Sweep(
            frequency_hz,
            seen + noise * (rng.normal(size=points) + 1j * rng.normal(size=points)),
        )

    return one(1.0), one(-1.0)


CASES = [
    ("RG-58", 12.0, (1e6, 60e6), 401),
    ("RG-58", 25.0, (140e6, 150e6), 201),
    ("RG-58", 3.0, (45e6, 55e6), 101),
    ("RG-59", 10.0, (1e6, 60e6), 201),
    ("window line 400", 20.0, (1e6, 30e6), 401),
]


@pytest.mark.parametrize(("name", "length_m", "span_hz", "points"), CASES)
@pytest.mark.parametrize("which", ["both", "open", "short"])
def test_a_line_is_found_within_its_uncertainty(name, length_m, span_hz, points, which):
    line = line_of_type(name)
    far_open, far_short = sweeps_of(line, length_m, span_hz, points)
    found = measure_line(
        far_open if which != "short" else None, far_short if which != "open" else None
    )
    middle_hz = float(np.sqrt(span_hz[0] * span_hz[1]))
    true_db = float(line.loss_db(middle_hz, length_m))
    loss_db, sigma_db = found.loss_db(middle_hz)
    assert abs(loss_db - true_db) < 4 * sigma_db + 1e-4
    assert abs(found.z0_ohm - line.z0_ohm) < 4 * found.z0_sigma_ohm + 1e-3 * line.z0_ohm
    true_s = length_m / line.velocity_factor / 299_792_458
    assert abs(found.delay_s - true_s) < 4 * found.delay_sigma_s + 1e-5 * true_s
    assert found.residual == pytest.approx(1e-3, rel=0.3)


@pytest.mark.unmeasured
def test_its_intervals_cover():
    """95 % intervals of loss, impedance and delay over 16 noisy pairs: 85 to 100 % of 48."""
    line, length_m = line_of_type("RG-58"), 12.0
    true_db = float(line.loss_db(20e6, length_m))
    true_s = length_m / line.velocity_factor / 299_792_458
    hits = np.zeros(3)
    for seed in range(16):
        found = measure_line(*sweeps_of(line, length_m, (10e6, 60e6), 51, 3e-3, seed))
        loss_db, sigma_db = found.loss_db(20e6)
        hits += (
            abs(loss_db - true_db) < 1.96 * sigma_db,
            abs(found.z0_ohm - line.z0_ohm) < 1.96 * found.z0_sigma_ohm,
            abs(found.delay_s - true_s) < 1.96 * found.delay_sigma_s,
        )
    assert 41 <= hits.sum() <= 48, hits


def test_as_a_line_it_does_what_the_true_one_does():
    line, length_m = line_of_type("RG-58"), 12.0
    found = measure_line(*sweeps_of(line, length_m, (1e6, 60e6), 401))
    frequency_hz = np.linspace(48e6, 54e6, 5)
    load = np.full(5, 0.3 - 0.2j)
    seen = seen_through(line, length_m, frequency_hz, load, 50.0)
    for own_length_m in (None, 12.0):
        own, metres = found.as_line("mine", own_length_m)
        back = seen_through(own, -metres, frequency_hz, seen, 50.0)
        assert np.abs(back - load).max() < 1e-3
    assert own.velocity_factor == pytest.approx(0.66, rel=1e-4)
    assert own.source == "measured"
    with pytest.raises(FairleadError, match="cannot delay"):
        found.as_line("too long", 20.0)


def test_a_line_without_loss_has_no_tolerance_in_per_cent():
    found = measure_line(*sweeps_of(FeedLine("ideal", 50.0, 1.0), 10.0, (1e6, 60e6), 201, 0.0))
    own, _ = found.as_line("ideal")
    assert own.k1_db == pytest.approx(0, abs=1e-6)
    assert found.loss_db(30e6)[0] == pytest.approx(0, abs=1e-6)


def test_what_is_no_open_or_shorted_line_is_refused():
    far_open, far_short = sweeps_of(line_of_type("RG-58"), 12.0, (1e6, 60e6), 201)
    with pytest.raises(FairleadError, match="no sweep"):
        measure_line()
    with pytest.raises(FairleadError, match="these sweeps"):
        measure_line(far_short, far_open)
    with pytest.raises(FairleadError, match="too few"):
        measure_line(Sweep(far_open.frequency_hz[:5], far_open.reflection[:5]))
    frequency_hz = np.linspace(48e6, 54e6, 101)
    resonance = 1 / (1 + 40j * (frequency_hz / 51e6 - 51e6 / frequency_hz)) - 0.5
    with pytest.raises(FairleadError, match="this sweep"):
        measure_line(Sweep(frequency_hz, resonance))
