"""A transformer at the feed point: the antenna's impedance, divided by a ratio."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import numpy as np

from fairlead.core.sweep import Sweep
from fairlead.core.transform.step import Step, StepError

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.sweep import AnySweep

_MOST_RATIO = 1000.0
_MOST_LOSS_DB = 20.0


@dataclass(frozen=True, slots=True)
class TransformerRemoved(Step):
    """Measured on the radio's side of a transformer, shown on the antenna's side.

    An ideal transformer of n : 1 keeps the reflection coefficient and multiplies the reference
    impedance by n (Pozar, Microwave Engineering, 2nd ed., section 2.5: from impedances alone).
    Loss is taken as that of a matched attenuator: two ways, so |G| grows by 10^(A/10).

    Attributes
    ----------
    ratio : float
        Of impedances, 0.001 to 1000: 49 for 49:1.
    loss_db : float
        One way, matched, 0 to 20.

    Raises
    ------
    StepError
        Outside these ranges.
    """

    kind: ClassVar[str] = "transformer-taken-away"

    ratio: float = 1.0
    loss_db: float = 0.0

    def __post_init__(self) -> None:
        if not 1 / _MOST_RATIO <= self.ratio <= _MOST_RATIO:
            raise StepError(
                f"a transformer of {self.ratio:g}:1 does not exist", "4, 9 and 49 are usual"
            )
        if not 0 <= self.loss_db <= _MOST_LOSS_DB:
            raise StepError(
                f"a transformer's loss of {self.loss_db:g} dB does not exist",
                f"give 0 to {_MOST_LOSS_DB:g} dB",
            )

    @property
    def caption(self) -> str:
        """Such as "49:1 transformer removed (0.5 dB)"."""
        loss = f" ({self.loss_db:.3g} dB)" if self.loss_db else ""
        return f"{self.ratio:.4g}:1 transformer removed{loss}"

    def applied(self, sweep: AnySweep) -> AnySweep:
        """The sweep at ``ratio`` times its reference impedance.

        Raises
        ------
        SweepError
            If a reflection becomes impossibly large.
        """
        gain = 10 ** (self.loss_db / 10)
        z0_ohm = sweep.z0_ohm * self.ratio
        if isinstance(sweep, Sweep):
            return Sweep(sweep.frequency_hz, sweep.reflection * gain, z0_ohm)
        return sweep.with_values(magnitude=sweep.magnitude * gain, z0_ohm=z0_ohm)

    def error_gain(self, sweep: AnySweep) -> FloatArray:
        """Factor on the analyzer's own error, shape (n,)."""
        return np.full(len(sweep), math.pow(10, self.loss_db / 10))
