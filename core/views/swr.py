"""SWR over frequency."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.reflection import swr
from fairlead.core.units import format_swr
from fairlead.core.views.points import known_magnitude
from fairlead.core.views.quantity import Limit, Quantity
from fairlead.core.views.scale import SwrScale

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.views.points import Points


def _values(points: Points) -> FloatArray:
    return swr(known_magnitude(points))


def _limit_text(ratio: float) -> str:
    return f"{ratio:.2f}".removesuffix("0")


SWR = Quantity(
    id="swr",
    title="SWR",
    menu="&SWR",
    unit="",
    hint="Standing wave ratio: 1 at a perfect match, infinite where everything comes back",
    needs_phase=False,
    values=_values,
    of_magnitude=swr,
    scale=SwrScale(),
    text=lambda value: f"SWR {format_swr(value)}",
    specimen="SWR 00.00",
    limit=Limit(value=lambda ratio: ratio, swr=lambda value: value, text=_limit_text),
    above_one="no SWR there",
    exists_above_one=False,
    keys=("Ctrl+1",),
)
