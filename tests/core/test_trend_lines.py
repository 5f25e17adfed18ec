"""Lines over time with known truth, against scipy, and what stands out."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from fairlead.core.over_time.line import chance_of_a_mark, fitted_line, studentised
from fairlead.core.over_time.when import DAYS_A_YEAR, date_of, day_of, time_unit

DAYS = np.array([0.0, 40.0, 95.0, 150.0, 260.0, 301.0, 366.0]) + 20000
MATCHES_MHZ = np.array([50.80, 50.79, 50.80, 50.76, 50.74, 50.75, 50.72])


def line_of(values, days=DAYS, bound=None):
    days, values = np.asarray(days, float), np.asarray(values, float)
    bounds = None if bound is None else np.full(days.size, bound)
    return fitted_line(days[:, None], values, bounds)


def test_slope_interval_and_band_against_scipy():
    line = line_of(MATCHES_MHZ)
    oracle = stats.linregress(DAYS, MATCHES_MHZ)
    t = stats.t.ppf(0.975, len(DAYS) - 2)
    (slope,) = line.slopes
    assert slope.value == pytest.approx(oracle.slope)
    assert slope.half == pytest.approx(t * oracle.stderr)
    assert slope.half_with_bound is None
    assert slope.is_resolved
    a_year = slope.times(DAYS_A_YEAR)
    assert (a_year.value, a_year.half) == (slope.value * DAYS_A_YEAR, slope.half * DAYS_A_YEAR)
    places = np.array([[DAYS[0]], [DAYS.mean()], [DAYS[-1] + 100]])
    values, half = line.at(places)
    assert values == pytest.approx(oracle.intercept + oracle.slope * places[:, 0])
    # Draper and Smith, Applied Regression Analysis, ch. 1 (from memory).
    spread = ((DAYS - DAYS.mean()) ** 2).sum()
    known = t * line.sigma * np.sqrt(1 / 7 + (places[:, 0] - DAYS.mean()) ** 2 / spread)
    assert half == pytest.approx(known)


def test_two_quantities_against_the_normal_equations():
    generator = np.random.default_rng(4)
    warm = np.array([5.0, 9.0, 14.0, 20.0, 22.0, 12.0, 6.0])
    values = 50.8 - 1e-4 * (DAYS - DAYS[0]) - 0.002 * warm + generator.normal(0, 0.003, 7)
    places = np.column_stack([DAYS, warm])
    line = fitted_line(places, values)
    full = np.column_stack([np.ones(7), places - places.mean(axis=0)])
    found, total, *_ = np.linalg.lstsq(full, values)
    assert [slope.value for slope in line.slopes] == pytest.approx(found[1:].tolist())
    covariance = np.linalg.inv(full.T @ full) * total[0] / 4
    for slope, variance in zip(line.slopes, np.diag(covariance)[1:], strict=True):
        assert slope.half == pytest.approx(stats.t.ppf(0.975, 4) * math.sqrt(variance))
    values, half = line.at(places)
    assert values + line.left == pytest.approx(full @ found + line.left)
    assert half.shape == (7,)


def test_the_bound_of_the_calibration_widens_both():
    """Of three dates half a year apart, errors of b each move the slope by 2 b a year at most."""
    days, values = [0.0, DAYS_A_YEAR / 2, DAYS_A_YEAR], [50.80, 50.75, 50.71]
    free, bound = line_of(values, days), line_of(values, days, 0.01)
    slope = bound.slopes[0].times(DAYS_A_YEAR)
    assert slope.half_with_bound - slope.half == pytest.approx(0.02)
    assert bound.slopes[0].half == free.slopes[0].half
    middle = np.array([[DAYS_A_YEAR / 2]])
    # All three off the same way move the middle of the line by b.
    assert bound.at(middle)[1] - free.at(middle)[1] == pytest.approx(0.01)
    assert free.slopes[0].is_resolved
    assert not line_of(values, days, 0.08).slopes[0].is_resolved


def test_studentised_residuals_are_those_of_the_line_through_the_others():
    """Each left out in turn: the definition itself, with scipy's line."""
    values = np.array([50.8, 50.79, 50.83, 50.75, 50.78, 50.7, 50.76])
    for out, residual in enumerate(studentised(line_of(values))):
        rest = [i for i in range(7) if i != out]
        days = DAYS[rest]
        fit = stats.linregress(days, values[rest])
        left = values[rest] - fit.intercept - fit.slope * days
        sigma = math.sqrt((left @ left) / 4)
        spread = ((days - days.mean()) ** 2).sum()
        deviation = sigma * math.sqrt(1 + 1 / 6 + (DAYS[out] - days.mean()) ** 2 / spread)
        predicted = fit.intercept + fit.slope * DAYS[out]
        assert residual == pytest.approx((values[out] - predicted) / deviation)


