"""The added loss that a lower Q may indicate, if enough is known to report it at all.

Radiation efficiency falls with Q only if nothing but loss has changed: neither the radiation nor
the stored energy. The points alone do not show that; the same lossless dipole over ground at three
heights has three values of Q.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.amounts import with_half

if TYPE_CHECKING:
    from fairlead.core.comparison.parts.result import Parts
    from fairlead.core.comparison.rows import Planes

# Beyond this share of f0/Q it is not the same resonance whose Q is compared.
_SAME_RESONANCE = 0.5


@dataclass(frozen=True, slots=True)
class AddedLoss:
    """Added loss in dB and its words, or the reason why there is none.

    Attributes
    ----------
    loss_db : float or None
        Positive for more loss; None if it cannot be given.
    half_db : float or None
        Half width of its 95 % interval.
    text : str
    """

    loss_db: float | None
    half_db: float | None
    text: str


def added_loss(
    parts: Parts | str, planes: Planes, *, is_one_calibration: bool, is_radiation_unchanged: bool
) -> AddedLoss:
    """The loss added between two sweeps, if nothing but loss has changed.

    Parameters
    ----------
    parts : Parts or str
        A string, the reason, where the change could not be taken apart.
    planes : tuple of Plane or None
        Where the reference and the other sweep are seen.
    is_one_calibration : bool
        Both were taken with one calibration of one analyzer.
    is_radiation_unchanged : bool
        As stated by the user: same height, surroundings and shape.
    """
    why = _why_not(planes, is_one_calibration, is_radiation_unchanged)
    if why or isinstance(parts, str):
        return _nothing(why or str(parts))
    if abs(parts.tuning_hz.value) > _SAME_RESONANCE * parts.resonance_hz / parts.q:
        return _nothing("the resonance moved too far to be the same")
    if parts.damping_db is None:
        return _nothing(parts.why_not_damping)
    loss_db, half_db = -parts.damping_db.value, parts.damping_db.half
    if abs(loss_db) <= half_db:
        return AddedLoss(
            loss_db,
            half_db,
            f"added loss unresolved ({with_half(loss_db, half_db, signed=True)} dB)",
        )
    word = "added" if loss_db > 0 else "less"
    return AddedLoss(
        loss_db,
        half_db,
        f"if nothing but loss changed, {with_half(abs(loss_db), half_db)} dB of loss {word}",
    )


def _why_not(planes: Planes, is_one_calibration: bool, is_radiation_unchanged: bool) -> str:
    if planes != ("feed", "feed"):
        return "remove the feed line first: both must be seen at the feed point"
    if not is_one_calibration:
        return "both must be taken with one calibration, stated in Edit > Analyzer accuracy"
    return "" if is_radiation_unchanged else "only you can know that the radiation did not change"


def _nothing(reason: str) -> AddedLoss:
    return AddedLoss(None, None, f"no loss can be stated: {reason}")
