"""The reflection of the same antenna at another reference impedance."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from fairlead.core.reflection import renormalise
from fairlead.core.sweep import Sweep
from fairlead.core.transform.step import Step, StepError

if TYPE_CHECKING:
    from fairlead.core.sweep import AnySweep


@dataclass(frozen=True, slots=True)
class Renormalise(Step):
    """The reflection coefficient is converted to another reference impedance; Z is unchanged.

    Attributes
    ----------
    z0_ohm : float
        Positive, finite.

    Raises
    ------
    StepError
        For any other impedance.
    """

    kind: ClassVar[str] = "renormalise"

    z0_ohm: float = 50.0

    def __post_init__(self) -> None:
        if not 0 < self.z0_ohm < math.inf:
            raise StepError(
                f"{self.z0_ohm:g} ohm is not a reference impedance",
                "give a positive number; 50 is usual",
            )

    @property
    def caption(self) -> str:
        """Such as "renormalised to 75 Ω"."""
        return f"renormalised to {self.z0_ohm:.6g} Ω"

    def applied(self, sweep: AnySweep) -> AnySweep:
        """The sweep at `z0_ohm` (`fairlead.core.reflection.renormalise`, with its source).

        Raises
        ------
        StepError
            For a scalar sweep, whose impedance is unknown.
        SweepError
            If a reflection becomes impossibly large: Z near -z0, from noise or an active load.
        """
        if not isinstance(sweep, Sweep):
            raise StepError(
                "a sweep without phase cannot be renormalised: its impedance is not known",
                "use a sweep with phase, or impedance",
            )
        reflection = renormalise(sweep.reflection, sweep.z0_ohm, self.z0_ohm)
        return Sweep(sweep.frequency_hz, reflection, self.z0_ohm)
