"""Spread over repeats against worked examples and tables."""

from __future__ import annotations

import pytest

from fairlead.core.uncertainty.repeats import spread_of, t_quantile


@pytest.mark.parametrize(
    ("freedom", "expected"),
    # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, column 0.975.
    [(1, 12.706), (4, 2.776), (9, 2.262), (10, 2.228), (20, 2.086), (30, 2.042), (100, 1.984)],
)
def test_quantiles_of_the_table(freedom, expected):
    assert t_quantile(freedom) == pytest.approx(expected, rel=1e-3)


def test_five_repeats_by_hand():
    """1 to 5: mean 3, sd sqrt(2.5), 2.7764 sd / sqrt(5) = 1.963; next one 2.7764 sd sqrt(1.2)."""
    found = spread_of([1.0, 2.0, None, 3.0, 4.0, 5.0, float("inf")])
    assert (found.n, found.mean) == (5, 3)
    assert found.sd == pytest.approx(2.5**0.5)
    assert (found.of_mean.low, found.of_mean.high) == pytest.approx((1.037, 4.963), abs=1e-3)
    assert found.of_next.high - 3 == pytest.approx(2.776445 * (2.5 * 1.2) ** 0.5)


@pytest.mark.parametrize("values", [[], [1.0], [1.0, None]])
def test_one_is_no_spread(values):
    assert spread_of(values) is None
