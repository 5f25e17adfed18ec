"""Resistance over frequency.

A view of its own and not a second curve beside the reactance: every sweep keeps one line, and
twenty sweeps can still be told apart.
"""

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
    return centre_ohm.real - radius_ohm, centre_ohm.real + radius_ohm


RESISTANCE = Quantity(
    id="resistance",
    title="Resistance R",
    menu="&Resistance R",
    unit="Ω",
    hint="Real part of the impedance: radiation and losses together",
    needs_phase=True,
    values=lambda points: impedances(points).real,
    of_disc=_of_disc,
    scale=Linear(least=(0, 2), most=(-2, 10), in_z0=True, anchor=0.0),
    text=lambda value: f"R {ohms(value)} Ω",
    specimen="R −00000 Ω",
    above_one="R below 0 there",
    keys=("Ctrl+3",),
)
