"""Repeats of one measurement: the spread that was seen, beside what the noise predicts.

The same antenna put up again, or the next unit of a series, differs by more than noise. The spread
that was seen says by how much. The two intervals assume that the values are normally distributed;
five of them can neither show nor refute that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.uncertainty.interval import Interval
from fairlead.core.uncertainty.quantiles import t_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence


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
        95 % t interval of the next repeat: mean ± t s sqrt(1 + 1/n) (NIST/SEMATECH e-Handbook of
        Statistical Methods, from memory).
    """

    n: int
    mean: float
    sd: float
    of_mean: Interval
    of_next: Interval


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
