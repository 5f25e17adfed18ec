"""SWR over frequency, with the band's edges and the limit to take hold of."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QSizeF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent

from fairlead.app.plots.band_edges import Handles, edge_text, limit_text
from fairlead.app.plots.curve_layer import SwrCurveLayer, above_one_points
from fairlead.app.plots.handle_gestures import KEYS, HandleGestures
from fairlead.app.plots.notes import Notes
from fairlead.app.plots.plot_frame import PlotFrame
from fairlead.app.plots.projection import SwrProjection
from fairlead.app.plots.swr_grid import SwrGrid
from fairlead.app.plots.swr_scale import TOP_HIGHEST, TOP_LOWEST, place, ticks
from fairlead.core.reflection import swr
from fairlead.core.units import format_swr

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import Hover, ViewState
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.band_edges import Part
    from fairlead.core.document.bench import Bench

_LEFT_AXIS_PX = 46
_BOTTOM_AXIS_PX = 40
_FIT_TOP_LOWEST = place(3.5)
_FIT_TOP_HIGHEST = place(10.0)
_MARGIN = 0.02
_NARROWEST_HZ = 1e3
# Below the tags of the band edges and the marks at the upper border.
_NOTES_TOP_PX = 32.0
_ORDER: tuple[Part, ...] = ("low", "high", "limit")
_CURSORS = {
    "low": Qt.CursorShape.SplitHCursor,
    "high": Qt.CursorShape.SplitHCursor,
    "limit": Qt.CursorShape.SplitVCursor,
    "band": Qt.CursorShape.SizeHorCursor,
}


class SwrPlot(PlotFrame):
    """Curves over frequency; emits intents and changes nothing itself."""

    gesture_began = Signal()
    edge_dragged = Signal(str, float)
    """Edge ("low" or "high"), Hz."""
    band_dragged = Signal(float)
    """New low edge, Hz."""
    limit_dragged = Signal(float)
    """SWR."""
    gesture_ended = Signal()
    gesture_cancelled = Signal()

    def __init__(
        self, document: Document, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, view_state, SwrProjection(), parent)
        self.setAccessibleName("SWR over frequency")
        self._focused: Part | None = None
        self._hot: Part | None = None
        self._top = _FIT_TOP_HIGHEST
        self._setup_axes()

        self._grid = SwrGrid(self._box)
        self._handles = Handles(self._box)
        self._handles.set_font(self.font())
        self._marker.set_font(self.font())
        self._layer = SwrCurveLayer(self._curves, self._box)
        self._layer.setZValue(20)
        self._notes = Notes(self._box, top=_NOTES_TOP_PX)
        self._notes.setZValue(25)
        self._notes.set_font(self.font())

        self._gestures = HandleGestures(document, self)
        self._gestures.began.connect(self.gesture_began)
        self._gestures.edge_dragged.connect(self.edge_dragged)
        self._gestures.band_dragged.connect(self.band_dragged)
        self._gestures.limit_dragged.connect(self.limit_dragged)
        self._gestures.ended.connect(self.gesture_ended)
        self._gestures.cancelled.connect(self.gesture_cancelled)
        self._start()
        self._describe()

    # Zoom

    def zoom_to_band(self) -> None:
        """Show the band and a little beside it, and the SWR that occurs there."""
        self._is_fitted = False
        bench = self._document.bench
        margin_hz = 0.15 * bench.band.width_hz
        self._top = self._fitting_top(bench.band.low_hz, bench.band.high_hz, place(2.2))
        self._show_x(bench.band.low_hz - margin_hz, bench.band.high_hz + margin_hz)

    def _fit(self) -> None:
        low_hz, high_hz = self._span_hz()
        margin_hz = _MARGIN * (high_hz - low_hz)
        self._top = self._fitting_top(low_hz, high_hz, _FIT_TOP_LOWEST)
        self._show_x(low_hz - margin_hz, high_hz + margin_hz)

    def _span_hz(self) -> tuple[float, float]:
        """Lowest and highest frequency of what is shown; around the band if that is nothing."""
        if len(self._curves):
            grids = [curve.analysis.frequency_hz for curve in self._curves]
            return float(min(grid[0] for grid in grids)), float(max(grid[-1] for grid in grids))
        band = self._document.bench.band
        return band.low_hz - band.width_hz, band.high_hz + band.width_hz

    def _fitting_top(self, low_hz: float, high_hz: float, lowest: float) -> float:
        """|G| at the upper border so that curves and limit are seen, within reason."""
        wanted = place(self._document.bench.limit_swr)
        for curve in self._curves:
            grid_hz = curve.analysis.frequency_hz
            inside = slice(*np.searchsorted(grid_hz, (low_hz, high_hz)))
            part = curve.analysis.power[inside]
            if part.size:
                wanted = max(wanted, float(np.sqrt(part.max())))
        return min(max(1.08 * wanted, lowest), _FIT_TOP_HIGHEST)

    def _show_x(self, low_hz: float, high_hz: float) -> None:
        lowest_hz, highest_hz = self._span_hz()
        span_hz = max(highest_hz - lowest_hz, _NARROWEST_HZ)
        width_hz = min(max(high_hz - low_hz, _NARROWEST_HZ), 20 * span_hz)
        # At least a corner of the sweeps stays in sight, so that nobody is lost.
        low_hz = min(max(low_hz, lowest_hz - 0.9 * width_hz), highest_hz - 0.1 * width_hz)
        self._show_ranges((low_hz, low_hz + width_hz), (0.0, self._top))

    def _zoom_at(self, at: QPointF, factor: float) -> None:
        screen = self._screen
        centre_hz = screen.x_value(at.x())
        self._show_x(
            centre_hz - (centre_hz - screen.left) / factor,
            centre_hz + (screen.right - centre_hz) / factor,
        )

    def _wheel(self, at: QPointF, factor: float, modifiers: Qt.KeyboardModifier) -> None:
        """Over the SWR axis, or with Ctrl, the wheel changes the SWR at the top; 1 stays put."""
        if at.x() < 0 or modifiers & Qt.KeyboardModifier.ControlModifier:
            self._top = min(max(self._top / factor, TOP_LOWEST), TOP_HIGHEST)
            self._show_x(self._screen.left, self._screen.right)
        else:
            self._zoom_at(at, factor)

    def _pan_by(self, way: QPointF) -> None:
        shift_hz = way.x() / self._screen.x_scale
        self._show_x(self._screen.left - shift_hz, self._screen.right - shift_hz)

    # Showing

    def _setup_axes(self) -> None:
        for name, text in (("bottom", "Frequency (MHz)"), ("left", "SWR")):
            axis = self._item.getAxis(name)
            axis.enableAutoSIPrefix(enable=False)
            axis.setLabel(text)
            axis.setStyle(tickLength=-4)
        self._item.getAxis("bottom").setScale(1e-6)
        # pyqtgraph lets titles hang out of their axis, hence the margins there.
        # Whole pixels: a plot between two would blur every layer.
        self._item.getAxis("left").setWidth(_LEFT_AXIS_PX)
        self._item.getAxis("bottom").setHeight(_BOTTOM_AXIS_PX)
        self._item.layout.setContentsMargins(4, 8, 14, 6)

    def _screen_changed(self) -> None:
        screen, bench = self._screen, self._document.bench
        size = QSizeF(screen.width, screen.height)
        ratios = ticks(self._top, screen.height)
        self._item.getAxis("left").setTicks([[(place(ratio), f"{ratio:g}") for ratio in ratios]])
        levels = self._item.getAxis("bottom").tickValues(screen.left, screen.right, screen.width)
        columns = [screen.x(float(at)) for at in levels[0][1]] if levels else []
        self._grid.set_size(size)
        self._grid.set_lines(columns, [screen.y(place(ratio)) for ratio in ratios])
        self._layer.set_size(size)
        self._notes.set_screen(screen)
        self._handles.show_band(bench.band, screen)
        self._handles.show_limit(bench.limit_swr, screen)

    def _curves_changed(self) -> None:
        self._layer.renew()
        above = any(above_one_points(curve).size for curve in self._curves)
        self._notes.set_lines(("▲ |Γ| above 1: no SWR there",) if above else ())

    def _bench_parts_changed(self, old: Bench, new: Bench) -> None:
        if old.band != new.band:
            self._handles.show_band(new.band, self._screen)
            if not self._curves and self._is_fitted:
                self._fit()
        if old.limit_swr != new.limit_swr:
            self._handles.show_limit(new.limit_swr, self._screen)
        if self._focused is not None:
            self._describe()

    def _restyle(self, theme: Theme) -> None:
        for name in ("bottom", "left"):
            axis = self._item.getAxis(name)
            axis.setPen(theme.muted)
            axis.setTextPen(theme.text)
            axis.setLabel(axis.labelText, color=theme.text)
        self._grid.set_theme(theme)
        self._layer.set_theme(theme)
        self._handles.set_theme(theme)
        self._notes.set_theme(theme)

    def _readout(self, hover: Hover) -> tuple[str, ...]:
        entry = self._document.bench.entry(hover.key)
        analysis = self._document.analyses.of(entry.sweep, self._document.bench.z0_ohm)
        ratio = float(swr(np.sqrt(analysis.power[hover.index])))
        frequency_hz = float(analysis.frequency_hz[hover.index])
        return (f"{edge_text(frequency_hz)} MHz, SWR {format_swr(ratio)}",)

    # Mouse

    def _grab(self, at: QPointF) -> bool:
        part = self._handles.at(at)
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
        self._hot = self._handles.at(at)
        self._mark_handles()
        if self._hot is None:
            self.viewport().unsetCursor()
        else:
            self.viewport().setCursor(_CURSORS[self._hot])
        return self._hot is not None

    # Keys

    def event(self, event: QEvent) -> bool:
        """Keep keys that move a handle from being taken as shortcuts of the window."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            is_escape = event.key() == Qt.Key.Key_Escape and self._gestures.is_active
            if is_escape or (event.key() in KEYS and self._focused is not None):
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
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """End a run of keys; a key that repeats itself is still held."""
        if event.key() in KEYS and not event.isAutoRepeat():
            self._gestures.key_release(event.key())
        else:
            super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Choose the first or last handle when the keyboard comes by Tab."""
        if event.reason() == Qt.FocusReason.TabFocusReason:
            self._focus_on(_ORDER[0])
        elif event.reason() == Qt.FocusReason.BacktabFocusReason:
            self._focus_on(_ORDER[-1])
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End a run of keys: its release would never arrive."""
        self._gestures.finish()
        self._focus_on(None)
        super().focusOutEvent(event)

    def focusNextPrevChild(self, is_next: bool) -> bool:
        """Tab goes from handle to handle before it leaves the plot."""
        if self.hasFocus():
            places = _ORDER if is_next else _ORDER[::-1]
            at = -1 if self._focused is None else places.index(self._focused)
            if at + 1 < len(places):
                self._gestures.finish()
                self._focus_on(places[at + 1])
                return True
        return super().focusNextPrevChild(is_next)

    def hideEvent(self, event: QHideEvent) -> None:
        """End what is under way."""
        self._gestures.finish()
        super().hideEvent(event)

    def _focus_on(self, part: Part | None) -> None:
        self._focused = part
        self._mark_handles()
        self._describe()

    def _mark_handles(self) -> None:
        self._handles.mark(focused=self._focused, hot=self._gestures.held or self._hot)

    def _describe(self) -> None:
        """Say to assistive technology what the keys move."""
        bench = self._document.bench
        chosen = {
            "low": f"Low band edge, {edge_text(bench.band.low_hz)} MHz. ",
            "high": f"High band edge, {edge_text(bench.band.high_hz)} MHz. ",
            "limit": f"SWR {limit_text(bench.limit_swr)}. ",
        }.get(self._focused or "", "")
        self.setAccessibleDescription(
            f"{chosen}Tab chooses a band edge or the limit line; the arrow keys move it, with "
            "Shift in large and with Ctrl in fine steps; Escape takes a move back."
        )
