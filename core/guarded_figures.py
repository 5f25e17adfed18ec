"""Figures of one of many sweeps: one that fails must not stop the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.analysis.bare import why_failed
from fairlead.core.figures import Figures, figures_of
from fairlead.core.verdict import Verdict

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band

_ALL_FIGURES = (
    *("best_match_hz", "best_match_swr", "resonances", "usable", "usable_width_hz"),
    *("swr_low_edge", "swr_high_edge", "worst_swr", "worst_hz", "worst_mismatch_loss_db", "q"),
)


def figures_or_reasons(analysis: Analysis, band: Band, limit_swr: float) -> Figures:
    """Figures of a sweep; if calculating them fails, none, each with that reason.

    One odd sweep must not cost the figures of all the others.
    """
    reason = analysis.failure
    if not reason:
        try:
            return figures_of(analysis, band, limit_swr)
        except Exception as error:  # noqa: BLE001 - nobody has foreseen it
            reason = why_failed(error)
    hz = analysis.frequency_hz
    return Figures(
        points=hz.size,
        low_hz=float(hz[0]),
        high_hz=float(hz[-1]),
        step_hz=float(hz[-1] - hz[0]) / (hz.size - 1),
        z0_ohm=analysis.z0_ohm,
        has_phase=analysis.reflection is not None,
        covers_band=False,
        best_match_hz=None,
        best_match_swr=None,
        best_match_at_end=False,
        resonances=(),
        usable=(),
        swr_low_edge=None,
        swr_high_edge=None,
        worst_swr=None,
        worst_hz=None,
        worst_mismatch_loss_db=None,
        q=None,
        q_hz=None,
        above_one=0,
        why_not=dict.fromkeys(_ALL_FIGURES, reason),
        verdict=Verdict("cannot tell", reason),
    )
