"""The sweeps as the plots need them: cut to the view, interpolated where sparse."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.trace_style import trace_style
from fairlead.core.arrays import distinct
from fairlead.core.views.points import Sample, above_one_points, in_gap

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.app.printing.trace_style import TraceStyle
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.comparison.rows import Row
    from fairlead.core.uncertainty.point_range import PointRange
    from fairlead.core.views.quantity import Quantity
    from fairlead.core.views.scale import Span

Ranges = tuple["PointRange | None", "PointRange | None"]

# With this many points across the plot, straight lines are as good as the interpolated curve.
_DENSE = 400


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """One visible sweep, ready for both plots.

    Attributes
    ----------
    row : Row
    style : TraceStyle
    analysis : Analysis
    quantity : Quantity
        What the plot over frequency shows.
    sample : Sample
        Points within the view, with the view's ends where the sweep extends beyond them, and with
        the edges of the band. None if the sweep lies outside.
    above_one_hz : FloatArray, shape (m,)
        Measured points in the view with |G| > 1.
    edge_hz : FloatArray, shape (k,)
        Those with a mark at the top edge in place of a value.
    is_emphasised : bool
        Whether it is the reference among several.
    points : PointRange or None
        How far each measured point may be off; None if it is unknown or not shown.
    beside : PointRange or None
        Likewise of the reference, where the sweep is compared with it.
    """

    row: Row
    style: TraceStyle
    analysis: Analysis
    quantity: Quantity
    sample: Sample
    above_one_hz: FloatArray
    edge_hz: FloatArray
    is_emphasised: bool
    points: PointRange | None
    beside: PointRange | None

    @property
    def frequency_hz(self) -> FloatArray:
        """Frequencies of the sample, shape (n,)."""
        return self.sample.frequency_hz

    @property
    def magnitude(self) -> FloatArray:
        """|G| at the bench's reference impedance, shape (n,)."""
        return np.sqrt(self.sample.power)

    @property
    def reflection(self) -> ComplexArray | None:
        """Shape (n,); None for a scalar sweep."""
        return self.sample.reflection

    def seen_between(self, low_hz: float, high_hz: float) -> Span | None:
        """Lowest and highest position of the quantity between two frequencies, or None."""
        own = self.sample
        inside = (own.frequency_hz >= low_hz) & (own.frequency_hz <= high_hz)
        reflection = None if own.reflection is None else own.reflection[inside]
        part = Sample(own.frequency_hz[inside], own.power[inside], reflection, own.z0_ohm)
        return self.quantity.seen(part)

    def position_at(self, frequency_hz: float) -> float:
        """Position of the quantity interpolated at a frequency of the sweep, or NaN."""
        point = Sample.between(self.analysis, np.array([frequency_hz]))
        return float(self.quantity.positions(point)[0])

    @property
    def in_gap(self) -> BoolArray:
        """Which intervals of the sample lie where measured points are too far apart."""
        return in_gap(self.analysis, self.sample.frequency_hz)

    @property
    def outliers(self) -> Sample:
        """Measured points that the curve does not join."""
        return Sample.picked(self.analysis, self.analysis.outliers)


def make_traces(
    rows: Sequence[Row],
    view_hz: tuple[float, float],
    band: Band | None,
    quantity: Quantity,
    ranges: Mapping[int, Ranges],
    drawn: Mapping[int, Analysis] | None = None,
    *,
    grey: bool,
) -> tuple[Trace, ...]:
    """The traces of the rows in a view (low and high frequency in Hz).

    ``ranges`` has for keys of entries how far points may be off, and those of the reference that
    it is compared with, as far as it is to be shown;
    ``drawn`` what is drawn, if not every sweep as it is.
    """
    edges_hz = () if band is None else (band.low_hz, band.high_hz)
    return tuple(
        _make_trace(
            row,
            row.analysis if drawn is None else drawn[row.entry.key],
            view_hz,
            edges_hz,
            quantity,
            ranges.get(row.entry.key, (None, None)),
            grey=grey,
            is_emphasised=row.is_reference and len(rows) > 1,
        )
        for row in rows
        if drawn is None or row.entry.key in drawn
    )


def _make_trace(
    row: Row,
    analysis: Analysis,
    view_hz: tuple[float, float],
    edges_hz: tuple[float, ...],
    quantity: Quantity,
    ranges: Ranges,
    *,
    grey: bool,
    is_emphasised: bool,
) -> Trace:
    own_hz = analysis.frequency_hz
    outliers_hz = own_hz[analysis.outliers]
    gaps_hz = tuple(edge_hz for gap in analysis.gaps for edge_hz in gap)
    frequency_hz = _frequencies(own_hz, outliers_hz, view_hz, (*edges_hz, *gaps_hz))
    if frequency_hz.size:
        sample = Sample.between(analysis, frequency_hz)
    else:
        sample = Sample.picked(analysis, np.empty(0, dtype=np.intp))
    above_hz, edge_hz = (
        own_hz[points] for points in (above_one_points(analysis), quantity.edge_points(analysis))
    )
    return Trace(
        row=row,
        style=trace_style(row.entry.drawn_style, grey=grey),
        analysis=analysis,
        quantity=quantity,
        sample=sample,
        above_one_hz=above_hz[(above_hz >= view_hz[0]) & (above_hz <= view_hz[1])],
        edge_hz=edge_hz[(edge_hz >= view_hz[0]) & (edge_hz <= view_hz[1])],
        is_emphasised=is_emphasised,
        points=ranges[0],
        beside=ranges[1],
    )


def _frequencies(
    own_hz: FloatArray,
    outliers_hz: FloatArray,
    view_hz: tuple[float, float],
    edges_hz: tuple[float, ...],
) -> FloatArray:
    """The sweep's points in the view, its ends, and points in between where they are sparse.

    Outliers and the curve next to them are left out: a straight line joins their neighbours.
    """
    low_hz, high_hz = max(view_hz[0], float(own_hz[0])), min(view_hz[1], float(own_hz[-1]))
    if low_hz >= high_hz:
        return np.empty(0)
    wanted = distinct(np.concatenate((own_hz, edges_hz)))
    points = np.concatenate(([low_hz], wanted[(wanted > low_hz) & (wanted < high_hz)], [high_hz]))
    if outliers_hz.size:
        points = points[~(points[:, np.newaxis] == outliers_hz).any(axis=1)]
    view_width_hz = view_hz[1] - view_hz[0]
    parts = np.ceil(np.diff(points) / (view_width_hz / _DENSE)).astype(np.int64)
    if outliers_hz.size:
        beside = np.searchsorted(points, outliers_hz) - 1
        parts[beside[(beside >= 0) & (beside < parts.size)]] = 1
    if parts.max(initial=1) <= 1:
        return points
    # Every interval is divided into equal parts.
    interval = np.repeat(np.arange(parts.size), parts)
    place = np.arange(interval.size) - np.repeat(np.cumsum(parts) - parts, parts)
    fine = points[interval] + np.diff(points)[interval] * place / parts[interval]
    return np.append(fine, points[-1])