def test_too_few_or_alone_or_alike():
    assert studentised(line_of([50.8, 50.8, 50.2, 50.8, 50.8], DAYS[:5])) == (None,) * 5
    assert set(studentised(line_of([1.0] * 6, range(6)))) == {0.0}
    # The only other date fixes the line: nothing is left to be judged.
    alone = studentised(line_of([1.0, 1.1, 1.0, 1.2, 1.0, 4.0], [0, 0, 0, 0, 0, 9]))
    assert alone[-1] is None
    off = studentised(line_of([1.0, 1.0, 1.0, 2.0, 1.0, 1.0], range(6)))
    assert off[3] == math.inf
    assert all(abs(one) < 3.5 for one in [*off[:3], *off[4:]])


def test_no_line_and_no_interval():
    assert line_of([50.0], [0.0]) is None
    assert line_of([50.0, 51.0], [7, 7]) is None
    alike = np.column_stack([DAYS, 2 * DAYS - 5])
    assert fitted_line(alike, MATCHES_MHZ) is None
    two = line_of([50.0, 51.0], [0, DAYS_A_YEAR], 0.1)
    (slope,) = two.slopes
    assert slope.times(DAYS_A_YEAR).value == pytest.approx(1.0)
    assert (slope.widest, slope.is_resolved, two.sigma) == (None, False, None)
    assert two.at(np.array([[0.0]]))[1] is None
    assert slope.times(2).widest is None


def test_chance_alone_marks_no_more_than_stated():
    """Student's t by scipy; 600 clean series of each length."""
    generator = np.random.default_rng(8)
    for n in (6, 12):
        share = chance_of_a_mark(n)
        assert share == pytest.approx(2 * n * stats.t.sf(3.5, n - 3))
        days, found = np.arange(n, dtype=float), 0
        for values in generator.normal(0, 1, (600, n)):
            found += any(abs(one) > 3.5 for one in studentised(line_of(values, days)))
        assert found / 600 < share + 0.03
    assert chance_of_a_mark(5) == 0


@pytest.mark.parametrize("bound", [None, 0.02])
def test_what_is_stated_of_the_slope_is_held(bound):
    """300 series with normal scatter; with a bound, errors at its worst corner besides."""
    generator = np.random.default_rng(2)
    truth, days = -1e-4, DAYS
    worst = np.sign(days - days.mean()) * (bound or 0.0)
    inside = 0
    for _ in range(300):
        values = 50 + truth * days + generator.normal(0, 0.02, days.size) + worst
        (slope,) = line_of(values, days, bound).slopes
        inside += abs(slope.value - truth) <= slope.widest
    assert 0.92 < inside / 300 <= 1


def test_dates_and_their_unit():
    assert day_of("1970-01-03") == 2
    assert day_of(" 1970-01-01T12:00 ") == 0.5
    assert day_of("1970-01-01T12:00+12:00") == 0
    assert day_of("last spring") is None
    assert day_of("") is None
    assert date_of(day_of("2026-05-14T18:30")).isoformat() == "2026-05-14T18:30:00+00:00"
    assert [time_unit(days).words for days in (0.2, 30, 800)] == ["an hour", "a day", "a year"]
