"""What a sweep that was traced from a picture carries along: how well it is known, and from what.

Its points are no measurement: their uncertainty comes from the picture (thickness of the line,
clicked axes, resolution) and is alike in neighbouring points, so that it cannot be estimated from
their scatter.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import SweepError

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, FloatArray

TRACED_WORDS = "traced from a picture"
"""The mark, wherever such a sweep is named."""

_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, eq=False)
class Traced:
    """How a sweep was traced.

    Attributes
    ----------
    sigma : FloatArray, shape (n,)
        Standard uncertainty of |G| at each point (of a component of the reflection, if it is
        complex), finite and positive. Read-only.
    lost_after : tuple of int
        Indices of the points behind which the curve was lost until the next one; nothing is claimed
        in between.
    frequency_sigma_hz : float
        Standard uncertainty of the frequency axis.
    alike_points : float
        So many neighbouring points share their errors (about the line's thickness).
    picture_sha256 : str
        Of the picture's file; empty if it is not known.
    method : int
        Version of the way it was traced.
    line_share : float
        Which share of ``sigma`` is that of the line itself, above 0 up to 1. The rest, from the
        axes, moves the whole curve and is no scatter.
    """

    sigma: FloatArray
    lost_after: tuple[int, ...] = ()
    frequency_sigma_hz: float = 0.0
    alike_points: float = 3.0
    picture_sha256: str = ""
    method: int = 1
    line_share: float = 1.0
    _key: tuple[object, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        sigma = np.array(self.sigma, dtype=np.float64)
        sigma.flags.writeable = False
        if sigma.ndim != 1 or not (np.isfinite(sigma).all() and (sigma > 0).all()):
            raise SweepError(
                "an uncertainty of a traced point is not a positive number",
                "trace the curve again",
            )
        if not 0 <= self.frequency_sigma_hz < np.inf or not 1 <= self.alike_points < np.inf:
            raise SweepError(
                "the uncertainty of a traced frequency is not a number", "trace the curve again"
            )
        if not 0 < self.line_share <= 1:
            raise SweepError(
                "the line's share of an uncertainty is not from 0 to 1", "leave it out"
            )
        if self.picture_sha256 and _SHA256.fullmatch(self.picture_sha256) is None:
            raise SweepError("the picture's SHA-256 has not 64 hexadecimal digits", "leave it out")
        if any(not 0 <= index < sigma.size - 1 for index in self.lost_after):
            raise SweepError("a gap of a traced curve is not between two points", "trace it again")
        object.__setattr__(self, "sigma", sigma)
        key = (
            sigma.tobytes(),
            self.lost_after,
            self.frequency_sigma_hz,
            self.alike_points,
            self.picture_sha256,
            self.method,
            self.line_share,
        )
        object.__setattr__(self, "_key", key)

    def __eq__(self, other: object) -> bool:
        """Equal in all."""
        return isinstance(other, Traced) and self._key == other._key

    def __hash__(self) -> int:
        """Hash of the content."""
        return hash(self._key)

    def scaled(self, factor: float) -> Traced:
        """The same for a sweep with all frequencies multiplied."""
        return replace(self, frequency_sigma_hz=self.frequency_sigma_hz * factor)

    @property
    def scatter(self) -> float:
        """Standard uncertainty of a usual point against its neighbours."""
        return float(np.median(self.sigma)) * self.line_share

    @property
    def is_lost(self) -> BoolArray:
        """Which intervals between points, shape (n - 1,), the curve was lost in."""
        lost = np.zeros(self.sigma.size - 1, dtype=np.bool_)
        lost[list(self.lost_after)] = True
        return lost
