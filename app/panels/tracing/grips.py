"""The marks on a picture that can be taken hold of: named, moved and removed, by mouse and keys."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, TypeVar, cast

from fairlead.app.panels.tracing.draft import Draft, rectangle

if TYPE_CHECKING:
    from fairlead.core.picture_trace.axes import Point
    from fairlead.core.picture_trace.raster import Rectangle
    from fairlead.core.picture_trace.straighten import Corners
    from fairlead.core.picture_trace.trace import Curve

Tool = Literal["square", "known", "curve", "hand", "erase", "area"]
TOOLS: tuple[Tool, ...] = ("square", "known", "curve", "hand", "erase", "area")
GripKind = Literal["corner", "known", "click", "hand", "erased", "area"]

_T = TypeVar("_T")
_CORNERS = ("upper left", "upper right", "lower right", "lower left")


@dataclass(frozen=True, slots=True)
class Grip:
    """One mark.

    Attributes
    ----------
    kind : GripKind
    index : int
        Which one of its kind; of a run of points by hand, or an erased rectangle, which of these.
    part : int
        Which point of a run, or which corner of a rectangle: 0 the upper left, 1 the lower right.
    """

    kind: GripKind
    index: int
    part: int = 0


def grips(draft: Draft, tool: Tool, curve: int) -> list[tuple[Grip, Point]]:
    """The marks that a tool can move, each with its place, in an order to step through."""
    if tool == "square":
        return [(Grip("corner", i), at) for i, at in enumerate(draft.corners or ())]
    if tool == "known":
        return [(Grip("known", i), (one.x, one.y)) for i, one in enumerate(draft.known)]
    if tool == "area":
        return _of_rectangle("area", 0, draft.region)
    if not 0 <= curve < len(draft.curves):
        return []
    return _of_curve(draft.curves[curve], tool)


def _of_curve(chosen: Curve, tool: Tool) -> list[tuple[Grip, Point]]:
    if tool == "curve":
        return [(Grip("click", i), at) for i, at in enumerate(chosen.clicks)]
    if tool == "hand":
        return [
            (Grip("hand", i, part), at)
            for i, run in enumerate(chosen.hand)
            for part, at in enumerate(run)
        ]
    return [one for i, box in enumerate(chosen.erased) for one in _of_rectangle("erased", i, box)]


def place_of(draft: Draft, grip: Grip, curve: int) -> Point | None:
    """Where a mark is; None if it is no longer there."""
    for tool in TOOLS:
        for one, at in grips(draft, tool, curve):
            if one == grip:
                return at
    return None


def moved(draft: Draft, grip: Grip, curve: int, at: Point) -> Draft:
    """The draft with one mark at another place."""
    if grip.kind == "corner":
        corners = list(draft.corners or ())
        corners[grip.index] = at
        return replace(draft, corners=cast("Corners", tuple(corners)))
    if grip.kind == "known":
        return draft.with_known(grip.index, replace(draft.known[grip.index], x=at[0], y=at[1]))
    if grip.kind == "area":
        return replace(draft, region=_with_corner(draft.region, grip.part, at))
    chosen = draft.curves[curve]
    if grip.kind == "click":
        chosen = replace(chosen, clicks=_put(chosen.clicks, grip.index, at))
    elif grip.kind == "hand":
        run = _put(chosen.hand[grip.index], grip.part, at)
        chosen = replace(chosen, hand=_put(chosen.hand, grip.index, run))
    else:
        box = _with_corner(chosen.erased[grip.index], grip.part, at)
        chosen = replace(chosen, erased=_put(chosen.erased, grip.index, box))
    return draft.with_curve(curve, chosen)


def removed(draft: Draft, grip: Grip, curve: int) -> Draft:
    """The draft without one mark; of corners all four go."""
    if grip.kind == "corner":
        return replace(draft, corners=None)
    if grip.kind == "known":
        return replace(draft, known=_cut(draft.known, grip.index))
    if grip.kind == "area":
        return replace(draft, region=None)
    chosen = draft.curves[curve]
    if grip.kind == "click":
        chosen = replace(chosen, clicks=_cut(chosen.clicks, grip.index))
    elif grip.kind == "hand":
        run = _cut(chosen.hand[grip.index], grip.part)
        runs = _put(chosen.hand, grip.index, run) if run else _cut(chosen.hand, grip.index)
        chosen = replace(chosen, hand=runs)
    else:
        chosen = replace(chosen, erased=_cut(chosen.erased, grip.index))
    return draft.with_curve(curve, chosen)


def name_of(grip: Grip) -> str:
    """What it is, for screen readers and for undo."""
    if grip.kind == "corner":
        return f"{_CORNERS[grip.index]} corner"
    if grip.kind in ("erased", "area"):
        corner = "lower right" if grip.part else "upper left"
        what = "search area" if grip.kind == "area" else f"erased span {grip.index + 1}"
        return f"{corner} corner of the {what}"
    if grip.kind == "hand":
        return f"point {grip.part + 1} by hand, run {grip.index + 1}"
    return f"{'known point' if grip.kind == 'known' else 'point on the curve'} {grip.index + 1}"


def _of_rectangle(kind: GripKind, index: int, box: Rectangle | None) -> list[tuple[Grip, Point]]:
    if box is None:
        return []
    return [(Grip(kind, index, 0), (box[0], box[1])), (Grip(kind, index, 1), (box[2], box[3]))]


def _with_corner(box: Rectangle | None, part: int, at: Point) -> Rectangle:
    x0, y0, x1, y1 = box or (*at, *at)
    return rectangle((x0, y0), at) if part else rectangle(at, (x1, y1))


def _put(row: tuple[_T, ...], index: int, one: _T) -> tuple[_T, ...]:
    return (*row[:index], one, *row[index + 1 :])


def _cut(row: tuple[_T, ...], index: int) -> tuple[_T, ...]:
    return row[:index] + row[index + 1 :]
