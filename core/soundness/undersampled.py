"""Points too far apart to know what lies between them. Both criteria are needed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.facts import MATCHED_HALF_WIDTH
from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import rounded_up, shown_mhz, shown_span

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.soundness.facts import Facts
    from fairlead.core.soundness.finding import Severity

ABOUT = About(
    code="points-too-far-apart",
    title="Points too far apart",
    reason=(
        "Nothing was measured between two points. A dip seen by only two points may be far deeper "
        "and elsewhere, and a long line turns the reflection so far from point to point that any "
        "way between them is a guess: best match, width and Q would be made up."
    ),
    threshold=(
        "fewer than 4 points for each 2:1 width of a dip (11 for each half-absorption width, "
        "which also dips that are not matched have), or a turn of more than 45 degrees (1/8 of "
        "a full turn) per step over a fifth of the sweep, or of more than 90 degrees at one step; "
        "where only the interpolation's own error is too large (0.008 of |G|) a note, and suspect "
        "over half of the sweep"
    ),
    source="common practice, no source; half a turn per step is the limit by the sampling theorem",
    advice="Narrow the span to the band with a margin, or take the number of points stated.",
)
_POINTS_A_WIDTH = 4.0
_TURN_RAD = math.pi / 4
_LEAST_SHARE = 0.2
_HIDING_TURN_RAD = math.pi / 2
# The angle of a small reflection says nothing.
_LEAST_MAGNITUDE = 0.05
_SIGMAS = 10.0
# Near a match it may turn by half a circle without hiding anything.
_LEAST_FOR_ONE = 0.3
# With so few points a turn looks the same as a jump.
_FEWEST_INTERVALS = 2
_MOST_MISSING = 0.5


def find(facts: Facts) -> list[Finding]:
    """One for a curve that turns too fast, and one for each dip with too few points."""
    if facts.analysis.typed is not None and not facts.analysis.gaps:
        # Few points on purpose, and one resonance explains them all.
        return []
    points, found = facts.rho.size, []
    if facts.reflection is not None and points > _FEWEST_INTERVALS:
        found += _turning(facts, facts.reflection)
    for dip in sorted(facts.dips, key=lambda one: one.steps):
        a_width = dip.steps / MATCHED_HALF_WIDTH
        if a_width < _POINTS_A_WIDTH:
            need = _need(facts, (points - 1) * _POINTS_A_WIDTH / max(a_width, 0.1))
            text = (
                f"about {a_width:.2g} points for each 2:1 width of the dip at "
                f"{shown_mhz(float(facts.frequency_hz[dip.index]))}, where 4 are needed: take at "
                f"least {need} points over this span, or narrow it"
            )
            found.append(ABOUT.found(text, dip.low_hz, dip.high_hz))
    return found or _gaps(facts)


def _need(facts: Facts, steps: float) -> int:
    """Points for a number of steps, but no fewer than the figures need."""
    return rounded_up(max(math.ceil(steps) + 1, facts.analysis.points_wanted or 0))


def _gaps(facts: Facts) -> list[Finding]:
    """Where points are too far apart for figures although neither criterion reports it."""
    gaps = facts.analysis.gaps
    if not gaps:
        return []
    low_hz, high_hz = gaps[0][0], gaps[-1][1]
    text = (
        f"points too far apart for figures {'between' if len(gaps) == 1 else 'in places between'} "
        f"{shown_mhz(low_hz)} and {shown_mhz(high_hz)}: take at least "
        f"{facts.analysis.points_wanted} points over this span, or narrow it"
    )
    # Where figures of most of the sweep are missing, a note would be too mild, except for readings
    # typed from a meter.
    is_missing = facts.analysis.track.is_straight
    is_typed = facts.analysis.typed is not None or is_missing.size <= _FEWEST_INTERVALS
    is_most = np.count_nonzero(is_missing) >= _MOST_MISSING * is_missing.size
    severity: Severity = "suspect" if is_most and not is_typed else "note"
    return [ABOUT.found(text, low_hz, high_hz, severity=severity)]


def _turning(facts: Facts, reflection: ComplexArray) -> list[Finding]:
    turn = np.angle(reflection[1:] * reflection[:-1].conj())
    lesser = np.minimum(facts.rho[1:], facts.rho[:-1])
    turn[lesser < max(_LEAST_MAGNITUDE, _SIGMAS * facts.noise)] = 0
    too_fast = np.flatnonzero(np.abs(turn) > _TURN_RAD)
    hz = facts.frequency_hz
    if too_fast.size >= max(2, _LEAST_SHARE * turn.size):
        # Nearly the fastest, because one stray point must not decide the number.
        typical = float(np.sort(np.abs(turn))[int(0.9 * (turn.size - 1))])
        need = _need(facts, turn.size * typical / _TURN_RAD)
        text = (
            f"the reflection turns by about {math.degrees(typical):.0f}° from point to point, "
            f"where at most 45° can be followed: take at least {need} points over this span, or "
            "narrow it"
        )
        return [ABOUT.found(text, float(hz[too_fast[0]]), float(hz[too_fast[-1] + 1]))]
    turn[lesser < _LEAST_FOR_ONE] = 0
    return _hiding(hz, turn)


def _hiding(frequency_hz: FloatArray, turn: FloatArray) -> list[Finding]:
    """A turn so large that it may hide a dip; a point off the curve turns there and back."""
    around = turn.copy()
    around[1:] += turn[:-1]
    around[:-1] += turn[1:]
    wide = np.flatnonzero((np.abs(turn) > _HIDING_TURN_RAD) & (np.abs(around) > _HIDING_TURN_RAD))
    if not wide.size:
        return []
    first = int(wide[0])
    low_hz, high_hz = float(frequency_hz[first]), float(frequency_hz[first + 1])
    text = (
        f"the reflection turns by {math.degrees(abs(float(turn[first]))):.0f}° between two "
        f"neighbours, {shown_span(low_hz, high_hz)}: a dip may hide there, narrow the span"
    )
    return [ABOUT.found(text, low_hz, high_hz)]
