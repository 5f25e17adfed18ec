"""Quantiles and the interval of a share against published tables and against scipy.

scipy comes with scikit-rf, which is the oracle of other tests; nothing needs it at run time.
"""

from __future__ import annotations

import pytest
from scipy import stats

from fairlead.core.uncertainty.quantiles import (
    beta_quantile,
    beta_share,
    share_interval,
    t_quantile,
)


@pytest.mark.parametrize(
    ("freedom", "expected"),
    # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, column 0.975.
    [(1, 12.706), (2, 4.303), (4, 2.776), (9, 2.262), (30, 2.042), (100, 1.984)],
)
def test_t_of_the_published_table(freedom, expected):
    assert t_quantile(freedom) == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize("freedom", [1, 2, 3, 7, 40, 1000, 100_000])
@pytest.mark.parametrize("share", [0.6, 0.9, 0.975, 0.9995])
def test_t_against_scipy(freedom, share):
    assert t_quantile(freedom, share) == pytest.approx(stats.t.ppf(share, freedom), rel=1e-9)


@pytest.mark.parametrize("a", [0.5, 1, 3, 40, 500.5])
@pytest.mark.parametrize("b", [0.5, 2, 17, 300])
def test_beta_against_scipy(a, b):
    for x in (0.01, 0.3, 0.5, 0.77, 0.999):
        expected = stats.beta.cdf(x, a, b)
        assert beta_share(x, a, b) == pytest.approx(expected, rel=1e-9, abs=1e-13)
    expected = stats.beta.ppf(0.025, a, b)
    assert beta_quantile(0.025, a, b) == pytest.approx(expected, rel=1e-9)


def test_ends_of_beta():
    assert (beta_share(-1, 2, 3), beta_share(0, 2, 3), beta_share(1, 2, 3)) == (0, 0, 1)
    assert beta_share(2, 2, 3) == 1


@pytest.mark.parametrize(
    ("found", "of", "low", "high"),
    [
        (2, 5, 0.053, 0.853),
        (5, 5, 0.478, 1.0),
        (0, 5, 0.0, 0.522),
        # 1 - 0.025^(1/n), the closed form for none in n.
        (0, 10, 0.0, 1 - 0.025**0.1),
    ],
)
def test_clopper_and_pearson_by_hand(found, of, low, high):
    interval = share_interval(found, of)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=5e-4)


@pytest.mark.parametrize("of", [1, 5, 30, 1000])
def test_clopper_and_pearson_against_scipy(of):
    for found in {0, 1, of // 3, of}:
        expected = stats.binomtest(found, of).proportion_ci(0.95, "exact")
        interval = share_interval(found, of)
        assert (interval.low, interval.high) == pytest.approx(tuple(expected), abs=1e-12)


def test_nothing_seen_says_nothing():
    interval = share_interval(0, 0)
    assert (interval.low, interval.high) == (0, 1)
