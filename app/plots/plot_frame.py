"""What both plots have in common: ranges, panning, zooming, hovering, themes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, Qt, QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

# PySide6 comes before it, so that it binds to that.
import pyqtgraph as pg  # isort: skip

from fairlead.app.drawing.screen_map import ScreenMap
from fairlead.app.plots.curves import CurveSet
from fairlead.app.plots.group_curves import GroupSet
from fairlead.app.plots.hover_marker import HoverMarker
from fairlead.app.plots.key_cursor import CURSOR_KEYS, announce, moved
from fairlead.core.comparison.knowledge import NOTHING_KNOWN

if TYPE_CHECKING:
    from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent, QWheelEvent

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import Hover, ViewState
    from fairlead.app.look.palette import Theme
    from fairlead.app.plots.projection import Projection
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.uncertainty.point_range import PointRange

_HOVER_PX = 30.0
_PAN_FROM_PX = 3.0
_AT_REST_AFTER_MS = 160
# A notch of a mouse wheel is 120 units.
_ZOOM_A_UNIT = 1.25 ** (1 / 120)
ZOOM_STEP = 1.3


class PlotFrame(QWidget):
    """A plot with its own mouse handling: subclasses determine what is under the mouse.

    pyqtgraph manages the ranges and draws the axes; its mouse handling, menus and buttons are
    switched off, since it drops mouse moves and grabs the wrong things.
    """

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
        self._view = pg.PlotWidget(self, enableMenu=False)
        self._item = self._view.getPlotItem()
        self._item.hideButtons()
        self._box = self._item.getViewBox()
        self._box.setDefaultPadding(0)
        self._box.enableAutoRange(enable=False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._view)
        self._view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().installEventFilter(self)

        self._curves = CurveSet(projection, document.analyses)
        self._groups = GroupSet(document.analyses)
        self._marker = HoverMarker(self._box)
        self._marker.setZValue(60)
        self._screen = ScreenMap.between((0, 1), (0, 1), (1, 1))
        self._is_fitted = True
        self._is_started = False
        self._press_at: QPointF | None = None
        self._pan_from: QPointF | None = None
        # While the plot is being moved, a coarser picture will do if the exact one takes long.
        self._is_moving = False
        self._at_rest = QTimer(self)
        self._at_rest.setSingleShot(True)
        self._at_rest.setInterval(_AT_REST_AFTER_MS)
        self._at_rest.timeout.connect(self._came_to_rest)

    # For tests and helpers

    def viewport(self) -> QWidget:
        """The widget that gets the mouse."""
        return cast("QWidget", self._view.viewport())

    def position_of(self, x: float, y: float) -> QPointF:
        """Position of values of the plot on the viewport, in pixels."""
        return QPointF(self._screen.x(x), self._screen.y(y)) + self._origin()

    # Zoom

    @property
    def is_fitted(self) -> bool:
        """Whether everything is shown, also after sweeps come or the size changes."""
        return self._is_fitted

    def zoom_to_fit(self) -> None:
        """Show everything."""
        self._fit()
        self._is_fitted = True

    def zoom_in(self) -> None:
        """Show less, around the middle."""
        self._zoom(QPointF(self._screen.width / 2, self._screen.height / 2), ZOOM_STEP)

    def zoom_out(self) -> None:
        """Show more, around the middle."""
        self._zoom(QPointF(self._screen.width / 2, self._screen.height / 2), 1 / ZOOM_STEP)

    def _show_ranges(self, x_range: tuple[float, float], y_range: tuple[float, float]) -> None:
        self._box.setRange(xRange=x_range, yRange=y_range, padding=0)

    def _zoom(self, at: QPointF, factor: float) -> None:
        self._is_fitted = False
        self._zoom_at(at, factor)

    # To be implemented by subclasses

    def _fit(self) -> None:
        """Show everything."""
        raise NotImplementedError

    def _zoom_at(self, at: QPointF, factor: float) -> None:
        """Zoom in around a pixel."""
        raise NotImplementedError

    def _pan_by(self, way: QPointF) -> None:
        """Shift by pixels."""
        raise NotImplementedError

    def _screen_changed(self) -> None:
        """Lay out what is positioned in pixels."""

    def _curves_changed(self) -> None:
        """Draw the curves again."""

    def _curves_moved(self) -> None:
        """Draw curves that only moved along the frequency axis; many are painted roughly first."""
        self._curves.set_screen(self._screen, is_fine=False)
        self._at_rest.start()
        self._curves_changed()

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

    def _grab(self, at: QPointF) -> bool:
        """Grab something under a pixel; False if there is nothing."""
        del at
        return False

    def _drag(self, at: QPointF) -> bool:
        """Move what is being dragged; False if nothing is."""
        del at
        return False

    def _let_go(self) -> bool:
        """End the drag; False if there was none."""
        return False

    def _is_over_handle(self, at: QPointF) -> bool:
        """Set the cursor for what is under a pixel; returns whether it can be dragged."""
        del at
        return False

    # Events

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Handle mouse events of the viewport."""
        kind = event.type()
        if watched is not self.viewport():
            return super().eventFilter(watched, event)
        if kind == QEvent.Type.MouseMove:
            self._mouse_moved(cast("QMouseEvent", event))
        elif kind == QEvent.Type.MouseButtonPress:
            self._mouse_pressed(cast("QMouseEvent", event))
        elif kind == QEvent.Type.MouseButtonRelease:
            self._mouse_released(cast("QMouseEvent", event))
        elif kind == QEvent.Type.MouseButtonDblClick:
            self._mouse_double_clicked(cast("QMouseEvent", event))
        elif kind == QEvent.Type.Wheel:
            self._wheel_turned(cast("QWheelEvent", event))
        elif kind == QEvent.Type.Leave:
            self._view_state.set_hover(None)
        elif kind == QEvent.Type.ContextMenu:
            self._menu_asked(cast("QContextMenuEvent", event))
        else:
            return super().eventFilter(watched, event)
        event.accept()
        return True

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
        hover = self._point_near(QPointF(event.pos()) - self._origin())
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

    def _mouse_pressed(self, event: QMouseEvent) -> None:
        if event.button() not in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            return
        if self._press_at is not None:
            return
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        at = event.position() - self._origin()
        if event.button() == Qt.MouseButton.LeftButton and self._grab(at):
            self._view_state.set_hover(None)
            return
        self._press_at = at

    def _mouse_moved(self, event: QMouseEvent) -> None:
        at = event.position() - self._origin()
        if self._drag(at):
            return
        if self._press_at is not None:
            self._pan_to(at)
            return
        if event.buttons() == Qt.MouseButton.NoButton:
            is_over_handle = self._is_over_handle(at)
            self._view_state.set_hover(None if is_over_handle else self._point_near(at))

    def _mouse_released(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and self._let_go():
            self._is_over_handle(event.position() - self._origin())
            return
        self._press_at = self._pan_from = None
        self._is_over_handle(event.position() - self._origin())

    def _mouse_double_clicked(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and not self._is_over_handle(
            event.position() - self._origin()
        ):
            self.zoom_to_fit()

    def _wheel_turned(self, event: QWheelEvent) -> None:
        if self._press_at is not None:
            return
        at = event.position() - self._origin()
        turn = event.angleDelta()
        self._is_fitted = False
        self._is_moving = True
        if turn.y():
            self._wheel(at, _ZOOM_A_UNIT ** turn.y(), event.modifiers())
        elif turn.x():
            self._pan_by(QPointF(turn.x() / 2, 0))
        self._is_moving = False

    def _wheel(self, at: QPointF, factor: float, modifiers: Qt.KeyboardModifier) -> None:
        del modifiers
        self._zoom_at(at, factor)

    def _pan_to(self, at: QPointF) -> None:
        if self._pan_from is None:
            if self._press_at is None or (at - self._press_at).manhattanLength() < _PAN_FROM_PX:
                return
            self._pan_from = self._press_at
            self._view_state.set_hover(None)
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        self._is_fitted = False
        self._is_moving = True
        self._pan_by(at - self._pan_from)
        self._is_moving = False
        self._pan_from = at

    def _point_near(self, at: QPointF) -> Hover | None:
        screen = self._screen
        if not (0 <= at.x() <= screen.width and 0 <= at.y() <= screen.height):
            return None
        return self._curves.nearest(at.x(), at.y(), _HOVER_PX)

    def _origin(self) -> QPointF:
        """Top left corner of the plot area on the viewport."""
        return cast("QPointF", self._box.scenePos())

    # Changes from elsewhere

    def _ranges_changed(self) -> None:
        size = self._box.size()
        x_range, y_range = self._box.viewRange()
        screen = ScreenMap.between(tuple(x_range), tuple(y_range), (size.width(), size.height()))
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
