"""The sweeps as the plots need them: cut to the frequencies shown, interpolated where sparse."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.trace_style import trace_style
from fairlead.core.arrays import distinct
from fairlead.core.reflection import UNITY_TOLERANCE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.trace_style import TraceStyle
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.comparison.rows import Row

# Points across the plot between which a straight line is as good as the interpolated curve.
_DENSE = 400


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """One visible sweep, ready for both plots.

    Attributes
    ----------
    row : Row
    style : TraceStyle
    analysis : Analysis
    frequency_hz : FloatArray, shape (n,)
        Within the view; with the view's ends where the sweep goes on beyond them, and with the
        edges of the band. Empty if the sweep lies outside.
    magnitude : FloatArray, shape (n,)
        |G| at the bench's reference impedance.
    reflection : ComplexArray, shape (n,), or None
        None for a scalar sweep.
    above_one_hz : FloatArray, shape (m,)
        Measured points in the view with |G| > 1, which have no SWR.
    is_emphasised : bool
        The reference among several.
    """

    row: Row
    style: TraceStyle
    analysis: Analysis
    frequency_hz: FloatArray
    magnitude: FloatArray
    reflection: ComplexArray | None
    above_one_hz: FloatArray
    is_emphasised: bool

    def largest_between(self, low_hz: float, high_hz: float) -> float | None:
        """Largest |G| between two frequencies, or None if nothing was measured there."""
        inside = (self.frequency_hz >= low_hz) & (self.frequency_hz <= high_hz)
        return float(self.magnitude[inside].max()) if inside.any() else None

    def magnitude_at(self, frequency_hz: float) -> float:
        """|G| interpolated at a frequency of the sweep."""
        return float(np.sqrt(self.analysis.power_at(np.array([frequency_hz]))[0]))


def make_traces(
    rows: Sequence[Row],
    view_hz: tuple[float, float],
    band: Band | None,
    *,
    grey: bool,
) -> tuple[Trace, ...]:
    """The traces of the rows in a view (low and high frequency in Hz)."""
    edges_hz = () if band is None else (band.low_hz, band.high_hz)
    return tuple(
        _make_trace(
            row,
            view_hz,
            edges_hz,
            grey=grey,
            is_emphasised=row.is_reference and len(rows) > 1,
        )
        for row in rows
    )


def _make_trace(
    row: Row,
    view_hz: tuple[float, float],
    edges_hz: tuple[float, ...],
    *,
    grey: bool,
    is_emphasised: bool,
) -> Trace:
    analysis = row.analysis
    frequency_hz = _frequencies(analysis.frequency_hz, view_hz, edges_hz)
    own_hz, power = analysis.frequency_hz, analysis.power
    in_view = (own_hz >= view_hz[0]) & (own_hz <= view_hz[1])
    above_one_hz = own_hz[in_view & (power > (1 + UNITY_TOLERANCE) ** 2)]
    reflection: ComplexArray | None
    if frequency_hz.size == 0:
        magnitude = np.empty(0)
        reflection = None if analysis.reflection is None else np.empty(0, np.complex128)
    else:
        has_phase = analysis.reflection is not None
        reflection = analysis.reflection_at(frequency_hz) if has_phase else None
        # The same way between the points that the figures come from.
        magnitude = np.sqrt(analysis.power_at(frequency_hz))
    return Trace(
        row=row,
        style=trace_style(row.entry.style, grey=grey),
        analysis=analysis,
        frequency_hz=frequency_hz,
        magnitude=magnitude,
        reflection=reflection,
        above_one_hz=above_one_hz,
        is_emphasised=is_emphasised,
    )


def _frequencies(
    own_hz: FloatArray, view_hz: tuple[float, float], edges_hz: tuple[float, ...]
) -> FloatArray:
    """The sweep's points in the view with its ends, and points between where they are sparse."""
    low_hz, high_hz = max(view_hz[0], float(own_hz[0])), min(view_hz[1], float(own_hz[-1]))
    if low_hz >= high_hz:
        return np.empty(0)
    wanted = distinct(np.concatenate((own_hz, edges_hz)))
    points = np.concatenate(([low_hz], wanted[(wanted > low_hz) & (wanted < high_hz)], [high_hz]))
    view_width_hz = view_hz[1] - view_hz[0]
    parts = np.ceil(np.diff(points) / (view_width_hz / _DENSE)).astype(np.int64)
    if parts.max() <= 1:
        return points
    # Every interval is divided into equal parts of its own.
    interval = np.repeat(np.arange(parts.size), parts)
    place = np.arange(interval.size) - np.repeat(np.cumsum(parts) - parts, parts)
    fine = points[interval] + np.diff(points)[interval] * place / parts[interval]
    return np.append(fine, points[-1])
