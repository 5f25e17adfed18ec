"""Quantiles of Student's t and of the beta distribution, and the interval of a share.

Three short functions instead of a library whose import alone costs more than the whole start of a
verb. Tests hold them against published tables and against scipy.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from fairlead.core.uncertainty.interval import Interval

if TYPE_CHECKING:
    from collections.abc import Callable

NORMAL_95 = 1.959964
"""Half width of the 95 % interval of a normal distribution, in standard deviations."""
_LEVEL = 0.95
_TINY = 1e-300
_CLOSE = 1e-14


def beta_share(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function I_x(a, b), for x from 0 to 1, a and b > 0.

    By its continued fraction with Lentz's method (Abramowitz and Stegun, 26.5.8, from memory),
    on the side where it converges fast.
    """
    if x <= 0 or x >= 1:
        return min(max(x, 0.0), 1.0)
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_share(1 - x, b, a)
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    d = 1 / _away_from_zero(1 - (a + b) * x / (a + 1))
    c, fraction, m, step = 1.0, d, 0, 0.0
    while abs(step - 1) > _CLOSE:
        m += 1
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / _away_from_zero(1 + term * d)
            c = _away_from_zero(1 + term / c)
            step = d * c
            fraction *= step
    return front * fraction / a


def _away_from_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def beta_quantile(share: float, a: float, b: float) -> float:
    """Where I_x(a, b) reaches a share."""
    return _root(lambda x: beta_share(x, a, b) - share, 0.0, 1.0)


@lru_cache(maxsize=256)
def t_quantile(freedom: int, share: float = 0.975) -> float:
    """Quantile of Student's t with so many degrees of freedom (at least 1), for a share over 0.5.

    By the beta distribution of freedom / (freedom + t^2) (Abramowitz and Stegun, 26.7.1, from
    memory).
    """
    x = beta_quantile(2 * (1 - share), freedom / 2, 0.5)
    return math.sqrt(freedom * (1 - x) / x)


@lru_cache(maxsize=256)
def share_interval(found: int, of: int, level: float = _LEVEL) -> Interval:
    """Where a share lies of which ``found`` in ``of`` were seen: exact and never too narrow.

    C. J. Clopper and E. S. Pearson, Biometrika 26(4), 1934 (from memory), by quantiles of the beta
    distribution. Without anything seen, from 0 to 1.
    """
    tail = (1 - level) / 2
    low = beta_quantile(tail, found, of - found + 1) if found > 0 else 0.0
    high = beta_quantile(1 - tail, found + 1, of - found) if found < of else 1.0
    return Interval(low, high)


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function crosses zero, to the last digit."""
    middle = (low + high) / 2
    while low < middle < high:
        low, high = (middle, high) if function(middle) < 0 else (low, middle)
        middle = (low + high) / 2
    return middle
