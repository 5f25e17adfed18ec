"""How well a figure is known: two statements that are never mixed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """From ``low`` to ``high``, in the unit of the figure; either end may be infinite."""

    low: float
    high: float

    @property
    def half_width(self) -> float:
        """Half of what lies between the ends."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class Intervals:
    """The two statements about one figure.

    Attributes
    ----------
    repeatability : Interval or None
        From the sweep's own noise, at 95 %: where the same antenna, swept again with the same
        calibration, would be found. None where the noise is not known.
    accuracy : Interval or None
        Bound from the analyzer's effective directivity, source match and tracking, together with
        the noise; None while the analyzer's errors are unknown.
    """

    repeatability: Interval | None = None
    accuracy: Interval | None = None

    @property
    def widest(self) -> Interval | None:
        """The bound where it is known, since it includes the noise; else the repeatability."""
        return self.accuracy or self.repeatability
