"""Moving the handles of a plot over frequency by mouse and keys: turns both into intents.

A drag begins with the first movement, so that a click only chooses a handle. A run of key
presses is one gesture, from the first press until the key is released.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QObject, QPointF, Qt, Signal

from fairlead.app.drawing.screen_map import round_step
from fairlead.core.document.edits import LIMIT_HIGHEST
from fairlead.core.document.markers import marker_with
from fairlead.core.views.quantity import swr_at

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.plots.band_edges import Grip
    from fairlead.core.bands import Edge
    from fairlead.core.views.quantity import Quantity

_KEY_STEPS_A_VIEW = 500
_LIMIT_STEP = 0.05
_LIMIT_FINE_STEP = 0.01
_LIMIT_COARSE_STEP = 0.5

KEYS = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Down: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Up: 1,
}
"""Keys that move a handle, with their direction."""


class HandleGestures(QObject):
    """One gesture at a time, by mouse or by keys; changes nothing itself."""

    began = Signal()
    edge_dragged = Signal(str, float)
    """Edge ("low" or "high"), Hz."""
    band_dragged = Signal(float)
    """New low edge of the whole band, Hz."""
    limit_dragged = Signal(float)
    """SWR."""
    marker_dragged = Signal(int, float)
    """Key of a marker, Hz."""
    ended = Signal()
    cancelled = Signal()

    def __init__(
        self, document: Document, quantity: Quantity, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._quantity = quantity
        self._held: Grip | None = None
        self._from = QPointF()
        self._start = 0.0
        self._is_moving = False
        self._keys: set[int] = set()
        self._is_keying = False

    @property
    def held(self) -> Grip | None:
        """What the mouse is dragging."""
        return self._held

    @property
    def is_active(self) -> bool:
        """Whether there is something that Escape would cancel."""
        return self._is_moving or self._is_keying

    def set_quantity(self, quantity: Quantity) -> None:
        """Use the limit line of another quantity; ends any gesture."""
        self.finish()
        self._quantity = quantity

    # Mouse

    def press(self, part: Grip, at: QPointF) -> None:
        """Grab a handle."""
        self.finish()
        self._held, self._from = part, at
        self._start = self._value(part)

    def move(self, at: QPointF, screen: ScreenMap) -> None:
        """Move what is dragged; back at the starting point, the value is exactly the old one."""
        if self._held is None or (at == self._from and not self._is_moving):
            return
        if not self._is_moving:
            self._is_moving = True
            self.began.emit()
        if self._held == "limit":
            self.limit_dragged.emit(self._limit_at(at, screen))
            return
        way_px = at.x() - self._from.x()
        value_hz = self._start
        if way_px:
            x = screen.x(self._start) + way_px
            # No more digits than a pixel can resolve.
            value_hz = round_to(screen.x_value(x), round_step(screen.value_a_pixel(x)))
        self._move_to(self._held, value_hz)

    def release(self) -> None:
        """Let go."""
        was_moving = self._is_moving
        self._held, self._is_moving = None, False
        if was_moving:
            self.ended.emit()

    # Keys

    def key_press(
        self, part: Grip, key: int, modifiers: Qt.KeyboardModifier, screen: ScreenMap
    ) -> None:
        """Move a handle by one step; Shift takes larger steps, Ctrl finer ones."""
        if self._held is not None:
            return
        if not self._is_keying:
            self._is_keying = True
            self.began.emit()
        self._keys.add(key)
        direction = KEYS[Qt.Key(key)]
        if part == "limit":
            step = _LIMIT_STEP
            if modifiers & Qt.KeyboardModifier.ShiftModifier:
                step = _LIMIT_COARSE_STEP
            elif modifiers & Qt.KeyboardModifier.ControlModifier:
                step = _LIMIT_FINE_STEP
            self.limit_dragged.emit(round(self._value(part) + direction * step, 6))
            return
        hz_a_pixel = screen.value_a_pixel(screen.x(self._value(part)))
        step_hz = round_step(screen.width * hz_a_pixel / _KEY_STEPS_A_VIEW)
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            step_hz *= 10
        elif modifiers & Qt.KeyboardModifier.ControlModifier:
            step_hz /= 10
        self._move_to(part, self._value(part) + direction * max(step_hz, 1.0))

    def key_release(self, key: int) -> None:
        """Release a key; the last one ends the gesture."""
        self._keys.discard(key)
        if self._is_keying and not self._keys:
            self._is_keying = False
            self.ended.emit()

    # Both

    def cancel(self) -> None:
        """Undo what the gesture has moved."""
        was_active = self.is_active
        self._held, self._is_moving, self._is_keying = None, False, False
        if was_active:
            self.cancelled.emit()

    def finish(self) -> None:
        """End any gesture, as when the window loses the keyboard focus."""
        self._keys.clear()
        if self._is_keying:
            self._is_keying = False
            self.ended.emit()
        self.release()

    def _value(self, part: Grip) -> float:
        bench = self._document.bench
        if isinstance(part, int):
            return marker_with(bench, part).frequency_hz
        if part == "limit":
            return bench.limit_swr
        return bench.band.high_hz if part == "high" else bench.band.low_hz

    def _move_to(self, part: Grip, frequency_hz: float) -> None:
        if isinstance(part, int):
            self.marker_dragged.emit(part, max(frequency_hz, 1.0))
        elif part == "band":
            self.band_dragged.emit(frequency_hz)
        else:
            self.edge_dragged.emit(cast("Edge", part), frequency_hz)

    def _limit_at(self, at: QPointF, screen: ScreenMap) -> float:
        if at.y() == self._from.y():
            return self._start
        quantity = self._quantity
        ends = [quantity.limit_position(ratio) or 0.0 for ratio in (1.0, LIMIT_HIGHEST)]
        place = (quantity.limit_position(self._start) or 0.0) - (
            at.y() - self._from.y()
        ) / screen.y_scale
        place = min(max(place, min(ends)), max(ends))
        half_px = 0.5 / screen.y_scale
        swr_a_pixel = abs(swr_at(quantity, place + half_px) - swr_at(quantity, place - half_px))
        step = min(max(round_step(max(swr_a_pixel, 1e-3)), 0.01), 0.5)
        return round_to(min(swr_at(quantity, place), LIMIT_HIGHEST), step)


def round_to(value: float, step: float) -> float:
    """The multiple of a step nearest to a value."""
    # Steps below one are exact only as an inverse: 3 * 0.1 is not 0.3.
    return round(value / step) * step if step >= 1 else round(value / step) / round(1 / step)
