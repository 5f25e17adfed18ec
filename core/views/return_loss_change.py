"""Change of the return loss over frequency; as there, larger values stand lower."""

from __future__ import annotations

from fairlead.core.units import format_signed
from fairlead.core.views.change import change_of
from fairlead.core.views.return_loss import RETURN_LOSS
from fairlead.core.views.scale import Linear

RETURN_LOSS_CHANGE = change_of(
    RETURN_LOSS,
    menu="Chan&ge of return loss",
    hint="Return loss less that of the reference, in decibels: below zero it is worse",
    scale=Linear(least=(-3, 3), most=(-20, 20), is_downward=True, widest=200),
    text=lambda value: f"Return loss change {format_signed(value, 1)} dB",
    specimen="Return loss change −00.0 dB",
)
