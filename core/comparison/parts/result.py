"""The parts of a change, each with its uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.uncertainty.interval import Intervals


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a change.

    Attributes
    ----------
    value : float
    noise_half : float
        Half width of the 95 % interval from noise, including undetermined model parameters.
    model_half : float
        Possible error of the model itself.
    intervals : Intervals
        ``repeatability`` combines both by the root of the sum of squares; ``accuracy`` includes the
        analyzer's bound as well, if its errors are known.
    """

    value: float
    noise_half: float
    model_half: float
    intervals: Intervals

    @property
    def half(self) -> float:
        """Half width of the widest interval."""
        known = self.intervals.widest
        return 0.0 if known is None else known.half_width

    @property
    def is_resolved(self) -> bool:
        """Whether it differs from zero by more than its half width."""
        return abs(self.value) > self.half


@dataclass(frozen=True, slots=True)
class Parts:
    """A change in parts, each the other sweep minus the reference.

    Attributes
    ----------
    tuning_hz : Part
        Rise of the resonance frequency itself, independent of match and damping: the shift of the
        frequency scale times the resonance as it is seen in the reference. A constant reactance at
        the feed moves that resonance and not the scale.
    match_ohm : Part or None
        Change of the resistance level of the resonance at the reference plane, which is not the
        antenna's own resistance. None if series and parallel circuit cannot be distinguished.
    damping_q : Part or None
        Change of the unloaded Q, without the line's loss.
    match_db : Part or None
        Ratio of the levels in dB, 20 log10; its sign is that of ``match_ohm`` for a series circuit.
    damping_db : Part or None
        10 log10 of the ratio of the Q: negative for more damping.
    resonance_hz, q : float
        Of the reference.
    width_hz : Part or None
        Change of the width between the points where |G|^2 / (1 - |G|^2) lies 1/8 above its least,
        which is SWR 2 for a perfect match; only where the phase was not measured.
    level_ohm : float or None
    left_over : float
        Standard deviation of each component of the residual at a point.
    why_not_match : str
        Why ``match_ohm`` is None.
    why_not_damping : str
        Why the damping is None.
    """

    tuning_hz: Part
    resonance_hz: float
    q: float
    left_over: float
    match_ohm: Part | None = None
    damping_q: Part | None = None
    match_db: Part | None = None
    damping_db: Part | None = None
    width_hz: Part | None = None
    level_ohm: float | None = None
    why_not_match: str = ""
    why_not_damping: str = ""
