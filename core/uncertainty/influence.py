"""How the error of each point of a sweep moves a figure.

Every figure x taken from a fit is, to first order, x + Re(sum conj(c_i) e_i) in the errors e_i of
the points. The row c gives everything that an interval needs: its length times the noise is the
standard uncertainty, the difference of two rows is that of a difference (a width is high end less
low end, and what both have in common falls out), and its product with a systematic error along
the sweep is what that error does to the figure.
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
    """The row c of one figure over a part of a sweep; it is 0 at all other points.

    Attributes
    ----------
    start : int
        Index of the first point.
    c : ComplexArray, shape (m,)
        In units of the figure for an error of 1 in the reflection.
    """

    start: int
    c: ComplexArray

    @property
    def stop(self) -> int:
        """Index behind the last point."""
        return self.start + self.c.size

    @property
    def length(self) -> float:
        """Standard uncertainty of the figure for white noise of 1 in each component."""
        return math.sqrt(float((self.c.real**2 + self.c.imag**2).sum()))

    def minus(self, other: Influence) -> Influence:
        """The influence on this figure less another one of the same sweep."""
        start, stop = min(self.start, other.start), max(self.stop, other.stop)
        c = np.zeros(stop - start, dtype=np.complex128)
        c[self.start - start : self.stop - start] = self.c
        c[other.start - start : other.stop - start] -= other.c
        return Influence(start, c)
