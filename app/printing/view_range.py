"""The frequency range that the picture shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.views.shape import MATCH_HZ

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench

# How far outside the band a best match may lie and still be drawn: in band widths, and for narrow
# bands as a fraction of the frequency.
_REACH_WIDTHS = 3.0
_REACH_SHARE = 0.1
_MARGIN_SHARE = 0.08
_EDGE_SHARE = 0.03


def band_in_view(bench: Bench, rows: Sequence[Row]) -> Band | None:
    """The band if the user chose one and some sweep reaches into it."""
    band = bench.band
    if not bench.has_own_band:
        return None
    low_hz, high_hz = _data_span(rows)
    return band if band.low_hz < high_hz and low_hz < band.high_hz else None


def frequency_view(bench: Bench, rows: Sequence[Row]) -> tuple[float, float]:
    """Lowest and highest frequency of the plots in Hz.

    With a band: the band, the best matches and the usable segments with a margin, unless they are
    so distant that the band would shrink to nothing. Without: all the data.
    """
    data_low_hz, data_high_hz = _data_span(rows)
    band = band_in_view(bench, rows)
    if band is None:
        return data_low_hz, data_high_hz
    reach_hz = max(_REACH_WIDTHS * band.width_hz, _REACH_SHARE * (band.low_hz + band.high_hz) / 2)
    wanted_hz = [band.low_hz, band.high_hz]
    for row in rows:
        segment = row.figures.main_segment
        if row.figures.best_match_hz is not None:
            wanted_hz.append(row.figures.best_match_hz)
        if segment is not None:
            wanted_hz += [segment.low_hz, segment.high_hz]
    low_hz = max(min(wanted_hz), band.low_hz - reach_hz)
    high_hz = min(max(wanted_hz), band.high_hz + reach_hz)
    margin_hz = _MARGIN_SHARE * (high_hz - low_hz)
    # The edges stay clear of the frame, even where the sweeps end at them.
    clear_hz = _EDGE_SHARE * (high_hz - low_hz)
    return (
        min(max(low_hz - margin_hz, data_low_hz), band.low_hz - clear_hz),
        max(min(high_hz + margin_hz, data_high_hz), band.high_hz + clear_hz),
    )


def _data_span(rows: Sequence[Row]) -> tuple[float, float]:
    return min(row.figures.low_hz for row in rows), max(row.figures.high_hz for row in rows)


def matched_view(
    view_hz: tuple[float, float], drawn: Mapping[int, Analysis]
) -> tuple[float, float]:
    """The view where each frequency is divided by the best match, as wide in per cent.

    ``view_hz`` is the view in plain frequencies; what no sweep reaches is left out.
    """
    half_hz = MATCH_HZ * (view_hz[1] - view_hz[0]) / (view_hz[0] + view_hz[1])
    low_hz = min((float(one.frequency_hz[0]) for one in drawn.values()), default=0.0)
    high_hz = max((float(one.frequency_hz[-1]) for one in drawn.values()), default=np.inf)
    return max(MATCH_HZ - half_hz, low_hz), min(MATCH_HZ + half_hz, high_hz)
