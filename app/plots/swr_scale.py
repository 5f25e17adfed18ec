"""The SWR axis: even in |reflection|, so that 1 to 3 gets most of the room.

SWR = (1 + |G|) / (1 - |G|): 1, 1.5, 2 and 3 stand at |G| = 0, 0.2, 0.333 and 0.5, infinity at 1.
"""

from __future__ import annotations

from fairlead.core.reflection import magnitude_from_swr, swr

TOP_LOWEST = float(magnitude_from_swr(1.1))
TOP_HIGHEST = float(magnitude_from_swr(50.0))
"""|G| at the upper border: infinite SWR always runs off the top."""

# The earlier in the list, the sooner a number gets room.
# fmt: off
_LADDER = (
    1.0, 2.0, 3.0, 1.5, 5.0, 10.0, 1.2, 20.0, 4.0, 7.0, 1.1, 1.7, 2.5, 1.3, 1.4, 50.0, 30.0, 1.05,
    1.6, 1.8, 1.15, 1.25, 1.02, 1.01, 1.03, 1.04, 1.06, 1.07, 1.08, 1.09,
)
# fmt: on
_PLACES = tuple((ratio, float(magnitude_from_swr(ratio))) for ratio in _LADDER)
_TICK_DISTANCE = 22.0


def place(ratio: float) -> float:
    """|G| of an SWR: where it stands on the axis."""
    return float(magnitude_from_swr(ratio))


def ratio_at(magnitude: float) -> float:
    """SWR at a place of the axis, from 1 upwards; clipped just below infinity."""
    return float(swr(min(max(magnitude, 0.0), 1 - 1e-6)))


def ticks(top: float, height: float) -> list[float]:
    """SWR values to write beside an axis, rising.

    Parameters
    ----------
    top : float
        |G| at the upper border.
    height : float
        Height of the axis in pixels.
    """
    distance = _TICK_DISTANCE * top / height
    chosen: dict[float, float] = {}
    for ratio, at in _PLACES:
        if at <= top and all(abs(at - other) >= distance for other in chosen.values()):
            chosen[ratio] = at
    return sorted(chosen)
