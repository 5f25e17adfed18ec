"""The axes of a picture as they were clicked: places whose frequency or value is known."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Sequence

ValueKind = Literal[
    "swr", "return_loss_db", "magnitude", "phase_deg", "resistance_ohm", "reactance_ohm"
]
Scale = Literal["linear", "log", "free"]
Point = tuple[float, float]

KIND_WORDS: dict[ValueKind, str] = {
    "swr": "SWR",
    "return_loss_db": "return loss",
    "magnitude": "|G|",
    "phase_deg": "phase",
    "resistance_ohm": "resistance",
    "reactance_ohm": "reactance",
}
HAND_SIGMA_PX = 0.7
"""By how much a click without snapping misses, standard deviation (common practice, no source)."""
SNAPPED_SIGMA_PX = 0.2
MOST_POINTS = 100
_LEAST: dict[ValueKind, float] = {"swr": 1.0, "magnitude": 0.0}
_SAME_PLACE_PX = 1.0


@dataclass(frozen=True, slots=True)
class AxisPoint:
    """A place in the picture where one coordinate is known.

    Attributes
    ----------
    x, y : float
        Pixels.
    value : float
        Hz on the frequency axis, else in the unit of the axis's kind.
    sigma_px : float
        By how much the place may be off, standard deviation, in pixels.
    """

    x: float
    y: float
    value: float
    sigma_px: float = HAND_SIGMA_PX


@dataclass(frozen=True, slots=True)
class FrequencyAxis:
    """Points of known frequency; ``scale`` is "linear" or "log"."""

    points: tuple[AxisPoint, ...] = ()
    scale: Scale = "linear"


@dataclass(frozen=True, slots=True)
class ValueAxis:
    """Points of known value.

    Attributes
    ----------
    kind : ValueKind
    points : tuple of AxisPoint
    scale : {"linear", "log", "free"}
        "free" is any monotone axis: it runs through its points, of which it needs three.
    """

    kind: ValueKind = "swr"
    points: tuple[AxisPoint, ...] = ()
    scale: Scale = "linear"


def check_axes(frequency: FrequencyAxis, values: ValueAxis) -> None:
    """Refuse points that describe no axis, each mistake in one line.

    Raises
    ------
    FairleadError
    """
    if frequency.scale == "free":
        raise FairleadError("a frequency axis is linear or logarithmic", "choose one of the two")
    if any(not point.value > 0 for point in frequency.points):
        raise FairleadError("a frequency is zero or negative", "correct it")
    _check_points(frequency.points, "frequency", 2)
    what = KIND_WORDS[values.kind]
    least = _LEAST.get(values.kind, -math.inf)
    if any(point.value < least for point in values.points):
        raise FairleadError(f"{what} below {least:g} does not exist", "correct the value")
    if values.scale == "log" and any(not point.value > 0 for point in values.points):
        raise FairleadError(
            f"a logarithmic axis has no {what} of zero or less", "choose another scale"
        )
    _check_points(values.points, what, 3 if values.scale == "free" else 2)


def _check_points(points: Sequence[AxisPoint], what: str, fewest: int) -> None:
    if len(points) > MOST_POINTS:
        raise FairleadError(f"more than {MOST_POINTS} points on one axis", "a dozen is plenty")
    numbers = [number for one in points for number in (one.x, one.y, one.value, one.sigma_px)]
    if not all(math.isfinite(number) for number in numbers):
        raise FairleadError(f"a point of known {what} is not a finite number", "click it again")
    if any(not 0 < point.sigma_px <= 100 for point in points):
        raise FairleadError(
            f"the uncertainty of a point of known {what} is not above 0", "0.7 pixel is usual"
        )
    if len({point.value for point in points}) < fewest:
        raise FairleadError(
            f"{len(points)} points of known {what} are too few"
            if len(points) < fewest
            else f"the points of known {what} repeat each other's values",
            f"click at least {fewest} places of different {what}",
        )
    for index, one in enumerate(points):
        for other in points[:index]:
            is_same = math.hypot(one.x - other.x, one.y - other.y) < _SAME_PLACE_PX
            if is_same and one.value != other.value:
                raise FairleadError(
                    f"two points of different {what} are at one place", "move or remove one"
                )
