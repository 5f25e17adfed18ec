"""A plot that is moved with the mouse: ranges, panning, zooming, dragging; knows no document."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, QTimer
from PySide6.QtWidgets import QVBoxLayout, QWidget

# PySide6 comes before it, so that it binds to that.
import pyqtgraph as pg  # isort: skip

from fairlead.app.drawing.screen_map import ScreenMap

if TYPE_CHECKING:
    from PySide6.QtGui import QContextMenuEvent, QMouseEvent, QWheelEvent

_PAN_FROM_PX = 3.0
_AT_REST_AFTER_MS = 160
# A notch of a mouse wheel is 120 units.
_ZOOM_A_UNIT = 1.25 ** (1 / 120)
ZOOM_STEP = 1.3


class MovablePlot(QWidget):
    """A plot with its own mouse handling: subclasses determine what is under the mouse.

    pyqtgraph manages the ranges and draws the axes; its mouse handling, menus and buttons are
    switched off, since it drops mouse moves and grabs the wrong things.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
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
        self._screen = ScreenMap.between((0, 1), (0, 1), (1, 1))
        self._is_fitted = True
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

    def _came_to_rest(self) -> None:
        """Draw the exact picture after motion has ended."""

    def _look_at(self, at: QPointF | None) -> None:
        """Follow the mouse over the plot; None where it is over nothing."""
        del at

    def _menu_asked(self, event: QContextMenuEvent) -> None:
        """Open the menu under the mouse."""
        del event

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
            self._look_at(None)
        elif kind == QEvent.Type.ContextMenu:
            self._menu_asked(cast("QContextMenuEvent", event))
        else:
            return super().eventFilter(watched, event)
        event.accept()
        return True

    def _mouse_pressed(self, event: QMouseEvent) -> None:
        if event.button() not in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            return
        if self._press_at is not None:
            return
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        at = event.position() - self._origin()
        if event.button() == Qt.MouseButton.LeftButton and self._grab(at):
            self._look_at(None)
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
            self._look_at(None if is_over_handle else at)

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
            self._look_at(None)
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        self._is_fitted = False
        self._is_moving = True
        self._pan_by(at - self._pan_from)
        self._is_moving = False
        self._pan_from = at

    def _origin(self) -> QPointF:
        """Top left corner of the plot area on the viewport."""
        return cast("QPointF", self._box.scenePos())
