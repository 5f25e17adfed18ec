"""The feed line between the analyzer and the antenna, removed or added.

Removing a line divides by its loss: the analyzer's own error grows with it, by 10^(A/10)
for a one-way loss of A dB, and so does a mistake in the loss itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import numpy as np

from fairlead.core.feed_line import FeedLine, LineError, checked_length_m, seen_through
from fairlead.core.sweep import Sweep
from fairlead.core.transform.step import Plane, Step, StepError

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.sweep import AnySweep


@dataclass(frozen=True, slots=True)
class _LineStep(Step):
    """Common to both directions: the line with its length and its tolerances, as plain numbers.

    Attributes
    ----------
    name : str
    length_m : float
        0 to 10,000.
    z0_ohm, velocity_factor, k1_db, k2_db : float
        As in `FeedLine`; the loss law in dB for 100 m with f in MHz.
    z0_tolerance_ohm, loss_tolerance_percent, length_tolerance_percent : float
        Uncertainty of each; the last one covers length and velocity factor together.

    Raises
    ------
    StepError
        If a number is out of range.
    """

    name: str = ""
    length_m: float = 0.0
    z0_ohm: float = 50.0
    velocity_factor: float = 0.66
    k1_db: float = 0.0
    k2_db: float = 0.0
    z0_tolerance_ohm: float = 0.0
    loss_tolerance_percent: float = 0.0
    length_tolerance_percent: float = 0.0

    def __post_init__(self) -> None:
        try:
            checked_length_m(self.length_m)
            _ = self.line
        except LineError as error:
            raise StepError(error.reason, error.advice) from None

    @property
    def line(self) -> FeedLine:
        """The line without its length."""
        return FeedLine(
            self.name,
            self.z0_ohm,
            self.velocity_factor,
            self.k1_db,
            self.k2_db,
            self.z0_tolerance_ohm,
            self.loss_tolerance_percent,
            self.length_tolerance_percent / 100 * self.velocity_factor,
        )

    @property
    def words(self) -> str:
        """The line in a few words: "12 m RG-58"."""
        return f"{self.length_m:.4g} m {self.name}".rstrip()

    def added_error(self, sweep: AnySweep) -> FloatArray:
        """The most that the line's own tolerances can move |reflection|, shape (n,).

        ``sweep`` is the result of the step. The three parts are added because they are bounds and
        can all act in the same direction.
        """
        frequency_hz = sweep.frequency_hz
        rho: FloatArray = np.minimum(sweep.magnitude, 1.0)
        loss_db = self.line.loss_db(frequency_hz, self.length_m)
        loss: FloatArray = rho * np.expm1(
            loss_db * self.loss_tolerance_percent / 100 * np.log(10) / 10
        )
        if not isinstance(sweep, Sweep):
            return loss
        beta = self.line.constants(frequency_hz)[0].imag
        turn = 2 * beta * self.length_m * self.length_tolerance_percent / 100
        # Both ends of the line reflect (z - z0) / (2 z0) of what arrives.
        ends = self.z0_tolerance_ohm / (2 * self.z0_ohm) * (1 + rho**2)
        result: FloatArray = loss + rho * np.minimum(turn, 2.0) + ends
        return result

    def _through(self, sweep: AnySweep, sign: float) -> AnySweep:
        if isinstance(sweep, Sweep):
            reflection = seen_through(
                self.line, sign * self.length_m, sweep.frequency_hz, sweep.reflection, sweep.z0_ohm
            )
            return Sweep(sweep.frequency_hz, reflection, sweep.z0_ohm)
        # Without phase only the loss is known, and only if the line has the meter's impedance.
        if abs(self.z0_ohm - sweep.z0_ohm) > max(self.z0_tolerance_ohm, 0.01 * sweep.z0_ohm):
            raise StepError(
                f"a line of {self.z0_ohm:.4g} ohm cannot be removed from or added to a sweep "
                f"without phase at {sweep.z0_ohm:.4g} ohm",
                "use a sweep with phase",
            )
        loss_db = self.line.loss_db(sweep.frequency_hz, self.length_m)
        magnitude = sweep.magnitude * 10 ** (-sign * loss_db / 10)
        return sweep.with_values(magnitude=magnitude)


@dataclass(frozen=True, slots=True)
class LineRemoved(_LineStep):
    """Measured at the radio's end, shown at the antenna's."""

    kind: ClassVar[str] = "line-taken-away"
    leads_to: ClassVar[Plane | None] = "feed"

    @property
    def caption(self) -> str:
        """Such as "12 m RG-58 removed"."""
        return f"{self.words} removed"

    def applied(self, sweep: AnySweep) -> AnySweep:
        """The sweep at the antenna's end of the line.

        For a scalar sweep only the loss is removed: |G| grows by 10^(A/10).

        Raises
        ------
        StepError
            If a sweep without phase was taken at another impedance than the line's.
        SweepError
            If a reflection becomes impossibly large: far too much loss was removed.
        """
        return self._through(sweep, -1.0)

    def error_gain(self, sweep: AnySweep) -> FloatArray:
        """Factor on the analyzer's own error, shape (n,): 10^(A/10)."""
        loss_db = self.line.loss_db(sweep.frequency_hz, self.length_m)
        gain: FloatArray = 10 ** (loss_db / 10)
        return gain


@dataclass(frozen=True, slots=True)
class LineAdded(_LineStep):
    """Measured at the antenna, shown through a line as the radio sees it."""

    kind: ClassVar[str] = "line-put-in"
    leads_to: ClassVar[Plane | None] = "radio"

    @property
    def caption(self) -> str:
        """Such as "through 12 m RG-58"."""
        return f"through {self.words}"

    def applied(self, sweep: AnySweep) -> AnySweep:
        """The sweep at the radio's end of the line; for a scalar one only the loss is added.

        Raises
        ------
        StepError
            If a sweep without phase was taken at another impedance than the line's.
        """
        return self._through(sweep, 1.0)

    def error_gain(self, sweep: AnySweep) -> FloatArray:
        """Factor on the analyzer's own error, shape (n,): 10^(-A/10)."""
        loss_db = self.line.loss_db(sweep.frequency_hz, self.length_m)
        gain: FloatArray = 10 ** (-loss_db / 10)
        return gain
