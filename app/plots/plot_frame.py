"""What both plots have in common: curves, hovering, the cursor of the keys, themes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal

from fairlead.app.drawing.screen_map import ScreenMap
from fairlead.app.plots.curves import CurveSet
from fairlead.app.plots.group_curves import GroupSet
from fairlead.app.plots.hover_marker import HoverMarker
from fairlead.app.plots.key_cursor import CURSOR_KEYS, announce, moved
from fairlead.app.plots.movable_plot import MovablePlot
from fairlead.core.comparison.knowledge import NOTHING_KNOWN

if TYPE_CHECKING:
    from PySide6.QtGui import QContextMenuEvent, QKeyEvent
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import Hover, ViewState
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.projection import Projection
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.uncertainty.point_range import PointRange

_HOVER_PX = 30.0


class PlotFrame(MovablePlot):
    """A plot of the document's curves, which follows document, view state, and keys."""

    menu_wanted = Signal(QPoint, bool)
    """Where on the screen, and whether on a sweep, which is selected by then."""

    def __init__(
        self,
        document: Document,
        view_state: ViewState,
        projection: Projection,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._view_state = view_state
        self._theme = view_state.theme
        self._curves = CurveSet(projection, document.analyses)
        self._groups = GroupSet(document.analyses)
        self._marker = HoverMarker(self._box)
        self._marker.setZValue(60)
        self._is_started = False

    # To be implemented by subclasses

    def _screen_changed(self) -> None:
        """Lay out what is positioned in pixels."""

    def _curves_changed(self) -> None:
        """Draw the curves again."""

    def _curves_moved(self) -> None:
        """Draw curves that only moved along the frequency axis; many are painted roughly first."""
        self._paint_roughly()
        self._curves_changed()

    def _paint_roughly(self) -> None:
        """Leave the exact picture for when the motion ends."""
        self._curves.set_screen(self._screen, is_fine=False)
        self._at_rest.start()

    def _groups_changed(self) -> None:
        """Draw envelopes and means again."""

    def _shading_changed(self) -> None:
        """Draw the uncertainty of the points again."""

    def _error_at(self, hover: Hover, points: PointRange) -> tuple[float, tuple[str, ...]]:
        """For a hovered point that may be off: radius of a disc, and a text."""
        del hover, points
        return 0.0, ()

    def _look_again(self, bench: Bench) -> bool:
        """Follow changes of the bench that affect curves beyond their sweeps; whether any did."""
        del bench
        return False

    def _bench_parts_changed(self, old: Bench, new: Bench) -> None:
        """Draw everything else that changed again."""

    def _restyle(self, theme: Theme) -> None:
        """Use other tones."""

    def _use_font(self) -> None:
        """Write in the widget's font."""

    def _readout(self, hover: Hover) -> tuple[str, ...]:
        """The text beside the hovered point; its colour identifies the sweep."""
        raise NotImplementedError

    # Events

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Open the menu by its key: at the cursor on the curves, else in the middle."""
        curve = self._curves.find(self._view_state.hover)
        at = QPointF(self._screen.width / 2, self._screen.height / 2)
        if curve is not None and self._view_state.hover is not None:
            self._view_state.set_selection(frozenset({curve.key}))
            at = QPointF(*self._curves.pixel(curve, self._view_state.hover.index))
        place = (at + self._origin()).toPoint()
        self.menu_wanted.emit(self.viewport().mapToGlobal(place), curve is not None)
        event.accept()

    def _menu_asked(self, event: QContextMenuEvent) -> None:
        """Open the menu under the mouse; the sweep there becomes the selected one."""
        at = QPointF(event.pos()) - self._origin()
        hover = self._point_near(at)
        self._note_pointed(at, hover)
        if hover is not None and hover.key not in self._view_state.selection:
            self._view_state.set_selection(frozenset({hover.key}))
        self.menu_wanted.emit(event.globalPos(), hover is not None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the cursor on the curves; Escape takes it away."""
        shift = Qt.KeyboardModifier.ShiftModifier
        keypad = Qt.KeyboardModifier.KeypadModifier
        is_plain = not event.modifiers() & ~(shift | keypad)
        if event.key() in CURSOR_KEYS and is_plain:
            curves = sorted(self._curves, key=lambda curve: curve.order)
            is_large = bool(event.modifiers() & shift)
            self._view_state.set_hover(
                moved(
                    self._view_state.hover,
                    event.key(),
                    curves,
                    self._shown_hz(),
                    is_large=is_large,
                )
            )
            if self._view_state.hover is not None:
                self._view_state.pointed_hz = self._measured_hz(self._view_state.hover)
            self._announce_hover()
        elif event.key() == Qt.Key.Key_Escape and self._view_state.hover is not None:
            self._view_state.set_hover(None)
        else:
            super().keyPressEvent(event)

    def _announce_hover(self) -> None:
        hover = self._view_state.hover
        if hover is not None and self._curves.find(hover) is not None:
            name = self._document.bench.entry(hover.key).caption
            announce(self, ", ".join((name, *self._readout(hover))))

    def _shown_hz(self) -> tuple[float, float]:
        """Lowest and highest frequency of the points that the cursor can go to."""
        return -math.inf, math.inf

    def changeEvent(self, event: QEvent) -> None:
        """Write in another size."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and self._is_started:
            self._use_font()
            self._screen_changed()
            self._curves_changed()
            self._place_marker()

    def _point_near(self, at: QPointF) -> Hover | None:
        screen = self._screen
        if not (0 <= at.x() <= screen.width and 0 <= at.y() <= screen.height):
            return None
        return self._curves.nearest(at.x(), at.y(), _HOVER_PX)

    def _look_at(self, at: QPointF | None) -> None:
        hover = None if at is None else self._point_near(at)
        self._view_state.set_hover(hover)
        if at is not None:
            self._note_pointed(at, hover)

    def _note_pointed(self, at: QPointF, hover: Hover | None) -> None:
        """Note what frequency is pointed at: that of the point, else of the place, if it has one.

        A quantity may be drawn at other frequencies than those measured; a point has its own.
        """
        found_hz = self._frequency_at(at) if hover is None else self._measured_hz(hover)
        if found_hz is not None:
            self._view_state.pointed_hz = found_hz

    def _measured_hz(self, hover: Hover) -> float:
        return float(self._document.bench.entry(hover.key).sweep.frequency_hz[hover.index])

    def _frequency_at(self, at: QPointF) -> float | None:
        """The frequency under a pixel; None where the plot has no frequency axis."""
        del at
        return None

    # Changes from elsewhere

    def _map(
        self, x_range: tuple[float, float], y_range: tuple[float, float], size: tuple[float, float]
    ) -> ScreenMap:
        """The map from values to pixels for the ranges of the plot."""
        return ScreenMap.between(x_range, y_range, size)

    def _ranges_changed(self) -> None:
        size = self._box.size()
        x_range, y_range = self._box.viewRange()
        screen = self._map(tuple(x_range), tuple(y_range), (size.width(), size.height()))
        if screen == self._screen:
            return
        self._screen = screen
        self._curves.set_screen(screen, is_fine=not self._is_moving)
        if self._is_moving:
            self._at_rest.start()
        self._screen_changed()
        self._place_marker()

    def _came_to_rest(self) -> None:
        """Draw the exact picture after motion has ended."""
        if not self._curves.is_fine:
            self._curves.set_screen(self._screen, is_fine=True)
            self._screen_changed()

    def _resized(self) -> None:
        if self._is_fitted:
            self._fit()
        self._ranges_changed()

    def _bench_changed(self, old: Bench, new: Bench) -> None:
        is_other = self._look_again(new)
        if _groups_differ(old, new):
            self._groups.update(new)
            self._groups_changed()
        if is_other or _curves_differ(old, new):
            self._curves.update(new, self._view_state.selection, self._known)
            are_others = [e.key for e in old.entries] != [e.key for e in new.entries]
            if self._is_fitted and (is_other or are_others):
                self._fit()
            if self._curves.only_moved and not is_other:
                self._curves_moved()
            else:
                if self._document.is_hurried:
                    self._paint_roughly()
                self._curves_changed()
            if self._view_state.hover is not None and not self._is_shown(new):
                self._view_state.set_hover(None)
            self._place_marker()
        self._bench_parts_changed(old, new)

    def _is_shown(self, bench: Bench) -> bool:
        """Whether the hovered point is still visible."""
        hover = self._view_state.hover
        return any(
            hover is not None and entry.key == hover.key and hover.index < len(entry.sweep)
            for entry in bench.visible
        )

    def _selection_changed(self, selection: frozenset[int]) -> None:
        self._curves.update(self._document.bench, selection, self._known)
        self._curves_changed()

    @property
    def _known(self) -> Knowledge:
        """The uncertainty of the points, if it is to be shown."""
        return self._document.knowledge if self._view_state.shows_uncertainty else NOTHING_KNOWN

    def _shade(self, *_: object) -> None:
        """Show the uncertainty of the points, if it is not shown already."""
        before = {curve.key: curve.points for curve in self._curves}
        self._curves.update(self._document.bench, self._view_state.selection, self._known)
        if any(curve.points is not before.get(curve.key) for curve in self._curves):
            self._shading_changed()
            self._place_marker()

    def _theme_changed(self, theme: Theme) -> None:
        self._theme = theme
        self._view.setBackground(theme.base)
        self._marker.set_theme(theme)
        self._restyle(theme)
        self._place_marker()

    def _hover_changed(self, hover: Hover | None) -> None:
        del hover
        self._place_marker()

    def _place_marker(self) -> None:
        hover = self._view_state.hover
        curve = self._curves.find(hover)
        if hover is None or curve is None:
            self._marker.hide()
            return
        x, y = self._curves.pixel(curve, hover.index)
        lines = [self._curves.line(other) for other in self._curves]
        texts = self._readout(hover)
        if hover.index in curve.analysis.outliers:
            texts += ("off the curve, not used in any figure",)
        if hover.in_gap and curve.analysis.gaps:
            texts += _gap_texts(curve.analysis)
        disc_px = 0.0
        if curve.points is not None:
            disc_px, error_texts = self._error_at(hover, curve.points)
            texts += error_texts
        self._marker.point_at(curve, lines, (x, y), texts, self._screen, disc_px)

    def _start(self) -> None:
        """Show the bench for the first time; subclasses call it when they are ready."""
        self._curves.set_screen(self._screen, is_fine=True)
        self._curves.update(self._document.bench, self._view_state.selection, self._known)
        self._groups.update(self._document.bench)
        self._is_started = True
        self._use_font()
        self._theme_changed(self._view_state.theme)
        self._ranges_changed()
        self._fit()
        self._box.sigRangeChanged.connect(self._ranges_changed)
        self._box.sigResized.connect(self._resized)
        self._document.changed.connect(self._bench_changed)
        self._document.learned.connect(self._shade)
        self._view_state.uncertainty_changed.connect(self._shade)
        self._view_state.theme_changed.connect(self._theme_changed)
        self._view_state.selection_changed.connect(self._selection_changed)
        self._view_state.hover_changed.connect(self._hover_changed)


def _gap_texts(analysis: Analysis) -> tuple[str, ...]:
    """The text where points are too far apart, in lines of about the same length."""
    return "points too far apart:", f"narrow the span or take {analysis.points_wanted} points"


def _groups_differ(old: Bench, new: Bench) -> bool:
    """Whether envelopes may differ; notes about members may make them no population any more."""
    if old.groups is not new.groups:
        return True
    return bool(new.groups) and (old.entries is not new.entries or old.z0_ohm != new.z0_ohm)


def _curves_differ(old: Bench, new: Bench) -> bool:
    """Whether anything drawn from the sweeps differs."""
    if old.z0_ohm != new.z0_ohm or old.reference_key != new.reference_key:
        return True
    return old.entries is not new.entries and [
        (entry.key, entry.sweep, entry.is_visible, entry.drawn_style) for entry in old.entries
    ] != [(entry.key, entry.sweep, entry.is_visible, entry.drawn_style) for entry in new.entries]
