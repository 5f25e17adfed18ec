"""Reactance over frequency; it is zero at resonance."""

from __future__ import annotations

from fairlead.core.views.impedance import impedances, ohms
from fairlead.core.views.quantity import Quantity
from fairlead.core.views.scale import Linear

REACTANCE = Quantity(
    id="reactance",
    title="Reactance X",
    menu="Reactance &X",
    unit="Ω",
    hint="Imaginary part of the impedance: inductive above zero, capacitive below",
    needs_phase=True,
    values=lambda points: impedances(points).imag,
    scale=Linear(least=(-1, 1), most=(-10, 10), in_z0=True),
    text=lambda value: f"X {ohms(value, is_signed=True)} Ω",
    specimen="X −00000 Ω",
    keys=("Ctrl+4",),
)
