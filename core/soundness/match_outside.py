"""The SWR is still falling where the sweep ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import shown_mhz

if TYPE_CHECKING:
    from fairlead.core.figures import Figures

ABOUT = About(
    code="match-outside-sweep",
    title="Best match outside the sweep",
    reason=(
        "The sweep stops while the SWR is still falling, so the true best match lies beyond its "
        "end; what is shown is only the last point, and no shift can be worked out from it."
    ),
    threshold=(
        "the best match that serves the band is the first or the last point, and |G| falls "
        "towards it by more than five times the noise"
    ),
    source="common practice, no source",
    advice="Sweep further in that direction, past the dip.",
)


def find(figures: Figures) -> list[Finding]:
    """Reports a best match that lies at an end of the sweep."""
    best_hz, swr = figures.best_match_hz, figures.best_match_swr
    if not figures.best_match_at_end or best_hz is None or swr is None:
        return []
    is_low = best_hz - figures.low_hz < figures.high_hz - best_hz
    text = (
        f"the SWR is still falling at the {'low' if is_low else 'high'} end of the sweep, "
        f"{shown_mhz(best_hz)}, SWR {swr:.3g} there: the best match lies beyond"
    )
    return [ABOUT.found(text, best_hz, best_hz, severity="note")]
