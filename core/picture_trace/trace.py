"""All that is kept of a tracing, and the curves that it leads to.

From a picture and a `PictureTrace` the same curves come every time, so another person can check
them. What the clicks' own errors do to the axes is found by moving each click a little and fitting
again; the effects add up by the root of the sum of squares.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.axes_fit import fit_axes, moved_fits
from fairlead.core.picture_trace.bounds import Bounds, possible_rows
from fairlead.core.picture_trace.follow import follow as follow_raster
from fairlead.core.picture_trace.hand import drawn_by_hand, joined
from fairlead.core.picture_trace.raster import make_raster

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, FloatArray
    from fairlead.core.picture_trace.axes import Point, ValueKind
    from fairlead.core.picture_trace.axes_fit import AxesFit
    from fairlead.core.picture_trace.follow import FoundPath
    from fairlead.core.picture_trace.raster import Raster, Rectangle
    from fairlead.core.picture_trace.straighten import Corners, Picture

METHOD = 1
MOST_CURVES = 20
_AROUND = 0.35
"""Without a region, the axes' points are searched around by this share of their extent."""
_AROUND_CORNERS = 0.02
_ROUNDED_PX = 0.5
"""By how much all axes together may be off the curve, standard deviation, across and down: plotting
programs round the lines of frame and grid to whole pixels, but not the curve. Seen in rendered
pictures (up to a pixel); no source. However many points are clicked, it does not average out."""
_LEAST_SHARE = 1e-3
_TINY = 1e-300
_FEWEST_POINTS = 12


@dataclass(frozen=True, slots=True)
class Curve:
    """One curve of a picture.

    Attributes
    ----------
    name : str
        Curves of one name whose kinds complete each other become one complex sweep.
    kind : ValueKind
        Which of the value axes is its own.
    clicks : tuple of Point
        On the curve; the first one gives the colour, and the path passes through all.
    hand : tuple of tuple of Point
        Runs of two or more points joined by hand; they replace what is found between their ends.
    erased : tuple of Rectangle
        What lies in them is left out.
    tolerance : float
        Of colours; 1 is usual.
    """

    name: str = ""
    kind: ValueKind = "swr"
    clicks: tuple[Point, ...] = ()
    hand: tuple[tuple[Point, ...], ...] = ()
    erased: tuple[Rectangle, ...] = ()
    tolerance: float = 1.0


@dataclass(frozen=True, slots=True)
class PictureTrace:
    """Everything that a person decided about a picture.

    Attributes
    ----------
    picture_sha256 : str
        Of the file that the person opened; empty if not known.
    width, height : int
        Of the upright picture in pixels, 0 if not known; places are pixels of this size.
    frequency : FrequencyAxis
    values : tuple of ValueAxis
        One for each kind.
    curves : tuple of Curve
    corners : Corners or None
        Of a rectangle in the picture, from the upper left clockwise.
    region : Rectangle or None
        Where curves are looked for.
    z0_ohm : float
    method : int
    """

    picture_sha256: str = ""
    width: int = 0
    height: int = 0
    frequency: FrequencyAxis = field(default_factory=FrequencyAxis)
    values: tuple[ValueAxis, ...] = ()
    curves: tuple[Curve, ...] = ()
    corners: Corners | None = None
    region: Rectangle | None = None
    z0_ohm: float = 50.0
    method: int = METHOD

    def axis(self, kind: ValueKind) -> ValueAxis:
        """The value axis of a kind; one without points if there is none."""
        return next((axis for axis in self.values if axis.kind == kind), ValueAxis(kind))


@dataclass(frozen=True, slots=True, eq=False)
class FollowedCurve:
    """A curve as it was found.

    Attributes
    ----------
    places : FloatArray, shape (n, 2)
        Pixels of the picture.
    frequency_hz, value : FloatArray, shape (n,)
        Rising frequencies, and values in the unit of the curve's kind.
    sigma : FloatArray, shape (n,)
        Standard uncertainty of ``value`` at its frequency: line, axes and slope together.
    is_lost_after : BoolArray, shape (n - 1,)
        Where the curve was lost before the next point.
    frequency_sigma_hz : float
        Standard uncertainty of the frequency axis.
    alike_points : float
        So many neighbouring points share their error.
    share_lost : float
        Of the columns from the first to the last, those in gaps; what a person left out is none. 0
        if traced wholly by hand.
    line_share : float
        The share of ``sigma`` that is the line's own, at a usual point.
    """

    places: FloatArray
    frequency_hz: FloatArray
    value: FloatArray
    sigma: FloatArray
    is_lost_after: BoolArray
    frequency_sigma_hz: float
    alike_points: float
    share_lost: float
    line_share: float


