"""The Smith chart: which sweeps it shows, how far it extends, and its text for a point.

Its numbers are ohms, in the window and in the printed picture, because people compare them with a
meter and a data sheet. The centre is the reference impedance.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import impedance_ohm
from fairlead.core.units import format_number

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.smith import Kind

TITLE = "Smith chart"


def has_position(analysis: Analysis) -> bool:
    """Whether a sweep has a place on the chart: its phase was measured."""
    return analysis.reflection is not None


def extent(largest: float, most: float) -> float:
    """How far from its centre the chart has to reach, as |G|: from 1 to ``most``.

    Noise of a few per cent above 1 does not shrink it.
    """
    return 1.0 if largest <= NO_EXTENT else min(largest, most)


NO_EXTENT = 1.02


def point_text(analysis: Analysis, index: int) -> str:
    """Impedance of a measured point, "45.2 − j12.0 Ω"; empty without phase."""
    if analysis.reflection is None:
        return ""
    z_ohm = complex(impedance_ohm(analysis.reflection[index], analysis.z0_ohm))
    sign = "−" if z_ohm.imag < 0 else "+"
    size = float(np.abs(z_ohm.imag))
    return f"{format_number(z_ohm.real, 1)} {sign} j{format_number(size, 1)} Ω"


def ohm_text(kind: Kind, ohm: float) -> str:
    """A number on the chart: "25" or "+j25"."""
    size = f"{abs(ohm):.4g}"
    if kind == "resistance":
        return size
    return f"{'−' if ohm < 0 else '+'}j{size}"


def centre_text(z0_ohm: float) -> str:
    """The unit of the numbers and the impedance at the centre."""
    return f"Numbers in Ω, centre {z0_ohm:g} Ω"
