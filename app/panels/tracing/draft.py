"""What is marked on a picture, in every state that a person goes through while marking it.

A `PictureTrace` holds what is complete; a draft also a place whose number is still to be typed.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from fairlead.core.picture_trace.axes import (
    HAND_SIGMA_PX,
    AxisPoint,
    FrequencyAxis,
    Scale,
    ValueAxis,
    ValueKind,
)
from fairlead.core.picture_trace.trace import Curve, PictureTrace

if TYPE_CHECKING:
    from fairlead.core.picture_trace.axes import Point
    from fairlead.core.picture_trace.raster import Rectangle
    from fairlead.core.picture_trace.straighten import Corners


@dataclass(frozen=True, slots=True)
class KnownPoint:
    """A place where the frequency, a value, or both are known; None is not typed yet.

    Attributes
    ----------
    x, y : float
        Pixels of the picture.
    frequency_hz, value : float or None
    kind : ValueKind
        Of the value.
    sigma_px : float
        By how much the place may be off.
    """

    x: float
    y: float
    frequency_hz: float | None = None
    value: float | None = None
    kind: ValueKind = "swr"
    sigma_px: float = HAND_SIGMA_PX


@dataclass(frozen=True, slots=True)
class Draft:
    """Everything that is marked on a picture.

    Attributes
    ----------
    base : PictureTrace
        What the picture is; its marks do not count.
    known : tuple of KnownPoint
    frequency_scale : Scale
    scales : tuple of (ValueKind, Scale)
        Of the value axes; "linear" where a kind is not named.
    curves : tuple of Curve
    corners : Corners or None
    region : Rectangle or None
        Where curves are looked for; x0, y0, x1, y1 in pixels.
    origins : tuple of (int or None)
        For each curve, which one it is in the tracing that is on the bench; None for a new one.
    """

    base: PictureTrace = field(default_factory=PictureTrace)
    known: tuple[KnownPoint, ...] = ()
    frequency_scale: Scale = "linear"
    scales: tuple[tuple[ValueKind, Scale], ...] = ()
    curves: tuple[Curve, ...] = ()
    corners: Corners | None = None
    region: Rectangle | None = None
    origins: tuple[int | None, ...] = ()

    @classmethod
    def of(cls, trace: PictureTrace) -> Draft:
        """The draft that a kept tracing is opened again with."""
        known = {
            (one.x, one.y): KnownPoint(one.x, one.y, one.value, sigma_px=one.sigma_px)
            for one in trace.frequency.points
        }
        more = []
        for axis in trace.values:
            for one in axis.points:
                there = known.get((one.x, one.y))
                if there is not None and there.value is None:
                    known[one.x, one.y] = replace(there, value=one.value, kind=axis.kind)
                else:
                    more.append(KnownPoint(one.x, one.y, None, one.value, axis.kind, one.sigma_px))
        return cls(
            base=trace,
            known=(*known.values(), *more),
            frequency_scale=trace.frequency.scale,
            scales=tuple((axis.kind, axis.scale) for axis in trace.values),
            curves=trace.curves,
            corners=trace.corners,
            region=trace.region,
            origins=tuple(range(len(trace.curves))),
        )

    def finished(self) -> Draft:
        """Without curves of which nothing is marked."""
        draft = self
        for index in reversed(range(len(self.curves))):
            if not self.curves[index].clicks and not self.curves[index].hand:
                draft = draft.without_curve(index)
        return draft

    def accepted(self) -> Draft:
        """The draft after its curves were put on the bench."""
        there = iter(range(len(self.curves)))
        origins = [next(there) if one.clicks or one.hand else None for one in self.curves]
        return replace(self, origins=tuple(origins))

    def trace(self) -> PictureTrace:
        """What is complete of it."""
        kinds = dict.fromkeys(
            [*(one.kind for one in self.known if one.value is not None)]
            + [curve.kind for curve in self.curves]
        )
        return replace(
            self.base,
            frequency=FrequencyAxis(
                tuple(
                    AxisPoint(one.x, one.y, one.frequency_hz, one.sigma_px)
                    for one in self.known
                    if one.frequency_hz is not None
                ),
                self.frequency_scale,
            ),
            values=tuple(ValueAxis(kind, self._values(kind), self.scale(kind)) for kind in kinds),
            curves=tuple(
                replace(curve, hand=tuple(run for run in curve.hand if len(run) > 1))
                for curve in self.curves
            ),
            corners=self.corners,
            region=self.region,
        )

    def _values(self, kind: ValueKind) -> tuple[AxisPoint, ...]:
        return tuple(
            AxisPoint(one.x, one.y, one.value, one.sigma_px)
            for one in self.known
            if one.kind == kind and one.value is not None
        )

    def scale(self, kind: ValueKind) -> Scale:
        """Scale of a value axis."""
        return dict(self.scales).get(kind, "linear")

    def with_scale(self, kind: ValueKind, scale: Scale) -> Draft:
        """A value axis of another scale."""
        return replace(self, scales=tuple((dict(self.scales) | {kind: scale}).items()))

    def with_curve(self, index: int, curve: Curve) -> Draft:
        """One of the curves changed, or one more where the index is theirs behind the last."""
        curves, origins = [*self.curves], [*self.origins]
        origins[index : index + 1] = [*origins[index : index + 1]] or [None]
        curves[index : index + 1] = [curve]
        return replace(self, curves=tuple(curves), origins=tuple(origins))

    def without_curve(self, index: int) -> Draft:
        """One curve less."""
        return replace(
            self,
            curves=self.curves[:index] + self.curves[index + 1 :],
            origins=self.origins[:index] + self.origins[index + 1 :],
        )

    def with_known(self, index: int, point: KnownPoint) -> Draft:
        """One of the known points changed, or one more."""
        known = [*self.known]
        known[index : index + 1] = [point]
        return replace(self, known=tuple(known))

    def residual_places(self, kind: ValueKind) -> dict[int, list[int]]:
        """Which residuals of a fit of the axes, by place in their list, belong to each point."""
        by_frequency = [i for i, one in enumerate(self.known) if one.frequency_hz is not None]
        by_value = [
            i for i, one in enumerate(self.known) if one.kind == kind and one.value is not None
        ]
        places: dict[int, list[int]] = {}
        for place, index in enumerate([*by_frequency, *by_value]):
            places.setdefault(index, []).append(place)
        return places


def rectangle(one: Point, other: Point) -> Rectangle:
    """The rectangle between two opposite corners, whichever they are."""
    (x0, x1), (y0, y1) = sorted((one[0], other[0])), sorted((one[1], other[1]))
    return x0, y0, x1, y1


def corners_of(box: Rectangle) -> Corners:
    """Its corners, from the upper left clockwise."""
    x0, y0, x1, y1 = box
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)
