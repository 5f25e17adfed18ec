"""Magnitude of the impedance over frequency."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.views.impedance import impedances, ohms
from fairlead.core.views.quantity import Quantity
from fairlead.core.views.scale import Linear

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.views.points import Points


def _values(points: Points) -> FloatArray:
    result: FloatArray = np.abs(impedances(points))
    return result


IMPEDANCE_SIZE = Quantity(
    id="impedance",
    title="Impedance |Z|",
    menu="Impedance |&Z|",
    unit="Ω",
    hint="Magnitude of the impedance, resistance and reactance together",
    needs_phase=True,
    values=_values,
    scale=Linear(least=(0, 2), most=(0, 10), in_z0=True, anchor=0.0),
    text=lambda value: f"|Z| {ohms(value)} Ω",
    specimen="|Z| 00000 Ω",
    keys=("Ctrl+6",),
)
