"""Reactance over frequency; it is zero at resonance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.views.impedance import impedance_discs, impedances, ohms
from fairlead.core.views.quantity import Quantity
from fairlead.core.views.scale import Linear

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray


def _of_disc(
    reflection: ComplexArray, radius: FloatArray, z0_ohm: float
) -> tuple[FloatArray, FloatArray]:
    centre_ohm, radius_ohm = impedance_discs(reflection, radius, z0_ohm)
    return centre_ohm.imag - radius_ohm, centre_ohm.imag + radius_ohm


REACTANCE = Quantity(
    id="reactance",
    title="Reactance X",
    menu="Reactance &X",
    unit="Ω",
    hint="Imaginary part of the impedance: inductive above zero, capacitive below",
    needs_phase=True,
    values=lambda points: impedances(points).imag,
    of_disc=_of_disc,
    scale=Linear(least=(-1, 1), most=(-10, 10), in_z0=True),
    text=lambda value: f"X {ohms(value, is_signed=True)} Ω",
    specimen="X −00000 Ω",
    keys=("Ctrl+4",),
)
