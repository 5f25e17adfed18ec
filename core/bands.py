"""Bands: the span a sweep is judged in, and the rules for moving an edge."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from fairlead.core.errors import ValueTextError

Edge = Literal["low", "high"]

MINIMUM_WIDTH_HZ = 100.0
"""Two edges never come nearer than this, so that neither can pass the other."""


@dataclass(frozen=True, slots=True)
class Band:
    """A span of frequencies.

    Attributes
    ----------
    low_hz, high_hz : float
        Edges, ``0 < low_hz < high_hz``.
    name : str, optional
        Name of a published band with its region; None for a custom one.

    Raises
    ------
    ValueTextError
        If the edges are not in order or not positive.
    """

    low_hz: float
    high_hz: float
    name: str | None = None

    def __post_init__(self) -> None:
        if not 0 < self.low_hz < self.high_hz < float("inf"):
            raise ValueTextError(
                f"a band from {self.low_hz:g} to {self.high_hz:g} Hz does not exist",
                "the low edge must be above 0 and below the high edge",
            )

    @property
    def width_hz(self) -> float:
        """Distance of the edges in Hz."""
        return self.high_hz - self.low_hz

    def edge_hz(self, edge: Edge) -> float:
        """One of the edges in Hz."""
        return self.low_hz if edge == "low" else self.high_hz


def move_edge(band: Band, edge: Edge, frequency_hz: float) -> Band:
    """The band with one edge moved as near to ``frequency_hz`` as the rules allow.

    Moved edges stand on whole hertz, stay positive and at least `MINIMUM_WIDTH_HZ` apart. A band
    whose edge does not (or cannot) move is returned as it is, with its name; a moved one is a
    custom band.
    """
    if not math.isfinite(frequency_hz):
        return band
    wanted_hz = float(round(frequency_hz))
    if edge == "low":
        highest_hz = float(math.floor(band.high_hz - MINIMUM_WIDTH_HZ))
        if highest_hz < 1:
            return band
        moved = Band(min(max(wanted_hz, 1.0), highest_hz), band.high_hz)
    else:
        moved = Band(band.low_hz, max(wanted_hz, float(math.ceil(band.low_hz + MINIMUM_WIDTH_HZ))))
    # An edge between two hertz that is dragged back to where it was has not moved either.
    return band if abs(moved.edge_hz(edge) - band.edge_hz(edge)) < 1 else moved


def move_band(band: Band, low_hz: float) -> Band:
    """The band shifted so that its low edge is at ``low_hz`` (at least 1 Hz), width kept."""
    if not math.isfinite(low_hz):
        return band
    start_hz = max(1.0, float(round(low_hz)))
    if start_hz == band.low_hz:
        return band
    return Band(start_hz, start_hz + band.width_hz)
