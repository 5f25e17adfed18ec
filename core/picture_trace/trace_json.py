"""A tracing as JSON: what ``fairlead trace --axes`` reads and what a bench keeps, in one form."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, cast, get_args

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import (
    HAND_SIGMA_PX,
    KIND_WORDS,
    AxisPoint,
    FrequencyAxis,
    Scale,
    ValueAxis,
)
from fairlead.core.picture_trace.trace import METHOD, MOST_CURVES, Curve, PictureTrace

if TYPE_CHECKING:
    from fairlead.core.picture_trace.axes import Point, ValueKind
    from fairlead.core.picture_trace.raster import Rectangle

_MOST = 10_000
_LARGEST = 1e12
_ADVICE = "README has an example of such a file"


def trace_to_json(trace: PictureTrace) -> dict[str, Any]:
    """The tracing as objects, lists, numbers and texts."""
    return {
        "method": trace.method,
        "picture_sha256": trace.picture_sha256,
        "width": trace.width,
        "height": trace.height,
        "z0_ohm": trace.z0_ohm,
        "corners": None if trace.corners is None else [list(one) for one in trace.corners],
        "region": None if trace.region is None else list(trace.region),
        "frequency": {
            "scale": trace.frequency.scale,
            "points": [_point(one, "hz") for one in trace.frequency.points],
        },
        "values": [
            {
                "kind": axis.kind,
                "scale": axis.scale,
                "points": [_point(one, "value") for one in axis.points],
            }
            for axis in trace.values
        ],
        "curves": [
            {
                "name": curve.name,
                "kind": curve.kind,
                "clicks": [list(one) for one in curve.clicks],
                "hand": [[list(one) for one in run] for run in curve.hand],
                "erased": [list(one) for one in curve.erased],
                "tolerance": curve.tolerance,
            }
            for curve in trace.curves
        ],
    }


def trace_from_json(document: object) -> PictureTrace:
    """The tracing in a document; what it leaves out has its usual value.

    Raises
    ------
    FairleadError
        In one line, naming the key.
    """
    whole = _object(document, "the axes file", set(trace_to_json(PictureTrace())))
    method = _number(whole, "method", METHOD)
    if method != METHOD:
        raise FairleadError(
            f"the tracing was made by method {method:g}, this program has {METHOD}",
            "update Fairlead, or trace the picture again",
        )
    frequency = _object(whole.get("frequency", {}), "frequency", {"scale", "points"})
    values = [_object(one, "values", {"kind", "scale", "points"}) for one in _list(whole, "values")]
    curves = _list(whole, "curves")
    if len(curves) > MOST_CURVES:
        raise FairleadError(f"more than {MOST_CURVES} curves", "spread them over several tracings")
    corners = whole.get("corners")
    region = whole.get("region")
    return PictureTrace(
        picture_sha256=_text(whole, "picture_sha256"),
        width=int(_number(whole, "width", 0)),
        height=int(_number(whole, "height", 0)),
        frequency=FrequencyAxis(_axis_points(frequency, "hz"), _scale(frequency)),
        values=tuple(
            ValueAxis(_kind(one), _axis_points(one, "value"), _scale(one)) for one in values
        ),
        curves=tuple(_curve(one) for one in curves),
        corners=None if corners is None else _four_corners(corners),
        region=None if region is None else _rectangle(region, "region"),
        z0_ohm=_number(whole, "z0_ohm", 50.0),
    )


def _curve(document: object) -> Curve:
    known = {"name", "kind", "clicks", "hand", "erased", "tolerance"}
    own = _object(document, "curves", known)
    tolerance = _number(own, "tolerance", 1.0)
    if not 0.1 <= tolerance <= 10:
        raise FairleadError(f'"tolerance" is {tolerance:g}', "it goes from 0.1 to 10; 1 is usual")
    return Curve(
        name=_text(own, "name"),
        kind=_kind(own),
        clicks=_places(own.get("clicks", []), "clicks"),
        hand=tuple(_places(run, "hand") for run in _list(own, "hand")),
        erased=tuple(_rectangle(one, "erased") for one in _list(own, "erased")),
        tolerance=tolerance,
    )


def _point(point: AxisPoint, key: str) -> dict[str, float]:
    return {"x": point.x, "y": point.y, key: point.value, "sigma_px": point.sigma_px}


def _axis_points(axis: dict[str, Any], key: str) -> tuple[AxisPoint, ...]:
    points = []
    for one in _list(axis, "points"):
        own = _object(one, "points", {"x", "y", key, "sigma_px"})
        x, y, value = (_number(own, name) for name in ("x", "y", key))
        points.append(AxisPoint(x, y, value, _number(own, "sigma_px", HAND_SIGMA_PX)))
    return tuple(points)


def _kind(document: dict[str, Any]) -> ValueKind:
    kind = document.get("kind", "swr")
    if not isinstance(kind, str) or kind not in KIND_WORDS:
        raise FairleadError('"kind" is none of ' + ", ".join(KIND_WORDS), _ADVICE)
    return kind


def _scale(document: dict[str, Any]) -> Scale:
    scale = document.get("scale", "linear")
    if not isinstance(scale, str) or scale not in get_args(Scale):
        raise FairleadError('"scale" is not linear, log or free', _ADVICE)
    return cast("Scale", scale)


def _four_corners(document: object) -> tuple[Point, Point, Point, Point]:
    places = _places(document, "corners")
    if len(places) != 4:
        raise FairleadError(
            f'"corners" has {len(places)} places', "give four, from the upper left clockwise"
        )
    return (places[0], places[1], places[2], places[3])


def _places(document: object, what: str) -> tuple[Point, ...]:
    if not isinstance(document, list) or len(document) > _MOST:
        raise FairleadError(f'"{what}" is not a list of places', _ADVICE)
    found = []
    for one in document:
        x, y = _numbers(one, what, 2)
        found.append((x, y))
    return tuple(found)


def _rectangle(document: object, what: str) -> Rectangle:
    x0, y0, x1, y1 = _numbers(document, what, 4)
    return (x0, y0, x1, y1)


def _numbers(document: object, what: str, count: int) -> list[float]:
    if not isinstance(document, list) or len(document) != count:
        raise FairleadError(f'"{what}" does not have {count} numbers in a list', _ADVICE)
    return [_checked(one, what) for one in document]


def _number(document: dict[str, Any], key: str, usual: float | None = None) -> float:
    if key not in document and usual is not None:
        return usual
    return _checked(document.get(key), key)


def _checked(value: object, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise FairleadError(f'"{what}" is not a number', _ADVICE)
    if not -_LARGEST <= value <= _LARGEST or not math.isfinite(value):
        raise FairleadError(f'"{what}" is too large', _ADVICE)
    return float(value)


def _text(document: dict[str, Any], key: str) -> str:
    value = document.get(key, "")
    if not isinstance(value, str):
        raise FairleadError(f'"{key}" is not a text', _ADVICE)
    return value


def _list(document: dict[str, Any], key: str) -> list[Any]:
    value = document.get(key, [])
    if not isinstance(value, list) or len(value) > _MOST:
        raise FairleadError(f'"{key}" is not a list', _ADVICE)
    return value


def _object(document: object, what: str, known: set[str]) -> dict[str, Any]:
    if not isinstance(document, dict):
        raise FairleadError(f"{what} is not an object with keys", _ADVICE)
    unknown = next((key for key in document if key not in known), None)
    if unknown is not None:
        raise FairleadError(f'the key "{unknown}" of {what} is unknown', _ADVICE)
    return document
