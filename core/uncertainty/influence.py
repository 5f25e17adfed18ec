"""How the error of each point of a sweep moves a figure.

To first order, errors e_i of the points change a figure x from a fit to x + Re(sum conj(c_i) e_i).
The row c gives everything an interval needs: its length times the noise is the standard
uncertainty; the difference of two rows belongs to the difference of two figures (a width is high
end minus low end, and common errors cancel); and its product with a systematic error along the
sweep is the effect of that error on the figure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray


@dataclass(frozen=True, slots=True, eq=False)
class Influence:
    """The row c of one figure over a range of points; it is 0 at all others.

    Attributes
    ----------
    start : int
        Index of the first point.
    c : ComplexArray, shape (m,)
        In units of the figure per unit of reflection.
    """

    start: int
    c: ComplexArray

    @property
    def stop(self) -> int:
        """One past the index of the last point."""
        return self.start + self.c.size

    @property
    def length(self) -> float:
        """Standard uncertainty of the figure for white noise of 1 in each component."""
        return math.sqrt(float((self.c.real**2 + self.c.imag**2).sum()))

    def minus(self, other: Influence) -> Influence:
        """The influence on the difference between this figure and another of the same sweep."""
        start, stop = min(self.start, other.start), max(self.stop, other.stop)
        c = np.zeros(stop - start, dtype=np.complex128)
        c[self.start - start : self.stop - start] = self.c
        c[other.start - start : other.stop - start] -= other.c
        return Influence(start, c)
