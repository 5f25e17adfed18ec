"""The parts of a change, each with what is not known of it."""

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
        Half width of the 95 % interval from noise, with what the points leave open of the model.
    model_half : float
        How far the model itself may be off.
    intervals : Intervals
        ``repeatability`` holds both by the root of squares; ``accuracy`` the analyzer's bound
        as well, where its errors are known.
    """

    value: float
    noise_half: float
    model_half: float
    intervals: Intervals

    @property
    def half(self) -> float:
        """Half width of the widest statement."""
        known = self.intervals.widest
        return 0.0 if known is None else known.half_width

    @property
    def is_resolved(self) -> bool:
        """Whether it differs from none by more than what is not known."""
        return abs(self.value) > self.half


@dataclass(frozen=True, slots=True)
class Parts:
    """A change taken apart; the reference is the first, and all changes are other less reference.

    Attributes
    ----------
    tuning_hz : Part
        By how much the resonance itself is higher, whatever match and damping did.
    match_ohm : Part or None
        Change of the resistance level that the resonance shows at the reference plane, never the
        antenna's own resistance. None if a series and a parallel circuit cannot be told apart.
    damping_q : Part
        Change of the unloaded Q, the line's loss apart.
    match_db : Part
        The levels' ratio in dB, 20 log10; its sign is that of ``match_ohm`` for a series circuit.
    damping_db : Part
        10 log10 of the ratio of the Q: negative for more damping.
    resonance_hz, q : float
        Of the reference.
    level_ohm : float or None
    left_over : float
        Standard deviation of each component of what is left of the reflection at a point.
    why_not_match : str
        Why ``match_ohm`` is None.
    """

    tuning_hz: Part
    match_ohm: Part | None
    damping_q: Part
    match_db: Part
    damping_db: Part
    resonance_hz: float
    q: float
    level_ohm: float | None
    left_over: float
    why_not_match: str = ""
