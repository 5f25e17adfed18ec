"""Change of the SWR over frequency."""

from __future__ import annotations

from fairlead.core.units import format_signed
from fairlead.core.views.change import change_of
from fairlead.core.views.scale import Linear
from fairlead.core.views.swr import SWR

SWR_CHANGE = change_of(
    SWR,
    menu="&Change of SWR",
    hint="SWR less that of the reference: above zero it is worse",
    scale=Linear(least=(-0.5, 0.5), most=(-5, 5)),
    text=lambda value: f"SWR change {format_signed(value, 2)}",
    specimen="SWR change −00.00",
    keys=("Ctrl+7",),
)
