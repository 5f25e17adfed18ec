"""A reflection as small and flat as that of a good termination."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import shown_span, shown_swr

if TYPE_CHECKING:
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="flat-like-a-termination",
    title="Flat like a termination",
    reason=(
        "Hardly anything is reflected at any frequency. A termination does that, and so does an "
        "analyzer's port with its load still on, or much loss; an antenna seldom does over so "
        "wide a span. Best match, resonance and Q mean nothing here."
    ),
    threshold=(
        "|G| at most 0.05 (SWR 1.11, return loss 26 dB) and four times the noise at every point, "
        "over a span of at least 10 % of the frequency"
    ),
    source="common practice, no source; 26 dB is what a plain termination reaches",
    advice="Check what is connected; measure an open or a short at the same point to compare.",
    doubt="a termination would show the same",
    doubted=("yes",),
)
MOST_MAGNITUDE = 0.05
LEAST_SHARE = 0.1
_SIGMAS = 4.0


def find(facts: Facts) -> list[Finding]:
    """Reports nothing for a narrow span."""
    if facts.share < LEAST_SHARE:
        return []
    largest = float(facts.rho.max())
    if largest > MOST_MAGNITUDE + _SIGMAS * facts.noise:
        return []
    text = (
        f"SWR {shown_swr(largest)} or less at every point from "
        f"{shown_span(facts.low_hz, facts.high_hz)}: this looks like a termination, not an antenna"
    )
    return [ABOUT.found(text)]
