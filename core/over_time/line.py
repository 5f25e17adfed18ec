"""A line by least squares over one or two quantities, with its uncertainty.

Two statements are never mixed: the 95 % interval from the scatter about the line (Student's t; the
scatter is taken to be independent and normal), and the same widened by the most that the analyzer's
errors can do, each sweep having a calibration, and so an error of unknown sign, of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.uncertainty.quantiles import beta_share, t_quantile

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

OUTLIER = 3.5
"""A studentised residual beyond it is marked (common practice, no source)."""
FEWEST_FOR_OUTLIERS = 6
"""With fewer values one of them pulls the line so much that nothing can be told."""
_ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class Slope:
    """What a figure does over one quantity.

    Attributes
    ----------
    value : float
        Of the figure's unit, for one unit of the quantity.
    half : float or None
        Half of the 95 % interval from the scatter; None where no scatter is left.
    half_with_bound : float or None
        The same with the bound of the analyzer's errors; None unless all of them are stated.
    """

    value: float
    half: float | None = None
    half_with_bound: float | None = None

    @property
    def widest(self) -> float | None:
        """The half that holds most."""
        return self.half if self.half_with_bound is None else self.half_with_bound

    @property
    def is_resolved(self) -> bool:
        """Whether it differs from zero by more than its uncertainty."""
        half = self.widest
        return half is not None and abs(self.value) > half

    def times(self, factor: float) -> Slope:
        """The slope for so many units of the quantity."""
        half, wide = self.half, self.half_with_bound
        return Slope(
            self.value * factor,
            None if half is None else half * factor,
            None if wide is None else wide * factor,
        )


@dataclass(frozen=True, slots=True, eq=False)
class FittedLine:
    """A line through values.

    Attributes
    ----------
    centre : ndarray, shape (k,)
        Means of the quantities.
    mean : float
        Of the values.
    slopes : tuple of Slope
        One for each quantity.
    sigma : float or None
        Standard deviation about the line.
    left : ndarray, shape (n,)
        Residuals.
    leverage : ndarray, shape (n,)
    """

    centre: FloatArray
    mean: float
    slopes: tuple[Slope, ...]
    sigma: float | None
    left: FloatArray
    leverage: FloatArray
    _inverse: FloatArray
    _solver: FloatArray
    _bounds: FloatArray | None

    @property
    def freedom(self) -> int:
        """Degrees of freedom of the scatter."""
        return self.left.size - 1 - len(self.slopes)

    def at(self, places: FloatArray) -> tuple[FloatArray, FloatArray | None]:
        """The line, and half of its 95 % band with the bound where that is stated.

        Parameters
        ----------
        places : ndarray, shape (m, k)

        Returns
        -------
        ndarray, shape (m,), and ndarray, shape (m,), or None where no scatter is left
        """
        away = places - self.centre
        values = self.mean + away @ np.array([slope.value for slope in self.slopes])
        if self.sigma is None:
            return values, None
        n = self.left.size
        spread = np.sqrt(1 / n + np.einsum("ij,jk,ik->i", away, self._inverse, away))
        half: FloatArray = t_quantile(self.freedom) * self.sigma * spread
        if self._bounds is not None:
            half = half + np.abs(1 / n + away @ self._solver) @ self._bounds
        return values, half


def fitted_line(
    places: FloatArray, values: FloatArray, bounds: FloatArray | None = None
) -> FittedLine | None:
    """The line through values at places; None where the places do not determine one.

    Parameters
    ----------
    places : ndarray, shape (n, k)
    values : ndarray, shape (n,)
    bounds : ndarray, shape (n,), optional
        The most that each value can be off, its sign not known.
    """
    n, k = places.shape
    if n <= k:
        return None
    centre = places.mean(axis=0)
    away = places - centre
    sizes = np.sqrt((away**2).sum(axis=0))
    if not (sizes > _ROUNDING * (1 + np.abs(centre))).all():
        return None
    # In units of their own spread, so that days and degrees weigh alike in the test for rank.
    scaled = away / sizes
    if np.linalg.matrix_rank(scaled, tol=1e-6) < k:
        return None
    inverse = np.linalg.inv(scaled.T @ scaled) / np.outer(sizes, sizes)
    solver = inverse @ away.T
    found = solver @ values
    mean = float(values.mean())
    left = values - mean - away @ found
    left[np.abs(left) < _ROUNDING * (1e-300 + np.abs(values).max())] = 0.0
    freedom = n - 1 - k
    sigma = math.sqrt(float(left @ left) / freedom) if freedom > 0 else None
    off = None if bounds is None else np.abs(solver) @ bounds
    slopes = []
    for i in range(k):
        half = None
        if sigma is not None:
            half = t_quantile(freedom) * sigma * math.sqrt(float(inverse[i, i]))
        wide = None if half is None or off is None else half + float(off[i])
        slopes.append(Slope(float(found[i]), half, wide))
    leverage = 1 / n + np.einsum("ij,ji->i", away, solver)
    return FittedLine(centre, mean, tuple(slopes), sigma, left, leverage, inverse, solver, bounds)


def studentised(line: FittedLine) -> tuple[float | None, ...]:
    """Each residual over its deviation by the line through the others (externally studentised).

    None with fewer than `FEWEST_FOR_OUTLIERS` values, and for one that fixes the line alone. May be
    infinite where the others lie on a line. R. D. Cook and S. Weisberg, Residuals and Influence in
    Regression, 1982, 2.2 (from memory).
    """
    n = line.left.size
    if n < FEWEST_FOR_OUTLIERS:
        return (None,) * n
    total = float(line.left @ line.left)
    found: list[float | None] = []
    for own, share in zip(line.left.tolist(), line.leverage.tolist(), strict=True):
        rest = 1 - share
        if rest < _ROUNDING:
            # Far from all others, it fixes the line: nothing is left to be judged.
            found.append(None)
            continue
        others = (total - own**2 / rest) / (line.freedom - 1)
        if others > _ROUNDING * total:
            found.append(own / math.sqrt(others * rest))
        else:
            found.append(math.copysign(math.inf, own) if own else 0.0)
    return tuple(found)


def chance_of_a_mark(n: int) -> float:
    """At most this share of series of n normal values has a mark by chance alone (Bonferroni).

    For a line over one quantity; 0 where nothing is ever marked. Such a residual has Student's t
    distribution with n - 3 degrees of freedom.
    """
    if n < FEWEST_FOR_OUTLIERS:
        return 0.0
    freedom = n - 3
    beyond = beta_share(freedom / (freedom + OUTLIER**2), freedom / 2, 0.5)
    return min(1.0, n * beyond)
