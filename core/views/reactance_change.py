"""Change of the reactance over frequency."""

from __future__ import annotations

from fairlead.core.units import format_signed
from fairlead.core.views.change import change_of
from fairlead.core.views.reactance import REACTANCE
from fairlead.core.views.scale import Linear

REACTANCE_CHANGE = change_of(
    REACTANCE,
    menu="Cha&nge of reactance X",
    hint="Reactance less that of the reference, in ohms",
    scale=Linear(least=(-0.2, 0.2), most=(-5, 5), in_z0=True),
    text=lambda value: f"X change {format_signed(value, 1)} Ω",
    specimen="X change −0000.0 Ω",
)
