"""The half time of a drying curve: closed form, scipy, coverage, and each refusal."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import curve_fit

from fairlead.core.comparison.repeats.drying import drying_curve

MINUTES = np.array([0.0, 5.0, 12.0, 25.0, 45.0, 80.0])
NORMAL = 1.959964


def curve(half_time, minutes=MINUTES, size=-400e3, end=51e6):
    return end + size * 0.5 ** (np.asarray(minutes) / half_time)


def test_without_noise_the_half_time_is_the_one_put_in():
    found = drying_curve(MINUTES + 7, curve(17.0), [10.0] * 6)
    assert found.half_time_minutes == pytest.approx(17.0, rel=1e-6)
    assert found.start == pytest.approx(51e6 - 400e3)
    assert found.end == pytest.approx(51e6)
    shuffled = drying_curve(MINUTES[::-1], curve(17.0)[::-1], [10.0] * 6)
    assert shuffled.half_time_minutes == pytest.approx(17.0, rel=1e-6)


def test_half_time_and_interval_are_those_of_scipy_where_noise_is_small():
    """Where noise is small the profile is a parabola: scipy's interval from the covariance."""
    rng = np.random.default_rng(3)
    sigma = np.array([2e3, 1e3, 3e3, 1e3, 2e3, 1e3])
    values = curve(17.0) + sigma * rng.standard_normal(6)

    def model(t, end, size, tau):
        return end + size * np.exp(-t / tau)

    best, covariance = curve_fit(
        model, MINUTES, values, (51e6, -4e5, 20.0), sigma=sigma, absolute_sigma=True
    )
    found = drying_curve(MINUTES, values, (NORMAL * sigma).tolist())
    assert found.half_time_minutes == pytest.approx(best[2] * math.log(2), rel=1e-4)
    half = NORMAL * math.sqrt(covariance[2, 2]) * math.log(2)
    ends = found.interval_minutes
    assert (ends.high - ends.low) / 2 == pytest.approx(half, rel=0.02)


@pytest.mark.unmeasured
@pytest.mark.parametrize(("count", "is_known"), [(4, True), (7, True), (9, False)])
def test_the_interval_holds_the_half_time_in_95_of_100(count, is_known):
    """2,000 cases each are in tests/bench/coverage_repeats.py; 400 here."""
    rng = np.random.default_rng(12)
    hit = told = 0
    for _ in range(400):
        half_time = rng.uniform(8, 30)
        minutes = half_time * rng.uniform(2.5, 5) * (np.arange(count) / (count - 1)) ** 1.5
        values = curve(half_time, minutes, -3e5 * rng.uniform(0.3, 1))
        values = values + 3e3 * rng.standard_normal(count)
        found = drying_curve(minutes, values, [NORMAL * 3e3 if is_known else None] * count)
        if not isinstance(found, str):
            told += 1
            hit += found.interval_minutes.low <= half_time <= found.interval_minutes.high
    assert told >= 385
    assert 0.92 <= hit / told <= 0.98


def test_scatter_beyond_the_noise_widens_the_interval():
    rng = np.random.default_rng(5)
    values = curve(17.0) + 8e3 * rng.standard_normal(6)
    honest = drying_curve(MINUTES, values, [NORMAL * 8e3] * 6)
    boastful = drying_curve(MINUTES, values, [NORMAL * 100.0] * 6)
    ends, others = honest.interval_minutes, boastful.interval_minutes
    assert others.high - others.low > 0.5 * (ends.high - ends.low)


@pytest.mark.parametrize(
    ("minutes", "values", "half", "reason"),
    [
        (MINUTES[:3], curve(17.0)[:3], 1e3, "at least four"),
        ([0, 5, 5, 5, 9], [1.0, 2.0, 2.0, 2.0, 3.0], 1.0, "at least four"),
        (MINUTES, np.full(6, 51e6) + np.array([1, -1, 1, -1, 1, -1]) * 1e3, 4e3, "does not move"),
        (MINUTES, [0.0, 9e5, 1e5, 8e5, 3e5, 7e5], 1e3, "does not return exponentially"),
        (MINUTES, 51e6 - 400e3 + 2e3 * MINUTES, 20e3, "not levelled off"),
        (MINUTES, curve(0.02), 20e3, "was over before the second"),
    ],
)
def test_each_refusal(minutes, values, half, reason):
    assert reason in drying_curve(minutes, values, [half] * len(values))


def test_too_few_without_noise():
    found = drying_curve(MINUTES[:5], curve(17.0)[:5], [1.0, None, 1.0, 1.0, 1.0])
    assert "six sweeps" in found
