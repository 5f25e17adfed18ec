"""The lines above and below a table of figures, for text, window and paper alike."""

from __future__ import annotations

import math
import sys
from typing import TYPE_CHECKING

from fairlead.core.figure_table.values import one_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench


def plain_mhz(frequency_hz: float) -> str:
    """A frequency in MHz with no more decimals than it needs: "50", "10.15".

    To the hertz, but not beyond nine digits: files give 110 GHz as 109.999999992.
    """
    frequency_hz = max(frequency_hz, sys.float_info.min * 1e6)  # or its logarithm does not exist
    decimals = min(6, max(0, 8 - math.floor(math.log10(frequency_hz / 1e6))))
    text = f"{frequency_hz / 1e6:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if decimals else text


def heading_line(bench: Bench) -> str:
    """Band, limit and reference impedance in one line."""
    band = bench.band
    name = f"{band.name}: " if band.name else ""
    edges = f"{plain_mhz(band.low_hz)} – {plain_mhz(band.high_hz)} MHz"
    return f"{name}{edges}, SWR limit {bench.limit_swr:.4g}, at {bench.z0_ohm:.4g} Ω"


def interval_line(rows: Sequence[Row]) -> str:
    """What the sign ± stands for in these rows; empty where no interval is known."""
    known = [found for row in rows for found in row.intervals.values()]
    traced = [row.analysis.traced is not None for row in rows if row.intervals]
    if any(traced):
        others = "" if all(traced) else ", and of the others a bound on the error"
        return f"± covers 95 % of what the picture leaves open of traced sweeps{others}."
    if any(found.accuracy is not None for found in known):
        return "± is a bound on the error, from the analyzer and from noise together."
    if any(found.repeatability is not None for found in known):
        typed = [row.analysis.typed is not None for row in rows if row.intervals]
        cause = "noise alone"
        if any(typed):
            cause = f"{'' if all(typed) else 'noise or '}the last digit of the readings alone"
        unknown = "the analyzer's own error is not known"
        return f"± covers 95 % of repeated sweeps, from {cause}; {unknown}."
    return ""


def undecided_lines(rows: Sequence[Row]) -> list[str]:
    """For each sweep of which nobody can tell whether it covers the band, why."""
    return [
        f"{one_line(row.entry.title)}: cannot tell whether it covers the band: {verdict.reason}."
        for row in rows
        if (verdict := row.figures.verdict) is not None and verdict.covers == "cannot tell"
    ]
