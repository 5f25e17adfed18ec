"""How well a figure is known: two separate statements."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """From ``low`` to ``high``, in the unit of the figure; either end may be infinite."""

    low: float
    high: float

    @property
    def half_width(self) -> float:
        """Half of the distance between the ends."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class Intervals:
    """The two statements about one figure.

    Attributes
    ----------
    repeatability : Interval or None
        From the sweep's own noise, at 95 %: where the figure of the same antenna, swept again with
        the same calibration, would lie. None if the noise is unknown.
    accuracy : Interval or None
        Bound from the analyzer's effective directivity, source match and tracking, combined with
        the noise; None if the analyzer's errors are unknown.
    """

    repeatability: Interval | None = None
    accuracy: Interval | None = None

    @property
    def widest(self) -> Interval | None:
        """The bound where it is known, since it includes the noise; else the repeatability."""
        return self.accuracy or self.repeatability
