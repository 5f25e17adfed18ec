"""The main promise of the feed line: the cable removed, the samples agree with each other."""

from __future__ import annotations

from pathlib import Path

import pytest

from fairlead.core.bands import Band
from fairlead.core.document.planes import line_step
from fairlead.core.figures import figures
from fairlead.core.line_measured import measure_line
from fairlead.core.reading import open_sweeps

SAMPLES = Path(__file__).parents[2] / "samples"
BAND = Band(50e6, 52e6)


def sweep_of(name):
    (reading,) = open_sweeps(str(SAMPLES / name))
    return reading.sweep


def test_the_measured_line_is_that_of_the_model():
    found = measure_line(
        sweep_of("cable/12m-far-end-open.s1p"), sweep_of("cable/12m-far-end-short.s1p")
    )
    # The model's cable: 12 m, velocity factor 0.66, 1.15 sqrt(f) + 0.012 f dB for 100 m.
    assert found.electrical_length_m == pytest.approx(12 / 0.66, rel=1e-3)
    true_db = 0.12 * (1.15 * 51**0.5 + 0.012 * 51)
    assert found.loss_db(51e6)[0] == pytest.approx(true_db, abs=0.03)
    assert found.z0_ohm == pytest.approx(50, abs=0.5)


def test_with_the_line_removed_the_antenna_is_that_of_the_feed_point():
    """Within what the invented analyzer's residual errors (-48 dB) and noise (0.1 %) allow."""
    line, length_m = measure_line(
        sweep_of("cable/12m-far-end-open.s1p"), sweep_of("cable/12m-far-end-short.s1p")
    ).as_line("cable")
    away = line_step("radio", line, length_m).applied(sweep_of("ground-plane-dry-12m-cable.s1p"))
    at_radio = figures(sweep_of("ground-plane-dry-12m-cable.s1p"), BAND, 50.0)
    found, feed = figures(away, BAND, 50.0), figures(sweep_of("ground-plane-dry.s1p"), BAND, 50.0)
    assert found.best_match_hz == pytest.approx(feed.best_match_hz, abs=60e3)
    assert found.best_match_swr == pytest.approx(feed.best_match_swr, abs=0.02)
    assert found.worst_swr == pytest.approx(feed.worst_swr, abs=0.02)
    assert found.usable_width_hz == pytest.approx(feed.usable_width_hz, rel=0.02)
    assert found.q == pytest.approx(feed.q, rel=0.05)
    (own,), (true,) = found.resonances, feed.resonances
    assert own.frequency_hz == pytest.approx(true.frequency_hz, abs=60e3)
    assert own.resistance_ohm == pytest.approx(true.resistance_ohm, rel=0.02)
    # Through the cable it looked far better than it is.
    assert at_radio.usable_width_hz > 1.3 * feed.usable_width_hz