def follow(picture: Picture, trace: PictureTrace, index: int) -> FollowedCurve:
    """Find one curve of a picture.

    Parameters
    ----------
    picture : uint8 array, shape (h, w, 3)
        Upright, RGB.
    trace : PictureTrace
    index : int
        Which of its curves.

    Raises
    ------
    FairleadError
        In one line: for axes that cannot be fitted, a curve without a click, or one that cannot be
        seen.
    """
    curve = trace.curves[index]
    axis = trace.axis(curve.kind)
    fit = fit_axes(trace.frequency, axis, trace.corners)
    if not curve.clicks and not curve.hand:
        raise FairleadError("no point of the curve is clicked", "click on its line")
    raster = make_raster(picture, fit, trace.region or _box(picture, trace, axis))
    runs = [drawn_by_hand(raster, run) for run in curve.hand]
    found = None
    if curve.clicks:
        clicks = raster.cells(np.array(curve.clicks, dtype=np.float64))
        bounds = None
        if trace.region is None:
            known = raster.cells(_known_places(trace, axis))
            bounds = Bounds(known, possible_rows(raster, fit, curve.kind))
        own = [(c, r) for c, r in clicks.tolist()]
        found = follow_raster(raster, own, curve.tolerance, bounds)
    path = joined(found, runs)
    places = raster.pixels(path.columns, path.rows)
    share_lost = path.share_lost if curve.clicks else 0.0
    path = path.without(_in_any(places, curve.erased))
    if path.columns.size < _FEWEST_POINTS:
        raise FairleadError(
            "the curve cannot be told from its background",
            "click in the middle of its line, raise the tolerance, or trace it by hand",
        )
    return _in_units(trace, axis, fit, raster, path, share_lost)


def _in_units(
    trace: PictureTrace,
    axis: ValueAxis,
    fit: AxesFit,
    raster: Raster,
    path: FoundPath,
    share_lost: float,
) -> FollowedCurve:
    places = raster.pixels(path.columns, path.rows)
    frequency_hz, value = fit.frequency_hz(places), fit.value(places)
    a_row = [fit.value(raster.pixels(path.columns, path.rows + side)) for side in (-0.5, 0.5)]
    by_line = np.abs(a_row[1] - a_row[0]) * path.sigma
    slope = np.gradient(value, frequency_hz)
    squares, of_frequency = np.zeros(value.size), np.zeros(value.size)
    for other in moved_fits(trace.frequency, axis, trace.corners, fit):
        gone_hz = other.frequency_hz(places) - frequency_hz
        squares += (other.value(places) - value - slope * gone_hz) ** 2
        of_frequency += gone_hz**2
    for shift in ((_ROUNDED_PX, 0.0), (0.0, _ROUNDED_PX)):
        gone_hz = fit.frequency_hz(places + shift) - frequency_hz
        squares += (fit.value(places + shift) - value - slope * gone_hz) ** 2
        of_frequency += gone_hz**2
    order = np.argsort(frequency_hz)
    sigma = np.sqrt(by_line**2 + squares)
    lost = path.is_lost_after
    return FollowedCurve(
        places[order],
        frequency_hz[order],
        value[order],
        sigma[order],
        lost if order[0] == 0 else lost[::-1],
        math.sqrt(float(np.median(of_frequency))),
        max(1.0, path.thickness),
        share_lost,
        max(_LEAST_SHARE, float(np.median(by_line / np.maximum(sigma, _TINY)))),
    )


def _box(picture: Picture, trace: PictureTrace, axis: ValueAxis) -> Rectangle:
    """Where the curve is looked for if nobody says."""
    places = _known_places(trace, axis)
    share = _AROUND if trace.corners is None else _AROUND_CORNERS
    low, high = places.min(axis=0), places.max(axis=0)
    more = share * (high - low)
    height, width = picture.shape[:2]
    x0, y0 = np.maximum(low - more, 0).tolist()
    x1, y1 = np.minimum(high + more, (width, height)).tolist()
    return (x0, y0, x1, y1)


def _known_places(trace: PictureTrace, axis: ValueAxis) -> FloatArray:
    """Of the corners, or else of the axes' points, shape (n, 2)."""
    if trace.corners is not None:
        return np.array(trace.corners, dtype=np.float64)
    points = (*trace.frequency.points, *axis.points)
    return np.array([(point.x, point.y) for point in points])


def _in_any(places: FloatArray, rectangles: tuple[Rectangle, ...]) -> BoolArray:
    found = np.zeros(len(places), dtype=np.bool_)
    for x0, y0, x1, y1 in rectangles:
        is_across = (places[:, 0] >= min(x0, x1)) & (places[:, 0] <= max(x0, x1))
        found |= is_across & (places[:, 1] >= min(y0, y1)) & (places[:, 1] <= max(y0, y1))
    return found
