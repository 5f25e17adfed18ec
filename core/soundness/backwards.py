"""A reflection that turns counterclockwise."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.smoothed import smoothed

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="turns-backwards",
    title="Turns the wrong way",
    reason=(
        "With rising frequency the reflection of anything passive turns clockwise on the Smith "
        "chart. Here it turns the other way: the sign of the phase or of the reactance is "
        "reversed, or more line was removed than there is. The SWR is right; inductive and "
        "capacitive are swapped, and any matching worked out from them would go the wrong way."
    ),
    threshold=(
        "the curve bends by 90 degrees or more counterclockwise, and five times as far as "
        "clockwise (curvature by the sign of Im(G'* G'') in steps of 0.06 along the curve, or "
        "fifteen times the noise, at least five of them)"
    ),
    source=(
        "Foster's reactance theorem (1924) for lossless circuits; with loss common practice, no "
        "source"
    ),
    advice=(
        "Check the sign convention of the program that wrote the file, and the port extension or "
        "the line removed; a short piece of open cable must turn clockwise."
    ),
)
_LEAST_BEND_RAD = math.pi / 2
_TIMES = 5.0
# Steps along the curve, long against its noise.
_PACE = 0.06
_SIGMAS = 15.0
_FEWEST_BENDS = 4
_MOST_TYPICAL_RAD = math.pi / 4
_FEWEST_POINTS = 8


def find(facts: Facts) -> list[Finding]:
    """Silent where the curve is short, noisy or too fast for its points."""
    if facts.reflection is None or facts.rho.size < _FEWEST_POINTS:
        return []
    _, curve, noise = smoothed(facts, facts.reflection)
    chord = np.diff(_paced(curve, max(_PACE, _SIGMAS * noise)))
    bend = np.angle(chord[1:] * chord[:-1].conj())
    if bend.size < _FEWEST_BENDS:
        return []
    against, along = float(bend[bend > 0].sum()), -float(bend[bend < 0].sum())
    typical = float(np.sort(np.abs(bend))[bend.size // 2])
    if against < max(_LEAST_BEND_RAD, _TIMES * along) or typical > _MOST_TYPICAL_RAD:
        return []
    text = (
        f"the reflection curves {math.degrees(against):.0f}° counterclockwise and "
        f"{math.degrees(along):.0f}° clockwise: the sign of the phase is reversed, or too much "
        "line was removed"
    )
    return [ABOUT.found(text)]


def _paced(curve: ComplexArray, pace: float) -> ComplexArray:
    """Points of the curve, each at least so far from the one before."""
    kept = [complex(curve[0])]
    for point in curve.tolist():
        if abs(point - kept[-1]) >= pace:
            kept.append(point)
    return np.array(kept)
