"""A reflection as small as that of a good termination, or as even as that of a fixed load."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.resonances import ANALYZER_ERROR
from fairlead.core.in_band.best_match import MATCHED
from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import shown_span, shown_swr

if TYPE_CHECKING:
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="flat-like-a-termination",
    title="Flat like a termination",
    reason=(
        "Hardly anything is reflected at any frequency, or the same everywhere. A termination does "
        "that, and so does an analyzer's port with its load still on, or much loss; an antenna "
        "seldom does, unless the span is narrow. Best match, resonance and Q mean nothing here."
    ),
    threshold=(
        "|G| at most 0.05 (SWR 1.11, return loss 26 dB) and four times the noise at every point, "
        "over a span of at least 10 % of the frequency; as a note over less: |G| at most 0.03, "
        "or at most 0.5 and changing by no more than 0.01 or six times the noise"
    ),
    source="common practice, no source; 26 dB is what a plain termination reaches",
    advice=(
        "Check what is connected; sweep a wider span; measure an open or a short at the same point "
        "to compare."
    ),
    doubt="a termination would show the same",
    doubted=("yes",),
)
MOST_MAGNITUDE = 0.05
LEAST_SHARE = 0.1
# Up to an SWR of 3 a fixed load may be called a match; above it no band is covered anyway.
_MOST_OF_EVEN = 0.5
_SIGMAS = 4.0
# Of n noisy points the two farthest apart are some six standard deviations from each other.
_APART_SIGMAS = 6.0
_FEWEST_POINTS = 5


def find(facts: Facts) -> list[Finding]:
    """Reports a small reflection over a wide span only, an even one over less."""
    largest = float(facts.rho.max())
    span = shown_span(facts.low_hz, facts.high_hz)
    is_small = largest <= MOST_MAGNITUDE + _SIGMAS * facts.noise
    if is_small and facts.share >= LEAST_SHARE:
        text = (
            f"SWR {shown_swr(largest)} or less at every point from {span}: "
            "this looks like a termination, not an antenna"
        )
        return [ABOUT.found(text)]
    if facts.share < LEAST_SHARE and (largest <= MATCHED or _is_even(facts, largest)):
        text = (
            f"no more change than an analyzer's error or the noise from {span}, SWR "
            f"{shown_swr(largest)} or less: a fixed load looks like this, an antenna only over "
            "too narrow a span"
        )
        return [ABOUT.found(text, severity="note")]
    return []


def _is_even(facts: Facts, largest: float) -> bool:
    """Whether all points are one within an analyzer's error and the noise."""
    if facts.rho.size < _FEWEST_POINTS or largest > _MOST_OF_EVEN:
        return False
    most = max(ANALYZER_ERROR, _APART_SIGMAS * facts.noise)
    values = facts.rho if facts.reflection is None else facts.reflection
    return bool(max(np.ptp(values.real), np.ptp(values.imag)) <= most)
