"""The sweep does not reach from edge to edge of the band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import shown_span

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band

ABOUT = About(
    code="band-not-covered",
    title="Band not covered",
    reason=(
        "The worst SWR of a band, and whether an antenna covers it, cannot be known from part of "
        "the band."
    ),
    threshold="an edge of the band lies outside the sweep by more than rounding",
    source="follows from the definition",
    advice="Sweep again over the whole band with a margin on both sides, or move the band's edges.",
)
_SAME = 1e-9


def find(analysis: Analysis, band: Band) -> list[Finding]:
    """Compares both ends with both edges."""
    low_hz, high_hz = float(analysis.frequency_hz[0]), float(analysis.frequency_hz[-1])
    if low_hz <= band.low_hz * (1 + _SAME) and band.high_hz * (1 - _SAME) <= high_hz:
        return []
    reaches = low_hz < band.high_hz and band.low_hz < high_hz
    shown = shown_span(band.low_hz, band.high_hz)
    text = (
        f"covers only part of the band {shown}" if reaches else f"has nothing in the band {shown}"
    )
    return [ABOUT.found(text, band.low_hz, band.high_hz)]
