"""The picture to mark: zoomed by the wheel, panned by a drag, marked by mouse or keys."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QImage, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fairlead.app.panels.tracing.draft import Draft, rectangle
from fairlead.app.panels.tracing.grips import TOOLS, Grip, Tool, grips, name_of, place_of
from fairlead.app.panels.tracing.looking import Looking
from fairlead.app.panels.tracing.overlay import Marks, paint_marks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent, QWheelEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.tracing.lifted import Lifted

STEP_PX = 0.2
"""How far an arrow key moves a mark, in pixels of the picture."""
_LONG_STEP_PX = 5.0
_REACH_PX = 10.0
_STILL_PX = 4.0
_ZOOM_A_NOTCH = 1.25
_LENS_PX = 168
_LENS_SCALE = 8.0
_PAN_PX = 60.0
_ALT = Qt.KeyboardModifier.AltModifier
_WAYS = {
    Qt.Key.Key_Left: QPointF(-1, 0),
    Qt.Key.Key_Right: QPointF(1, 0),
    Qt.Key.Key_Up: QPointF(0, -1),
    Qt.Key.Key_Down: QPointF(0, 1),
}


class PictureView(QWidget):
    """Changes nothing itself; places are in pixels of the picture."""

    clicked = Signal(QPointF, bool)
    """A place, and whether it is meant exactly there, without snapping."""
    grip_moved = Signal(object, QPointF, bool)
    """A `Grip`, its new place, and whether it is meant exactly there."""
    move_ended = Signal()
    """A drag or a held key has ended."""
    rectangle_drawn = Signal(object)
    """x0, y0, x1, y1."""
    removal_wanted = Signal(object)
    """A `Grip`."""
    activated = Signal(object)
    """Another `Grip`, or None."""
    tool_wanted = Signal(str)
    """By its number on the keyboard."""
    looked = Signal()
    """The picture is looked at in another way: zoomed, panned, in another size."""

    def __init__(self, view_state: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._looking = Looking()
        self._marks = Marks(Draft())
        self._cursor: QPointF | None = None
        self._pressed: QPointF | None = None
        self._held: Grip | None = None
        self._is_panning = False
        self._anchor: QPointF | None = None
        self.setAccessibleName("Picture to trace")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        view_state.theme_changed.connect(self.update)

    # What is shown

    def sizeHint(self) -> QSize:
        """Room to see a plot."""
        return QSize(760, 520)

    def minimumSizeHint(self) -> QSize:
        """Enough on a small screen."""
        return QSize(240, 160)

    def show_picture(self, copies: Sequence[QImage]) -> None:
        """Show the whole of another picture, given with its halved copies."""
        self._looking.show(copies, QSizeF(self.size()))
        self._cursor = None
        self.update()

    def show_marks(self, draft: Draft, tool: Tool, curve: int) -> None:
        """Show other marks; the active one stays active while it is there."""
        active = self._marks.active
        if active is not None and all(one != active for one, _ in grips(draft, tool, curve)):
            active = None
        if tool != self._marks.tool:
            self._anchor = None
        self._marks = replace(self._marks, draft=draft, tool=tool, curve=curve, active=active)
        self._show_stretch()
        self._describe()
        self.update()

    def show_lifted(self, found: Sequence[Lifted | None]) -> None:
        """Show the curves that were found."""
        self._marks = replace(self._marks, lifted=tuple(found))
        self.update()

    @property
    def active(self) -> Grip | None:
        """The mark that keys move and remove."""
        return self._marks.active

    def activate(self, grip: Grip | None) -> None:
        """Make another mark the active one."""
        if grip == self._marks.active:
            return
        self._marks = replace(self._marks, active=grip)
        if grip is not None:
            at = place_of(self._marks.draft, grip, self._marks.curve)
            self._cursor = None if at is None else QPointF(*at)
        self._describe()
        self.update()
        self.activated.emit(grip)

    @property
    def cursor_place(self) -> QPointF:
        """Where a press of Enter would click."""
        if self._cursor is None:
            size = self._looking.size
            return QPointF(size.width() / 2, size.height() / 2)
        return self._cursor

    def spot_of(self, x: float, y: float) -> QPointF:
        """Where a place of the picture is in the widget."""
        return self._looking.spot(QPointF(x, y))

    def place_at(self, spot: QPointF) -> QPointF:
        """Which place of the picture is at a spot of the widget."""
        return self._looking.place(spot)

    def smaller(self, widest_px: float) -> tuple[QImage, float]:
        """The picture, or a smaller copy at least so wide, and its share of the full size."""
        return self._looking.smaller(widest_px)

    @property
    def zoom_scale(self) -> float:
        """Pixels of the screen for a pixel of the picture."""
        return self._looking.scale

    def zoom(self, factor: float) -> None:
        """Zoom about the cursor."""
        self._looking.zoom(factor, self.spot_of(self.cursor_place.x(), self.cursor_place.y()))
        self._look()

    def fit(self) -> None:
        """Show the whole picture."""
        self._looking.fit(QSizeF(self.size()))
        self._look()

    # Painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The picture, the marks over it, and the lens."""
        painter = QPainter(self)
        theme = self._view_state.theme
        painter.fillRect(self.rect(), QColor(theme.window))
        self._looking.paint(painter, QRectF(self.rect()))
        paint_marks(painter, self._looking, self._marks, theme)
        if self._cursor is not None:
            self._paint_cursor(painter)
            self._paint_lens(painter)
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.accent), 2))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def _paint_cursor(self, painter: QPainter) -> None:
        spot = self._looking.spot(self.cursor_place)
        for pen in (QPen(QColor(255, 255, 255, 160), 3), QPen(QColor(0, 0, 0, 200), 1)):
            painter.setPen(pen)
            painter.drawLine(spot + QPointF(-12, 0), spot + QPointF(-3, 0))
            painter.drawLine(spot + QPointF(3, 0), spot + QPointF(12, 0))
            painter.drawLine(spot + QPointF(0, -12), spot + QPointF(0, -3))
            painter.drawLine(spot + QPointF(0, 3), spot + QPointF(0, 12))

    def _paint_lens(self, painter: QPainter) -> None:
        """The surroundings of the cursor, eight times as large, in the corner away from it."""
        side = float(min(_LENS_PX, self.width() // 4, self.height() // 3))
        spot = self._looking.spot(self.cursor_place)
        is_left = spot.x() > self.width() / 2
        is_near = spot.y() > self.height() - side - 40 and (
            spot.x() < side + 40 if is_left else spot.x() > self.width() - side - 40
        )
        left = 6.0 if is_left else self.width() - side - 6
        box = QRectF(left, 6.0 if is_near else self.height() - side - 6, side, side)
        theme = self._view_state.theme
        painter.fillRect(box, QColor(theme.base))
        scale = max(_LENS_SCALE, 2 * self._looking.scale)
        self._looking.paint_closely(painter, box, self.cursor_place, scale)
        painter.setPen(QPen(QColor(theme.limit), 1))
        middle = box.center()
        painter.drawLine(QPointF(box.left(), middle.y()), QPointF(middle.x() - 4, middle.y()))
        painter.drawLine(QPointF(middle.x() + 4, middle.y()), QPointF(box.right(), middle.y()))
        painter.drawLine(QPointF(middle.x(), box.top()), QPointF(middle.x(), middle.y() - 4))
        painter.drawLine(QPointF(middle.x(), middle.y() + 4), QPointF(middle.x(), box.bottom()))
        painter.setPen(QPen(QColor(theme.border), 1))
        painter.drawRect(box)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the whole picture in sight while the window gets its size."""
        if event.oldSize().isEmpty() or not self._marks.draft.known:
            self.fit()
        super().resizeEvent(event)

    # Mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a mark, or begin a click, a rectangle or a pan."""
        self._pressed = event.position()
        self._is_panning = event.button() == Qt.MouseButton.MiddleButton
        self._held = None
        if event.button() == Qt.MouseButton.LeftButton:
            self._held = self._grip_at(event.position())
            if self._held is not None:
                self.activate(self._held)
            elif self._draws_rectangles:
                self._anchor = self._inside(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the mark that is held, stretch a rectangle, or pan."""
        last, spot = self._pressed, event.position()
        if last is None:
            self._cursor = self._inside(spot)
        elif self._held is not None:
            self._cursor = self._inside(spot)
            self.grip_moved.emit(self._held, self._cursor, self._is_free(event))
        elif self._anchor is not None and not self._is_panning:
            self._cursor = self._inside(spot)
        elif self._is_panning or (spot - last).manhattanLength() > _STILL_PX:
            self._is_panning = True
            self._looking.pan(spot - last)
            self._pressed = spot
            self._look()
        self._show_stretch()
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click where nothing was dragged."""
        pressed, self._pressed = self._pressed, None
        if self._held is not None:
            self._held = None
            self.move_ended.emit()
        elif self._is_panning or event.button() != Qt.MouseButton.LeftButton or pressed is None:
            self._is_panning = False
        elif self._anchor is not None:
            self._end_rectangle(self._inside(event.position()))
        else:
            self.clicked.emit(self._inside(event.position()), self._is_free(event))

    def leaveEvent(self, event: QEvent) -> None:
        """The lens goes with the mouse, unless keys move a mark."""
        if self._marks.active is None and not self.hasFocus():
            self._cursor = None
            self.update()
        super().leaveEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the mouse."""
        notches = event.angleDelta().y() / 120
        if notches:
            self._looking.zoom(_ZOOM_A_NOTCH**notches, event.position())
            self._look()
        event.accept()

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows move by a fifth of a pixel, Enter clicks, Delete removes."""
        key = Qt.Key(event.key())
        if key in _WAYS:
            self._step(_WAYS[key], event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._click_by_key(is_free=bool(event.modifiers() & _ALT))
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self._marks.active is not None:
            self.removal_wanted.emit(self._marks.active)
        elif key in (Qt.Key.Key_N, Qt.Key.Key_P):
            self._activate_next(1 if key == Qt.Key.Key_N else -1)
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal, Qt.Key.Key_Minus):
            self.zoom(1 / _ZOOM_A_NOTCH if key == Qt.Key.Key_Minus else _ZOOM_A_NOTCH)
        elif key == Qt.Key.Key_0:
            self.fit()
        elif Qt.Key.Key_1 <= key <= Qt.Key.Key_6:
            self.tool_wanted.emit(TOOLS[key - Qt.Key.Key_1])
        elif key == Qt.Key.Key_Escape and (self._anchor or self._marks.active):
            self._anchor = None
            self._show_stretch()
            self.activate(None)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """The end of a held key ends one step of undo."""
        if Qt.Key(event.key()) in _WAYS and not event.isAutoRepeat():
            self.move_ended.emit()
        super().keyReleaseEvent(event)

    def _step(self, way: QPointF, event: QKeyEvent) -> None:
        modifiers = event.modifiers()
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            self._looking.pan(-way * _PAN_PX)
            self._look()
            return
        is_long = bool(modifiers & Qt.KeyboardModifier.ShiftModifier)
        by = way * (_LONG_STEP_PX if is_long else STEP_PX)
        self._cursor = self._looking.kept_inside(self.cursor_place + by)
        self._looking.reveal(self._cursor, QSizeF(self.size()))
        self._look()
        if self._marks.active is not None:
            self.grip_moved.emit(self._marks.active, self._cursor, True)
        self._show_stretch()
        self._describe()
        self.update()

    def _click_by_key(self, *, is_free: bool) -> None:
        place = self.cursor_place
        self._cursor = place
        if not self._draws_rectangles:
            self.clicked.emit(place, is_free)
        elif self._anchor is None:
            self.activate(None)
            self._anchor = place
        else:
            self._end_rectangle(place)
        self._show_stretch()

    def _activate_next(self, by: int) -> None:
        there = [grip for grip, _ in grips(self._marks.draft, self._marks.tool, self._marks.curve)]
        if not there:
            return
        active = self._marks.active
        place = there.index(active) + by if active in there else (0 if by > 0 else -1)
        self.activate(there[place % len(there)])
        self._looking.reveal(self.cursor_place, QSizeF(self.size()))
        self._look()

    # Helpers

    def _look(self) -> None:
        self.looked.emit()
        self.update()

    @property
    def _draws_rectangles(self) -> bool:
        tool, draft = self._marks.tool, self._marks.draft
        return tool in ("erase", "area") or (tool == "square" and draft.corners is None)

    def _end_rectangle(self, place: QPointF) -> None:
        anchor, self._anchor = self._anchor, None
        self._show_stretch()
        if anchor is not None:
            box = rectangle((anchor.x(), anchor.y()), (place.x(), place.y()))
            if min(box[2] - box[0], box[3] - box[1]) * self._looking.scale > _STILL_PX:
                self.rectangle_drawn.emit(box)
        self.update()

    def _show_stretch(self) -> None:
        is_open = self._anchor is not None and self._cursor is not None
        stretch = (self._anchor, self._cursor) if is_open else None
        self._marks = replace(self._marks, stretch=stretch)  # type: ignore[arg-type]  # both there

    def _grip_at(self, spot: QPointF) -> Grip | None:
        near = [
            ((self.spot_of(*at) - spot).manhattanLength(), place)
            for place, (_, at) in enumerate(self._there)
        ]
        distance, place = min(near, default=(_REACH_PX + 1, -1))
        return self._there[place][0] if distance <= _REACH_PX else None

    @property
    def _there(self) -> list[tuple[Grip, tuple[float, float]]]:
        return grips(self._marks.draft, self._marks.tool, self._marks.curve)

    def _inside(self, spot: QPointF) -> QPointF:
        return self._looking.kept_inside(self._looking.place(spot))

    @staticmethod
    def _is_free(event: QMouseEvent) -> bool:
        return bool(event.modifiers() & _ALT)

    def _describe(self) -> None:
        place = self.cursor_place
        where = f"at {place.x():.1f}, {place.y():.1f} pixels"
        active = self._marks.active
        what = "cursor" if active is None else name_of(active)
        self.setAccessibleDescription(f"{what} {where}")
