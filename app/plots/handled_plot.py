"""A plot over frequency whose band edges, limit and markers are dragged, or moved by keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent

from fairlead.app.plots.band_edges import Handles
from fairlead.app.plots.handle_gestures import KEYS, HandleGestures
from fairlead.app.plots.line_handle import edge_text
from fairlead.app.plots.marker_flags import MarkerFlags
from fairlead.app.plots.plot_frame import PlotFrame
from fairlead.app.plots.projection import QuantityProjection
from fairlead.core.document.markers import marker_with
from fairlead.core.marker_table import marker_title

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.plots.band_edges import Grip
    from fairlead.core.document.bench import Bench
    from fairlead.core.views.quantity import Quantity

_CURSORS: dict[Grip, Qt.CursorShape] = {
    "low": Qt.CursorShape.SplitHCursor,
    "high": Qt.CursorShape.SplitHCursor,
    "limit": Qt.CursorShape.SplitVCursor,
    "band": Qt.CursorShape.SizeHorCursor,
}
_TAGS_GAP_PX = 5.0
_REMOVAL = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)


class HandledPlot(PlotFrame):
    """Emits intents and changes nothing itself; subclasses draw the curves."""

    gesture_began = Signal()
    edge_dragged = Signal(str, float)
    """Edge ("low" or "high"), Hz."""
    band_dragged = Signal(float)
    """New low edge, Hz."""
    limit_dragged = Signal(float)
    """SWR."""
    marker_dragged = Signal(int, float)
    """Key of a marker, Hz."""
    marker_removed = Signal(int)
    """Key of a marker."""
    gesture_ended = Signal()
    gesture_cancelled = Signal()

    def __init__(
        self,
        document: Document,
        view_state: ViewState,
        quantity: Quantity,
        parent: QWidget | None = None,
    ) -> None:
        projection = QuantityProjection(quantity, is_log=view_state.log_frequency)
        super().__init__(document, view_state, projection, parent)
        self._quantity = quantity
        self._focused: Grip | None = None
        self._hot: Grip | None = None
        self._handles = Handles(self._box)
        self._flags = MarkerFlags(self._box)
        self._gestures = HandleGestures(document, quantity, self)
        self._gestures.began.connect(self.gesture_began)
        self._gestures.edge_dragged.connect(self.edge_dragged)
        self._gestures.band_dragged.connect(self.band_dragged)
        self._gestures.limit_dragged.connect(self.limit_dragged)
        self._gestures.marker_dragged.connect(self.marker_dragged)
        self._gestures.ended.connect(self.gesture_ended)
        self._gestures.cancelled.connect(self.gesture_cancelled)

    # Showing

    def _show_band(self, bench: Bench) -> None:
        # Relative to their best matches, the sweeps have no edges in common.
        self._handles.show_band(None if self._quantity.is_scaled else bench.band, self._screen)

    def _show_limit(self) -> None:
        limit_swr = self._document.bench.limit_swr
        self._handles.show_limit(
            self._quantity.limit_position(limit_swr),
            self._quantity.limit_text(limit_swr),
            self._screen,
        )

    def _show_markers(self, bench: Bench) -> None:
        # As with the band's edges.
        markers = () if self._quantity.is_scaled else bench.markers
        self._flags.show(markers, self._screen, self._handles.foot + _TAGS_GAP_PX)
        if self._focused not in (*self._parts, None):
            self._focus_on(None)
        self._mark_handles()

    @property
    def _parts(self) -> tuple[Grip, ...]:
        """What the keys can move, in the order of Tab."""
        return (*self._handles.parts, *self._flags.keys)

    def _part_at(self, at: QPointF) -> Grip | None:
        """What can be dragged at a pixel: edges and tags first, then markers, limit and bar."""
        part = self._handles.at(at)
        if part in ("low", "high"):
            return part
        marker = self._flags.at(at)
        return part if marker is None else marker

    # Mouse

    def _grab(self, at: QPointF) -> bool:
        part = self._part_at(at)
        self._focus_on(part if part != "band" else None)
        if part is None:
            return False
        self._gestures.press(part, at)
        return True

    def _drag(self, at: QPointF) -> bool:
        if self._gestures.held is None:
            return False
        self._gestures.move(at, self._screen)
        return True

    def _let_go(self) -> bool:
        if self._gestures.held is None:
            return False
        self._gestures.release()
        return True

    def _is_over_handle(self, at: QPointF) -> bool:
        self._hot = self._part_at(at)
        self._mark_handles()
        if self._hot is None:
            self.viewport().unsetCursor()
        else:
            self.viewport().setCursor(_CURSORS.get(self._hot, Qt.CursorShape.SplitHCursor))
        return self._hot is not None

    # Keys

    def event(self, event: QEvent) -> bool:
        """Keep keys that move a handle from being taken as shortcuts of the window."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            is_escape = event.key() == Qt.Key.Key_Escape and self._gestures.is_active
            is_removal = event.key() in _REMOVAL and isinstance(self._focused, int)
            moves = event.key() in KEYS and self._focused is not None
            if is_escape or moves or is_removal:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the chosen handle, or cancel."""
        if event.key() == Qt.Key.Key_Escape and (
            self._gestures.is_active or self._gestures.held is not None
        ):
            self._gestures.cancel()
        elif event.key() in KEYS and self._focused is not None:
            if event.isAutoRepeat() and not self._gestures.is_active:
                return  # still held after Escape
            self._gestures.key_press(self._focused, event.key(), event.modifiers(), self._screen)
        elif event.key() in _REMOVAL and isinstance(self._focused, int):
            self._gestures.finish()
            self.marker_removed.emit(self._focused)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """End a run of keys; an auto-repeating key is still held."""
        if event.key() in KEYS and not event.isAutoRepeat():
            self._gestures.key_release(event.key())
        else:
            super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Choose the first handle when the keyboard comes by Tab; the curves from behind."""
        if event.reason() == Qt.FocusReason.TabFocusReason:
            self._focus_on(next(iter(self._parts), None))
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End a run of keys: its release would never arrive."""
        self._gestures.finish()
        self._focus_on(None)
        super().focusOutEvent(event)

    def focusNextPrevChild(self, is_next: bool) -> bool:
        """Tab goes from handle to handle, then to the curves, before it leaves the plot."""
        if self.hasFocus():
            stops: list[Grip | None] = [*self._parts, None]
            at = stops.index(self._focused) + (1 if is_next else -1)
            if 0 <= at < len(stops):
                self._gestures.finish()
                self._focus_on(stops[at])
                return True
        return super().focusNextPrevChild(is_next)

    def hideEvent(self, event: QHideEvent) -> None:
        """End any gesture."""
        self._gestures.finish()
        super().hideEvent(event)

    def _focus_on(self, part: Grip | None) -> None:
        self._focused = part
        self._mark_handles()
        self._describe()

    def _mark_handles(self) -> None:
        hot = self._hot if self._gestures.held is None else self._gestures.held
        self._handles.mark(focused=self._focused, hot=hot)
        self._flags.mark(
            focused=self._focused if isinstance(self._focused, int) else None,
            hot=hot if isinstance(hot, int) else None,
        )

    def _describe(self) -> None:
        """Describe to assistive technology what the keys move."""
        bench = self._document.bench
        words = {"low": "a band edge", "limit": "the limit line"}
        found = [words[part] for part in self._handles.parts if part in words]
        found += ["a marker"] if self._flags.keys else []
        self.setAccessibleDescription(
            f"{self._chosen_words(bench)}Tab chooses {' or '.join(found)}; the arrow keys move it, "
            "with Shift in large and with Ctrl in fine steps; Escape cancels the move. After them "
            "come the curves: Left and Right read point after point, Up and Down change the sweep."
        )

    def _chosen_words(self, bench: Bench) -> str:
        """What the keys move and where it is; empty for nothing."""
        if isinstance(self._focused, int):
            return f"Marker, {marker_title(marker_with(bench, self._focused))}. Delete removes it. "
        return {
            "low": f"Low band edge, {edge_text(bench.band.low_hz)} MHz. ",
            "high": f"High band edge, {edge_text(bench.band.high_hz)} MHz. ",
            "limit": f"{self._quantity.title} limit {self._quantity.limit_text(bench.limit_swr)}. ",
        }.get(self._focused or "", "")
