"""Change of the resistance over frequency."""

from __future__ import annotations

from fairlead.core.units import format_signed
from fairlead.core.views.change import change_of
from fairlead.core.views.resistance import RESISTANCE
from fairlead.core.views.scale import Linear

RESISTANCE_CHANGE = change_of(
    RESISTANCE,
    menu="C&hange of resistance R",
    hint="Resistance less that of the reference, in ohms",
    scale=Linear(least=(-0.2, 0.2), most=(-5, 5), in_z0=True),
    text=lambda value: f"R change {format_signed(value, 1)} Ω",
    specimen="R change −0000.0 Ω",
)
