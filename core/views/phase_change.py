"""Change of the phase over frequency, the shorter way round."""

from __future__ import annotations

from fairlead.core.units import format_signed
from fairlead.core.views.change import change_of
from fairlead.core.views.phase import PHASE
from fairlead.core.views.scale import Linear

PHASE_CHANGE = change_of(
    PHASE,
    menu="Change of phas&e",
    hint="Phase of reflection less that of the reference, in degrees",
    scale=Linear(
        least=(-10, 10),
        most=(-180, 180),
        steps=(0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 45, 90, 180),
        widest=360,
    ),
    text=lambda value: f"Phase change {format_signed(value, 1)}°",
    specimen="Phase change −000.0°",
)
