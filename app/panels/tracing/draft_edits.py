"""What a person does to a draft, each a step of its own undo."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.app.panels.tracing.draft import Draft, KnownPoint, corners_of
from fairlead.app.panels.tracing.grips import Grip, Tool, moved, name_of, removed
from fairlead.app.panels.tracing.history import History
from fairlead.core.picture_trace.axes import HAND_SIGMA_PX, SNAPPED_SIGMA_PX
from fairlead.core.picture_trace.snap import snapped
from fairlead.core.picture_trace.trace import MOST_CURVES, Curve

if TYPE_CHECKING:
    from fairlead.core.picture_trace.axes import Scale, ValueKind
    from fairlead.core.picture_trace.raster import Rectangle
    from fairlead.core.picture_trace.straighten import Picture


class DraftEdits:
    """Holds the history of a draft, and what the next click would do.

    Attributes
    ----------
    history : History
    tool : Tool
    curve : int
        Index of the curve that is worked on; it need not be there yet.
    """

    def __init__(self, pixels: Picture, draft: Draft) -> None:
        self._pixels = pixels
        self.history = History(draft)
        self.tool: Tool = "known"
        self.curve = 0
        self._kind: ValueKind = "swr"
        self._begins_run = False

    @property
    def draft(self) -> Draft:
        """What is marked now."""
        return self.history.draft

    @property
    def kind(self) -> ValueKind:
        """What the curve that is worked on shows, and what is typed for the next known point."""
        return self._curve.kind

    @property
    def _curve(self) -> Curve:
        curves = self.draft.curves
        if 0 <= self.curve < len(curves):
            return curves[self.curve]
        return Curve(kind=self._kind)

    def known_grip(self, index: int) -> Grip:
        """The mark of a known point."""
        return Grip("known", index)

    def note_accepted(self) -> Draft:
        """The curves marked now are those of the kept tracing; the draft with that."""
        draft = self.draft.accepted()
        self.history.replace(draft)
        return draft

    # By the mouse and its keys

    def click(self, x: float, y: float, *, is_free: bool) -> Grip | None:
        """Add what the tool adds at a place; the new mark, if any."""
        draft = self.draft
        if self.tool == "known":
            x, y, sigma_px = self._place(x, y, is_free=is_free)
            point = KnownPoint(x, y, kind=self.kind, sigma_px=sigma_px)
            self._push(replace(draft, known=(*draft.known, point)), "Add known point")
            return Grip("known", len(draft.known))
        if self.tool == "curve":
            curve = self._curve
            clicks = (*curve.clicks, (x, y))
            self._put(replace(curve, clicks=clicks), "Click on the curve")
            return Grip("click", len(clicks) - 1)
        if self.tool == "hand":
            return self._add_by_hand(x, y)
        return None

    def _add_by_hand(self, x: float, y: float) -> Grip:
        curve = self._curve
        runs = curve.hand
        if self._begins_run or not runs:
            runs = (*runs, ())
        self._begins_run = False
        run = (*runs[-1], (x, y))
        self._put(replace(curve, hand=(*runs[:-1], run)), "Add point by hand")
        return Grip("hand", len(runs) - 1, len(run) - 1)

    def begin_run(self) -> None:
        """The next point by hand begins a run of its own."""
        self._begins_run = True

    def move(self, grip: Grip, x: float, y: float, *, is_free: bool) -> None:
        """Move a mark; moves in a row are one step."""
        draft = self.draft
        sigma_px = None
        if grip.kind in ("known", "corner"):
            x, y, sigma_px = self._place(x, y, is_free=is_free)
        after = moved(draft, grip, self.curve, (x, y))
        if grip.kind == "known" and sigma_px is not None:
            point = replace(after.known[grip.index], sigma_px=sigma_px)
            after = after.with_known(grip.index, point)
        self._push(after, f"Move {name_of(grip)}", joins=f"move {grip}")

    def remove(self, grip: Grip) -> None:
        """Take a mark away."""
        self._push(removed(self.draft, grip, self.curve), f"Remove {name_of(grip)}")

    def add_rectangle(self, box: Rectangle) -> None:
        """A rectangle was drawn with the tool."""
        draft = self.draft
        if self.tool == "square":
            self._push(replace(draft, corners=corners_of(box)), "Draw corners")
        elif self.tool == "area":
            self._push(replace(draft, region=box), "Limit the search")
        elif self.tool == "erase":
            curve = self._curve
            self._put(replace(curve, erased=(*curve.erased, box)), "Leave a span out")

    def _place(self, x: float, y: float, *, is_free: bool) -> tuple[float, float, float]:
        """A place, snapped if it may be, and by how much it may be off."""
        if is_free:
            return x, y, HAND_SIGMA_PX
        found = snapped(self._pixels, x, y)
        is_sure = found.is_x_snapped and found.is_y_snapped
        return found.x, found.y, SNAPPED_SIGMA_PX if is_sure else HAND_SIGMA_PX

    # By the fields

    def type_known(self, index: int, **known: float | None) -> None:
        """Type what is known of a point."""
        point = replace(self.draft.known[index], **known)  # type: ignore[arg-type]
        self._push(self.draft.with_known(index, point), "Type what is known")

    def set_frequency_scale(self, scale: Scale) -> None:
        """Linear or logarithmic."""
        self._push(replace(self.draft, frequency_scale=scale), "Change frequency axis")

    def set_scale(self, scale: Scale) -> None:
        """Scale of the axis of this curve."""
        self._push(self.draft.with_scale(self.kind, scale), "Change value axis")

    def set_kind(self, kind: ValueKind) -> None:
        """What this curve shows; with only one curve, the points typed so far are of it, too."""
        draft, old = self.draft, self.kind
        self._kind = kind
        if len(draft.curves) < 2:
            known = tuple(
                replace(one, kind=kind) if one.kind == old else one for one in draft.known
            )
            draft = replace(draft, known=known).with_scale(kind, draft.scale(old))
        if self.curve < len(draft.curves):
            draft = draft.with_curve(self.curve, replace(self._curve, kind=kind))
        self._push(draft, "Change what the curve shows")

    def choose_curve(self, index: int) -> None:
        """Work on another curve; that is no step."""
        self.curve = max(0, index)

    def rename_curve(self, index: int, name: str) -> None:
        """Give a curve a name: that of its sweep."""
        curve = replace(self.draft.curves[index], name=name)
        self._push(self.draft.with_curve(index, curve), "Rename curve")

    def add_curve(self) -> None:
        """One more curve, to be clicked next."""
        if len(self.draft.curves) < MOST_CURVES:
            self._kind = self.kind
            self.curve = len(self.draft.curves)
            self._put(Curve(kind=self._kind), "Add curve")

    def remove_curve(self) -> None:
        """Remove the curve that is worked on."""
        if self.curve < len(self.draft.curves):
            self._push(self.draft.without_curve(self.curve), "Remove curve")
            self.curve = max(0, min(self.curve, len(self.draft.curves) - 1))

    def set_tolerance(self, tolerance: float) -> None:
        """How far the line's colour may differ; the moves of a slider are one step."""
        if self.curve < len(self.draft.curves):
            curve = replace(self._curve, tolerance=tolerance)
            self._put(curve, "Change colour tolerance", joins="tolerance")

    def _put(self, curve: Curve, text: str, joins: str = "") -> None:
        index = min(self.curve, len(self.draft.curves))
        self.curve = index
        self._push(self.draft.with_curve(index, curve), text, joins)

    def _push(self, draft: Draft, text: str, joins: str = "") -> None:
        self.history.push(draft, text, joins)
