"""Return loss over frequency, 0 dB at the top: the lower, the better, as with the SWR."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.reflection import magnitude_from_return_loss, magnitude_from_swr, return_loss_db
from fairlead.core.reflection import swr as swr_of
from fairlead.core.units import format_number
from fairlead.core.views.points import known_magnitude
from fairlead.core.views.quantity import Limit, Quantity
from fairlead.core.views.scale import Linear

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.views.points import Points


def _values(points: Points) -> FloatArray:
    return return_loss_db(known_magnitude(points))


def _from_swr(ratio: float) -> float:
    return float(return_loss_db(magnitude_from_swr(ratio)))


def _to_swr(loss_db: float) -> float:
    # Nothing above 0 dB is a limit: total reflection.
    return float(swr_of(magnitude_from_return_loss(max(loss_db, 0.0))))


RETURN_LOSS = Quantity(
    id="return-loss",
    title="Return loss",
    menu="Return &loss",
    unit="dB",
    hint="How much weaker the reflected wave is than the sent one, in decibels: large is good",
    needs_phase=False,
    values=_values,
    of_magnitude=return_loss_db,
    is_falling=True,
    scale=Linear(least=(0, 20), most=(-6, 60), is_downward=True, anchor=0.0, widest=200),
    text=lambda value: f"Return loss {format_number(value, 1)} dB",
    specimen="Return loss −00.0 dB",
    limit=Limit(_from_swr, _to_swr, lambda value: f"{format_number(value, 1)} dB"),
    above_one="return loss below 0 dB there",
    keys=("Ctrl+2",),
)
