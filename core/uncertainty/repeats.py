"""Repeats of one measurement: the spread that was seen, beside what the noise predicts.

The same antenna put up again, or the next unit of a series, differs by more than noise. The spread
that was seen says by how much, and needs no model.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.uncertainty.interval import Interval

if TYPE_CHECKING:
    from collections.abc import Sequence

# 97.5 % quantiles of Student's t for 1 to 9 degrees of freedom (any statistical table, e.g.
# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2).
_TABLE = (12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262)


@dataclass(frozen=True, slots=True)
class Spread:
    """The spread of a figure over repeats.

    Attributes
    ----------
    n : int
        Repeats that have the figure.
    mean, sd : float
        Mean, and standard deviation with n - 1.
    of_mean : Interval
        95 % t interval of the mean.
    of_next : Interval
        95 % t interval of the next repeat.
    """

    n: int
    mean: float
    sd: float
    of_mean: Interval
    of_next: Interval


def t_quantile(freedom: int) -> float:
    """97.5 % quantile of Student's t to 0.1 %, for 1 degree of freedom on.

    Beyond the table, the first terms of the expansion by the normal quantile (Abramowitz and
    Stegun, 26.7.5).
    """
    if freedom <= len(_TABLE):
        return _TABLE[freedom - 1]
    z = 1.959964
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / freedom + second / freedom**2 + third / freedom**3


def spread_of(values: Sequence[float | None]) -> Spread | None:
    """The spread over repeats; None with fewer than two that have the figure, and a finite one."""
    known = [value for value in values if value is not None and math.isfinite(value)]
    n = len(known)
    if n < 2:
        return None
    mean = math.fsum(known) / n
    sd = math.sqrt(math.fsum((value - mean) ** 2 for value in known) / (n - 1))
    one, next_one = (t_quantile(n - 1) * sd * share for share in (n**-0.5, (1 + 1 / n) ** 0.5))
    return Spread(
        n,
        mean,
        sd,
        Interval(mean - one, mean + one),
        Interval(mean - next_one, mean + next_one),
    )
