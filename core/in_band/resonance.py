"""The resonances that belong to a band, and the Q at the best match."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.analysis.q_factor import q_at
from fairlead.core.in_band.part import too_far_apart
from fairlead.core.uncertainty.sampling import MOST_LINE_TURNS, points_wanted

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.analysis.resonances import Resonance
    from fairlead.core.analysis.segments import Segment
    from fairlead.core.bands import Band

_NO_PHASE = "the phase was not measured"


def resonances_near(
    analysis: Analysis, band: Band, usable: tuple[Segment, ...], best: tuple[float, float] | None
) -> tuple[Resonance, ...]:
    """Resonances in the band, in the usable segments and between them and the best match."""
    ends_hz = [band.low_hz, band.high_hz]
    if best is not None:
        ends_hz += [best[0]]
    ends_hz += [end for segment in usable for end in (segment.low_hz, segment.high_hz)]
    low_hz, high_hz = min(ends_hz), max(ends_hz)
    return tuple(row for row in analysis.resonances() if low_hz <= row.frequency_hz <= high_hz)


def no_resonance(analysis: Analysis, no_best: str) -> str:
    """Why there is no resonance; ``no_best`` is why there is no best match, or empty."""
    if analysis.reflection is None:
        return _NO_PHASE
    if analysis.is_phase_unknown:
        return _line_reason(analysis)
    if analysis.gaps:
        return too_far_apart(analysis)
    return no_best or "the reactance does not cross zero here by more than an analyzer's error"


def _line_reason(analysis: Analysis) -> str:
    turns = analysis.sampling.line_turns
    if turns < 0:
        return (
            "the reflection turns backwards, which no line does: points too far apart, or the "
            "sign of the reactance is lost"
        )
    wanted = points_wanted(analysis.frequency_hz.size, turns / MOST_LINE_TURNS)
    return (
        f"the line turns the reflection by {turns:.2f} turns from point to point: narrow the span "
        f"or take {wanted} points"
    )


def q_frequency(
    best_hz: float, usable: tuple[Segment, ...], resonances: tuple[Resonance, ...]
) -> float:
    """The resonance nearest to the best match in its usable segment, or the best match itself."""
    near = [
        row.frequency_hz
        for row in resonances
        for segment in usable
        if segment.low_hz <= best_hz <= segment.high_hz
        and segment.low_hz <= row.frequency_hz <= segment.high_hz
    ]
    return min(near, key=lambda hz: abs(hz - best_hz), default=best_hz)


def q_and_reason(analysis: Analysis, q_hz: float | None, no_best: str) -> tuple[float | None, str]:
    """Q at a frequency, or None and the reason."""
    if analysis.reflection is None:
        return None, _NO_PHASE
    if q_hz is None:
        return None, no_best or "the best match lies outside the sweep"
    if analysis.is_phase_unknown:
        return None, _line_reason(analysis)
    q = q_at(analysis, q_hz)
    if q is None:
        return None, "the slope of the impedance does not stand out from the noise"
    return q, ""
