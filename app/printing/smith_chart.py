"""The reflection plane on paper: where its centre is and how large its rim."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.shapes import CircleArc

if TYPE_CHECKING:
    from fairlead.app.printing.shapes import Pen
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.smith import Arc


@dataclass(frozen=True, slots=True)
class Chart:
    """Centre and radius in mm."""

    x: float
    y: float
    radius_mm: float

    def places(self, gamma: ComplexArray) -> FloatArray:
        """Places of many reflection coefficients, shape (n, 2)."""
        return np.column_stack(
            (self.x + self.radius_mm * gamma.real, self.y - self.radius_mm * gamma.imag)
        )

    def arc(self, arc: Arc, pen: Pen) -> CircleArc:
        """An arc of the reflection plane on paper."""
        return CircleArc(
            self.x + self.radius_mm * arc.center.real,
            self.y - self.radius_mm * arc.center.imag,
            self.radius_mm * arc.radius,
            arc.start_deg,
            arc.span_deg,
            pen,
        )
