"""From what is to be resolved to span, points, repeats and calibration.

Formulas, for an antenna that is a single resonance matched to the reference impedance:

- width at an SWR of s: (f/Q) (s - 1)/sqrt(s) (Yaghjian and Best, IEEE Trans. Antennas Propag.
  53(4), 2005; from memory);
- near the match G = jQ df/f, so an error e of the reflection moves the best match by |e| f/Q;
- l metres of line turn the reflection by 2 l/(v c) turns a hertz.

Four points a 2:1 width, an eighth of a turn a step, the margin on both sides of the band, and the
half of a shift as the most that its half width may be, are common practice and have no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import SPEED_OF_LIGHT_M_S
from fairlead.core.reflection import magnitude_from_swr
from fairlead.core.uncertainty.error_model import PRESETS
from fairlead.core.uncertainty.quantiles import NORMAL_95, t_quantile

if TYPE_CHECKING:
    from fairlead.core.bands import Band
    from fairlead.core.document.session import Plan

Clock = Literal["width", "turn", "noise"]

LEAST_POINTS = 65
"""Noise can be told from the curve with a little less, and each point makes the fit better."""
POINTS_A_WIDTH = 4.0
TURN_A_STEP = 1 / 8
SHARE_OF_SHIFT = 0.5
SWR_STEP = 0.1
Q_CHANGE = 0.2
"""A change of Q that rain or a hand may bring; with the calibration kept, so much of its error is
left."""
MOST_REPEATS = 20
_MATCHED_AT = 2.0


@dataclass(frozen=True, slots=True)
class Needs:
    """What the plan asks for.

    Attributes
    ----------
    low_hz, high_hz : float
        Span to sweep.
    width_hz : float
        Expected 2:1 width.
    step_hz : float
        Widest distance of two points.
    points : int
    clock : {"width", "turn", "noise"}
        What asks for the most points: the width of the dip, the turn by the line, or
        `LEAST_POINTS`, without which the noise of a sweep cannot be told.
    best_match_sd_hz : float or None
        Standard deviation of one best match by noise; None if the noise is not known.
    repeats : int or None
        Of each condition; None if the scatter is not known, or `MOST_REPEATS` are not enough.
    why_no_repeats : str
    kept_db, anew_db : float or None
        Directivity for the shift, with one calibration kept for all sweeps, or with a new one for
        each; at the analyzer, so with the line's loss in it. None without a shift.
    cover_db : float or None
        Directivity that tells the SWR to within `SWR_STEP`; None if that is not asked.
    """

    low_hz: float
    high_hz: float
    width_hz: float
    step_hz: float
    points: int
    clock: Clock
    best_match_sd_hz: float | None
    repeats: int | None
    why_no_repeats: str
    kept_db: float | None
    anew_db: float | None
    cover_db: float | None

    @property
    def least_db(self) -> float | None:
        """The directivity without which the plan cannot succeed."""
        known = [one for one in (self.kept_db, self.cover_db) if one is not None]
        return max(known) if known else None


def needs(plan: Plan, band: Band) -> Needs:
    """What a plan asks for in a band.

    Raises
    ------
    FairleadError
        If nothing is to be resolved, or the Q is not known.
    """
    if plan.shift_hz is None and plan.cover_swr is None:
        raise FairleadError(
            "nothing to find out was stated", "give a shift, or an SWR at which to cover the band"
        )
    if plan.q is None:
        raise FairleadError(
            "how sharp the antenna is was not stated", "give its Q, or a sweep of a similar one"
        )
    f_hz = (band.low_hz + band.high_hz) / 2
    width_hz = f_hz / plan.q * (_MATCHED_AT - 1) / math.sqrt(_MATCHED_AT)
    margin_hz = width_hz + (plan.shift_hz or 0.0)
    low_hz = max(band.low_hz - margin_hz, band.low_hz / 2)
    high_hz = band.high_hz + margin_hz
    step_hz = width_hz / POINTS_A_WIDTH
    clock: Clock = "width"
    if plan.line_m is not None:
        velocity_m_s = (plan.velocity_factor or 1.0) * SPEED_OF_LIGHT_M_S
        by_turn_hz = TURN_A_STEP * velocity_m_s / (2 * plan.line_m)
        if by_turn_hz < step_hz:
            step_hz, clock = by_turn_hz, "turn"
    points = math.ceil((high_hz - low_hz) / step_hz) + 1
    if points < LEAST_POINTS:
        points, clock = LEAST_POINTS, "noise"
    step_hz = (high_hz - low_hz) / (points - 1)
    sd_hz = None
    if plan.noise is not None:
        in_width = math.floor(width_hz / step_hz) + 1
        sd_hz = plan.noise * f_hz / plan.q / math.sqrt(in_width)
    repeats, why_not = _repeats(plan, sd_hz)
    kept_db, anew_db = _for_shift(plan, f_hz)
    return Needs(
        low_hz=low_hz,
        high_hz=high_hz,
        width_hz=width_hz,
        step_hz=step_hz,
        points=points,
        clock=clock,
        best_match_sd_hz=sd_hz,
        repeats=repeats,
        why_no_repeats=why_not,
        kept_db=kept_db,
        anew_db=anew_db,
        cover_db=_for_cover(plan),
    )


def _part_hz(shift_hz: float) -> float:
    """Half width that scatter, and the analyzer's error, may each have."""
    return SHARE_OF_SHIFT * shift_hz / math.sqrt(2)


def _repeats(plan: Plan, sd_hz: float | None) -> tuple[int | None, str]:
    """Fewest of each condition, so that the difference of two means is known well enough."""
    if plan.shift_hz is None:
        return 1, ""
    if sd_hz is None and plan.repeatability_hz is None:
        return None, "neither the noise nor the scatter of repeats is known"
    scatter_hz = math.hypot(sd_hz or 0.0, plan.repeatability_hz or 0.0)
    wanted_hz = _part_hz(plan.shift_hz)
    is_seen = plan.repeatability_hz is not None
    for n in range(2 if is_seen else 1, MOST_REPEATS + 1):
        factor = t_quantile(2 * n - 2) if is_seen else NORMAL_95
        if factor * scatter_hz * math.sqrt(2 / n) <= wanted_hz:
            return n, ""
    return None, f"{MOST_REPEATS} repeats would not be enough: the scatter is too large"


def _for_shift(plan: Plan, f_hz: float) -> tuple[float | None, float | None]:
    if plan.shift_hz is None or plan.q is None:
        return None, None
    reflection = _part_hz(plan.shift_hz) * plan.q / f_hz
    return _directivity_db(reflection / Q_CHANGE, plan), _directivity_db(reflection / 2, plan)


def _for_cover(plan: Plan) -> float | None:
    if plan.cover_swr is None:
        return None
    low, high = magnitude_from_swr([plan.cover_swr, plan.cover_swr + SWR_STEP]).tolist()
    return _directivity_db(high - low, plan)


def _directivity_db(reflection: float, plan: Plan) -> float:
    """The analyzer's, for an error at the antenna: a line of A dB multiplies it by 10^(A/10)."""
    return max(0.0, -20 * math.log10(reflection) + 2 * (plan.line_loss_db or 0.0))


def good_enough(least_db: float) -> tuple[str, ...]:
    """Keys of the presets that have so much directivity."""
    return tuple(
        preset.key
        for preset in PRESETS
        if preset.model.directivity_db is not None and preset.model.directivity_db >= least_db
    )
